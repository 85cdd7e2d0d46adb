"""A Season room on the demo season, with everything about it computed."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.room import RoomName
from planner.desktop.season.room import SeasonRoom
from planner.domain.finding import Subject
from planner.store import SeasonFile

Went = list[tuple[RoomName, Subject]]


@pytest.fixture
def room(desk: Desk, qtbot: QtBot) -> SeasonRoom:
    """Return the room, shown and settled."""
    return shown(desk, qtbot)


@pytest.fixture
def went(room: SeasonRoom) -> Went:
    """Return the list that fills with where the room leads."""
    found: Went = []
    room.desk.went.connect(lambda name, subject: found.append((name, subject)))
    return found


def shown(desk: Desk, qtbot: QtBot) -> SeasonRoom:
    """Return a room on that desk, shown and settled."""
    made = SeasonRoom(desk)
    qtbot.addWidget(made)
    made.resize(1100, 690)
    made.show()
    settle(qtbot, made)
    return made


def settle(qtbot: QtBot, room: SeasonRoom) -> None:
    """Wait until all that follows a change is computed."""
    qtbot.waitUntil(lambda: room.watch.fresh and not room.desk.session.working, timeout=30_000)


def do(qtbot: QtBot, room: SeasonRoom, operation: Callable[[SeasonFile], object]) -> None:
    """Do one step in the file and wait for all that follows."""
    with qtbot.waitSignal(room.desk.session.snapshot_changed, timeout=10_000):
        room.desk.session.do(operation)
    settle(qtbot, room)
