"""A line of text that is one step of the season file when it is left changed."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit, QWidget


class StepLine(QLineEdit):
    """Enter or leaving keeps what was typed; Escape puts back what stood there."""

    def __init__(self, name: str, keep: Callable[[str], object], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self._keep = keep
        self._stands = ""
        self.editingFinished.connect(self._finish)

    def show_text(self, text: str) -> None:
        """Show what stands in the file; what is being typed is left alone."""
        typing = self.hasFocus() and self.text() != self._stands
        self._stands = text
        if not typing:
            self.setText(text)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take back what was typed with Escape."""
        if event.key() == Qt.Key.Key_Escape and self.text() != self._stands:
            self.setText(self._stands)
        else:
            super().keyPressEvent(event)

    def put_back(self) -> None:
        """Show again what stands in the file: what was typed was refused."""
        self.setText(self._stands)

    def _finish(self) -> None:
        text = self.text().strip()
        if text != self._stands:
            self._keep(text)
