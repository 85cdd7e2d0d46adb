"""Severities as shapes, so that no status is told by colour alone: bar, triangle, diamond, ring; a tick for good."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPixmap, QPixmapCache, QPolygonF

from planner.desktop.look.colours import Colours
from planner.domain.finding import Severity


def paint_mark(painter: QPainter, rect: QRectF, severity: Severity | None, colours: Colours) -> None:
    """Paint the mark of a severity into a square; None: nothing is wrong."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    colour = QColor(colours.good if severity is None else colours.severity(severity))
    box = rect.adjusted(1, 1, -1, -1)
    if severity is None:
        _tick(painter, box, colour)
    else:
        _SHAPES[severity](painter, box, colour, QColor(colours.ground))
    painter.restore()


def mark_pixmap(severity: Severity | None, colours: Colours, size: int = 16, ratio: float = 1.0) -> QPixmap:
    """Return the mark as a picture; ``size`` in device-independent pixels.

    Tables ask for the same few with every cell they measure and paint: Qt keeps them.
    """
    key = f"mark {severity} {colours.name} {size} {ratio}"
    kept = QPixmap()
    if not QPixmapCache.find(key, kept):
        kept = _drawn(severity, colours, size, ratio)
        QPixmapCache.insert(key, kept)
    return kept


def _drawn(severity: Severity | None, colours: Colours, size: int, ratio: float) -> QPixmap:
    pixmap = QPixmap(round(size * ratio), round(size * ratio))
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    paint_mark(painter, QRectF(0, 0, size, size), severity, colours)
    painter.end()
    return pixmap


def _barred_disc(painter: QPainter, box: QRectF, colour: QColor, inner: QColor) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    painter.drawEllipse(box)
    bar = QRectF(box.left() + box.width() * 0.22, box.center().y() - box.height() * 0.11, box.width() * 0.56, 0)
    bar.setHeight(box.height() * 0.22)
    painter.fillRect(bar, inner)


def _triangle(painter: QPainter, box: QRectF, colour: QColor, inner: QColor) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    painter.drawPolygon(QPolygonF([QPointF(box.center().x(), box.top()), box.bottomRight(), box.bottomLeft()]))
    middle, unit = box.center().x(), box.width() / 16
    painter.fillRect(QRectF(middle - unit, box.top() + 5.5 * unit, 2 * unit, 5.5 * unit), inner)
    painter.fillRect(QRectF(middle - unit, box.top() + 12.3 * unit, 2 * unit, 2 * unit), inner)


def _diamond(painter: QPainter, box: QRectF, colour: QColor, _inner: QColor) -> None:
    middle = box.center()
    corners = [
        QPointF(middle.x(), box.top()),
        QPointF(box.right(), middle.y()),
        QPointF(middle.x(), box.bottom()),
        QPointF(box.left(), middle.y()),
    ]
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    painter.drawPolygon(QPolygonF(corners))


def _ring(painter: QPainter, box: QRectF, colour: QColor, _inner: QColor) -> None:
    width = box.width() / 7
    painter.setPen(QPen(colour, width))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawEllipse(box.adjusted(width, width, -width, -width))


def _tick(painter: QPainter, box: QRectF, colour: QColor) -> None:
    pen = QPen(colour, box.width() / 6)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    left, top, unit = box.left(), box.top(), box.width() / 10
    painter.drawPolyline(
        [
            QPointF(left + 1.5 * unit, top + 5.5 * unit),
            QPointF(left + 4 * unit, top + 8 * unit),
            QPointF(left + 8.5 * unit, top + 2 * unit),
        ]
    )


_SHAPES = {
    Severity.BROKEN: _barred_disc,
    Severity.TROUBLE: _triangle,
    Severity.DOUBT: _diamond,
    Severity.NOTE: _ring,
}
