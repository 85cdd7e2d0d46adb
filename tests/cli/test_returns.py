"""``dimpsy returns``, ``copy`` and the scopes of ``plan``: putting right what came back, and trying on a copy."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

import pytest

from planner.cli.main import run
from planner.domain.field.habitat_sheet import SheetState
from planner.domain.field.visit_record import RecordState
from planner.domain.plan import Plan
from planner.store import SeasonFile
from tests.cli.conftest import Dimpsy
from tests.unit.exchange.field_samples import FIRST_ROW, PLAN, SEASON, WHOLE, Typist

TODAY = ("--today", "2026-07-01")


@pytest.fixture(scope="module")
def returned_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A season file to which sheets and a record of R01 visit 1 have come back: one sheet is no whole; only read it."""
    folder = tmp_path_factory.mktemp("returned_once")
    path = folder / "season.dimpsy"
    with SeasonFile.create(path, SEASON) as file, file.step("Plan by hand"):
        file.save_plan(PLAN)
    assert run(["sheets", str(path), "--to", str(folder), "--volunteer", "V01"]) == 0
    typist = Typist(folder / "V01 Ada Example sheets.xlsx")
    typist.type(FIRST_ROW, WHOLE)
    typist.type(FIRST_ROW + 1, {**WHOLE, "class TH": "70"})
    typist.type(FIRST_ROW + 2, WHOLE)
    typist.turn_to("Counts")
    typist.type(FIRST_ROW, {"began": dt.time(21, 50), "ended": "21.56", "done": "yes"})
    assert run(["record", str(path), str(typist.save()), *TODAY]) == 1
    return path


@pytest.fixture
def season(returned_once: Path, tmp_path: Path) -> Path:
    """A copy of it that a test may change."""
    return Path(shutil.copy(returned_once, tmp_path / "season.dimpsy"))


def states(path: Path) -> dict[int, SheetState]:
    with SeasonFile.open(path) as file:
        return {sheet.key.point: sheet.state for sheet in file.sheets()}


def test_that_what_came_back_is_told_with_what_keeps_drafts_from_being_final(season: Path, dimpsy: Dimpsy) -> None:
    said = dimpsy("returns", season, *TODAY)
    assert said.status == 1
    draft = next(line for line in said.out.splitlines() if line.startswith("Draft: R01 visit 1 point 2"))
    assert draft.endswith("adds up to 110: 10 too many")
    assert "R01" in said.out
    assert "visit 1: 2 of 4 sheets handed in, 1 drafts" in said.out
    other = dimpsy("returns", season, "R02", *TODAY, "--json").data
    assert {one["key"]["route"] for one in other["evenings"]} == {"R02"}
    assert other["drafts"] == []


def test_that_sheets_are_opened_again_handed_in_swapped_and_taken_away(season: Path, dimpsy: Dimpsy) -> None:
    final, draft = SheetState.FINAL, SheetState.DRAFT
    assert states(season) == {1: final, 2: draft, 3: final}
    nothing = dimpsy("returns", season, "--hand-in", "R01/1/1", *TODAY)  # it is final already
    assert (nothing.status, nothing.out) == (2, "")
    refused = dimpsy("returns", season, "--hand-in", "R01/1", *TODAY)
    assert refused.status == 3
    assert "R01 visit 1 point 2" in refused.err
    opened = dimpsy("returns", season, "--reopen", "R01/1/3", *TODAY)
    assert opened.out.startswith("Done: Reopen habitat sheet of R01 visit 1 point 3 by V01.")
    assert "nothing keeps it from being handed in" in opened.out
    assert states(season)[3] is draft
    assert dimpsy("returns", season, "--hand-in", "R01/1/3", *TODAY).out.startswith("Done: Hand in")
    with SeasonFile.open(season) as file:
        before = {sheet.key.point: sheet.covers for sheet in file.sheets()}
    assert dimpsy("returns", season, "--swap", "R01/1/1", "R01/1/2", *TODAY).out.startswith("Done: Swap")
    with SeasonFile.open(season) as file:
        after = {sheet.key.point: sheet.covers for sheet in file.sheets()}
    assert (after[1], after[2]) == (before[2], before[1])
    assert dimpsy("returns", season, "--take-away", "R01/1/2/V01", *TODAY).status == 1
    assert set(states(season)) == {1, 3}
    assert dimpsy("undo", season).status == 0
    assert set(states(season)) == {1, 2, 3}


def test_that_a_record_is_opened_again_moved_to_another_evening_and_taken_away(season: Path, dimpsy: Dimpsy) -> None:
    def records() -> list[tuple[dt.date, RecordState]]:
        with SeasonFile.open(season) as file:
            return [(record.key.date, record.state) for record in file.records()]

    ((date, _),) = records()
    assert dimpsy("returns", season, "R01", 1, "--record", "reopen", *TODAY).status == 1
    assert records() == [(date, RecordState.DRAFT)]
    assert "the record is a draft" in dimpsy("returns", season, "R01", *TODAY).out
    moved = date + dt.timedelta(days=1)
    assert dimpsy("returns", season, "r01", 1, "--record-is-of", moved, *TODAY).status == 1
    assert records() == [(moved, RecordState.DRAFT)]
    wrong = dimpsy("returns", season, "R01", 1, "--record", "take-away", "--date", date, *TODAY)
    assert wrong.status == 2
    assert f"no record of R01 visit 1 on {date}" in wrong.err
    gone = dimpsy("returns", season, "R01", 1, "--record", "take-away", "--date", moved, *TODAY)
    assert "dimpsy undo" in gone.out
    assert records() == []


