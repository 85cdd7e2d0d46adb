"""The one thing to do next, with its button, and another that could be done in its place."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.low import low
from planner.desktop.look.words import heading, statement
from planner.desktop.season.words import StepWords, step_words
from planner.usecases.season_news import Step, WhatNext

_LINES, _AIR = 2, 6
"""Lines that are kept free for what is said, and pixels below them: as high as both buttons."""


class NextCard(QFrame):
    """Says what is next; pressing goes there."""

    chosen = Signal(object)
    """The Step that was pressed."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("next")
        self._first: Step | None = None
        self._instead: Step | None = None
        self.said = low(statement())
        # However much is said, what stands below the card stays where it is.
        self.said.setMinimumHeight(_LINES * self.said.fontMetrics().lineSpacing() + _AIR)
        self.said.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.main = QPushButton()
        self.main.setProperty("main", True)  # Qt's signature
        self.main.clicked.connect(lambda: self.chosen.emit(self._first))
        self.other = QPushButton()
        self.other.clicked.connect(lambda: self.chosen.emit(self._instead))
        column = QVBoxLayout()
        column.setSpacing(2)
        column.addWidget(heading(self.tr("Next")))
        column.addWidget(self.said)
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 8, 14, 10)
        row.setSpacing(8)
        row.addLayout(column, 1)
        buttons = QVBoxLayout()
        buttons.setSpacing(4)
        buttons.addStretch(1)
        buttons.addWidget(self.main)
        buttons.addWidget(self.other)
        buttons.addStretch(1)
        row.addLayout(buttons)
        self.set_colours(colours)

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self.setStyleSheet(
            f"#next {{ background: {colours.surface}; border: 1px solid {colours.line};"
            f" border-left: 5px solid {colours.accent}; border-radius: 6px; }}"
        )

    def show_next(self, found: WhatNext) -> None:
        """Show what is next."""
        self._first, self._instead = found.first, found.instead
        words = step_words(found.first)
        self.said.setText(words.say)
        _label(self.main, words)
        if found.instead is None:
            self.other.hide()
        else:
            other = step_words(found.instead)
            _label(self.other, other)
            self.other.setToolTip(other.say)


def _label(button: QPushButton, words: StepWords) -> None:
    button.setText(words.button)
    button.setAccessibleDescription(words.say)
    button.setVisible(bool(words.button))
