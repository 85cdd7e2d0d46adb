"""A Paper room on the demo season, with the papers looked through."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.paper.room import PaperRoom
from planner.domain.plan import Plan
from planner.store import SeasonFile

Change = Callable[[Plan], Plan]


@pytest.fixture
def room(desk: Desk, qtbot: QtBot) -> PaperRoom:
    """Return the room, shown, once it knows whose paper is stale."""
    made = PaperRoom(desk)
    qtbot.addWidget(made)
    made.resize(1100, 690)
    made.show()
    settle(qtbot, made)
    return made


def settle(qtbot: QtBot, room: PaperRoom) -> None:
    """Wait until the papers are those of the season as it stands, and nothing is being computed."""
    qtbot.waitUntil(lambda: room.watch.fresh and not room.desk.session.working, timeout=30_000)


def change_plan(qtbot: QtBot, room: PaperRoom, change: Change) -> None:
    """Change the plan as one step of the file, and wait for the papers."""

    def operation(file: SeasonFile) -> None:
        with file.step("Change the plan"):
            file.save_plan(change(file.plan()))

    with qtbot.waitSignal(room.desk.session.snapshot_changed, timeout=10_000):
        room.desk.session.do(operation)
    settle(qtbot, room)


def without_reserve(plan: Plan) -> Plan:
    """Return the plan with one reserve date given up."""
    return plan.with_visit(replace(plan.visits[0], reserve=None))


def without_a_lead(plan: Plan) -> Plan:
    """Return the plan without the visits of one volunteer."""
    lead = plan.visits[4].lead
    return Plan(tuple(visit for visit in plan if lead not in visit.people))


def with_a_broken_rule(plan: Plan) -> Plan:
    """Return the plan with a reserve date on the date itself, in a visit that is still to come."""
    visit = max(plan, key=lambda one: one.date)
    return plan.with_visit(replace(visit, reserve=visit.date))
