"""A list in which a click or Enter takes a row, and the arrows only move."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QListView, QWidget


class OwnEnterList(QListView):
    """Says which row was taken."""

    entered_one = Signal(QModelIndex)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.clicked.connect(self.entered_one)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take the current row on Enter."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self.entered_one.emit(self.currentIndex())
        else:
            super().keyPressEvent(event)