def test_that_a_class_that_cannot_be_there_is_said_and_taken_back(season: Path, dimpsy: Dimpsy) -> None:
    said = dimpsy("returns", season, "R01", "--cannot-be", "TH", "--point", 2, *TODAY)
    assert said.out.startswith("Done: Habitat that cannot be there: ")
    with SeasonFile.open(season) as file:
        assert [(one.route, one.class_code, one.point) for one in file.season().absent_classes] == [("R01", "TH", 2)]
    again = dimpsy("returns", season, "R01", "--cannot-be", "TH", "--point", 2, *TODAY)
    assert again.out.startswith("It is so already.")
    assert dimpsy("returns", season, "R01", "--may-be", "TH", "--point", 2, *TODAY).status == 1
    with SeasonFile.open(season) as file:
        assert file.season().absent_classes == ()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--hand-in", "R09/1"), "no habitat sheet of 'R09/1'"),
        (("--swap", "R01/1/1", "R01/1/1"), "stays where it is"),
        (("--record", "reopen"), "needs ROUTE and VISIT"),
        (("R01", "1"), "VISIT goes with --record"),
        (("R02", "1", "--record", "reopen"), "no record of R02 visit 1"),
        (("--cannot-be", "TH"), "needs ROUTE"),
        (("R01", "--cannot-be", "XX"), "no habitat class 'XX'"),
        (("--date", "2026-06-01"), "--date goes with"),
        (("R01", "--point", "1"), "--point goes with"),
        (("R99",), "no route 'R99'"),
    ],
)
def test_that_a_wrong_use_is_refused(arguments: tuple[str, ...], words: str, season: Path, dimpsy: Dimpsy) -> None:
    before = season.stat().st_mtime_ns, states(season)
    said = dimpsy("returns", season, *arguments, *TODAY)
    assert (said.status, said.out) == (2, "")
    assert words in said.err
    assert states(season) == before[1]


def test_that_one_of_two_records_of_a_visit_is_named_by_its_date(season: Path, dimpsy: Dimpsy) -> None:
    with SeasonFile.open(season) as file:
        (record,) = file.records()
    later = record.key.date + dt.timedelta(days=2)
    assert dimpsy("returns", season, "R01", 1, "--record", "reopen", *TODAY).status == 1
    assert dimpsy("returns", season, "R01", 1, "--record-is-of", later, *TODAY).status == 1
    typed = season.parent / "counts.csv"
    typed.write_text(f"route,visit,point,date,began,ended,done\nR01,1,1,{record.key.date},21:50,21:56,yes\n", "utf-8")
    dimpsy("record", season, typed, *TODAY)
    said = dimpsy("returns", season, "R01", 1, "--record", "reopen", *TODAY)
    assert said.status == 2
    assert f"{record.key.date}, {later}" in said.err


def test_that_a_copy_is_whole_and_nothing_is_written_over(season: Path, dimpsy: Dimpsy) -> None:
    target = season.with_name("what-if.dimpsy")
    said = dimpsy("copy", season, target)
    assert said.status == 0
    with SeasonFile.open(season) as one, SeasonFile.open(target) as other:
        assert (one.season(), one.plan(), one.sheets()) == (other.season(), other.plan(), other.sheets())
        assert one.history() == other.history()
    refused = dimpsy("copy", season, target)
    assert refused.status == 2
    assert "a name that is free" in refused.err


@pytest.mark.xdist_group("heath")
def test_that_only_what_is_missing_or_some_routes_are_planned(few_routes: Path, dimpsy: Dimpsy) -> None:
    def plan() -> Plan:
        with SeasonFile.open(few_routes) as file:
            return file.plan()

    before = plan()
    today = ("--today", "2027-05-01")
    assert dimpsy("settle", few_routes, "R04", 1, "R09", 2, "--take-out", *today).status == 0
    bare = plan()
    some = dimpsy("plan", few_routes, "--routes", "R09", *today, "--json")
    assert some.data["saved"]
    assert [one for one in plan() if one.key.route != "R09"] == [one for one in bare if one.key.route != "R09"]
    assert len(plan().of_route("R09")) == len(before.of_route("R09"))
    after = plan()
    dimpsy("plan", few_routes, "--missing", *today)
    assert set(after) < set(plan())
    assert len(plan()) == len(before)
    assert "not allowed with" in dimpsy("plan", few_routes, "--missing", "--routes", "R09").err
    assert "no route 'R99'" in dimpsy("plan", few_routes, "--routes", "R99").err
