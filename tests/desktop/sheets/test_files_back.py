"""Filled-in workbooks are looked at before they are kept, every bad cell is named, and dropped files find their way."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import openpyxl
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QMessageBox, QPushButton
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.sheets.bring_back import BringBack
from planner.desktop.sheets.habitat_page import HabitatPage
from planner.desktop.sheets.room import SheetsRoom
from planner.domain.field.habitat_sheet import SheetState
from planner.domain.finding import Subject
from tests.unit.usecases.sheet_seasons import picture

Settled = Callable[[], None]
FATAL = QAbstractItemModelTester.FailureReportingMode.Fatal
NO_KEYS, LEFT = Qt.KeyboardModifier.NoModifier, Qt.MouseButton.LeftButton


def fill(folder: Path) -> Path:
    """Fill in R1 visit 1 of V1's workbook: two whole points, one with a word for a figure."""
    path = next(folder.glob("V1 *.xlsx"))
    book = openpyxl.load_workbook(path)
    page = book["Habitat"]
    columns = {str(cell.value).removeprefix("class "): cell.column for cell in page[1] if cell.column is not None}
    for row in (4, 5, 6):
        for name, figure in (("TH", 20), ("SH", 80), ("grazed", 0), ("livestock", 0)):
            page.cell(row, columns[name]).value = figure
    page.cell(6, columns["TH"]).value = "lots"
    book.save(path)
    return path


def count(desk: Desk) -> int:
    return len(desk.session.snapshot.sheets)


def drop(room: SheetsRoom, *paths: Path) -> None:
    """Drop files on the room as the system does."""
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    copy = Qt.DropAction.CopyAction
    entering = QDragEnterEvent(QPoint(9, 9), copy, data, LEFT, NO_KEYS)
    room.dragEnterEvent(entering)
    assert entering.isAccepted()
    room.dropEvent(QDropEvent(QPointF(9, 9), copy, data, LEFT, NO_KEYS))


def test_that_workbooks_go_out_and_come_back_with_every_bad_cell_named_in_one_step(
    room: SheetsRoom, desk: Desk, tmp_path: Path, settled: Settled
) -> None:
    folder = tmp_path / "out"
    room._filling.write(folder, force=False)
    settled()
    path = fill(folder)
    drop(room, path)
    preview = room.findChild(BringBack)
    assert isinstance(preview, BringBack)
    assert not preview.keep.isEnabled()
    assert preview.keep.toolTip()
    testers = [QAbstractItemModelTester(model, FATAL) for model in (preview.read, preview.bad)]
    settled()
    states = [preview.read.index(row, 1).data() for row in range(preview.read.rowCount())]
    assert states == ["final", "final", "draft"]
    assert preview.bad.rowCount() == 1
    assert preview.bad_view.horizontalHeader().length() <= preview.bad_view.viewport().width()
    told = str(preview.bad.index(0, 0).data(Qt.ItemDataRole.ToolTipRole))
    assert path.name in told
    assert "sheet 'Habitat', G6" in told
    assert "'lots'" in told
    assert count(desk) == 0
    steps = len(desk.session.snapshot.steps)
    preview.keep.click()
    settled()
    kept = desk.session.snapshot.sheets
    assert [one.state for one in kept] == [SheetState.FINAL, SheetState.FINAL, SheetState.DRAFT]
    assert [(cell.field, cell.text) for cell in kept[2].unread] == [("TH", "lots")]
    assert len(desk.session.snapshot.steps) == steps + 1
    desk.session.undo()
    settled()
    assert count(desk) == 0
    assert len(testers) == 2


def test_that_a_file_that_cannot_be_read_is_said_and_nothing_may_be_kept(
    room: SheetsRoom, tmp_path: Path, settled: Settled
) -> None:
    broken = tmp_path / "broken.xlsx"
    broken.write_bytes(b"PK\x03\x04 and no more")
    preview = room.bring_in([broken])
    settled()
    assert "broken.xlsx" in preview.stands.text()
    assert not preview.keep.isEnabled()
    assert "bring the files in again" in preview.keep.toolTip()
    preview.close()


def test_that_workbooks_that_stand_there_are_replaced_only_when_a_person_says_so(
    room: SheetsRoom, tmp_path: Path, settled: Settled, qtbot: QtBot
) -> None:
    folder = tmp_path / "out"
    room._filling.write(folder, force=False)
    settled()
    path = fill(folder)
    filled = path.read_bytes()

    def answer(words: str) -> None:
        room._filling.write(folder, force=False)
        settled()
        qtbot.waitUntil(lambda: any(box.isVisible() for box in room.findChildren(QMessageBox)), timeout=5000)
        box = next(box for box in room.findChildren(QMessageBox) if box.isVisible())
        next(button for button in box.findChildren(QPushButton) if button.text() == words).click()
        settled()

    answer("Leave them")
    assert path.read_bytes() == filled
    answer("Replace them")
    assert path.read_bytes() != filled


def test_that_dropped_pictures_go_to_the_point_that_is_stood_on(
    room: SheetsRoom, page: HabitatPage, desk: Desk, tmp_path: Path, settled: Settled
) -> None:
    page.pane.grid.go_to(2)
    drop(room, picture(tmp_path / "north.JPG"))
    settled()
    assert [(one.key.point, one.photos[0].name) for one in desk.session.snapshot.sheets] == [(3, "north.JPG")]


def test_that_a_finding_elsewhere_leads_to_its_point(room: SheetsRoom, page: HabitatPage) -> None:
    room.show_subject(Subject(route="R2", visit=2, point=3, volunteer="V2"))
    sheet = page.pane.sheet
    assert sheet is not None
    assert str(sheet.key) == "R2 visit 2 point 3 by V2"
    assert page.routes.code == "R2"
    assert {action.text() for action in room.commands()} >= {"Hand in all", "Sheets: Habitat"}
