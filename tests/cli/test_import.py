"""``dimpsy import`` says what it understood before it changes anything, and takes what a person chose."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest

from planner.cli.import_choices import option_words
from planner.domain.geo import Place
from planner.exchange import Choices
from planner.store import SeasonFile
from tests.cli.conftest import Dimpsy, Said

NEW = ("--protocol", "heath_nightjars", "--from", "2027-05-03", "--to", "2027-07-02", "--zone", "Europe/London")
POINTS = "Route;Stop;Lat;Long;Surveyor\nR01;1;51,50;-1,20;Ann\nR01;2;51,51;-1,21;Ann\nR01;3;51,52;-1,22;Ann\n"


@pytest.fixture(scope="module")
def season_made(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """Return the bytes of a new season, made once."""
    from planner.cli.main import run  # noqa: PLC0415

    path = tmp_path_factory.mktemp("new") / "a.dimpsy"
    assert run(["new", str(path), *NEW]) == 0
    return path.read_bytes()


@pytest.fixture
def season(tmp_path: Path, season_made: bytes) -> Path:
    """Return a new season of its own."""
    path = tmp_path / "a.dimpsy"
    path.write_bytes(season_made)
    return path


def written(path: Path, text: str | bytes) -> Path:
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def places(path: Path) -> list[Place]:
    with SeasonFile.open(path) as file:
        return [point.place for route in file.season().routes for point in route.points]


class Terminal(io.StringIO):
    """Standard input or output as a terminal has it."""

    def isatty(self) -> bool:
        return True


def at_terminal(monkeypatch: pytest.MonkeyPatch, answer: str) -> Terminal:
    shown = Terminal()
    monkeypatch.setattr(sys, "stdin", Terminal(answer))
    monkeypatch.setattr(sys, "stdout", shown)
    return shown


def test_that_without_a_terminal_nothing_is_changed_until_yes_is_said(
    season: Path, tmp_path: Path, dimpsy: Dimpsy
) -> None:
    points = written(tmp_path / "p.csv", POINTS)
    before = season.read_bytes()
    said = dimpsy("import", season, points)
    assert said.status == 1
    assert "Add --yes to accept" in said.out
    assert "columns: Route, Stop as point, Lat as latitude, Long as longitude" in said.out
    assert "not used: Surveyor" in said.out
    assert "coordinates: decimal degrees with decimal commas" in said.out
    assert "new: R01 (3 points)" in said.out
    assert season.read_bytes() == before
    as_json = dimpsy("import", season, points, "--json")
    assert (as_json.status, as_json.data["changed"]) == (1, False)
    assert as_json.data["sources"][0]["understood"]["columns"][2]["meaning"] == "latitude"
    assert dimpsy("import", season, points, "--yes").status == 0
    assert places(season) == [Place(51.5, -1.2), Place(51.51, -1.21), Place(51.52, -1.22)]


@pytest.mark.parametrize(
    ("answer", "taken"), [("y\n", True), ("Yes\n", True), ("\n", False), ("n\n", False), ("", False)]
)
def test_that_at_a_terminal_it_asks(
    season: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, dimpsy: Dimpsy, answer: str, taken: bool
) -> None:
    points = written(tmp_path / "p.csv", POINTS)
    with monkeypatch.context() as patch:
        shown = at_terminal(patch, answer)
        status = dimpsy("import", season, points).status
    assert "Bring this in? [y/N]" in shown.getvalue()
    assert status == (0 if taken else 1)
    assert bool(places(season)) is taken


def piped(monkeypatch: pytest.MonkeyPatch, data: bytes) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data)))


def imported_from_pipe(monkeypatch: pytest.MonkeyPatch, dimpsy: Dimpsy, data: bytes, *arguments: object) -> Said:
    with monkeypatch.context() as patch:
        piped(patch, data)
        return dimpsy("import", *arguments)


def test_that_pasted_lines_come_by_standard_input(
    season: Path, monkeypatch: pytest.MonkeyPatch, dimpsy: Dimpsy
) -> None:
    lines = "R01 1 51.50 -1.20 by the gate\nR01 2 51°30'36\"N 1°12'36\"W\n".encode()
    said = imported_from_pipe(monkeypatch, dimpsy, lines, season, "-", "--yes")
    assert (said.status, "pasted text: points of routes" in said.out) == (0, True)
    assert places(season) == [Place(51.5, -1.2), Place(51.51, -1.21)]
    with_route = imported_from_pipe(
        monkeypatch, dimpsy, b"51.6 -1.3\n", season, "-", "--route", "R02", "--by-order", "--yes"
    )
    assert with_route.status == 0
    assert places(season)[-1] == Place(51.6, -1.3)


@pytest.mark.parametrize("data", [b"", b"\xff\xff\xff", b"no coordinates here\n"])
def test_that_bad_standard_input_is_refused(
    season: Path, monkeypatch: pytest.MonkeyPatch, dimpsy: Dimpsy, data: bytes
) -> None:
    said = imported_from_pipe(monkeypatch, dimpsy, data, season, "-", "--yes")
    assert said.status == 2
    assert "pasted text" in said.err


def test_that_swapped_coordinates_are_offered_to_be_swapped(season: Path, tmp_path: Path, dimpsy: Dimpsy) -> None:
    points = written(tmp_path / "p.csv", "route,point,latitude,longitude\nR01,1,2.2,94.7\nR01,2,2.2,94.8\n")
    swapped = written(tmp_path / "s.csv", "route,point,latitude,longitude\nR01,1,94.7,2.2\nR01,2,94.8,2.2\n")
    said = dimpsy("import", season, swapped, "--yes")
    assert said.status == 2
    assert "Swap latitude and longitude of the whole file:  --swap" in said.err
    assert dimpsy("import", season, swapped, "--swap", "--yes").status == 0
    found = places(season)
    assert dimpsy("import", season, points, "--yes").status == 0
    assert places(season) == found == [Place(2.2, 94.7), Place(2.2, 94.8)]


def test_that_one_row_swapped_beside_the_others_is_offered_alone(season: Path, tmp_path: Path, dimpsy: Dimpsy) -> None:
    rows = [f"R01,{number},51.{number},-1.2" for number in range(1, 8)]
    points = written(tmp_path / "p.csv", "\n".join(["route,point,latitude,longitude", *rows, "R01,8,-1.2,51.8"]))
    said = dimpsy("import", season, points, "--yes", "--json")
    assert said.status == 2
    (offer,) = said.data["sources"][0]["understood"]["offers"]
    assert offer["words"] == "Swap latitude and longitude on line 9 alone"
    assert dimpsy("import", season, points, "--swap-at", "line 9", "--yes").status == 0
    assert places(season)[-1] == Place(51.8, -1.2)


def test_that_choices_are_for_one_file(season: Path, tmp_path: Path, dimpsy: Dimpsy) -> None:
    points = written(tmp_path / "p.csv", POINTS)
    assert "for one file" in dimpsy("import", season, points, points, "--swap").err
    assert "for one file" in dimpsy("import", season, tmp_path, "--route", "R01").err
    assert "MEANING=HEADING" in dimpsy("import", season, points, "--column", "Y").err


def test_that_a_choice_is_said_as_it_is_typed(season: Path, tmp_path: Path, dimpsy: Dimpsy) -> None:
    points = written(tmp_path / "p.csv", "route,point,Lat,Lat 2,Lon\nR01,1,51.5,51.6,-1.2\n")
    said = dimpsy("import", season, points, "--yes")
    assert "Take the column 'Lat 2' for the latitude:  --column 'latitude=Lat 2'" in said.err
    assert dimpsy("import", season, points, "--column", "latitude=Lat 2", "--yes").status == 0
    assert places(season) == [Place(51.6, -1.2)]
    every = Choices(
        swap=True, swap_at=frozenset({"line 3"}), columns={"note": ""}, utm_zone="30N", route="R 1",
        number_by_order=True, stops=True, sheet="A", encoding="cp1252", leave_out=frozenset({"row 14"}),
    )  # fmt: skip
    assert option_words(every) == (
        "--swap --by-order --stops --swap-at 'line 3' --leave-out 'row 14' --column note= --utm-zone 30N --route 'R 1'"
        " --sheet A --letters cp1252"
    )


def test_that_letters_of_an_older_program_are_offered_with_what_they_would_read(
    season: Path, tmp_path: Path, dimpsy: Dimpsy
) -> None:
    table = written(tmp_path / "r.csv", "route,name\nR01,Mühle\n".encode("cp1252"))
    said = dimpsy("import", season, table, "--yes")
    assert said.status == 2
    assert "Western European (Windows-1252): 'R01,Mühle':  --letters cp1252" in said.err
    assert dimpsy("import", season, table, "--letters", "cp1252", "--yes").status == 0
    with SeasonFile.open(season) as file:
        assert file.season().routes[0].name == "Mühle"


def test_that_a_remark_under_a_table_is_left_out_once_said(season: Path, tmp_path: Path, dimpsy: Dimpsy) -> None:
    points = written(tmp_path / "p.csv", f"{POINTS}checked by me 12 March;;;;\n")
    said = dimpsy("import", season, points, "--yes")
    assert said.status == 2
    assert "the 1 row that is no point (line 5: 'checked by me 12 March'):  --leave-out 'line 5'" in said.err
    taken = dimpsy("import", season, points, "--leave-out", "line 5", "--yes")
    assert (taken.status, len(places(season))) == (0, 3)
    assert "line 5: left out, as was chosen: 'checked by me 12 March'" in taken.out
