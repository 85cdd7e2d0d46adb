"""``dimpsy layout``: what it proposes, what it asks for, and what it changes."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest

from planner.cli.main import run
from planner.store import SeasonFile
from tests.cli.conftest import Dimpsy
from tests.unit.travel.road_maps import Node, write_osm

WAY = ("--from", "54.77143, 2.20006", "--to", "54.8104, 2.1339")
"""From the first point of route R03 of the dusk demo to its last."""


def codes(path: Path) -> list[str]:
    with SeasonFile.open(path) as file:
        return [route.code for route in file.season().routes]


def test_that_a_proposal_is_a_table_and_changes_nothing(heath: Path, dimpsy: Dimpsy) -> None:
    before = codes(heath)
    said = dimpsy("layout", heath, "--route", "R25", *WAY, "--points", "5", "--avoid", "300-900")
    assert said.status == 1
    lines = said.out.splitlines()
    assert lines[0].startswith("5 of 5 points along 8.0 km, at least 800 m apart as the crow flies")
    assert [line.split()[0] for line in lines[2:7]] == ["1", "2", "3", "4", "5"]
    assert "  300 to 900 m: a stretch to be avoided, as asked" in lines
    assert lines[-1] == "Nothing is changed yet. Add --yes to take these points."
    assert "daylight" in said.out
    assert codes(heath) == before


def test_that_yes_takes_the_points_as_one_step_that_undo_takes_back(heath: Path, dimpsy: Dimpsy) -> None:
    before = codes(heath)
    said = dimpsy("layout", heath, "--route", "R25", "--name", "Gorse Round", *WAY, "--yes")
    assert said.status == 0
    assert "Done: Lay out 10 points of route R25 Gorse Round." in said.out
    assert codes(heath) == [*before, "R25"]
    found = dimpsy("check", heath, "--json").data["findings"]
    rules = {finding["rule"] for finding in found if finding["subject"]["route"] == "R25"}
    # It begins where R03 does, and nobody has been sent there yet; its points themselves are in order.
    assert rules <= {"route.shared", "visit.unfilled"}
    dimpsy("undo", heath)
    assert codes(heath) == before


def test_that_json_is_one_object(heath: Path, dimpsy: Dimpsy) -> None:
    data = dimpsy("layout", heath, "--route", "R25", *WAY, "--points", "2", "--json").data
    assert data["accepted"] is None
    assert [point["number"] for point in data["laid"]["points"]] == [1, 2]
    assert data["laid"]["points"][0]["place"] == {"latitude": 54.77143, "longitude": 2.20006}
    done = dimpsy("layout", heath, "--route", "R25", *WAY, "--points", "2", "--yes", "--json").data
    assert done["accepted"] == "Lay out 2 points of route R25"


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(("answer", "taken"), [("y\n", True), ("n\n", False), ("", False)])
def test_that_a_terminal_is_asked(heath: Path, monkeypatch: pytest.MonkeyPatch, answer: str, taken: bool) -> None:
    screen = _Terminal()
    monkeypatch.setattr(sys, "stdin", _Terminal(answer))
    monkeypatch.setattr(sys, "stdout", screen)
    status = run(["layout", str(heath), "--route", "R25", *WAY])
    said = screen.getvalue()
    assert "Take these points as route R25? [y/N]" in said
    assert said.count("10 of 11 points") == 2  # in the head of the table, and why there are fewer
    assert (status == 0) is taken
    assert ("R25" in codes(heath)) is taken


def test_that_a_track_of_a_file_and_a_named_road_are_followed(heath: Path, dimpsy: Dimpsy, tmp_path: Path) -> None:
    track = tmp_path / "drive.gpx"
    fixes = "".join(f'<trkpt lat="{54.77143 + k / 1000}" lon="2.20006"/>' for k in range(30))
    track.write_text(
        '<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<trk><name>drive</name><trkseg>{fixes}</trkseg></trk></gpx>"
    )
    by_track = dimpsy("layout", heath, "--route", "R25", "--along", track)
    assert by_track.status == 1
    assert "ground where the map has no road" in by_track.out
    by_name = dimpsy("layout", heath, "--route", "R25", "--road", "No Such Lane", "--from", "54.77143, 2.20006")
    assert by_name.status == 3
    assert "No road of the map has the name 'No Such Lane'" in by_name.err


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((), "say where: --from LAT,LON --to LAT,LON"),
        (("--from", "54.77, 2.2"), "say where"),
        (("--road", "A Lane"), "where on the road the line begins, near enough: --from LAT,LON"),
        (("--along", "x.gpx", "--from", "54.77, 2.2"), "--along goes without"),
        (("--road", "A Lane", "--from", "54.77, 2.2", "--via", "54.7, 2.2"), "--via goes without --road"),
        (("--from", "54.77", "--to", "54.8, 2.1"), "--from"),
        ((*WAY, "--avoid", "900"), "FROM-TO"),
        ((*WAY, "--avoid", "900-300"), "from fewer metres to more"),
        ((*WAY, "--avoid", "a-b"), "write metres as a number"),
        ((*WAY, "--start-after", "-3"), "0 or more"),
        ((*WAY, "--points", "0"), "above 0"),
    ],
)
def test_that_what_cannot_be_read_is_said(heath: Path, dimpsy: Dimpsy, arguments: tuple[str, ...], said: str) -> None:
    answer = dimpsy("layout", heath, "--route", "R25", *arguments)
    assert answer.status == 2
    assert said in answer.err


def test_that_the_quickest_way_is_that_at_the_speeds_of_the_season(tmp_path: Path, dimpsy: Dimpsy) -> None:
    season = tmp_path / "lanes.dimpsy"
    dates = ("--from", "2027-05-03", "--to", "2027-07-02", "--zone", "Europe/London")
    assert dimpsy("new", season, "--protocol", "heath_nightjars", *dates).status == 0
    nodes: dict[int, Node] = {1: (54.0, 2.0), 2: (54.0, 2.05), 3: (54.02, 2.025)}
    ways = [([1, 2], {"highway": "track"}), ([1, 3, 2], {"highway": "primary"})]
    roads = write_osm(tmp_path / "lanes.osm", nodes, ways)
    assert dimpsy("import", season, roads, "--yes").status == 0

    def metres() -> float:
        ends = ("--from", "54.0, 2.0", "--to", "54.0, 2.05")
        return float(dimpsy("layout", season, "--route", "R1", *ends, "--json").data["laid"]["length_m"])

    by_primary = metres()
    dimpsy("roads", season, "--speed", "track=80")
    assert metres() < 3_300 < by_primary
