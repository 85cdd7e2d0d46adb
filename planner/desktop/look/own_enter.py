"""A line in a dialog that keeps the Enter key to itself."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit


class OwnEnterLine(QLineEdit):
    """Enter does what the line is for; left to itself, Qt would press the dialog's main button as well."""

    def keyPressEvent(self, event: QKeyEvent) -> None:  # Qt's name
        """Do what the key does in a line, and no more."""
        super().keyPressEvent(event)
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            event.accept()
