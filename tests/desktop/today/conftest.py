"""The Today room on the demo's busiest evening, in the afternoon."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.today.room import TodayRoom

STORM = dt.date(2027, 6, 4)
"""The demo's evening with most visits."""
AFTERNOON = dt.datetime(2027, 6, 4, 15, 30, tzinfo=dt.UTC)


@pytest.fixture
def at(desk: Desk) -> Callable[[dt.datetime], None]:
    """Return what sets the desk's clock."""

    def set_clock(moment: dt.datetime) -> None:
        desk.now = lambda: moment

    return set_clock


@pytest.fixture
def today(desk: Desk, at: Callable[[dt.datetime], None], qtbot: QtBot) -> TodayRoom:
    """Return the room, shown, with the outings of that evening."""
    at(AFTERNOON)
    room = TodayRoom(desk)
    qtbot.addWidget(room)
    room.resize(1130, 740)
    room.show()
    qtbot.waitUntil(lambda: len(room.watch.shown) > 0, timeout=10_000)
    qtbot.waitUntil(lambda: not desk.session.working, timeout=10_000)
    return room


@pytest.fixture
def settled(desk: Desk, qtbot: QtBot) -> Callable[[], None]:
    """Return what waits until nothing is read, written or computed any more."""
    return lambda: qtbot.waitUntil(lambda: not desk.session.working, timeout=20_000)
