"""What stands on the glass, not on the ground: scale bar, north, the roads' attribution, the ring of focus."""

from __future__ import annotations

import math

import numpy as np
from PySide6.QtCore import QCoreApplication, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF

from planner.desktop.map.drawing import Sight, clear
from planner.desktop.map.ground import Ground
from planner.desktop.units import METRES_A_FOOT, METRES_A_MILE, Units

MARGIN_PX = 10.0
BAR_PX = 130.0
"""Longest scale bar."""


def round_length(most: float) -> float:
    """Return the longest 1, 2 or 5 times a power of ten that is not above ``most``."""
    power = 10.0 ** math.floor(math.log10(most))
    # The half serves where the logarithm of a number just below a power of ten is rounded up to it.
    return next(step * power for step in (5.0, 2.0, 1.0, 0.5) if step * power <= most)


def bar_length(most_m: float, units: Units) -> tuple[float, str]:
    """Return the metres of the longest round scale bar that is not above ``most_m``, and what it says."""
    if units is Units.METRIC:
        unit, word = (1000.0, "km") if most_m >= 1000.0 else (1.0, "m")
    else:
        unit, word = (METRES_A_MILE, "mi") if most_m >= METRES_A_MILE / 2 else (METRES_A_FOOT, "ft")
    count = round_length(most_m / unit)
    return count * unit, f"{count:g} {word}"


class Furniture:
    """Scale bar, north and attribution."""

    def __init__(self, ground: Ground, attribution: str, font: QFont) -> None:
        self.ground = ground
        self.attribution = attribution
        self._font = QFont(font)
        self._font.setPointSizeF(font.pointSizeF() * 0.85)
        self._metrics = QFontMetricsF(self._font)

    def paint(self, painter: QPainter, sight: Sight) -> None:
        """Paint all three along the lower edge."""
        painter.setFont(self._font)
        self._paint_north(painter, sight)
        self._paint_bar(painter, sight)
        if self.attribution:
            self._paint_attribution(painter, sight)

    def bar(self, sight: Sight) -> tuple[float, str]:
        """Return the pixels that the scale bar is long, true in the middle of the window, and what it says."""
        latitude = self.ground.latitude(np.array([sight.camera.south]))
        true_east, _ = self.ground.stretch(latitude)
        pixels_a_metre = float(true_east[0]) * sight.camera.scale
        length_m, words = bar_length(BAR_PX / pixels_a_metre, sight.units)
        return length_m * pixels_a_metre, words

    def _paint_bar(self, painter: QPainter, sight: Sight) -> None:
        length, words = self.bar(sight)
        left, bottom = MARGIN_PX + 26.0, sight.camera.height - MARGIN_PX
        high, wide = self._metrics.height(), length + self._metrics.horizontalAdvance(words) + 18.0
        self._plate(painter, sight, QRectF(left - 6.0, bottom - high - 4.0, wide, high + 4.0))
        painter.setPen(QPen(QColor(sight.colours.ink), 1.6))
        level = bottom - 5.0
        painter.drawPolyline(
            [
                QPointF(left, level - 6),
                QPointF(left, level),
                QPointF(left + length, level),
                QPointF(left + length, level - 6),
            ]
        )
        painter.drawText(QPointF(left + length + 6.0, bottom - self._metrics.descent() - 2.0), words)

    def _paint_north(self, painter: QPainter, sight: Sight) -> None:
        x, bottom = MARGIN_PX + 8.0, sight.camera.height - MARGIN_PX
        letter = QCoreApplication.translate("Map", "N", "north, on the map")
        high = self._metrics.height()
        self._plate(painter, sight, QRectF(x - 11.0, bottom - high - 24.0, 22.0, high + 24.0))
        arrow = [
            QPointF(x, bottom - 22),
            QPointF(x + 6, bottom - 4),
            QPointF(x, bottom - 8),
            QPointF(x - 6, bottom - 4),
        ]
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(sight.colours.ink))
        painter.drawPolygon(QPolygonF(arrow))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QColor(sight.colours.ink))
        box = QRectF(x - 11.0, bottom - high - 23.0, 22.0, high)
        painter.drawText(box, Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop, letter)

    def _paint_attribution(self, painter: QPainter, sight: Sight) -> None:
        most = sight.camera.width / 2
        words = self._metrics.elidedText(self.attribution, Qt.TextElideMode.ElideRight, most)
        wide, high = self._metrics.horizontalAdvance(words) + 10.0, self._metrics.height() + 2.0
        box = QRectF(sight.camera.width - wide - 4.0, sight.camera.height - high - 4.0, wide, high)
        self._plate(painter, sight, box)
        painter.setPen(QColor(sight.colours.quiet))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)

    def _plate(self, painter: QPainter, sight: Sight, box: QRectF) -> None:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(clear(sight.colours.surface, 0.85))
        painter.drawRoundedRect(box, 3.0, 3.0)
        painter.setBrush(Qt.BrushStyle.NoBrush)
