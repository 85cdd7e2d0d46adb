"""The frozen edges of the board: dates above, routes at the left."""

from __future__ import annotations

import datetime as dt
from itertools import groupby

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QMouseEvent, QPainter, QPainterPath, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from planner.desktop.board.geometry import BoardGeometry
from planner.desktop.board.lines import Line
from planner.desktop.board.model import BoardModel
from planner.desktop.board.said import tr
from planner.desktop.board.strokes import Strokes, mixed, width_of
from planner.usecases.plan.board_light import MoonNight

_PAD = 8
_NARROWEST, _WIDEST = 150, 225
_MEASURED = 200
"""Titles that the width of the left edge is measured by: the first ones tell."""


class DatesHeader(QWidget):
    """Month, day, weekday and moon above the columns."""

    def __init__(self, model: BoardModel, parent: QWidget) -> None:
        super().__init__(parent)
        self._model = model
        self.strokes: Strokes | None = None
        self.geometry_of_board: BoardGeometry | None = None
        self.setAccessibleName(tr("Dates"))

    def wanted_height(self, strokes: Strokes, board: BoardGeometry) -> int:
        """Return the height that the header needs: months, dates, weekdays, the moon, a lane for each kind of visit."""
        lines = 3.45 + (1.2 if self._model.moon else 0) + (max(board.lanes) + 1)
        return round(QFontMetricsF(strokes.small).height() * lines)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the months and dates that are seen."""
        strokes, board = self.strokes, self.geometry_of_board
        if strokes is None or board is None or not self._model.days:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(event.rect(), strokes.group)
        columns = board.columns_in(0, self.width())
        line = QFontMetricsF(strokes.small).height()
        for column in columns:
            self._date(painter, QRectF(board.cell(0, column)), self._model.days[column], line)
        self._months(painter, columns, line)
        self._visits(painter, line)
        painter.setPen(strokes.edge)
        painter.drawLine(0, self.height() - 1, self.width(), self.height() - 1)
        painter.end()

    def _months(self, painter: QPainter, columns: range, line: float) -> None:
        """Name each month over its dates, as far left as they are seen."""
        strokes, board, days = self.strokes, self.geometry_of_board, self._model.days
        assert strokes is not None
        assert board is not None
        painter.setFont(strokes.bold)
        for _, group in groupby(columns, key=lambda column: (days[column].year, days[column].month)):
            own = list(group)
            left, right = max(board.cell(0, own[0]).left(), 0), board.cell(0, own[-1]).right()
            painter.setPen(strokes.line)
            painter.drawLine(left, 0, left, round(line * 1.1))
            painter.setPen(strokes.ink)
            room = QRectF(left + 5, 1, right - left - 5, line * 1.2)
            month = f"{days[own[0]]:%B %Y}"
            if width_of(strokes.bold, month) > room.width():
                month = f"{days[own[0]]:%b}"
            if width_of(strokes.bold, month) <= room.width():
                painter.drawText(room, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, month)

    def _visits(self, painter: QPainter, line: float) -> None:
        """Name the dates that each visit may have, as far as they are seen."""
        strokes, board = self.strokes, self.geometry_of_board
        assert strokes is not None
        assert board is not None
        painter.setFont(strokes.small)
        first = self._model.days[0]
        top = self.height() - line * (max(board.lanes) + 1) - 2
        for number, dates in enumerate(self._model.visit_ranges, start=1):
            left = board.cell(0, (dates.first - first).days).left()
            right = board.cell(0, (dates.last - first).days).right()
            bar = QRectF(left + 1, top + board.lanes[number - 1] * line, right - left - 1, line - 1)
            painter.fillRect(bar, strokes.band)
            seen = bar.intersected(QRectF(self.rect())).adjusted(6, 0, 0, 0)
            words = tr("visit %1", number)
            if seen.width() >= width_of(strokes.small, words):
                painter.setPen(strokes.ink)
                painter.drawText(seen, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, words)

    def _date(self, painter: QPainter, cell: QRectF, day: dt.date, line: float) -> None:
        strokes = self.strokes
        assert strokes is not None
        bottom = line * (3.4 + (1.2 if self._model.moon else 0))
        box = QRectF(cell.left(), line * 1.25, cell.width(), bottom - line * 1.25)
        if day.weekday() >= 5:
            painter.fillRect(box, mixed(strokes.group, strokes.edge.color(), 0.22))
        if day in self._model.nowhere:
            painter.fillRect(box, strokes.hatch)
        if day == self._model.today:
            painter.fillRect(QRectF(box.left(), box.top() + 2 * line + 1, box.width(), 3), strokes.accent.color())
        narrow = width_of(strokes.small, "Wed") > box.width() - 2
        weekday = f"{day:%a}"[:1] if narrow else f"{day:%a}"
        painter.setFont(strokes.bold if day == self._model.today else strokes.small)
        painter.setPen(strokes.ink)
        centred = Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignVCenter
        if not narrow or box.width() >= width_of(strokes.small, "00") or day.weekday() == 0:
            painter.drawText(QRectF(box.left() - 6, box.top(), box.width() + 12, line), centred, str(day.day))
        painter.setFont(strokes.small)
        painter.setPen(strokes.quiet)
        painter.drawText(QRectF(box.left(), box.top() + line, box.width(), line), centred, weekday)
        night = self._model.moon.get(day)
        if night is not None:
            size = min(box.width() - 4, line * 0.9)
            middle = QPointF(box.center().x(), box.top() + line * 2.55)
            paint_moon(painter, middle, size / 2, night, strokes)


def paint_moon(painter: QPainter, middle: QPointF, radius: float, night: MoonNight, strokes: Strokes) -> None:
    """Paint the moon's disc with the part that is lit: at the right while it grows, as seen from the north."""
    disc = QRectF(middle.x() - radius, middle.y() - radius, 2 * radius, 2 * radius)
    painter.setPen(QPen(strokes.quiet.color(), 0.8))
    painter.setBrush(mixed(strokes.group, strokes.ink.color(), 0.75 if not strokes.colours.dark else 0.05))
    painter.drawEllipse(disc)
    lit = QPainterPath()
    lit.moveTo(middle.x(), disc.top())
    lit.arcTo(disc, 90, -180 if night.waxing else 180)
    bulge = (1 - 2 * night.illuminated) * radius
    inner = QRectF(middle.x() - abs(bulge), disc.top(), 2 * abs(bulge), 2 * radius)
    outward = (bulge >= 0) == night.waxing
    lit.arcTo(inner, -90, 180 if outward else -180)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(mixed(strokes.surface, strokes.ink.color(), 0.05 if not strokes.colours.dark else 0.9))
    painter.drawPath(lit)


