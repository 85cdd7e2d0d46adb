"""Hostile names, places, dates and disks through the command line: a message with a way out, and nothing lost."""

from __future__ import annotations

import csv
import errno
import io
import os
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from planner.cli.commands.import_files import EPILOG
from planner.cli.main import tolerant_output
from planner.domain.geo import Place
from planner.domain.volunteer import Volunteer
from planner.exchange import protocol_names
from planner.exchange.table_files.table_fit import LAYOUTS
from planner.store import SeasonFile
from planner.usecases.paper.printing import file_names
from planner.usecases.season.new_season import MOST_DAYS
from tests.cli.conftest import Dimpsy

pytestmark = pytest.mark.xdist_group("heath")

NEW = ("--protocol", "heath_nightjars", "--zone", "Europe/London")
DATES = ("--from", "2027-05-03", "--to", "2027-07-02")
FREE = ("2027-05-03", "2027-07-02", "daylight dusk")


def _table(path: Path, header: str, rows: Sequence[Sequence[object]]) -> Path:
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows([header.split(), *rows])
    return path


def _season(folder: Path, dimpsy: Dimpsy, people: Sequence[tuple[str, str]], routes: int = 1) -> Path:
    """Make a season without roads in which everybody may go out on every evening."""
    path = folder / "small.dimpsy"
    points = [
        (f"R{route}", number, 54.70 + number / 100, 2.2 + route / 50)
        for route in range(routes)
        for number in range(1, 9)
    ]
    homes = [(code, name, 54.74, 2.2, 90, 9, "nightjar identification") for code, name in people]
    sources = (
        _table(folder / "p.csv", "route point latitude longitude", points),
        _table(folder / "v.csv", "code name latitude longitude drive_limit_min visits_limit training", homes),
        _table(folder / "a.csv", "volunteer from to parts", [(code, *FREE) for code, _ in people]),
    )
    assert dimpsy("new", path, *NEW, *DATES).status == 0
    assert dimpsy("import", path, "--yes", *sources).status == 0
    return path


def _person(code: str, name: str) -> Volunteer:
    return Volunteer(code, name, Place(54.7, 2.2))


def _process(*arguments: object, **options: object) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "planner", *(str(argument) for argument in arguments)]
    return subprocess.run(command, text=True, stderr=subprocess.PIPE, check=False, **options)  # type: ignore[call-overload,no-any-return]  # options of run


def test_that_two_people_whose_names_come_to_the_same_get_a_paper_each(tmp_path: Path, dimpsy: Dimpsy) -> None:
    path = _season(tmp_path, dimpsy, [("V/1", "Ann/Lee"), ("V1", "AnnLee"), ("***", "???"), ("..", "..")], routes=2)
    assert dimpsy("plan", path, "--today", "2027-01-01").status == 0
    printed = dimpsy("print", path, "--to", tmp_path / "out", "--json").data["printed"]
    papers = {Path(one["path"]) for one in printed}
    assert len(papers) == len(printed) == len(list((tmp_path / "out").iterdir()))
    assert {paper.parent for paper in papers} == {tmp_path / "out"}
    assert all(not paper.name.startswith(".") for paper in papers)


def test_that_one_paper_alone_has_the_name_it_has_among_all() -> None:
    names = file_names([_person("a/b", "Ann"), _person("ab", "Ann"), _person("AB", "ann")])
    assert names == {"a/b": "ab Ann.pdf", "ab": "ab Ann (2).pdf", "AB": "AB ann (3).pdf"}


@pytest.mark.parametrize("name", ["N" * 400, "名" * 200, "🦉" * 50, "Zoe\u0308", "Line\nBreak", "\u202eabc"])
def test_that_any_name_makes_a_file_name_a_file_system_takes(name: str, tmp_path: Path) -> None:
    (made,) = file_names([_person("V01", name)]).values()
    (tmp_path / made).write_bytes(b"")
    assert "\n" not in made
    assert "\u0308" not in made


