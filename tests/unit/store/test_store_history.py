from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import apsw
import pytest

from planner.domain.errors import ImpossibleError, RuleError, SeasonFileError
from planner.domain.plan import Plan
from planner.store import Changed, PrintRun, SeasonFile
from planner.store.tables import RECORDED_TABLES
from tests.unit.store.season_strategies import SMALL_SEASON, small_route, small_visit, small_volunteer


def dump(file: SeasonFile) -> dict[str, object]:
    """Every row of the season and the plan."""
    return {
        table.name: file._connection.execute(f"SELECT * FROM {table.name} ORDER BY 1, 2").fetchall()
        for table in RECORDED_TABLES
    }


def rename(file: SeasonFile, name: str) -> None:
    with file.step(f"Call it {name}"):
        file.save_season(replace(file.season(), name=name))


def test_that_a_step_says_which_tables_it_changed_and_which_state_it_made(season_file: SeasonFile) -> None:
    assert season_file.revision == 0
    with season_file.step("Import a route") as step:
        season_file.save_season(replace(SMALL_SEASON, routes=(small_route("R1"),)))
    assert step.changed == Changed(frozenset({"route", "point"}), "Import a route", 1)
    assert step.changed
    assert season_file.revision == 1


def test_that_a_step_keeps_its_label_and_moment(season_file: SeasonFile) -> None:
    before = dt.datetime.now(dt.UTC)
    rename(season_file, "Owls")
    (step,) = season_file.history()
    assert (step.number, step.label, step.undone) == (1, "Call it Owls", False)
    assert step.tables == {"season"}
    assert before <= step.when_utc <= dt.datetime.now(dt.UTC)
    assert step.when_utc.utcoffset() == dt.timedelta(0)


def test_that_a_step_without_effect_is_not_recorded(staffed_file: SeasonFile) -> None:
    with staffed_file.step("Save it again") as step:
        staffed_file.save_season(staffed_file.season())
    assert not step.changed
    assert step.changed.revision == 1
    with staffed_file.step("Change it and change it back"):
        season = staffed_file.season()
        staffed_file.save_season(replace(season, name="Passing"))
        staffed_file.save_season(season)
    assert [step.number for step in staffed_file.history()] == [1]


def test_when_something_fails_inside_a_step_everything_in_it_is_rolled_back(staffed_file: SeasonFile) -> None:
    before = dump(staffed_file)

    def fail() -> None:
        with staffed_file.step("Half of it"):
            staffed_file.save_season(replace(staffed_file.season(), name="Never", routes=()))
            raise KeyError("halfway")

    with pytest.raises(KeyError, match="halfway"):
        fail()
    assert dump(staffed_file) == before
    assert len(staffed_file.history()) == 1
    rename(staffed_file, "Goes on")
    assert staffed_file.season().name == "Goes on"


def test_that_the_changes_of_a_step_are_not_told_before_it_is_over(season_file: SeasonFile) -> None:
    with season_file.step("Going on") as step, pytest.raises(RuntimeError, match="did not end"):
        _ = step.changed


def test_that_writing_outside_a_step_is_refused(season_file: SeasonFile) -> None:
    with pytest.raises(RuntimeError, match="inside a step"):
        season_file.save_season(SMALL_SEASON)
    with pytest.raises(RuntimeError, match="inside a step"):
        season_file.save_plan(Plan())
    with pytest.raises(RuntimeError, match="inside a step"):
        season_file.record_print("V1", "abc", dt.datetime.now(dt.UTC))


def test_that_steps_do_not_nest(season_file: SeasonFile) -> None:
    with season_file.step("Outer"):
        with pytest.raises(RuntimeError, match="do not nest"), season_file.step("Inner"):
            pass
        with pytest.raises(RuntimeError, match="do not nest"):
            season_file.undo()
        season_file.save_season(replace(SMALL_SEASON, name="Outer stands"))
    assert season_file.season().name == "Outer stands"


def test_that_a_step_needs_a_label(season_file: SeasonFile) -> None:
    with pytest.raises(ValueError, match="label"), season_file.step("  "):
        pass


def test_that_undo_goes_back_to_the_first_day_and_redo_to_the_last(season_file: SeasonFile) -> None:
    states = [dump(season_file)]
    seasons = [
        replace(SMALL_SEASON, routes=(small_route("R1"), small_route("R2")), volunteers=(small_volunteer("V1"),)),
        replace(SMALL_SEASON, routes=(small_route("R2", 4), small_route("R1")), volunteers=(small_volunteer("V1"),)),
    ]
    for season in seasons:
        with season_file.step("Another season"):
            season_file.save_season(season)
        states.append(dump(season_file))
    with season_file.step("A plan"):
        season_file.save_plan(Plan((small_visit("R1", "V1"), small_visit("R2", "V1", 2))))
    states.append(dump(season_file))
    with season_file.step("Throw it all away"):
        season_file.save_plan(Plan())
        season_file.save_season(SMALL_SEASON)
    states.append(dump(season_file))

    for revision in (3, 2, 1, 0):
        season_file.undo()
        assert season_file.revision == revision
        assert dump(season_file) == states[revision]
    assert season_file.season() == SMALL_SEASON
    for revision in (1, 2, 3, 4):
        season_file.redo()
        assert season_file.revision == revision
        assert dump(season_file) == states[revision]


