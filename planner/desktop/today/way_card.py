"""One way on as a card, so that several can be held beside each other."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QLabel, QPushButton, QVBoxLayout

from planner.desktop.look.colours import Colours
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.look.words import heading, quiet, statement
from planner.desktop.today.way_words import facts, headline, move_line
from planner.domain.finding import Severity
from planner.domain.season import Season
from planner.scheduling import WayOn

MOST_MOVES = 3
LEAST_WIDTH, MOST_WIDTH = 300, 620


class WayCard(QFrame):
    """What one way does and what follows from it."""

    looked_at = Signal(int)
    accepted = Signal(int)

    def __init__(self, number: int, way: WayOn, season: Season, colours: Colours, why_not: str) -> None:
        """Make the card of a way; ``number`` counts from 1, ``why_not`` says why it cannot be accepted."""
        super().__init__()
        self.number, self._way, self._season = number, way, season
        self.setObjectName("way")
        self.setMinimumWidth(LEAST_WIDTH)
        self.setMaximumWidth(MOST_WIDTH)
        self.setAccessibleName(self.tr("Way %1").replace("%1", str(number)))
        self.setAccessibleDescription(headline(way, season))
        self.look = QPushButton(self.tr("Look at it"))
        self.look.setCheckable(True)
        self.accept = QPushButton(self.tr("Accept way %1").replace("%1", str(number)))
        self.accept.setProperty("main", "true")
        self.accept.setEnabled(not why_not)
        self.accept.setToolTip(why_not or self.tr("One step, which undo takes back"))
        self._mark = QLabel()
        self._lay_out()
        self.look.clicked.connect(lambda _on: self.looked_at.emit(number))
        self.accept.clicked.connect(lambda _on: self.accepted.emit(number))
        self.show_looked_at(colours, on=False)

    def show_looked_at(self, colours: Colours, *, on: bool) -> None:
        """Show whether this is the way that is looked at below."""
        edge = f"3px solid {colours.accent}" if on else f"1px solid {colours.edge}"
        pad = 8 if on else 10
        self.setStyleSheet(
            f"#way {{ background: {colours.surface}; border: {edge}; border-radius: 8px; padding: {pad}px; }}"
        )
        self.look.setChecked(on)
        self.look.setText(self.tr("Shown below") if on else self.tr("Look at it"))
        severity = None if self._way.full else Severity.TROUBLE
        self._mark.setPixmap(mark_pixmap(severity, colours, 20, 2.0))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Look at this way."""
        self.looked_at.emit(self.number)
        super().mousePressEvent(event)

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.addWidget(self._mark)
        head.addWidget(heading(self._title()), 1)
        buttons = QHBoxLayout()
        buttons.addWidget(self.look)
        buttons.addWidget(self.accept, 1)
        column = QVBoxLayout(self)
        column.setSpacing(6)
        column.addLayout(head)
        column.addWidget(_slim(statement(headline(self._way, self._season))))
        column.addLayout(buttons)
        column.addWidget(_slim(statement("\n".join(self._moves()))))
        column.addLayout(self._facts())
        for item in self._way.unfilled[:MOST_MOVES]:
            words = self.tr("%1 is not filled: %2").replace("%1", str(item.key)).replace("%2", " ".join(item.reasons))
            helps = [one.what for one in item.relaxations[:2]]
            words += self.tr(" Would help: ") + "; ".join(helps) if helps else ""
            column.addWidget(_slim(statement(words)))
        if self._way.note:
            column.addWidget(_slim(quiet(self._way.note)))
        column.addStretch(1)

    def _moves(self) -> list[str]:
        lines = [f"•  {move_line(move)}" for move in self._way.moves[:MOST_MOVES]]
        more = len(self._way.moves) - MOST_MOVES
        if more > 0:
            lines.append(self.tr("    and %1 more, listed below").replace("%1", str(more)))
        return lines

    def _facts(self) -> QGridLayout:
        grid = QGridLayout()
        grid.setColumnStretch(1, 1)
        grid.setVerticalSpacing(3)
        for row, (name, value) in enumerate(facts(self._way, self._season)):
            label = quiet(name)
            label.setWordWrap(False)
            grid.addWidget(label, row, 0, Qt.AlignmentFlag.AlignTop)
            grid.addWidget(_slim(statement(value)), row, 1)
        return grid

    def _title(self) -> str:
        if not self._way.full:
            lost = self._way.filled_before - self._way.filled_after
            return (
                self.tr("Way %1: not everything is filled (%2 lost)")
                .replace("%1", str(self.number))
                .replace("%2", str(lost))
            )
        if self.number == 1:
            return self.tr("Way 1: least disturbance")
        return self.tr("Way %1").replace("%1", str(self.number))


def _slim(label: QLabel) -> QLabel:
    """Return a label that asks for one line at least; Qt asks for many where a text could wrap."""
    label.setMinimumHeight(label.fontMetrics().height())
    return label
