"""Opens the program's window on a season and waits until all is computed."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TypeVar

from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from planner.desktop.room import RoomName
from planner.desktop.settings import Settings
from planner.desktop.window.main_window import MainWindow
from planner.desktop.window.season_pane import SeasonPane

DEMO_NOW = dt.datetime(2027, 5, 20, 12, tzinfo=dt.UTC)


_W = TypeVar("_W", bound=QWidget)


def part(root: QWidget, kind: type[_W], name: str = "") -> _W:
    """Return the one widget of a kind (and object name) below another."""
    found = root.findChild(kind, name) if name else root.findChild(kind)
    assert isinstance(found, kind), f"no {kind.__name__} {name!r} in {root}"
    return found


def open_window(qtbot: QtBot, folder: Path, now: dt.datetime = DEMO_NOW, palette: str = "light") -> MainWindow:
    """Show the window, its settings in a file of the folder, without a season."""
    settings = Settings(folder / "settings.ini")
    settings.keep("palette", palette)
    window = MainWindow(settings, now=lambda: now)
    # Closed by the test bot before it is destroyed: the threads end there.
    qtbot.addWidget(window)
    with qtbot.waitExposed(window):
        window.show()
    return window


def pane_of(window: MainWindow) -> SeasonPane:
    """Return the season that is open in a window."""
    assert window.pane is not None, window.message
    return window.pane


def settle(qtbot: QtBot, window: MainWindow, timeout_ms: int = 60_000) -> SeasonPane:
    """Wait until a season is open, all that follows from it is computed, and nothing is being done."""
    qtbot.waitUntil(lambda: window.pane is not None or bool(window.message), timeout=timeout_ms)
    session = pane_of(window).desk.session
    qtbot.waitUntil(lambda: session.checked is not None and not session.working, timeout=timeout_ms)
    return pane_of(window)


def open_season(qtbot: QtBot, window: MainWindow, path: Path, room: RoomName = RoomName.SEASON) -> SeasonPane:
    """Open a season and show a room of it."""
    window.open_season(path)
    pane = settle(qtbot, window)
    pane.show_room(room)
    return settle(qtbot, window)
