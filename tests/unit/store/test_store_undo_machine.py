"""Undo and redo against a plain list of states."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from planner.domain.plan import Plan
from planner.domain.season import Season
from planner.store import SeasonFile
from tests.unit.store.season_strategies import SMALL_SEASON, small_route, small_visit, small_volunteer

FULL = replace(SMALL_SEASON, volunteers=(small_volunteer("V1"), small_volunteer("V2")))
ROUTES = [small_route(code, points) for code, points in (("R1", 1), ("R1", 3), ("R2", 2), ("R3", 0))]


class UndoMachine(RuleBasedStateMachine):
    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name) / "any.dimpsy"
        self.file = SeasonFile.create(self.path, FULL)
        self.states: list[tuple[Season, Plan]] = [(FULL, Plan())]
        self.at = 0

    def teardown(self) -> None:
        self.file.close()
        self.folder.cleanup()

    @rule(
        routes=st.lists(st.sampled_from(ROUTES), max_size=3, unique_by=lambda route: route.code).map(tuple),
        lead=st.sampled_from(["V1", "V2"]),
        planned=st.integers(0, 3),
        name=st.sampled_from(["Owls", "Moths"]),
    )
    def do(self, routes: tuple[object, ...], lead: str, planned: int, name: str) -> None:
        season = replace(FULL, routes=routes, name=name)  # type: ignore[arg-type]  # hypothesis maps to a plain tuple
        plan = Plan(tuple(small_visit(route.code, lead) for route in season.routes[:planned]))
        with self.file.step("Do"):
            self.file.save_season(season)
            self.file.save_plan(plan)
        if (season, plan) != self.states[self.at]:
            self.states[self.at + 1 :] = [(season, plan)]
            self.at += 1

    @precondition(lambda self: self.at > 0)
    @rule()
    def undo(self) -> None:
        self.file.undo()
        self.at -= 1

    @precondition(lambda self: self.at + 1 < len(self.states))
    @rule()
    def redo(self) -> None:
        self.file.redo()
        self.at += 1

    @rule()
    def restart(self) -> None:
        self.file.close()
        self.file = SeasonFile.open(self.path)
        assert self.file.read_only_reason == ""

    @invariant()
    def shows_the_state(self) -> None:
        assert (self.file.season(), self.file.plan()) == self.states[self.at]
        assert [step.undone for step in self.file.history()] == [k >= self.at for k in range(len(self.states) - 1)]


TestUndoMachine = UndoMachine.TestCase
TestUndoMachine.settings = settings(max_examples=12, stateful_step_count=12, deadline=None)
