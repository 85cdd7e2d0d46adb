"""Earlier states of a season file: each as it was, whatever was done, undone and redone since."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import apsw
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.errors import SeasonFileError
from planner.domain.plan import Plan
from planner.domain.season import Season
from planner.store import SeasonFile
from tests.unit.store.season_strategies import SMALL_SEASON, small_route, small_visit, small_volunteer

STEPS = st.lists(st.sampled_from(["do", "undo", "redo"]), min_size=1, max_size=14)


def _do(file: SeasonFile, turn: int) -> None:
    """Give the season another name, another number of routes and another plan."""
    season = replace(
        SMALL_SEASON,
        name=f"Season {turn}",
        volunteers=(small_volunteer("V1"),),
        routes=tuple(small_route(f"R{number}") for number in range(1, turn % 3 + 2)),
    )
    with file.step(f"Turn {turn}"):
        file.save_season(season)
        file.save_plan(Plan(tuple(small_visit(route.code, "V1") for route in season.routes[: turn % 2 + 1])))


@given(turns=STEPS)
def test_that_every_state_that_can_be_reached_is_read_as_it_was(
    tmp_path_factory: pytest.TempPathFactory, turns: list[str]
) -> None:
    path = tmp_path_factory.mktemp("states") / "moths.dimpsy"
    with SeasonFile.create(path, SMALL_SEASON) as file:
        known: dict[int, tuple[Season, Plan]] = {0: (SMALL_SEASON, Plan())}
        for number, turn in enumerate(turns):
            undone = [step for step in file.history() if step.undone]
            if turn == "do":
                _do(file, number)
                known = {key: state for key, state in known.items() if key not in {step.number for step in undone}}
                known[file.revision] = (file.season(), file.plan())
            elif turn == "undo" and file.revision:
                file.undo()
            elif turn == "redo" and undone:
                file.redo()
        now = (file.revision, file.season(), file.plan(), file.history())
        assert {key: file.as_it_stood(key) for key in known} == known
        assert (file.revision, file.season(), file.plan(), file.history()) == now


def test_that_a_state_is_gone_once_something_else_was_done_in_its_place(season_file: SeasonFile) -> None:
    _do(season_file, 1)
    _do(season_file, 2)
    gone = season_file.revision
    season_file.undo()
    assert season_file.as_it_stood(gone) is not None
    _do(season_file, 3)
    assert season_file.as_it_stood(gone) is None
    assert season_file.as_it_stood(9999) is None


def test_when_another_program_wrote_between_the_steps_it_is_said(season_file: SeasonFile) -> None:
    _do(season_file, 1)
    _do(season_file, 2)
    other = apsw.Connection(str(season_file.path))
    other.execute("UPDATE season SET name = 'Owls'")
    other.close()
    with pytest.raises(SeasonFileError, match="another program"):
        season_file.as_it_stood(1)


def test_that_a_print_can_name_the_state_it_shows(season_file: SeasonFile) -> None:
    _do(season_file, 1)
    _do(season_file, 2)
    when = dt.datetime(2027, 5, 1, 12, tzinfo=dt.UTC)
    with season_file.step("Print"):
        season_file.record_print("V1", "a", when, revision=1)
        season_file.record_print("V1", "b", when)
    assert [run.revision for run in season_file.print_runs()] == [1, 2]
