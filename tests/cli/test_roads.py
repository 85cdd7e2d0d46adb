"""``dimpsy roads``: the road map in figures, and speeds changed for one season."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from planner.cli.main import run
from planner.store import SeasonFile
from planner.usecases.importing.preview import accept, preview
from tests.unit.store.season_strategies import SMALL_SEASON
from tests.unit.travel.road_maps import row, write_osm


@pytest.fixture
def with_roads(tmp_path: Path) -> Path:
    path = tmp_path / "moths.dimpsy"
    ways = [([1, 2], {"highway": "tertiary"}), ([2, 3], {"highway": "track", "tracktype": "grade5"})]
    source = write_osm(tmp_path / "lanes.osm", row(3), ways)
    with SeasonFile.create(path, SMALL_SEASON) as file:
        accept(file, preview(file, [source]))
    return path


def _answer(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str]:
    status = run(arguments)
    caught = capsys.readouterr()
    return status, caught.out + caught.err


def test_that_classes_lengths_speeds_and_sources_are_printed(
    with_roads: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, said = _answer(capsys, "roads", str(with_roads))
    assert status == 0
    assert "lanes.osm" in said
    assert "2 stretches of road" in said
    (tertiary,) = [line.split() for line in said.splitlines() if line.startswith("tertiary ")]
    assert tertiary[1:4] == ["0.7", "45", "45"]
    (track,) = [line.split() for line in said.splitlines() if line.startswith("track ")]
    assert track[2:4] == ["20", "15"]
    assert "motorway" not in said


def test_that_speeds_are_changed_kept_and_reset(with_roads: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, said = _answer(capsys, "roads", str(with_roads), "--speed", "tertiary=30", "--factor", "0.5")
    assert status == 0
    assert said.startswith("Drive at tertiary 30 km/h, all speeds x 0.5.")
    status, said = _answer(capsys, "roads", str(with_roads), "--json")
    (tertiary,) = [one for one in json.loads(said)["roads"]["classes"] if one["kind"] == "tertiary"]
    assert (tertiary["driven_kmh"], tertiary["source"]) == (pytest.approx(15.0), "this season")
    _, said = _answer(capsys, "roads", str(with_roads), "--reset")
    assert said.startswith("Drive at the speeds of the table.")
    _, said = _answer(capsys, "roads", str(with_roads), "--reset")
    assert said.startswith("Nothing to change")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--speed", "lane=30"], "no road class 'lane'"),
        (["--speed", "track=fast"], "such as tertiary=40"),
        (["--speed", "track"], "such as tertiary=40"),
        (["--speed", "track=900"], "between 5 and 130"),
        (["--factor", "nan"], "the factor of all speeds"),
    ],
)
def test_that_a_slip_is_said_and_changes_nothing(
    with_roads: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], said: str
) -> None:
    status, answer = _answer(capsys, "roads", str(with_roads), *arguments)
    assert status == 2
    assert said in answer
    with SeasonFile.open(with_roads) as file:
        assert not file.season().road_speeds.said()