@pytest.mark.parametrize("below", ["", "sub"])
@pytest.mark.parametrize("command", ["print", "demo"])
def test_that_a_file_in_the_place_of_a_folder_is_named(
    command: str, below: str, heath: Path, tmp_path: Path, dimpsy: Dimpsy
) -> None:
    taken = tmp_path / "taken"
    taken.write_text("x", encoding="utf-8")
    folder = taken / below if below else taken
    said = dimpsy("demo", folder) if command == "demo" else dimpsy("print", heath, "--to", folder)
    assert said.status == 2
    assert str(folder) in said.err
    assert "Name another folder" in said.err
    assert taken.read_text(encoding="utf-8") == "x"


@pytest.mark.parametrize("arguments", [("import", "x.dimpsy", ""), ("print", "x.dimpsy", "--to", ""), ("check", "")])
def test_that_an_empty_name_does_not_mean_the_folder_one_stands_in(arguments: tuple[str, ...], dimpsy: Dimpsy) -> None:
    said = dimpsy(*arguments)
    assert said.status == 2
    assert "found an empty name" in said.err


@pytest.mark.parametrize(
    ("first", "last"),
    [
        ("0001-05-03", "0001-07-02"),
        ("9999-05-03", "9999-12-31"),
        ("2000-01-01", "2090-01-01"),
        ("2027-01-01", "2028-01-02"),
    ],
)
def test_that_years_that_must_be_a_slip_are_refused(first: str, last: str, tmp_path: Path, dimpsy: Dimpsy) -> None:
    path = tmp_path / "a.dimpsy"
    said = dimpsy("new", path, *NEW, "--from", first, "--to", last)
    assert said.status == 2
    assert "Mend the year" in said.err
    assert not path.exists()


def test_that_a_season_of_a_leap_year_is_taken(tmp_path: Path, dimpsy: Dimpsy) -> None:
    assert MOST_DAYS == 366
    assert dimpsy("new", tmp_path / "a.dimpsy", *NEW, "--from", "2028-01-01", "--to", "2028-12-31").status == 0


@pytest.mark.parametrize("date", ["20270503", "2027-W18-1", "03/05/2027", "2027-02-30", "²027-05-03"])
def test_that_a_date_is_taken_in_one_way_alone(date: str, tmp_path: Path, dimpsy: Dimpsy) -> None:
    said = dimpsy("new", tmp_path / "a.dimpsy", *NEW, "--from", date, "--to", "2027-07-02")
    assert said.status == 2
    assert date in said.err


@pytest.mark.parametrize(("date", "days"), [("9999-12-31", "3"), ("2027-06-01", "1000000000"), ("2100-12-31", "1")])
def test_that_light_beyond_the_years_of_the_sun_is_refused(date: str, days: str, dimpsy: Dimpsy) -> None:
    place = ("--lat", "51.5", "--lon", "0", "--zone", "UTC")
    said = dimpsy("light", *place, "--date", date, "--days", days)
    assert said.status == 2
    assert "the sun is computed up to 2100-12-30" in said.err
    assert dimpsy("light", *place, "--date", "2100-12-30").status == 0


def test_that_a_visit_numbered_by_no_figure_is_explained(tmp_path: Path, dimpsy: Dimpsy) -> None:
    said = dimpsy("new", tmp_path / "a.dimpsy", *NEW, *DATES, "--visit", "²=2027-05-10..2027-06-01")
    assert said.status == 2
    assert "write K=FIRST..LAST" in said.err


def test_that_an_argument_of_broken_letters_is_refused(tmp_path: Path, dimpsy: Dimpsy) -> None:
    said = dimpsy("new", tmp_path / "a.dimpsy", *NEW, *DATES, "--name", "\udcff", "--json")
    assert said.status == 2
    assert said.data["error"] == "input"
    assert not (tmp_path / "a.dimpsy").exists()


