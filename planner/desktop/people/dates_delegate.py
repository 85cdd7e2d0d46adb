"""Shows the cells of the calendar of one volunteer."""

from __future__ import annotations

from PySide6.QtCore import QObject, QRectF, QSize
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem

from planner.desktop.look.colours import Colours
from planner.desktop.people.dates_model import CELL_ROLE, DayCell, Index
from planner.desktop.people.day_painter import DayPainter


class DatesDelegate(QStyledItemDelegate):
    """Paints what a cell says by itself; words and tool tips come from the model."""

    def __init__(self, colours: Colours, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.days = DayPainter(colours)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one cell."""
        cell = index.data(CELL_ROLE)
        current = bool(option.state & QStyle.StateFlag.State_HasFocus)
        shown = cell if isinstance(cell, DayCell) else None
        self.days.paint(painter, QRectF(option.rect), shown, str(index.data() or ""), current=current)

    def sizeHint(self, option: QStyleOptionViewItem, _index: Index) -> QSize:
        """Leave room for the day and a route's code."""
        metrics = option.fontMetrics
        return QSize(metrics.horizontalAdvance("30 May  R00"), round(metrics.height() * 1.35))
