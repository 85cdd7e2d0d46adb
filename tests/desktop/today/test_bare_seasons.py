"""The room where there is little to show: an empty season, and a file that may only be read."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.today.panels import PanelName
from planner.desktop.today.room import TodayRoom
from planner.domain.calendar import DateRange
from planner.domain.finding import Subject
from planner.domain.season import Season
from planner.exchange import shipped_protocol
from planner.store import SeasonFile
from tests.desktop.today.conftest import AFTERNOON

DATES = DateRange(dt.date(2027, 5, 3), dt.date(2027, 7, 2))


def opened(desk: Desk, make: Callable[[], SeasonFile], qtbot: QtBot) -> TodayRoom:
    with qtbot.waitSignal(desk.session.checked_changed, timeout=20_000):
        desk.session.open(make, lambda: None)
    qtbot.waitUntil(lambda: not desk.session.working, timeout=20_000)
    room = TodayRoom(desk)
    qtbot.addWidget(room)
    room.show()
    qtbot.waitUntil(lambda: not desk.session.working, timeout=20_000)
    return room


def barred(room: TodayRoom) -> dict[str, str]:
    """Return the buttons that are disabled, and why."""
    buttons = room.findChildren(QPushButton)
    return {button.text(): button.toolTip() for button in buttons if not button.isEnabled()}


def test_that_an_empty_season_says_that_nobody_goes_out_and_offers_nothing(
    new_desk: Callable[[], Desk], tmp_path: Path, qtbot: QtBot
) -> None:
    protocol = shipped_protocol("heath_nightjars")
    season = Season("Empty", protocol, "Europe/London", DATES, (DATES,) * len(protocol.visits))
    desk = new_desk()
    room = opened(desk, lambda: SeasonFile.create(tmp_path / "empty.dimpsy", season), qtbot)
    assert "Nobody goes out" in room.evening.dates.standing
    for name in PanelName:
        room.evening.panels.show_panel(name)
    room.show_subject(Subject(date=dt.date(2027, 6, 1)))
    room.show_subject(Subject(route="R01"))
    assert room.open_here() is None
    assert all(barred(room).values()), "what is disabled says why"
    assert {"Drops out …", "Is closed …", "Cancel the chosen …"} <= set(barred(room))


def test_that_a_file_that_may_only_be_read_bars_every_change_and_says_why(
    knowing: Callable[[], Desk], season_path: Path, qtbot: QtBot
) -> None:
    with SeasonFile.open(season_path):
        desk = knowing()
        desk.now = lambda: AFTERNOON
        room = opened(desk, lambda: SeasonFile.open(season_path), qtbot)
        reason = desk.session.snapshot.read_only_reason
        assert reason
        room.evening.panels.show_panel(PanelName.CHECK_IN)
        room.evening.panels.show_panel(PanelName.BREAKS)
        room.evening.choose_routes(["R12"])
        why = barred(room)
        for words in ("Write down", "Take away", "Left home", "Cancel the 1 chosen …", "Drops out …"):
            assert why[words] == reason
