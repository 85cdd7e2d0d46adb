"""How each kind of step is filled, so that shape and pattern tell them apart before colour does."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from planner.desktop.look.colours import Colours
from planner.domain.outing import StepKind

_ROAD = 9.0
"""Height of the road that stands for a drive."""
_LEAST_POINTS, _TURNED_POINTS, _MOST_POINTS = 6.5, 7.5, 10.0
"""Type sizes of a point's number: the least that can be read, the largest that is turned on end, the usual."""


def fill_block(painter: QPainter, box: QRectF, kind: StepKind, colours: Colours, *, stands: bool = True) -> None:
    """Fill a block of the timeline; a count that does not stand is an empty frame, struck through."""
    painter.save()
    if kind is StepKind.COUNT and not stands:
        _fallen_out(painter, box, colours)
    else:
        _FILLS[kind](painter, box, colours)
    painter.restore()


def number_block(
    painter: QPainter, box: QRectF, number: int, kind: StepKind, colours: Colours, *, stands: bool = True
) -> None:
    """Write the number of its point into a block; turned up on end where it is too narrow, left out where too slim."""
    font, upright = _font_for(str(number), box, painter.font())
    if font is None:
        return
    solid = kind is StepKind.COUNT and stands
    metrics = QFontMetricsF(font)
    painter.save()
    painter.setFont(font)
    painter.translate(box.center())
    if not upright:
        painter.rotate(-90.0)
    paper = QRectF(0, 0, metrics.horizontalAdvance(str(number)) + 4.0, metrics.capHeight() + 6.0)
    paper.moveCenter(QPointF(0.0, 0.0))
    if not solid:
        painter.fillRect(paper.intersected(_within(box, upright=upright)), QColor(colours.surface))
    painter.setPen(QColor(colours.on_accent if solid else colours.ink))
    painter.drawText(paper.adjusted(-9, -9, 9, 9), Qt.AlignmentFlag.AlignCenter, str(number))
    painter.restore()


def _within(box: QRectF, *, upright: bool) -> QRectF:
    """Return the inside of a block as its number sees it, about its middle."""
    width, height = (box.width(), box.height()) if upright else (box.height(), box.width())
    return QRectF(1 - width / 2, 1 - height / 2, width - 2, height - 2)


def _font_for(number: str, box: QRectF, usual: QFont) -> tuple[QFont | None, bool]:
    """Return the largest type in which a number fits into a block, and whether it stands upright in it."""
    font = QFont(usual)
    font.setBold(True)
    size = _MOST_POINTS
    while size >= _LEAST_POINTS:
        font.setPointSizeF(size)
        metrics = QFontMetricsF(font)
        if metrics.horizontalAdvance(number) <= box.width() - 2.0:
            return font, True
        if size <= _TURNED_POINTS and metrics.capHeight() <= box.width() - 1.0:
            return font, False
        size -= 0.5
    return None, True


def _drive(painter: QPainter, box: QRectF, colours: Colours) -> None:
    """A road: a bar with a broken line along its middle."""
    road = QRectF(box.left(), box.center().y() - _ROAD / 2, box.width(), _ROAD)
    painter.fillRect(road, QColor(colours.edge))
    pen = QPen(QColor(colours.surface), 1.2)
    pen.setDashPattern([4.0, 3.0])
    painter.setPen(pen)
    painter.drawLine(QPointF(road.left() + 2, road.center().y()), QPointF(road.right() - 1, road.center().y()))


def _setup(painter: QPainter, box: QRectF, colours: Colours) -> None:
    """Level lines."""
    painter.fillRect(box, QColor(colours.surface))
    painter.setPen(QPen(QColor(colours.note), 1.0))
    down = box.top() + 4.0
    while down < box.bottom() - 1:
        painter.drawLine(QPointF(box.left(), down), QPointF(box.right(), down))
        down += 4.0
    _frame(painter, box, colours.note)


def _habitat(painter: QPainter, box: QRectF, colours: Colours) -> None:
    """Dots, as tufts seen from above."""
    painter.fillRect(box, QColor(colours.surface))
    painter.setClipRect(box)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(colours.good))
    down, row = box.top() + 4.0, 0
    while down < box.bottom():
        across = box.left() + (3.0 if row % 2 else 6.0)
        while across < box.right():
            painter.drawEllipse(QPointF(across, down), 1.0, 1.0)
            across += 6.0
        down, row = down + 5.0, row + 1
    painter.setClipping(False)
    _frame(painter, box, colours.good)


def _wait(painter: QPainter, box: QRectF, colours: Colours) -> None:
    """Nothing but a broken edge."""
    pen = QPen(QColor(colours.edge), 1.2)
    pen.setDashPattern([3.0, 2.5])
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box.adjusted(0.6, box.height() * 0.28, -0.6, -box.height() * 0.28))


def _count(painter: QPainter, box: QRectF, colours: Colours) -> None:
    """Solid."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(colours.accent))
    painter.drawRoundedRect(box, 2.0, 2.0)


def _fallen_out(painter: QPainter, box: QRectF, colours: Colours) -> None:
    """A frame with slanted lines, lowered out of the row."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.fillRect(box, QColor(colours.surface))
    painter.setClipRect(box)
    painter.setPen(QPen(QColor(colours.broken), 1.3))
    start = box.left() - box.height()
    while start < box.right():
        painter.drawLine(QPointF(start, box.bottom()), QPointF(start + box.height(), box.top()))
        start += 6.0
    painter.setClipping(False)
    _frame(painter, box, colours.broken, 1.6)


def _frame(painter: QPainter, box: QRectF, colour: str, width: float = 1.0) -> None:
    painter.setPen(QPen(QColor(colour), width))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box.adjusted(width / 2, width / 2, -width / 2, -width / 2))


_FILLS: Mapping[StepKind, Callable[[QPainter, QRectF, Colours], None]] = {
    StepKind.DRIVE: _drive,
    StepKind.SETUP: _setup,
    StepKind.HABITAT: _habitat,
    StepKind.WAIT: _wait,
    StepKind.COUNT: _count,
}