def test_that_a_renamed_season_finds_its_roads(heath: Path, tmp_path: Path, dimpsy: Dimpsy) -> None:
    before = dimpsy("check", heath, "--json").data["findings"]
    renamed = heath.rename(tmp_path / "renamed.dimpsy")
    assert dimpsy("check", renamed, "--json").data["findings"] == before


@pytest.mark.parametrize("command", [("plan", "--seconds", "1"), ("print", "--to", "out")])
def test_that_without_its_roads_a_season_is_neither_planned_nor_printed(
    command: tuple[str, ...], heath: Path, tmp_path: Path, dimpsy: Dimpsy, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (roads,) = tmp_path.glob("*.npz")
    roads.write_bytes(b"no road map")
    with SeasonFile.open(heath) as file:
        before = file.plan()
    said = dimpsy(command[0], heath, *command[1:])
    assert said.status == 3
    assert roads.name in said.err
    assert "import roads.osm again" in said.err
    with SeasonFile.open(heath) as file:
        assert file.plan() == before
    assert not (tmp_path / "out").exists()


def test_that_roads_that_cannot_be_kept_leave_the_season_as_it_was(heath: Path, tmp_path: Path, dimpsy: Dimpsy) -> None:
    (roads,) = tmp_path.glob("*.npz")
    roads.unlink()
    roads.mkdir()
    said = dimpsy("import", heath, "--yes", Path(__file__).parents[2] / "demo_routes" / "heath" / "roads.osm")
    assert said.status == 2
    assert "the road map cannot be kept there" in said.err
    assert list(tmp_path.glob("*.part")) == []


def test_that_a_plan_without_any_visit_does_not_claim_to_stand(tmp_path: Path, dimpsy: Dimpsy) -> None:
    path = _season(tmp_path, dimpsy, [("V1", "Ann Lee")])
    _table(tmp_path / "a.csv", "volunteer from to parts", [("V1", *FREE[:2], "none")])
    assert dimpsy("import", path, "--yes", tmp_path / "a.csv").status == 0
    said = dimpsy("plan", path, "--today", "2027-01-01")
    assert said.status == 1
    assert "Nothing could be planned" in said.out
    assert "Next:" not in said.out


def test_that_each_step_names_the_next_one(tmp_path: Path, dimpsy: Dimpsy) -> None:
    path = tmp_path / "small.dimpsy"
    assert dimpsy("new", path, *NEW, *DATES).status == 0
    assert "Next:" not in dimpsy("check", path).out
    path.unlink()
    path = _season(tmp_path, dimpsy, [("V1", "Ann Lee"), ("V2", "Ben Moss")])
    assert "Next:  dimpsy check " in dimpsy("import", path, "--yes", tmp_path / "v.csv").out
    assert "Next:  dimpsy plan " in dimpsy("check", path).out
    assert "Next:  dimpsy print " in dimpsy("plan", path, "--today", "2027-01-01").out
    assert "Next:  dimpsy print " in dimpsy("check", path).out


def test_that_nothing_to_print_leaves_no_folder_behind(tmp_path: Path, dimpsy: Dimpsy) -> None:
    path = _season(tmp_path, dimpsy, [("V1", "Ann Lee")])
    assert dimpsy("print", path, "--to", tmp_path / "papers").status == 3
    assert not (tmp_path / "papers").exists()


def test_that_the_history_names_few_files_and_counts_the_others(tmp_path: Path, dimpsy: Dimpsy) -> None:
    path = tmp_path / "a.dimpsy"
    assert dimpsy("new", path, *NEW, *DATES).status == 0
    folder = tmp_path / "many"
    folder.mkdir()
    for route in range(6):
        rows = [(f"R{route}", number, 54.70 + number / 100, 2.2 + route / 50) for number in range(1, 9)]
        _table(folder / f"{route}.csv", "route point latitude longitude", rows)
    assert dimpsy("import", path, "--yes", folder).status == 0
    assert dimpsy("history", path, "--json").data["steps"][0]["label"] == (
        "Import 0.csv, 1.csv, 2.csv, 3.csv and 2 more"
    )


def test_that_the_help_tells_every_column_and_every_protocol(
    dimpsy: Dimpsy, capsys: pytest.CaptureFixture[str]
) -> None:
    for layout in LAYOUTS.values():
        for column in layout.required:
            assert f" {column}" in EPILOG
        for column in layout.optional:
            assert f"[{column}]" in EPILOG
    with pytest.raises(SystemExit) as left:
        dimpsy("new", "--help")
    assert left.value.code == 0
    shown = capsys.readouterr().out
    assert all(name in shown for name in protocol_names())


def test_that_a_full_disk_under_the_answer_gives_words(heath: Path) -> None:
    if not Path("/dev/full").exists():
        pytest.skip("this system has no /dev/full")
    with Path("/dev/full").open("w", encoding="utf-8") as full:
        done = _process("history", heath, stdout=full)
    assert done.returncode == 2
    assert done.stderr == f"dimpsy: the answer could not be written out ({os.strerror(errno.ENOSPC)}).\n"


def test_that_a_reader_who_leaves_early_is_no_error() -> None:
    place = ("--lat", "54", "--lon", "2", "--zone", "Europe/London", "--date", "2027-01-01", "--days", "120")
    reading, writing = os.pipe()
    os.close(reading)
    with os.fdopen(writing, "w") as pipe:
        done = _process("light", *place, stdout=pipe)
    assert done.returncode == 0
    assert done.stderr == ""


def test_that_a_terminal_without_the_letter_shows_its_number(monkeypatch: pytest.MonkeyPatch) -> None:
    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding="ascii"))
    tolerant_output()
    sys.stdout.write("a – b")
    sys.stdout.flush()
    assert raw.getvalue() == b"a \\u2013 b"


