"""The People room on the planned demo season, as a person finds it."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.people.room import PeopleRoom
from planner.domain.finding import Subject

Settle = Callable[[], None]


@pytest.fixture
def settle(desk: Desk, qtbot: QtBot) -> Settle:
    """Return what waits until nothing is being read, written or computed any more."""

    def wait() -> None:
        qtbot.waitUntil(lambda: not desk.session.working, timeout=10_000)

    return wait


@pytest.fixture
def room(desk: Desk, qtbot: QtBot, settle: Settle) -> PeopleRoom:
    """Return the room, shown as large as it is on a small screen, V29 chosen."""
    room = PeopleRoom(desk)
    qtbot.addWidget(room)
    room.resize(1120, 730)
    with qtbot.waitExposed(room):
        room.show()
    qtbot.waitUntil(lambda: bool(room.facts.rows) and room.facts.rows[0].usable is not None, timeout=10_000)
    room.show_subject(Subject(volunteer="V29"))
    settle()
    return room
