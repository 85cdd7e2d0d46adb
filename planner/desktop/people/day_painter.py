"""Paints one part of one date: a filled block is given and of use, an empty one is given in vain."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen

from planner.desktop.look.colours import Colours
from planner.desktop.look.sky import ink_on, sky_colour
from planner.desktop.people.dates_model import DayCell
from planner.domain.window import PartOfDay
from planner.usecases.people.planned_dates import Duty, DutyKind
from planner.usecases.people.usable_dates import CellUse

_SUN_DEG = {PartOfDay.DAWN: -1.5, PartOfDay.DAYLIGHT: 30.0, PartOfDay.DUSK: -6.0}
"""The sun's altitude whose sky stands for a part of the day."""
_OF_USE = frozenset({CellUse.COUNTS, CellUse.SETUP, None})
"""Uses for which a given date is painted full; None: not known yet."""
_ROUND, _INSET = 4.0, 1.5


class DayPainter:
    """Paints the cells of a calendar, and the samples of its legend."""

    def __init__(self, colours: Colours) -> None:
        self.colours = colours

    def paint(self, painter: QPainter, rect: QRectF, cell: DayCell | None, number: str, *, current: bool) -> None:
        """Paint a cell.

        Args:
            painter: left as it was.
            rect: where.
            cell: what; None outside the season.
            number: the day, where it is to be written.
            current: whether the keys stand on it.
        """
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setClipRect(rect)
        if cell is None:
            painter.fillRect(rect, QColor(self.colours.raised))
        else:
            self._paint_ground(painter, rect, cell)
            ink = self._paint_block(painter, rect, cell)
            self._paint_words(painter, rect, cell, number, ink)
            self._paint_edges(painter, rect, cell, current=current)
        painter.restore()

    def _paint_ground(self, painter: QPainter, rect: QRectF, cell: DayCell) -> None:
        """Paint what the date is good for: plain, hatched where there is no window, sunk where no visit may be."""
        idle = cell.use in (CellUse.NO_VISIT, CellUse.NO_ROUTE)
        painter.fillRect(rect, QColor(self.colours.ground if idle else self.colours.surface))
        if cell.use is CellUse.DARK:
            painter.fillRect(rect, QBrush(QColor(self.colours.edge), Qt.BrushStyle.BDiagPattern))

    def _paint_block(self, painter: QPainter, rect: QRectF, cell: DayCell) -> QColor:
        """Paint the block of a given date and return the ink to write on it."""
        box = rect.adjusted(_INSET, _INSET, -_INSET, -_INSET)
        if not cell.given:
            return QColor(self.colours.quiet)
        if cell.use in _OF_USE:
            sky = sky_colour(_SUN_DEG[cell.part])
            painter.setPen(QPen(QColor(self.colours.edge), 1))
            painter.setBrush(sky)
            painter.drawRoundedRect(box, _ROUND, _ROUND)
            return ink_on(sky)
        painter.setPen(QPen(QColor(self.colours.ink), 1.2, Qt.PenStyle.DashLine))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(box, _ROUND, _ROUND)
        return QColor(self.colours.ink)

    def _paint_words(self, painter: QPainter, rect: QRectF, cell: DayCell, number: str, ink: QColor) -> None:
        inside = rect.adjusted(6, 0, -5, 0)
        painter.setPen(ink)
        font = painter.font()
        if number:
            painter.drawText(inside, int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft), number)
        if cell.duties:
            self._paint_chip(painter, inside, cell.duties)
        elif cell.given:
            _paint_tick(painter, QRectF(inside.right() - 10, inside.center().y() - 5, 10, 10), ink)
        painter.setFont(font)

    def _paint_chip(self, painter: QPainter, inside: QRectF, duties: tuple[Duty, ...]) -> None:
        """Paint what is planned: a full chip for a visit or set-up, a dashed one for a reserve date."""
        firm = next((duty for duty in duties if duty.kind is not DutyKind.RESERVE), duties[0])
        more = "+" if len(duties) > 1 else ""
        text = f"{firm.key.route}{more}"
        metrics = painter.fontMetrics()
        width = min(metrics.horizontalAdvance(text) + 8.0, inside.width())
        height = min(metrics.height() + 1.0, inside.height() - 4)
        chip = QRectF(inside.right() - width, inside.center().y() - height / 2, width, height)
        reserve = firm.kind is DutyKind.RESERVE
        style = Qt.PenStyle.DashLine if reserve else Qt.PenStyle.SolidLine
        painter.setPen(QPen(QColor(self.colours.accent if reserve else self.colours.surface), 1.4, style))
        painter.setBrush(QColor(self.colours.surface if reserve else self.colours.accent))
        painter.drawRoundedRect(chip, 3, 3)
        painter.setPen(QColor(self.colours.accent if reserve else self.colours.on_accent))
        painter.drawText(
            chip,
            int(Qt.AlignmentFlag.AlignCenter),
            metrics.elidedText(text, Qt.TextElideMode.ElideRight, int(width - 4)),
        )

    def _paint_edges(self, painter: QPainter, rect: QRectF, cell: DayCell, *, current: bool) -> None:
        """Paint the line above a new week, and the frames of what is marked and where one stands."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if cell.first_part:
            painter.setPen(QPen(QColor(self.colours.edge), 1))
            painter.drawLine(rect.topLeft(), rect.topRight())
        if cell.day.day == 1 and cell.day.weekday() != 0:
            painter.setPen(QPen(QColor(self.colours.edge), 2))
            painter.drawLine(rect.topLeft(), rect.bottomLeft())
        if cell.marked:
            painter.setPen(QPen(QColor(self.colours.accent), 2))
            painter.drawRect(rect.adjusted(1, 1, -2, -2))
        if current:
            painter.setPen(QPen(QColor(self.colours.focus), 3))
            painter.drawRect(rect.adjusted(1, 1, -2, -2))


def _paint_tick(painter: QPainter, box: QRectF, ink: QColor) -> None:
    path = QPainterPath(QPointF(box.left() + 1, box.center().y()))
    path.lineTo(box.left() + 4, box.bottom() - 1.5)
    path.lineTo(box.right() - 0.5, box.top() + 1.5)
    pen = QPen(ink, 1.6)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(path)
