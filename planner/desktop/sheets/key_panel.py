"""The class key as a small assistant: a question, yes or no, and the class that the answers lead to."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QStackedLayout, QVBoxLayout, QWidget

from planner.desktop.look.words import heading, quiet, statement
from planner.desktop.sheets.words import tr
from planner.domain.field.class_key import KeyWalk
from planner.domain.habitat import HabitatRule


class KeyPanel(QWidget):
    """Y and N answer, Backspace goes back, Enter puts the class into the point."""

    put = Signal(str)
    """Code of the class that is to take the rest of the point."""
    opened = Signal(str)
    """Code of the class whose cell is to be gone to."""
    left = Signal()
    """A person wants back to the grid."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._walk: KeyWalk | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("Class key"))
        self.ask = heading()
        self.hint = statement()
        self.path = quiet()
        self.yes = self._button(tr("Yes (Y)"), lambda: self._answer(yes=True))
        self.no = self._button(tr("No (N)"), lambda: self._answer(yes=False))
        self.back = self._button(tr("Back (Backspace)"), self._back)
        self.again = self._button(tr("From the start"), self.begin)
        self.put_here = self._button(tr("Put it in this point (Enter)"), self._put)
        self.open_cell = self._button(tr("Go to its cell"), self._open)
        self._lay_out()

    def show_rule(self, rule: HabitatRule | None) -> None:
        """Walk the key of a protocol; a walk that is under way goes on."""
        if rule is None or not rule.key:
            self._walk = None
        elif self._walk is None or self._walk.rule != rule:
            self._walk = KeyWalk(rule)
        self._show()

    def begin(self) -> None:
        """Begin with the first question."""
        if self._walk is not None:
            self._walk = KeyWalk(self._walk.rule)
        self._show()
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Answer, go back, take the class, or leave."""
        does = {
            Qt.Key.Key_Y: lambda: self._answer(yes=True),
            Qt.Key.Key_N: lambda: self._answer(yes=False),
            Qt.Key.Key_Backspace: self._back,
            Qt.Key.Key_Return: self._put,
            Qt.Key.Key_Enter: self._put,
            Qt.Key.Key_Escape: self.left.emit,
        }.get(Qt.Key(event.key()))
        if does is None:
            super().keyPressEvent(event)
        else:
            does()

    def _answer(self, *, yes: bool) -> None:
        if self._walk is not None and self._walk.question is not None:
            self._walk = self._walk.answered(yes=yes)
            self._show()
            self.setFocus(Qt.FocusReason.OtherFocusReason)

    def _back(self) -> None:
        if self._walk is not None:
            self._walk = self._walk.back()
            self._show()
            self.setFocus(Qt.FocusReason.OtherFocusReason)

    def _put(self) -> None:
        reached = self._walk.reached if self._walk is not None else None
        if reached is not None:
            self.put.emit(reached.code)

    def _open(self) -> None:
        reached = self._walk.reached if self._walk is not None else None
        if reached is not None:
            self.opened.emit(reached.code)

    def _show(self) -> None:
        walk = self._walk
        if walk is None:
            self.ask.setText(tr("The protocol has no class key."))
            self.hint.setText("")
            self.path.setText("")
            self._buttons.setCurrentIndex(2)
            return
        question, reached = walk.question, walk.reached
        answers = {True: tr("yes"), False: tr("no")}
        self.path.setText("   ".join(f"{one.ask} {answers[yes]}." for one, yes in walk.path))
        for button in (self.back, self.again):
            button.setEnabled(bool(walk.answers))
            button.setToolTip("" if walk.answers else tr("It is the first question."))
        if question is not None:
            self.ask.setText(f"{question.number}. {question.ask}")
            self.hint.setText("")
        elif reached is not None:
            self.ask.setText(f"{reached.code}: {reached.name}")
            self.hint.setText(reached.hint)
        self._buttons.setCurrentIndex(0 if question is not None else 1)
        self.setAccessibleDescription(f"{self.ask.text()} {self.hint.text()}".strip())

    def _button(self, words: str, do: object) -> QPushButton:
        button = QPushButton(words)
        button.clicked.connect(do)
        return button

    def _lay_out(self) -> None:
        self.put_here.setProperty("main", True)
        for button in (self.yes, self.no, self.put_here):
            button.setMinimumHeight(round(button.sizeHint().height() * 1.4))
            button.setMinimumWidth(round(button.sizeHint().width() * 1.5))
        answers, outcome = QWidget(), QWidget()
        for place, buttons in ((answers, (self.yes, self.no)), (outcome, (self.put_here, self.open_cell))):
            row = QHBoxLayout(place)
            row.setContentsMargins(0, 0, 0, 0)
            for button in buttons:
                row.addWidget(button)
            row.addStretch(1)
        # Below a widget from the start: a page of a stack that hangs in no window would open one of its own.
        below = QWidget(self)
        self._buttons = QStackedLayout(below)
        for part in (answers, outcome, QWidget()):
            self._buttons.addWidget(part)
        row = QHBoxLayout()
        row.addWidget(below, 1)
        row.addWidget(self.back, 0, Qt.AlignmentFlag.AlignBottom)
        row.addWidget(self.again, 0, Qt.AlignmentFlag.AlignBottom)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 6, 0, 0)
        column.addWidget(self.ask)
        column.addWidget(self.hint)
        column.addLayout(row)
        column.addWidget(self.path)
        column.addStretch(1)
