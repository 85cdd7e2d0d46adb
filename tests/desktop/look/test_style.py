"""The look as it is given to the application."""

from __future__ import annotations

import re
from pathlib import Path

from PySide6.QtWidgets import QTableWidget, QTableWidgetItem
from pytestqt.qtbot import QtBot

from planner.desktop.look.colours import Colours
from planner.desktop.look.style import style_sheet


def test_that_every_picture_of_the_style_sheet_is_shipped(colours: Colours) -> None:
    pictures = re.findall(r'url\("(.*?)"\)', style_sheet(colours))
    assert pictures
    assert [picture for picture in pictures if not Path(picture).is_file()] == []


def test_that_a_column_leaves_room_for_the_frame_of_the_cell_that_has_the_keyboard(
    qtbot: QtBot, colours: Colours
) -> None:
    widths = []
    for sheet in ("", style_sheet(colours)):
        table = QTableWidget(1, 1)
        qtbot.addWidget(table)
        table.setStyleSheet(sheet)
        table.setItem(0, 0, QTableWidgetItem("40 km/h"))
        widths.append(table.sizeHintForColumn(0))
    assert widths[1] - widths[0] == 2
