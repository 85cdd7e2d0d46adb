"""Paints a route in the list: the mark of its worst finding, its name, its figures, and how many findings it has."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPoint, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem

from planner.desktop.desk import Desk
from planner.desktop.look.colours import Colours
from planner.desktop.look.marks import paint_mark
from planner.desktop.routes.route_model import ROW_ROLE, RouteRow

_AIR = 8
_BETWEEN = 3


class RouteRowPainter(QStyledItemDelegate):
    """Two lines for each route."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._desk = desk

    def sizeHint(self, option: QStyleOptionViewItem, _index: QModelIndex | QPersistentModelIndex) -> QSize:
        """Return room for two lines."""
        metrics = QFontMetrics(option.font)
        return QSize(metrics.averageCharWidth() * 24, 2 * metrics.height() + _BETWEEN + 2 * _AIR)

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Paint one row."""
        row = index.data(ROW_ROLE)
        if not isinstance(row, RouteRow):
            return
        colours = self._desk.colours
        rect: QRect = option.rect
        state: QStyle.StateFlag = option.state
        font: QFont = option.font
        selected = bool(state & QStyle.StateFlag.State_Selected)
        painter.save()
        painter.fillRect(rect, QColor(colours.selection if selected else colours.surface))
        _write(painter, rect, (row, font, colours), selected=selected)
        painter.setPen(QColor(colours.line))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        if state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QColor(colours.focus))
            painter.drawRect(rect.adjusted(0, 0, -1, -1))
        painter.restore()


def _write(painter: QPainter, rect: QRect, shown: tuple[RouteRow, QFont, Colours], *, selected: bool) -> None:
    row, font, colours = shown
    ink = colours.on_selection if selected else colours.ink
    quiet = colours.on_selection if selected else colours.quiet
    bold = QFont(font)
    bold.setBold(True)
    metrics, bold_metrics = QFontMetrics(font), QFontMetrics(bold)
    mark = QRectF(rect.left() + _AIR, rect.top() + _AIR, metrics.height(), metrics.height())
    paint_mark(painter, mark, row.worst, colours)
    left, right = int(mark.right()) + _AIR, rect.right() - _AIR
    count = str(len(row.findings)) if row.findings else ""
    count_width = bold_metrics.horizontalAdvance(count)
    top = rect.top() + _AIR
    painter.setFont(bold)
    painter.setPen(QColor(ink))
    painter.drawText(QPoint(right - count_width, top + bold_metrics.ascent()), count)
    room = right - left - (count_width + _AIR if count else 0)
    title = bold_metrics.elidedText(row.route.title, Qt.TextElideMode.ElideRight, room)
    painter.drawText(QPoint(left, top + bold_metrics.ascent()), title)
    painter.setFont(font)
    painter.setPen(QColor(quiet))
    beside = room - bold_metrics.horizontalAdvance(title) - _AIR
    area = metrics.horizontalAdvance(row.route.area)
    # Whole or not at all: the tip says it too, and the list may be drawn wider.
    if area <= beside:
        painter.drawText(QPoint(left + room - area, top + bold_metrics.ascent()), row.route.area)
    line = metrics.elidedText(row.line, Qt.TextElideMode.ElideRight, right - left)
    painter.drawText(QPoint(left, top + bold_metrics.height() + _BETWEEN + metrics.ascent()), line)
