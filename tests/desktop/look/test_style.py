"""The look as it is given to the application."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from PySide6.QtWidgets import (
    QApplication,
    QListWidget,
    QTableWidget,
    QTableWidgetItem,
    QTreeWidget,
    QTreeWidgetItem,
)
from pytestqt.qtbot import QtBot

from planner.desktop.look.colours import Colours
from planner.desktop.look.style import apply_look, style_sheet
from planner.desktop.window.protocol_page import ProtocolPage
from planner.usecases.season.protocols import protocol_offers
from tests.desktop.windows import part


def test_that_every_picture_of_the_style_sheet_is_shipped(colours: Colours) -> None:
    pictures = re.findall(r'url\("(.*?)"\)', style_sheet(colours))
    assert pictures
    assert [picture for picture in pictures if not Path(picture).is_file()] == []


def test_that_a_column_leaves_room_for_the_frame_of_the_cell_that_has_the_keyboard(
    qtbot: QtBot, colours: Colours
) -> None:
    widths = []
    # The application may wear the look already.
    for sheet in ("QTableView::item { border: 0; }", style_sheet(colours)):
        table = QTableWidget(1, 1)
        qtbot.addWidget(table)
        table.setStyleSheet(sheet)
        table.setItem(0, 0, QTableWidgetItem("40 km/h"))
        widths.append(table.sizeHintForColumn(0))
    assert widths[1] - widths[0] == 2


@pytest.mark.parametrize("kind", [QTableWidget, QTreeWidget, QListWidget])
def test_that_the_frame_of_a_list_that_has_the_keyboard_is_whole_on_every_side(
    qapp: QApplication, qtbot: QtBot, colours: Colours, kind: type[QTableWidget | QTreeWidget | QListWidget]
) -> None:
    apply_look(qapp, colours)
    view = kind()
    qtbot.addWidget(view)
    view.setAlternatingRowColors(True)
    _fill(view)
    view.resize(240, 160)
    view.show()
    view.activateWindow()
    before = view.viewport().geometry()
    view.setFocus()
    qtbot.waitUntil(view.hasFocus, timeout=5_000)
    assert view.viewport().geometry() == before, "nothing moves as the keyboard comes and goes"
    picture = view.grab().toImage()
    right, low = picture.width() - 1, picture.height() - 1
    edges = [(at, y) for y in range(2, low - 2) for at in (0, 1, right - 1, right)]
    edges += [(x, at) for x in range(2, right - 2) for at in (0, 1, low - 1, low)]
    assert {picture.pixelColor(x, y).name() for x, y in edges} == {colours.focus}


def _fill(view: QTableWidget | QTreeWidget | QListWidget) -> None:
    words = [str(number) for number in range(20)]
    if isinstance(view, QListWidget):
        view.addItems(words)
    elif isinstance(view, QTreeWidget):
        view.addTopLevelItems([QTreeWidgetItem([word]) for word in words])
    else:
        view.setRowCount(len(words))
        view.setColumnCount(3)


def test_that_a_chosen_line_that_wraps_is_shown_whole(qapp: QApplication, qtbot: QtBot, colours: Colours) -> None:
    apply_look(qapp, colours)
    view = QListWidget()
    qtbot.addWidget(view)
    view.setWordWrap(True)
    view.setStyleSheet(part(ProtocolPage(protocol_offers(), Path()), QListWidget).styleSheet())
    view.resize(160, 160)
    view.addItems(["a line of words so long that it takes two of them"] * 2)
    view.show()
    view.setCurrentRow(0)
    view.activateWindow()
    view.setFocus()
    qtbot.waitUntil(view.hasFocus, timeout=5_000)
    inked = [_rows_with_ink(view, row) for row in (0, 1)]
    assert len(inked[0]) == len(inked[1]) > 20


def _rows_with_ink(view: QListWidget, row: int) -> list[int]:
    """Return the rows of pixels, from the first with ink in it on, in which letters of an item stand."""
    place = view.visualItemRect(view.item(row)).adjusted(4, 2, -4, -2)
    picture = view.viewport().grab(place).toImage()
    ground = picture.pixelColor(picture.width() - 1, 0).name()
    inked = [
        y
        for y in range(picture.height())
        if any(picture.pixelColor(x, y).name() != ground for x in range(picture.width()))
    ]
    return [y - inked[0] for y in inked]
