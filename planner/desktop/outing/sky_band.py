"""The sky over the hour scale: its colour minute by minute, the sun's way through it, and the events by name."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QImage, QPainter, QPen, QPolygonF

from planner.desktop.look.colours import Colours
from planner.desktop.look.sky import ink_on, sky_colour
from planner.desktop.outing.evening import HourScale
from planner.desktop.outing.words import event_words
from planner.printing.times import LocalClock, nearest_minute
from planner.usecases.evening.sun_path import SunPath

HORIZON_DEG = -50 / 60
"""Altitude of the sun's centre as its upper edge touches a level horizon."""
_LEAST_SPAN = (-9.0, 5.0)
"""Altitudes that always find room, so that the sun's way is never a flat line blown up."""
_SUN = 5.5
_CURVE_STEP = 3.0
_LOOKS = 48
"""Parts of the scale at whose ends the sun's altitude is looked at to find its highest and lowest."""


def sky_strip(sun: SunPath, scale: HourScale, pixels: int) -> QImage:
    """Return the sky's colour along a scale: one row, so many pixels wide."""
    strip = QImage(max(1, pixels), 1, QImage.Format.Format_RGB32)
    for column in range(strip.width()):
        moment = scale.begin + (scale.end - scale.begin) * ((column + 0.5) / strip.width())
        strip.setPixelColor(column, 0, sky_colour(sun.altitude_at(moment)))
    return strip


@dataclass(frozen=True, slots=True)
class SkyBand:
    """The band of sky of one picture."""

    sun: SunPath
    scale: HourScale
    box: QRectF
    low_deg: float
    """Altitude at the lower edge."""
    high_deg: float
    """Altitude at the upper edge."""

    @classmethod
    def over(cls, sun: SunPath, scale: HourScale, box: QRectF) -> SkyBand:
        """Return the band of a box, high and deep enough for the sun's whole way over the scale."""
        span = scale.end - scale.begin
        shown = [sun.altitude_at(scale.begin + span * part / _LOOKS) for part in range(_LOOKS + 1)]
        low, high = min(_LEAST_SPAN[0], *shown) - 1.0, max(_LEAST_SPAN[1], *shown) + 1.0
        return cls(sun, scale, box, low, high)

    def paint(self, painter: QPainter, strip: QImage) -> None:
        """Paint the sky, the ground below the horizon, and the sun's way."""
        painter.save()
        painter.drawImage(self.box, strip)
        horizon = self._down(HORIZON_DEG)
        ground = QRectF(self.box.left(), horizon, self.box.width(), self.box.bottom() - horizon)
        painter.fillRect(ground, QColor(6, 5, 22, 46))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_horizon(painter, horizon)
        self._paint_way(painter)
        painter.restore()

    def _paint_horizon(self, painter: QPainter, down: float) -> None:
        painter.setPen(QPen(QColor(255, 255, 255, 110), 1.0))
        painter.drawLine(QPointF(self.box.left(), down), QPointF(self.box.right(), down))

    def _paint_way(self, painter: QPainter) -> None:
        """Draw the sun's way, whole above the horizon and dotted below it, the sun itself where it crosses."""
        steps = int(self.box.width() / _CURVE_STEP) + 1
        spots = [self._spot(self.box.left() + step * self.box.width() / (steps - 1)) for step in range(steps)]
        runs: list[list[QPointF]] = [[]]
        for spot, above in spots:
            if runs[-1] and above is not (runs[-1][-1].y() <= self._down(HORIZON_DEG)):
                runs.append([runs[-1][-1]])
            runs[-1].append(spot)
        for run in runs:
            above = run[-1].y() <= self._down(HORIZON_DEG)
            colour = ink_on(self._colour(run[len(run) // 2].x()))
            colour.setAlpha(190 if above else 130)
            pen = QPen(colour, 1.6 if above else 1.3)
            if not above:
                pen.setDashPattern([1.0, 3.0])
                pen.setCapStyle(Qt.PenCapStyle.RoundCap)
            painter.setPen(pen)
            painter.drawPolyline(QPolygonF(run))
        for run in runs[1:]:
            self._paint_sun(painter, QPointF(run[0].x(), self._down(HORIZON_DEG)))

    def _paint_sun(self, painter: QPainter, spot: QPointF) -> None:
        """Draw the sun as it stands on the horizon: the upper half."""
        painter.setPen(QPen(QColor(255, 244, 214), 1.4))
        painter.setBrush(QColor(255, 214, 140))
        disc = QRectF(spot.x() - _SUN, spot.y() - _SUN, 2 * _SUN, 2 * _SUN)
        painter.drawChord(disc, 0, 180 * 16)

    def _spot(self, across: float) -> tuple[QPointF, bool]:
        altitude = self.sun.altitude_at(self.scale.moment(across))
        return QPointF(across, self._down(altitude)), altitude >= HORIZON_DEG

    def _colour(self, across: float) -> QColor:
        return sky_colour(self.sun.altitude_at(self.scale.moment(across)))

    def _down(self, altitude: float) -> float:
        return self.box.top() + self.box.height() * (self.high_deg - altitude) / (self.high_deg - self.low_deg)


@dataclass(frozen=True, slots=True)
class EventLabel:
    """The name and time of an event over the sky, and how far up it must go to lie on no other."""

    words: str
    at: float
    left: float
    level: int


LEVELS = 3


def event_labels(sun: SunPath, scale: HourScale, clock: LocalClock, metrics: QFontMetricsF) -> tuple[EventLabel, ...]:
    """Return the labels of the sun's events on the scale, from left to right."""
    labels: list[EventLabel] = []
    ends = [-1e9] * LEVELS
    for event in sun.events:
        if not scale.shows(event.instant):
            continue
        words = f"{event_words(event.event)} {clock.show(nearest_minute(event.instant))}"
        width = metrics.horizontalAdvance(words)
        at = scale.at(event.instant)
        left = min(max(at - width / 2, scale.left), scale.right - width)
        level = next((number for number, end in enumerate(ends) if left >= end + 10.0), LEVELS - 1)
        ends[level] = left + width
        labels.append(EventLabel(words, at, left, level))
    return tuple(labels)


def paint_labels(painter: QPainter, labels: Sequence[EventLabel], box: QRectF, top: float, colours: Colours) -> None:
    """Write the labels above the sky, each with a line down to its moment."""
    metrics = QFontMetricsF(painter.font())
    for label in labels:
        base = box.top() - 6.0 - metrics.descent() - label.level * metrics.height()
        painter.setPen(QPen(QColor(colours.edge), 1.0))
        painter.drawLine(QPointF(label.at, max(top, base + metrics.descent())), QPointF(label.at, box.top()))
        line = QColor(255, 255, 255, 120)
        painter.setPen(QPen(line, 1.0))
        painter.drawLine(QPointF(label.at, box.top()), QPointF(label.at, box.bottom()))
        painter.setPen(QColor(colours.ink))
        painter.drawText(QPointF(label.left, base), label.words)