@pytest.mark.parametrize("command", [("check",), ("plan",), ("history", "--json")])
def test_that_a_name_no_file_system_takes_is_told_in_words(
    command: tuple[str, ...], tmp_path: Path, dimpsy: Dimpsy
) -> None:
    said = dimpsy(command[0], tmp_path / ("n" * 300), *command[1:])
    assert said.status == 2
    assert "cannot be read or written" in said.err


def test_that_a_table_without_a_column_leaves_what_the_season_knows(tmp_path: Path, dimpsy: Dimpsy) -> None:
    path = _season(tmp_path, dimpsy, [("V1", "Ann Lee")], routes=1)
    with SeasonFile.open(path) as file:
        known = file.season().volunteer("V1")
    _table(tmp_path / "moved.csv", "code name latitude longitude", [("V1", "Ann Lee", "54.71", "2.21")])
    assert dimpsy("import", path, "--yes", tmp_path / "moved.csv").status == 0
    with SeasonFile.open(path) as file:
        moved = file.season().volunteer("V1")
    assert moved == replace(known, home=Place(54.71, 2.21))


def test_that_papers_of_those_who_no_longer_go_are_named(tmp_path: Path, dimpsy: Dimpsy) -> None:
    path = _season(tmp_path, dimpsy, [("V1", "Ann Lee"), ("V2", "Bea Moss")], routes=1)
    assert dimpsy("plan", path, "--today", "2027-01-01").status == 0
    with SeasonFile.open(path) as file:
        idle = {"V1": "V1 Ann Lee.pdf", "V2": "V2 Bea Moss.pdf"}
        for visit in file.plan():
            for code in visit.people:
                idle.pop(code, None)
    (tmp_path / "out").mkdir()
    for code in ("V1 Ann Lee.pdf", "V2 Bea Moss.pdf"):
        (tmp_path / "out" / code).write_bytes(b"old")
    said = dimpsy("print", path, "--to", tmp_path / "out", "--json")
    assert {Path(paper).name for paper in said.data["old_papers"]} == set(idle.values())
