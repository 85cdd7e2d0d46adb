"""The card that hangs beside a visit in the hand and says what would follow if it were dropped there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractScrollArea, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from planner.desktop.board.said import Names, day_said, minutes_said, named, people_said, tr
from planner.desktop.look.colours import Colours
from planner.desktop.look.marks import mark_pixmap
from planner.domain.finding import Severity

if TYPE_CHECKING:
    from planner.usecases.plan.judging import Verdict

MOST_REASONS = 3
_WIDTH = 310
_SHIFT, _AWAY, _EDGE = 60, 10, 6
"""Pixels: how far the card reaches left of a cell, its distance from it, and from the edges of the board."""


class VerdictCard(QWidget):
    """Mark, one line that says it, and what it rests on."""

    def __init__(self, board: QAbstractScrollArea, colours: Colours) -> None:
        super().__init__(board)
        self._board = board
        self._colours = colours
        self._mark = QLabel()
        self._mark.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._heading = QLabel()
        self._heading.setWordWrap(True)
        font = self._heading.font()
        font.setBold(True)
        self._heading.setFont(font)
        self._body = QLabel()
        self._body.setWordWrap(True)
        for label in (self._heading, self._body):
            label.setTextFormat(Qt.TextFormat.PlainText)
        words = QVBoxLayout()
        words.setSpacing(4)
        words.addWidget(self._heading)
        words.addWidget(self._body)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(10, 8, 10, 9)
        layout.addWidget(self._mark)
        layout.addLayout(words, 1)
        self.setFixedWidth(_WIDTH)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAccessibleName(tr("Verdict"))
        self.hide()

    @property
    def text(self) -> str:
        """Everything that it says."""
        return f"{self._heading.text()}\n{self._body.text()}".strip()

    def show_in(self, colours: Colours) -> None:
        """Change to another palette."""
        self._colours = colours
        self.update()

    def show_thinking(self, beside: QRect) -> None:
        """Say that the verdict is being found, if nothing is said yet; else what is said stays until it is there."""
        if self.isHidden():
            self._say(None, tr("Looking at it …"), (), beside)

    def show_verdict(self, verdict: Verdict, names: Names, beside: QRect) -> None:
        """Say what follows from dropping a visit here; people are called by their names too."""
        severity, heading = verdict_heading(verdict, names)
        self._say(severity, heading, [named(line, names) for line in verdict_lines(verdict)], beside)

    def show_refusal(self, what: str, reasons: Sequence[str], beside: QRect) -> None:
        """Say why something was not done."""
        self._say(Severity.BROKEN, what, reasons, beside)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the card's paper and edge."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(self._colours.edge), 1.2))
        painter.setBrush(QColor(self._colours.surface))
        painter.drawRoundedRect(self.rect().adjusted(1, 1, -2, -2), 6, 6)
        painter.end()

    def _say(self, severity: Severity | None, heading: str, lines: Sequence[str], beside: QRect) -> None:
        self._mark.setPixmap(mark_pixmap(severity, self._colours, 16, self.devicePixelRatioF()))
        self._heading.setText(heading)
        self._body.setText("\n".join(lines))
        self._body.setVisible(bool(lines))
        self.setAccessibleDescription(self.text)
        layout = self.layout()
        self.resize(_WIDTH, layout.heightForWidth(_WIDTH) if layout is not None else self.height())
        self.move(_place(beside, self.rect(), self._board.viewport().geometry()))
        self.show()
        self.raise_()


def _place(beside: QRect, card: QRect, port: QRect) -> QPoint:
    """Return where a card stands: below a cell or above it, as near as there is room, never over the cell."""
    x = min(beside.center().x() - _SHIFT, port.right() - card.width() - _EDGE)
    below = beside.bottom() + _AWAY
    fits = below + card.height() <= port.bottom() - _EDGE
    y = below if fits else beside.top() - _AWAY - card.height()
    return QPoint(max(x, port.left() + _EDGE), max(y, port.top() + _EDGE))


def verdict_heading(verdict: Verdict, names: Names) -> tuple[Severity | None, str]:
    """Return the mark of a verdict and its one line; no severity where nothing is wrong."""
    visit = verdict.visit
    where = f"{day_said(visit.date)}, {people_said(visit, names)}"
    if verdict.broken:
        count = len(verdict.broken)
        rules = tr("breaks a rule") if count == 1 else tr("breaks %1 rules", count)
        return Severity.BROKEN, f"{where}: {rules}"
    if verdict.still_broken:
        return Severity.BROKEN, tr("%1: still breaks a rule", where)
    worst = min((one.severity for one in verdict.lesser), default=Severity.NOTE)
    if worst < Severity.NOTE:
        return worst, tr("%1: possible", where)
    return None, tr("%1: fits", where)


def verdict_lines(verdict: Verdict) -> list[str]:
    """Return what a verdict rests on: what would break, then margin, driving, set-up and reserve date."""
    wrong = [one.what for one in (*verdict.broken, *verdict.still_broken)]
    more = len(wrong) - MOST_REASONS
    lines = wrong[:MOST_REASONS] + ([tr("and %1 more", more)] if more > 0 else [])
    lines += [one.what for one in verdict.lesser if one.severity < Severity.NOTE][:MOST_REASONS]
    margin = verdict.margin_minutes
    if margin is not None:
        lines.append(tr("Margin %1 min", f"{margin:.0f}"))
    change = verdict.drive_change_minutes
    lines.append(tr("Driving %1", minutes_said(change) if round(change) else tr("as before")))
    return lines + _dates(verdict)


def _dates(verdict: Verdict) -> list[str]:
    """Return what becomes of set-up and reserve date."""
    before, visit = verdict.before, verdict.visit
    said = []
    if visit.setup is not None and (before is None or before.setup != visit.setup):
        said.append(tr("Set-up goes to %1", day_said(visit.setup)))
    if visit.reserve is None:
        said += [tr("Reserve date is lost")] if before is not None and before.reserve is not None else []
    elif before is None or before.reserve != visit.reserve:
        said.append(tr("Reserve date goes to %1", day_said(visit.reserve)))
    else:
        said.append(tr("Reserve date %1 stays", day_said(visit.reserve)))
    return said
