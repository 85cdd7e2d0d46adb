"""What stands on the glass, not on the ground: scale bar, north, the roads' attribution, the ring of focus."""

from __future__ import annotations

import math

import numpy as np
from PySide6.QtCore import QCoreApplication, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF

from planner.desktop.map.drawing import Sight
from planner.desktop.map.ground import Ground
from planner.desktop.map.sprites import Sprites
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
    """Scale bar, north and attribution, along the lower edge."""

    def __init__(self, ground: Ground, attribution: str, font: QFont) -> None:
        self.ground = ground
        self.attribution = attribution
        self._font = QFont(font)
        self._font.setPointSizeF(font.pointSizeF() * 0.85)
        self._metrics = QFontMetricsF(self._font)

    def paint(self, painter: QPainter, sight: Sight, sprites: Sprites) -> None:
        """Paint all three."""
        painter.setFont(self._font)
        north, bar, *attribution = self.boxes(sight)
        for box in (north, bar, *attribution):
            painter.drawPixmap(box.topLeft(), sprites.plate(box.width(), box.height()))
        self._paint_north(painter, sight, north)
        self._paint_bar(painter, sight, bar)
        for box in attribution:
            painter.setPen(QColor(sight.colours.quiet))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, self._attribution_words(sight))

    def boxes(self, sight: Sight) -> tuple[QRectF, ...]:
        """Return the plates they stand on: north, scale bar, and attribution where there is one."""
        bottom, high = sight.camera.height - MARGIN_PX, self._metrics.height()
        north = QRectF(MARGIN_PX, bottom - high - 24.0, 22.0, high + 24.0)
        length, words = self.bar(sight)
        wide = length + self._metrics.horizontalAdvance(words) + 20.0
        bar = QRectF(north.right() + 6.0, bottom - high - 6.0, wide, high + 6.0)
        if not self.attribution:
            return north, bar
        wide = self._metrics.horizontalAdvance(self._attribution_words(sight)) + 12.0
        right = sight.camera.width - MARGIN_PX
        return north, bar, QRectF(right - wide, bottom - high - 2.0, wide, high + 2.0)

    def bar(self, sight: Sight) -> tuple[float, str]:
        """Return the pixels that the scale bar is long, true in the middle of the window, and what it says."""
        latitude = self.ground.latitude(np.array([sight.camera.south]))
        true_east, _ = self.ground.stretch(latitude)
        pixels_a_metre = float(true_east[0]) * sight.camera.scale
        length_m, words = bar_length(BAR_PX / pixels_a_metre, sight.units)
        return length_m * pixels_a_metre, words

    def _attribution_words(self, sight: Sight) -> str:
        return self._metrics.elidedText(self.attribution, Qt.TextElideMode.ElideRight, sight.camera.width / 2)

    def _paint_bar(self, painter: QPainter, sight: Sight, box: QRectF) -> None:
        length, words = self.bar(sight)
        left, right, level = box.left() + 6.0, box.left() + 6.0 + length, box.bottom() - 6.0
        painter.setPen(QPen(QColor(sight.colours.ink), 1.6))
        ends = [QPointF(left, level - 6), QPointF(left, level), QPointF(right, level), QPointF(right, level - 6)]
        painter.drawPolyline(ends)
        painter.drawText(QPointF(right + 7.0, box.bottom() - self._metrics.descent() - 2.0), words)

    def _paint_north(self, painter: QPainter, sight: Sight, box: QRectF) -> None:
        x, bottom = box.center().x(), box.bottom() - 3.0
        letter = QCoreApplication.translate("Map", "N", "north, on the map")
        arrow = [QPointF(x, bottom - 19), QPointF(x + 6, bottom), QPointF(x, bottom - 5), QPointF(x - 6, bottom)]
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(sight.colours.ink))
        painter.drawPolygon(QPolygonF(arrow))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QColor(sight.colours.ink))
        painter.drawText(box, Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop, letter)