def test_that_undo_and_redo_survive_a_restart(staffed_file: SeasonFile, season_path: Path) -> None:
    staffed_file.close()
    with SeasonFile.open(season_path) as file:
        assert file.undo().label == "Import routes and volunteers"
        assert file.season() == SMALL_SEASON
    with SeasonFile.open(season_path) as file:
        assert file.history()[0].undone
        assert not file.redo().undone
        assert len(file.season().routes) == 2


def test_that_a_new_step_after_undo_drops_what_could_be_redone_and_takes_a_fresh_number(
    season_file: SeasonFile,
) -> None:
    for name in ("One", "Two", "Three"):
        rename(season_file, name)
    season_file.undo()
    assert season_file.undo().label == "Call it Two"
    rename(season_file, "Else")
    assert [(step.number, step.label) for step in season_file.history()] == [(1, "Call it One"), (4, "Call it Else")]
    with pytest.raises(ImpossibleError, match="nothing to redo"):
        season_file.redo()


def test_that_undo_at_the_first_day_says_there_is_nothing(season_file: SeasonFile) -> None:
    with pytest.raises(ImpossibleError, match="nothing to undo"):
        season_file.undo()


def test_when_another_program_changed_a_row_undo_is_refused_and_changes_nothing(staffed_file: SeasonFile) -> None:
    staffed_file._connection.execute("UPDATE volunteer SET name = 'Meddled' WHERE code = 'V1'")
    before = dump(staffed_file)
    with pytest.raises(SeasonFileError, match="do not fit its history"):
        staffed_file.undo()
    assert dump(staffed_file) == before
    assert staffed_file.revision == 1


def test_that_a_plan_may_name_only_what_the_season_has(staffed_file: SeasonFile) -> None:
    strange = Plan((replace(small_visit("R1", "V8"), second="V9"), small_visit("R9", "V1", 3)))
    with pytest.raises(RuleError) as told, staffed_file.step("Plan strangers"):
        staffed_file.save_plan(strange)
    for words in ("led by V8", "seconded by V9", "R9 visit 3 is on a route", "R9 visit 3 is a visit that the protocol"):
        assert words in str(told.value)
    assert staffed_file.plan() == Plan()


def test_that_a_volunteer_in_the_plan_leaves_only_together_with_the_visits(staffed_file: SeasonFile) -> None:
    with staffed_file.step("Plan"):
        staffed_file.save_plan(Plan((small_visit("R1", "V1"),)))
    without = replace(staffed_file.season(), volunteers=())
    with pytest.raises(RuleError, match="V1"), staffed_file.step("Drop all volunteers"):
        staffed_file.save_season(without)
    with staffed_file.step("Drop all volunteers and their visits"):
        staffed_file.save_season(without)
        staffed_file.save_plan(Plan())
    assert staffed_file.season() == without


def test_that_prints_are_kept_with_the_state_they_show_and_are_not_undone(staffed_file: SeasonFile) -> None:
    when = dt.datetime(2027, 4, 2, 18, 0, tzinfo=dt.timezone(dt.timedelta(hours=1)))
    with staffed_file.step("Print") as step:
        staffed_file.record_print("V1", "abc", when)
        staffed_file.record_print("V2", "def", when)
    assert not step.changed
    rename(staffed_file, "Changed since")
    staffed_file.undo()
    staffed_file.undo()
    expected = dt.datetime(2027, 4, 2, 17, 0, tzinfo=dt.UTC)
    assert staffed_file.print_runs() == (PrintRun("V1", 1, expected, "abc"), PrintRun("V2", 1, expected, "def"))
    assert staffed_file.print_runs()[0].when_utc.utcoffset() == dt.timedelta(0)


def test_that_printing_leaves_what_can_be_redone(staffed_file: SeasonFile) -> None:
    staffed_file.undo()
    with staffed_file.step("Print"):
        staffed_file.record_print("V1", "abc", dt.datetime.now(dt.UTC))
    assert staffed_file.redo().number == 1


def test_that_a_print_without_a_zone_is_refused(staffed_file: SeasonFile) -> None:
    with pytest.raises(ValueError, match="time zone"), staffed_file.step("Print"):
        staffed_file.record_print("V1", "abc", dt.datetime(2027, 4, 2, 18, 0))  # noqa: DTZ001  the fault under test
    assert staffed_file.print_runs() == ()


def test_that_the_steps_since_a_print_are_told_whichever_way_the_season_went(season_file: SeasonFile) -> None:
    for name in ("One", "Two", "Three"):
        rename(season_file, name)
    assert [step.number for step in season_file.steps_since(1)] == [2, 3]
    assert season_file.steps_since(3) == ()
    season_file.undo()
    assert season_file.steps_since(2) == ()
    taken_back = season_file.steps_since(3)
    assert [(step.number, step.undone) for step in taken_back] == [(3, True)]
    assert [step.number for step in season_file.steps_since(0)] == [1, 2]


def test_when_a_value_cannot_be_kept_the_step_is_refused_in_words(season_file: SeasonFile) -> None:
    endless = replace(small_volunteer("V1"), drive_limit_minutes=float("nan"))
    with pytest.raises(SeasonFileError, match=r"cannot be kept .*drive_limit_minutes"), season_file.step("Import"):
        season_file.save_season(replace(SMALL_SEASON, volunteers=(endless,)))
    assert season_file.season() == SMALL_SEASON


def test_that_a_closed_file_is_the_programs_fault_not_a_damaged_file(season_file: SeasonFile) -> None:
    season_file.close()
    season_file.close()
    with pytest.raises(apsw.ConnectionClosedError):
        season_file.season()
