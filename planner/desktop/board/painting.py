"""Paint what stands on the board: date ranges, dates without a window, visits, set-up days, reserve dates, ghosts."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from itertools import pairwise

from PySide6.QtCore import QLineF, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath, QPolygonF

from planner.desktop.board.geometry import BoardGeometry
from planner.desktop.board.lines import Entry, Line, Part, entries_of
from planner.desktop.board.said import tr
from planner.desktop.board.strokes import Strokes, paint_pin, width_of
from planner.desktop.look.marks import paint_mark
from planner.domain.finding import Severity
from planner.domain.plan import PlannedVisit, Status

_MARK = 11.0
"""Width of the mark of a finding on a block."""

_FEWEST_FOR_WORDS = 70.0
"""Pixels of a band from which on its visit is named in it."""


class BoardPainter:
    """Paints rows of the board; made anew when palette, measures or the dates change."""

    def __init__(self, strokes: Strokes, geometry: BoardGeometry, days: Sequence[dt.date]) -> None:
        self._strokes = strokes
        self._at = geometry
        self._first = days[0] if days else dt.date.min
        self._days = len(days)
        self._widths: dict[str, float] = {}
        self._weekends = [column for column, day in enumerate(days) if day.weekday() >= 5]

    def paint_ground(self, painter: QPainter, clip: QRect, today: dt.date) -> None:
        """Paint the paper of the board: weekends, and the line of today."""
        painter.fillRect(clip, self._strokes.surface)
        columns = self._at.columns_in(clip.left(), clip.right())
        width, left = self._at.column_width, self._at.left
        for column in self._weekends:
            if column in columns:
                painter.fillRect(column * width - left, clip.top(), width, clip.height(), self._strokes.weekend)
        column = (today - self._first).days
        if 0 <= column < self._days:
            painter.setPen(self._strokes.accent)
            painter.drawLine(column * width - left, clip.top(), column * width - left, clip.bottom())

    def paint_line(self, painter: QPainter, row: int, line: Line, clip: QRect) -> None:
        """Paint one line of the board."""
        cell = self._at.cell(row, 0)
        if line.heads:
            self._head(painter, line, QRect(clip.left(), cell.top(), clip.width(), cell.height()))
        else:
            self._bands(painter, row, line, clip)
            self._hatched(painter, row, line)
            self._named_bands(painter, row, line, clip)
            self._blocks(painter, row, line, clip)
        painter.setPen(self._strokes.line)
        painter.drawLine(clip.left(), cell.bottom(), clip.right(), cell.bottom())

    def _head(self, painter: QPainter, line: Line, box: QRect) -> None:
        """Say how much of a group is filled, where the dates of a route would be."""
        painter.fillRect(box, self._strokes.group)
        painter.setFont(self._strokes.small)
        painter.setPen(self._strokes.quiet)
        words = tr("%1 of %2 visits filled", line.filled, line.asked)
        middle = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
        painter.drawText(box.adjusted(8, 0, 0, 0), middle, words)

    def paint_entry(self, painter: QPainter, row: int, entry: Entry, *, ghost: bool = False) -> None:
        """Paint one block: a visit, a set-up day or a reserve date."""
        column = self._column(entry.day)
        if 0 <= column < self._days:
            box = self._at.block(row, column, entry.visit.key.number)
            {Part.DATE: self._visit, Part.RESERVE: self._reserve, Part.SETUP: self._setup}[entry.part](
                painter, box, entry.visit, ghost
            )

    def paint_severity(self, painter: QPainter, row: int, day: dt.date, number: int, severity: Severity | None) -> None:
        """Paint the mark of a severity at the corner of a block; None: nothing is wrong."""
        box = self._at.block(row, self._column(day), number)
        rect = QRectF(box.left() - 4, box.top() - 4, _MARK, _MARK)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._strokes.surface)
        painter.drawEllipse(rect)
        paint_mark(painter, rect, severity, self._strokes.colours)

    def _column(self, day: dt.date) -> int:
        return (day - self._first).days

    def _bands(self, painter: QPainter, row: int, line: Line, clip: QRect) -> None:
        painter.setPen(Qt.PenStyle.NoPen)
        for number, dates in enumerate(line.ranges, start=1):
            band = self._at.band(row, self._column(dates.first), self._column(dates.last), number)
            if band.intersects(QRectF(clip)):
                painter.fillRect(band.adjusted(1, 0, -1, 0), self._strokes.veil)

    def _named_bands(self, painter: QPainter, row: int, line: Line, clip: QRect) -> None:
        """Name a visit that is unfilled at the left end of its band, as far as that is seen."""
        painter.setFont(self._strokes.small)
        for number in line.unfilled:
            dates = line.ranges[number - 1]
            band = self._at.band(row, self._column(dates.first), self._column(dates.last), number)
            seen = band.intersected(QRectF(clip))
            if seen.width() < _FEWEST_FOR_WORDS:
                continue
            mark = QRectF(seen.left() + 5, seen.center().y() - _MARK / 2, _MARK, _MARK)
            paint_mark(painter, mark, Severity.TROUBLE, self._strokes.colours)
            words = tr("visit %1 unfilled", number)
            room = QRectF(mark.right() + 4, seen.top(), seen.width() - _MARK - 12, seen.height())
            ground = QRectF(room.left() - 2, seen.center().y() - 8, width_of(self._strokes.small, words) + 4, 16)
            painter.fillRect(ground.intersected(seen), self._strokes.band)
            painter.setPen(self._strokes.ink)
            painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, words)

    def _hatched(self, painter: QPainter, row: int, line: Line) -> None:
        painter.setPen(Qt.PenStyle.NoPen)
        for first, last in runs_of(sorted(self._column(day) for day in line.without)):
            left, right = self._at.cell(row, first), self._at.cell(row, last)
            painter.fillRect(left.united(right).adjusted(0, 1, 0, -1), self._strokes.hatch)

    def _blocks(self, painter: QPainter, row: int, line: Line, clip: QRect) -> None:
        columns = self._at.columns_in(clip.left(), clip.right())
        moved = {} if line.after is None else _moved(line)
        for entry in line.entries():
            if self._column(entry.day) in columns:
                self.paint_entry(painter, row, entry, ghost=entry.visit.key.number in moved)
        if line.after is not None:
            self._preview(painter, row, line, moved)
            return
        standing = {visit.key.number: visit for visit in line.visits}
        for number, severity in line.marks:
            if number in standing and self._column(standing[number].date) in columns:
                self.paint_severity(painter, row, standing[number].date, number, severity)

    def _preview(self, painter: QPainter, row: int, line: Line, moved: dict[int, PlannedVisit | None]) -> None:
        """Paint how visits would stand, and an arrow from where each stands now."""
        before = {visit.key.number: visit for visit in line.visits}
        for number, then in moved.items():
            if then is None:
                self._struck(painter, row, before[number])
                continue
            if number in before and before[number].date != then.date:
                here = self._at.block(row, self._column(before[number].date), number)
                self._arrow(painter, here, self._at.block(row, self._column(then.date), number))
            for entry in entries_of([then]):
                self.paint_entry(painter, row, entry)

    def _struck(self, painter: QPainter, row: int, visit: PlannedVisit) -> None:
        box = self._at.block(row, self._column(visit.date), visit.key.number)
        painter.setPen(self._strokes.ink)
        painter.drawLine(box.topLeft(), box.bottomRight())
        painter.drawLine(box.topRight(), box.bottomLeft())

    def _arrow(self, painter: QPainter, here: QRectF, there: QRectF) -> None:
        right = there.left() >= here.left()
        start = QPointF(here.right() if right else here.left(), here.center().y())
        end = QPointF(there.left() if right else there.right(), there.center().y())
        if (end.x() > start.x()) is not right:
            return
        back = -5.0 if right else 5.0
        painter.setPen(self._strokes.accent)
        painter.drawLine(QLineF(start, end))
        painter.setBrush(self._strokes.accent.color())
        painter.drawPolygon(QPolygonF([end, end + QPointF(back, -3.5), end + QPointF(back, 3.5)]))

    def _visit(self, painter: QPainter, box: QRectF, visit: PlannedVisit, ghost: bool) -> None:
        strokes = self._strokes
        filled = {
            Status.PLANNED: (strokes.planned, strokes.ink),
            Status.CONFIRMED: (strokes.confirmed, strokes.on_accent),
            Status.DONE: (strokes.done, strokes.ink),
        }
        brush, text = filled[visit.status]
        painter.setPen(strokes.ghost if ghost else strokes.accent)
        painter.setBrush(Qt.BrushStyle.NoBrush if ghost else brush)
        painter.drawRoundedRect(box, 4, 4)
        painter.setPen(strokes.quiet if ghost else text)
        self._code(painter, box, visit.lead)
        if visit.setup == visit.date and not ghost:
            self._wedge(painter, box)
        if visit.second and not ghost:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(text.color())
            painter.drawEllipse(QPointF(box.right() - 4, box.bottom() - 4), 1.7, 1.7)
        if visit.status is Status.DONE and not ghost:
            paint_mark(painter, QRectF(box.right() - 8, box.top() - 4, _MARK, _MARK), None, strokes.colours)
        if visit.pinned and not ghost:
            paint_pin(painter, QRectF(box.right() - 8, box.top() - 4, 12, 12), strokes)

    def _reserve(self, painter: QPainter, box: QRectF, visit: PlannedVisit, ghost: bool) -> None:
        painter.setPen(self._strokes.ghost if ghost else self._strokes.dashed)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(box.adjusted(1, 1, -1, -1), 4, 4)
        painter.setPen(self._strokes.quiet)
        self._code(painter, box, visit.lead)

    def _setup(self, painter: QPainter, box: QRectF, visit: PlannedVisit, ghost: bool) -> None:
        """Paint a set-up day: a stake in the ground, broad above and pointed below."""
        path = QPainterPath(box.topLeft() + QPointF(2, 2))
        path.lineTo(box.topRight() + QPointF(-2, 2))
        path.lineTo(QPointF(box.right() - 2, box.bottom() - 6))
        path.lineTo(QPointF(box.center().x(), box.bottom()))
        path.lineTo(QPointF(box.left() + 2, box.bottom() - 6))
        path.closeSubpath()
        painter.setPen(self._strokes.ghost if ghost else self._strokes.edge)
        painter.setBrush(Qt.BrushStyle.NoBrush if ghost else self._strokes.surface)
        painter.drawPath(path)
        painter.setPen(self._strokes.quiet)
        self._code(painter, box.adjusted(0, 0, 0, -3), visit.lead)

    def _wedge(self, painter: QPainter, box: QRectF) -> None:
        """Paint the point of a stake below a visit that is set up on its own date."""
        middle = box.center().x()
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._strokes.ink.color())
        painter.drawPolygon(
            QPolygonF(
                [
                    QPointF(middle - 4, box.bottom() - 0.5),
                    QPointF(middle + 4, box.bottom() - 0.5),
                    QPointF(middle, box.bottom() + 4),
                ]
            )
        )

    def _code(self, painter: QPainter, box: QRectF, code: str) -> None:
        """Write a code into a block where there is room for it; what stands there is told otherwise anyhow."""
        width = self._widths.get(code)
        if width is None:
            width = self._widths[code] = width_of(self._strokes.small, code)
        if width <= box.width():
            painter.setFont(self._strokes.small)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, code)


def runs_of(columns: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Yield the first and last of each run of columns that follow one another."""
    if not columns:
        return
    first = columns[0]
    for here, there in pairwise(columns):
        if there != here + 1:
            yield first, here
            first = there
    yield first, columns[-1]


def _moved(line: Line) -> dict[int, PlannedVisit | None]:
    """Return the visits that a preview changes, as they would stand; None: unfilled."""
    now = {visit.key.number: visit for visit in line.visits}
    then = {visit.key.number: visit for visit in line.after or ()}
    return {number: then.get(number) for number in sorted({*now, *then}) if now.get(number) != then.get(number)}
