"""``dimpsy export``: what is written, what is refused, and that nothing of people leaves the season file."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.store import SeasonFile
from tests.cli.conftest import Dimpsy

pytestmark = pytest.mark.xdist_group("heath")

NAMES = ["heath-points.csv", "heath-routes.csv", "heath.geojson", "heath.gpx", "heath.kml"]


def _names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_that_every_format_is_written_and_written_again_only_where_it_differs(
    heath: Path, tmp_path: Path, dimpsy: Dimpsy
) -> None:
    out = tmp_path / "below" / "out"
    said = dimpsy("export", heath, "--to", out, "--json")
    assert said.status == 0
    assert _names(out) == NAMES
    assert (said.data["exported"]["routes"], said.data["exported"]["points"]) == (24, 241)
    before = {path: path.stat().st_mtime_ns for path in out.iterdir()}
    again = dimpsy("export", heath, "--to", out)
    assert again.out.count("(stood there already)") == 5
    assert {path: path.stat().st_mtime_ns for path in out.iterdir()} == before


def test_that_files_of_other_content_are_replaced_only_when_told(heath: Path, tmp_path: Path, dimpsy: Dimpsy) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "heath.kml").write_text("mine", encoding="utf-8")
    said = dimpsy("export", heath, "--to", out)
    assert said.status == 3
    assert str(out / "heath.kml") in said.err
    assert _names(out) == ["heath.kml"]
    assert (out / "heath.kml").read_text(encoding="utf-8") == "mine"
    assert dimpsy("export", heath, "--to", out, "--force").status == 0
    assert _names(out) == NAMES
    assert (out / "heath.kml").read_text(encoding="utf-8").startswith("<?xml")


def test_that_chosen_routes_and_formats_are_written_under_names_of_their_own(
    heath: Path, tmp_path: Path, dimpsy: Dimpsy
) -> None:
    out = tmp_path / "out"
    assert dimpsy("export", heath, "--to", out, "--route", "R02", "--route", "R01", "--format", "gpx,KML").status == 0
    assert _names(out) == ["heath-R01-R02.gpx", "heath-R01-R02.kml"]
    text = (out / "heath-R01-R02.gpx").read_text(encoding="utf-8")
    assert text.count("<rte>") == 2
    codes = [f"R{number:02d}" for number in range(1, 7)]
    many = [word for code in codes for word in ("--route", code)]
    assert dimpsy("export", heath, "--to", out, *many, "--format", "gpx").status == 0
    assert "heath-6 routes.gpx" in _names(out)


@pytest.mark.parametrize(
    ("options", "status", "words"),
    [
        (("--route", "X9"), 3, "No route 'X9' in this season."),
        (("--format", "shp"), 2, "write gpx, geojson, csv, kml, parted by commas"),
    ],
)
def test_that_what_cannot_be_written_is_said_and_nothing_is(
    heath: Path, tmp_path: Path, dimpsy: Dimpsy, options: tuple[str, str], status: int, words: str
) -> None:
    said = dimpsy("export", heath, "--to", tmp_path / "out", *options)
    assert said.status == status
    assert words in said.err
    assert not (tmp_path / "out").exists()


def test_that_a_season_without_routes_and_a_file_in_the_place_of_a_folder_are_told(
    heath: Path, tmp_path: Path, dimpsy: Dimpsy
) -> None:
    new = ("--protocol", "heath_nightjars", "--zone", "Europe/London", "--from", "2027-05-03", "--to", "2027-07-02")
    assert dimpsy("new", tmp_path / "empty.dimpsy", *new).status == 0
    assert dimpsy("export", tmp_path / "empty.dimpsy", "--to", tmp_path / "out").status == 3
    (tmp_path / "taken").write_text("x", encoding="utf-8")
    said = dimpsy("export", heath, "--to", tmp_path / "taken")
    assert said.status == 2
    assert "Name another folder" in said.err


def test_that_nothing_of_people_is_in_any_file(heath: Path, tmp_path: Path, dimpsy: Dimpsy) -> None:
    assert dimpsy("export", heath, "--to", tmp_path / "out").status == 0
    whole = "".join(path.read_text(encoding="utf-8") for path in (tmp_path / "out").iterdir())
    with SeasonFile.open(heath) as file:
        people = file.season().volunteers
        coordinator = file.season().coordinator
    assert len(people) == 34
    said = [(person.name, person.telephone, person.email) for person in people]
    said.append((coordinator.name, coordinator.telephone, coordinator.email))
    assert not [words for person in said for words in person if words and words in whole]
    # One of the two figures may be that of some point by chance.
    homes = [(f"{person.home.latitude}", f"{person.home.longitude}") for person in people]
    assert not [home for home in homes if home[0] in whole and home[1] in whole]


@pytest.mark.parametrize("name", ["heath.gpx", "heath.kml", "heath.geojson", "heath-points.csv"])
def test_that_an_export_brought_back_changes_nothing(heath: Path, tmp_path: Path, dimpsy: Dimpsy, name: str) -> None:
    assert dimpsy("export", heath, "--to", tmp_path / "out").status == 0
    said = dimpsy("import", heath, tmp_path / "out" / name, "--yes", "--json")
    assert said.status == 0
    assert said.data["changed"] is False
