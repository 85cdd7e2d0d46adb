"""The Routes room on a desk with the demo season."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.routes.room import RoutesRoom

Settle = Callable[[], None]


@pytest.fixture
def settle(desk: Desk, qtbot: QtBot) -> Settle:
    """Return what waits until everything is read, written and worked out."""

    def is_settled() -> bool:
        rooms = [one for one in QApplication.topLevelWidgets() if isinstance(one, RoutesRoom)]
        return not desk.session.working and all(room.chosen.is_settled for room in rooms)

    return lambda: qtbot.waitUntil(is_settled, timeout=15_000)


@pytest.fixture
def room(desk: Desk, qtbot: QtBot, settle: Settle) -> RoutesRoom:
    """Return the room, shown at the size it has in a window of 1280 by 800."""
    made = RoutesRoom(desk)
    qtbot.addWidget(made)
    made.resize(1130, 720)
    made.show()
    made.activateWindow()
    qtbot.waitUntil(made.isActiveWindow, timeout=5_000)
    settle()
    return made
