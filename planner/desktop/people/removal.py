"""Removing somebody: what it would mean is said beforehand, in place, and it can be undone."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from planner.desktop.look.words import statement
from planner.desktop.people.phrases import said
from planner.usecases.people.editing import Removal


class RemovalStrip(QFrame):
    """A strip that says what removing would mean, with the button that does it."""

    wanted = Signal(str)
    """Code of the volunteer who is to be removed."""
    closed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.code = ""
        """Code of the volunteer spoken of."""
        self.says = statement()
        self.remove = QPushButton(self.tr("Remove"))
        self.keep = QPushButton(self.tr("Keep"))
        self.remove.clicked.connect(self._remove)
        self.keep.clicked.connect(self._close)
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        buttons.addWidget(self.keep)
        buttons.addWidget(self.remove)
        layout = QVBoxLayout(self)
        layout.addWidget(self.says)
        layout.addLayout(buttons)
        self.hide()

    def ask(self, removal: Removal) -> None:
        """Say what removing that volunteer would mean."""
        self.code = removal.volunteer.code
        self.says.setText(removal.words)
        self.remove.setText(said(self.tr("Remove %1"), removal.volunteer.code))
        self.remove.setEnabled(removal.possible)
        self.remove.setToolTip("" if removal.possible else removal.words)
        self.show()
        (self.remove if removal.possible else self.keep).setFocus()

    def _remove(self) -> None:
        code = self.code
        self._close()
        self.wanted.emit(code)

    def _close(self) -> None:
        self.hide()
        self.closed.emit()
