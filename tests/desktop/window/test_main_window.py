"""The main window: opening, what is remembered, commands, files dropped anywhere."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from planner.desktop.importing import ImportPreview
from planner.desktop.room import RoomName
from planner.desktop.units import Units
from planner.desktop.window.main_window import MainWindow
from planner.domain.finding import Subject
from planner.store import SeasonFile
from tests.desktop.windows import open_season, open_window, settle


def test_that_a_season_is_opened_remembered_and_its_room_shown_again(
    small_path: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    window = open_window(qtbot, tmp_path)
    pane = open_season(qtbot, window, small_path, RoomName.BOARD)
    assert "Nightjars" in window.windowTitle()
    window.show_start()
    assert window.pane is None
    assert window.settings.recent() == (small_path,)
    window.open_season(small_path)
    pane = settle(qtbot, window)
    assert pane.shown is RoomName.BOARD


def test_that_what_is_no_season_is_said_on_the_start_page(tmp_path: Path, qtbot: QtBot) -> None:
    window = open_window(qtbot, tmp_path)
    (tmp_path / "none.dimpsy").write_text("no season")
    window.open_season(tmp_path / "none.dimpsy")
    qtbot.waitUntil(lambda: bool(window.message), timeout=10_000)
    assert "none.dimpsy" in window.message
    assert window.pane is None


def test_that_a_season_in_use_is_shown_to_be_read_and_says_why(small_path: Path, tmp_path: Path, qtbot: QtBot) -> None:
    window = open_window(qtbot, tmp_path)
    with SeasonFile.open(small_path):
        pane = open_season(qtbot, window, small_path)
        assert "only to be read" in window.windowTitle()
        assert pane.messages.text
        assert not window.menus.undo.isEnabled()


def test_that_undo_says_what_it_took_back(small_path: Path, tmp_path: Path, qtbot: QtBot) -> None:
    window = open_window(qtbot, tmp_path)
    pane = open_season(qtbot, window, small_path)
    label = pane.desk.session.snapshot.undo_label
    assert label in window.menus.undo.text()
    window.menus.undo.trigger()
    settle(qtbot, window)
    assert pane.status.text == f"Taken back: {label}"
    assert label in window.menus.redo.text()


def test_that_files_dropped_in_any_room_are_shown_before_they_are_taken(
    small_path: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    window = open_window(qtbot, tmp_path)
    pane = open_season(qtbot, window, small_path, RoomName.PAPER)
    table = tmp_path / "volunteers.csv"
    table.write_text("code,name,latitude,longitude\nV99,Ada Thornbury,54.7,2.1\n", encoding="utf-8")
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(table))])
    copy, left, none = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    QApplication.sendEvent(pane, QDragEnterEvent(QPoint(5, 5), copy, data, left, none))
    QApplication.sendEvent(pane, QDropEvent(QPointF(5, 5), copy, data, left, none))
    preview = pane.findChild(ImportPreview)
    assert isinstance(preview, ImportPreview)
    qtbot.waitUntil(lambda: preview.understood is not None, timeout=20_000)
    preview.reject()
    settle(qtbot, window)


def test_that_anything_is_found_and_commands_are_among_it(small_path: Path, tmp_path: Path, qtbot: QtBot) -> None:
    window = open_window(qtbot, tmp_path)
    pane = open_season(qtbot, window, small_path)
    assert any(thing.kind == "date" for thing in pane.search("4 jun"))
    assert any("Dark palette" in thing.words for thing in pane.search("dark"))
    pane.search("paper")[0].do()
    assert pane.shown is RoomName.PAPER


def test_that_units_and_palette_are_chosen_and_remembered(small_path: Path, tmp_path: Path, qtbot: QtBot) -> None:
    window = open_window(qtbot, tmp_path)
    pane = open_season(qtbot, window, small_path)
    window.choose_units(Units.IMPERIAL)
    window.choose_palette("dark")
    assert pane.desk.units is Units.IMPERIAL
    assert pane.desk.colours.dark
    assert window.settings.value("palette", "system") == "dark"
    window.choose_palette("light")


def test_that_rooms_are_gone_to_by_key_and_have_it(small_path: Path, tmp_path: Path, qtbot: QtBot) -> None:
    window = open_window(qtbot, tmp_path)
    pane = open_season(qtbot, window, small_path)
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow, timeout=5_000)
    QTest.keyClick(window, Qt.Key.Key_4, Qt.KeyboardModifier.ControlModifier)
    settle(qtbot, window)
    board = pane.room(RoomName.BOARD)
    focused = QApplication.focusWidget()
    assert pane.shown == RoomName.BOARD
    assert focused is not None
    assert focused is board or board.isAncestorOf(focused)
    pane.desk.go(RoomName.ROUTES, Subject(route="R05"))
    assert pane.room(RoomName.ROUTES).isVisible()


def test_that_of_rooms_that_are_not_made_yet_the_one_turned_to_last_is_shown_and_the_window_answers_meanwhile(
    season_path: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    window = open_window(qtbot, tmp_path)
    pane = open_season(qtbot, window, season_path)
    pane._ahead.stop()
    late = [name for name in RoomName if name not in pane._made]
    assert len(late) > 1
    for name in late[-2:]:
        pane.show_room(name)
        assert late[-1] not in pane._made, "nothing is made while the person still presses"
    settle(qtbot, window)
    assert pane.room(late[-1]).isVisible()
    assert late[-2] not in pane._made


def test_that_the_count_of_open_findings_stands_at_each_room(small_path: Path, tmp_path: Path, qtbot: QtBot) -> None:
    window = open_window(qtbot, tmp_path)
    pane = open_season(qtbot, window, small_path)
    spoken = [pane.rooms.model().index(row, 0).data(Qt.ItemDataRole.AccessibleTextRole) for row in range(len(RoomName))]
    assert "Routes, 3 open" in spoken
    assert "People, 1 open" in spoken
    assert isinstance(window, MainWindow)