class LinesHeader(QWidget):
    """Routes with their leads, and the heads of groups, at the left of the rows."""

    fold_asked = Signal(str)
    """The name of a group whose head was clicked."""
    row_clicked = Signal(int, object)
    """A row that was clicked, with the keys held (Qt.KeyboardModifiers)."""

    def __init__(self, model: BoardModel, parent: QWidget) -> None:
        super().__init__(parent)
        self._model = model
        self.strokes: Strokes | None = None
        self.geometry_of_board: BoardGeometry | None = None
        self.selected_rows: frozenset[int] = frozenset()
        self.setAccessibleName(tr("Routes"))

    def sizeHint(self) -> QSize:
        """Return the size that shows most titles whole."""
        if self.strokes is None:
            return QSize(_NARROWEST, 100)
        font, bold, small = self.strokes.font, self.strokes.bold, self.strokes.small
        wanted = [
            width_of(bold, line.title) + 28
            if line.heads
            else width_of(font, line.title) + width_of(small, line.leads[:12]) + 28 + (12 if line.group else 0)
            for line in self._model.lines[:_MEASURED]
        ]
        return QSize(round(min(max(wanted, default=0), _WIDEST)) if wanted else _NARROWEST, 100)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Fold or unfold a group, or choose a route."""
        board = self.geometry_of_board
        row = board.row_at(event.position().y()) if board is not None else -1
        if row < 0:
            return
        line = self._model.lines[row]
        if line.heads:
            self.fold_asked.emit(line.group)
        else:
            self.row_clicked.emit(row, event.modifiers())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Take the release that belongs to a press here."""
        event.accept()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the titles that are seen."""
        strokes, board = self.strokes, self.geometry_of_board
        if strokes is None or board is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(event.rect(), strokes.group)
        for row in board.rows_in(event.rect().top(), event.rect().bottom()):
            cell = board.cell(row, 0)
            line = self._model.lines[row]
            box = QRect(0, cell.top(), self.width() - 1, cell.height())
            (self._head if line.heads else self._route)(painter, box, line, row)
            painter.setPen(strokes.line)
            painter.drawLine(0, cell.bottom(), self.width(), cell.bottom())
        painter.setPen(strokes.edge)
        painter.drawLine(self.width() - 1, 0, self.width() - 1, self.height())
        painter.end()

    def _head(self, painter: QPainter, box: QRect, line: Line, _row: int) -> None:
        strokes = self.strokes
        assert strokes is not None
        middle = box.center().y()
        at = QPointF(10, middle)
        corners = (
            [at + QPointF(-3, -5), at + QPointF(4, 0), at + QPointF(-3, 5)]
            if line.folded
            else [at + QPointF(-5, -3), at + QPointF(5, -3), at + QPointF(0, 4)]
        )
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(strokes.ink.color())
        painter.drawPolygon(QPolygonF(corners))
        self._texts(painter, QRectF(box).adjusted(20, 0, -_PAD, 0), line.title, "", bold=True)

    def _route(self, painter: QPainter, box: QRect, line: Line, row: int) -> None:
        strokes = self.strokes
        assert strokes is not None
        chosen = row in self.selected_rows
        painter.fillRect(box, strokes.planned.color() if chosen else strokes.surface)
        if chosen:
            painter.fillRect(QRect(box.left(), box.top(), 4, box.height()), strokes.accent.color())
        indent = 20 if line.group else _PAD
        self._texts(painter, QRectF(box).adjusted(indent, 0, -_PAD, 0), line.title, line.leads, bold=False)

    def _texts(self, painter: QPainter, box: QRectF, title: str, right: str, *, bold: bool) -> None:
        """Write a title at the left, cut where there is no room, and what belongs to it at the right."""
        strokes = self.strokes
        assert strokes is not None
        painter.setFont(strokes.small)
        painter.setPen(strokes.quiet)
        shown = QFontMetricsF(strokes.small).elidedText(right, Qt.TextElideMode.ElideRight, box.width() * 0.4)
        middle = Qt.AlignmentFlag.AlignVCenter
        painter.drawText(box, Qt.AlignmentFlag.AlignRight | middle, shown)
        font = strokes.bold if bold else strokes.font
        painter.setFont(font)
        painter.setPen(strokes.ink)
        room = box.width() - width_of(strokes.small, shown) - _PAD
        left = QFontMetricsF(font).elidedText(title, Qt.TextElideMode.ElideRight, room)
        painter.drawText(box, Qt.AlignmentFlag.AlignLeft | middle, left)
