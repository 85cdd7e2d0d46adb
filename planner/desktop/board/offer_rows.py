"""What would mend a visit: each offer with its button, or with what a person must do instead."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from planner.desktop.board.said import tr
from planner.desktop.look.words import quiet, statement
from planner.domain.plan import Explanation, Relaxation
from planner.domain.season import Season
from planner.usecases.plan.relaxing import hindrance


class OfferRows(QWidget):
    """The reasons why a visit lacks something, and the smallest changes that would mend it."""

    pressed = Signal(int)
    """The number of an offer, from 1."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._shown: tuple[Explanation | None, str] = (None, "")

    def show_explanation(self, explanation: Explanation | None, season: Season, why_not: str) -> None:
        """Show an explanation; None empties the rows.

        Args:
            explanation: why, and what would help.
            season: the season that the offers would change.
            why_not: why nothing may be pressed now, in words; empty where it may.
        """
        if (explanation, why_not) == self._shown:
            return
        self._shown = (explanation, why_not)
        self._clear()
        if explanation is None:
            return
        for reason in explanation.reasons:
            self._column.addWidget(statement(reason))
        if explanation.tried:
            self._column.addWidget(quiet(explanation.tried))
        if explanation.relaxations:
            self._column.addWidget(quiet(tr("Any one of these would mend it. Press one once those concerned agree.")))
        for number, offered in enumerate(explanation.relaxations, start=1):
            self._column.addWidget(self._row(number, offered, season, why_not))

    def _clear(self) -> None:
        while (item := self._column.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()

    def _row(self, number: int, offered: Relaxation, season: Season, why_not: str) -> QWidget:
        instead = hindrance(season, offered)
        holder = QWidget()
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 3, 0, 3)
        words = QVBoxLayout()
        words.addWidget(statement(offered.what))
        if offered.moves:
            moved = ", ".join(str(key) for key in offered.moves)
            words.addWidget(quiet(tr("Also changes %1.", moved)))
        if instead:
            words.addWidget(quiet(instead))
        row.addLayout(words, 1)
        if not instead:
            button = QPushButton(tr("Do this"))
            button.setAccessibleName(tr("Do this: %1", offered.what))
            button.setEnabled(not why_not)
            button.setToolTip(why_not or tr("Changes the season and fills the visit in one step. It can be undone."))
            button.clicked.connect(lambda: self.pressed.emit(number))
            row.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
        return holder
