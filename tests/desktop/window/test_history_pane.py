"""The history: shown, and gone through."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QListView, QPushButton
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.window.history_pane import HistoryPane
from planner.usecases.season.coordinator import set_coordinator
from tests.desktop.windows import part


def _settled(desk: Desk, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: not desk.session.working, timeout=20_000)


def test_that_every_step_is_listed_and_any_state_can_be_gone_to(desk: Desk, qtbot: QtBot) -> None:
    pane = HistoryPane(desk)
    qtbot.addWidget(pane)
    view = part(pane, QListView)
    QAbstractItemModelTester(view.model(), QAbstractItemModelTester.FailureReportingMode.Fatal)
    before = desk.session.snapshot
    assert view.model().rowCount() == len(before.steps) + 1, "the steps taken before the pane was made are there"
    desk.session.do(lambda file: set_coordinator(file, name="Wilf Oakenfold"))
    desk.session.do(lambda file: set_coordinator(file, name="Ada Thornbury"))
    _settled(desk, qtbot)
    assert view.model().rowCount() == len(before.steps) + 3
    button = part(pane, QPushButton)
    assert not button.isEnabled()
    assert button.toolTip()
    view.setCurrentIndex(view.model().index(2, 0))
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    _settled(desk, qtbot)
    assert desk.session.snapshot.season == before.season
    assert "taken back" in view.model().index(0, 0).data()
    view.setCurrentIndex(view.model().index(0, 0))
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    _settled(desk, qtbot)
    assert desk.session.snapshot.season.coordinator.name == "Ada Thornbury"


def test_that_the_last_row_is_the_season_as_it_was_made(desk: Desk, qtbot: QtBot) -> None:
    pane = HistoryPane(desk)
    qtbot.addWidget(pane)
    desk.session.undo()
    _settled(desk, qtbot)
    view = part(pane, QListView)
    view.setCurrentIndex(view.model().index(view.model().rowCount() - 1, 0))
    QTest.mouseClick(part(pane, QPushButton), Qt.MouseButton.LeftButton)
    _settled(desk, qtbot)
    assert desk.session.snapshot.season.routes == ()
    assert desk.session.snapshot.revision == 0
