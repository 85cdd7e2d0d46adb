"""A table of the Drives page: ordered by its headings, and walked row by row with the keyboard."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QTableView, QWidget

from planner.desktop.look.tables import dress_table
from planner.desktop.sheets.drives.model import RowsModel

_MEASURED = 100
"""Rows that columns are fitted to, from those on the screen on; a season has thousands of drives."""


class OrderedTable(QTableView):
    """Says which row is stood on, and which was entered."""

    stood_on = Signal(int)
    """The row that is current now; -1: none."""
    entered_row = Signal(int)
    """The row that was double clicked, or on which Enter was pressed."""

    def __init__(self, rows: RowsModel, name: str, stretched: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rows = rows
        self.setModel(rows)
        dress_table(self, name, stretched)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setSortingEnabled(True)
        self.horizontalHeader().setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
        self.horizontalHeader().setResizeContentsPrecision(_MEASURED)
        self.selectionModel().currentRowChanged.connect(lambda now, _before: self.stood_on.emit(now.row()))
        self.doubleClicked.connect(lambda index: self.entered_row.emit(index.row()))

    def stand_on(self, row: int) -> None:
        """Make a row the current one, and show it."""
        index = self.rows.index(row, 0)
        self.setCurrentIndex(index)
        self.scrollTo(index, QAbstractItemView.ScrollHint.PositionAtCenter)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # Qt's name
        """Enter takes the current row."""
        index: QModelIndex = self.currentIndex()
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and index.isValid():
            self.entered_row.emit(index.row())
        else:
            super().keyPressEvent(event)
