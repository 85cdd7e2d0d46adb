"""The status line and the message bar."""

from __future__ import annotations

import threading

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QProgressBar, QToolButton
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.look.colours import LIGHT
from planner.desktop.window.message_bar import MessageBar
from planner.desktop.window.status_line import StatusLine
from tests.desktop.windows import part


def test_that_long_work_is_shown_with_a_stop_that_stops_it(desk: Desk, qtbot: QtBot) -> None:
    line = StatusLine(desk.session, LIGHT)
    qtbot.addWidget(line)
    line.show()
    stop = threading.Event()
    ended: list[bool] = []
    desk.session.think_long(lambda: stop.wait(20), ended.append, words="Counting sheep", stop=stop)
    assert not part(line, QProgressBar).isVisible(), "what is over soon needs no sign"
    qtbot.waitUntil(part(line, QProgressBar).isVisible, timeout=3_000)
    button = part(line, QToolButton, "stop")
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    assert not button.isEnabled()
    assert "Stopping" in button.toolTip()
    qtbot.waitUntil(lambda: ended == [True], timeout=3_000)
    qtbot.waitUntil(lambda: not part(line, QProgressBar).isVisible(), timeout=3_000)


def test_that_short_work_is_not_shown(desk: Desk, qtbot: QtBot) -> None:
    line = StatusLine(desk.session, LIGHT)
    qtbot.addWidget(line)
    line.show()
    ended: list[int] = []
    desk.session.think_long(lambda: 1, ended.append, words="A moment")
    qtbot.waitUntil(lambda: ended == [1], timeout=3_000)
    assert not part(line, QProgressBar).isVisible()


def test_that_something_said_stands_before_how_the_season_stands(desk: Desk, qtbot: QtBot) -> None:
    line = StatusLine(desk.session, LIGHT)
    qtbot.addWidget(line)
    line.show_stands("All is well.")
    line.say("33 papers printed.")
    line.show_stands("All is still well.")
    assert line.text == "33 papers printed."


def test_that_a_message_stays_until_it_is_put_away(qtbot: QtBot) -> None:
    bar = MessageBar(LIGHT)
    qtbot.addWidget(bar)
    bar.show_message("The disk is full.")
    assert bar.text == "The disk is full."
    QTest.mouseClick(part(bar, QToolButton), Qt.MouseButton.LeftButton)
    assert bar.text == ""
