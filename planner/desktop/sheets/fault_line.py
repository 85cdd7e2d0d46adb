"""The line under the grid: what the sheet of the current point still lacks, or that it is in order."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.look.words import statement
from planner.domain.finding import Severity

_MARK = 16


class MarkedLine(QWidget):
    """A mark and a sentence beside it."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._colours = colours
        self._severity: Severity | None = None
        self._mark = QLabel()
        self._mark.setFixedWidth(_MARK)
        self.words = statement()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 2, 0, 2)
        row.setSpacing(8)
        row.addWidget(self._mark)
        row.addWidget(self.words, 1)

    def keep_room(self, lines: int) -> None:
        """Take the room of so many lines even where fewer are said: what stands over it stays where it is."""
        self.words.setMinimumHeight(lines * self.words.fontMetrics().lineSpacing())

    def say(self, text: str, severity: Severity | None = None, *, marked: bool = True) -> None:
        """Say something; without a severity it is in order, and where it is not ``marked`` it is neither."""
        self.words.setText(text)
        self._severity = severity
        self._mark.setVisible(marked)
        self.set_colours(self._colours)

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._colours = colours
        self._mark.setPixmap(mark_pixmap(self._severity, colours, _MARK, self.devicePixelRatioF()))
