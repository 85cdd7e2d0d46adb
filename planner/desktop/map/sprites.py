"""Small pictures painted once and set down many times: discs, dots, homes, marks, labels."""

from __future__ import annotations

import math
from collections.abc import Callable
from enum import Enum

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPen, QPixmap, QPolygonF

from planner.desktop.look.colours import Colours
from planner.desktop.look.marks import paint_mark
from planner.desktop.map.drawing import clear
from planner.desktop.map.ground import Floats
from planner.domain.finding import Severity

DISC_PX = 10.0
"""Radius of a point's numbered disc."""
DOT_PX = 3.5
HOME_PX = 7.0
PIN_PX = 9.0
"""Radius of a pin's head."""
MARK_PX = 13.0
"""Side of a finding's mark."""
LABEL_PAD_PX = 5.0
ROAD_PAD_PX = 3.0
MOST_ROADS = 600
"""Names of roads kept."""
MOST_CIRCLES = 12
"""Of different sizes kept: those of one size of the map differ by their latitude only."""


class Role(Enum):
    """How a thing stands out."""

    USUAL = "usual"
    CHOSEN_ROUTE = "chosen route"
    CHOSEN = "chosen"
    HOME = "home"
    PROPOSED = "proposed"
    """Not there yet: a dashed ring goes round it."""


class Sprites:
    """The pictures of one palette, one font and one density of the screen."""

    def __init__(self, colours: Colours, font: QFont, ratio: float) -> None:
        self.colours = colours
        self.ratio = ratio
        self.font = font
        self._bold = QFont(font)
        self._bold.setBold(True)
        self._metrics = QFontMetricsF(self._bold)
        self._made: dict[tuple[object, ...], QPixmap] = {}

    def label_size(self, text: str) -> tuple[float, float]:
        """Return width and height of a label, pixels of the window."""
        return self._metrics.horizontalAdvance(text) + 2 * LABEL_PAD_PX, self._metrics.height() + 2.0

    def disc(self, number: int, role: Role) -> QPixmap:
        """Return a point's disc with its number."""
        return self._kept(
            ("disc", number, role), 2 * DISC_PX + 8, lambda painter, box: self._disc(painter, box, number, role)
        )

    def dot(self, role: Role) -> QPixmap:
        """Return a point too small for its number."""
        return self._kept(("dot", role), 2 * DOT_PX + 3, lambda painter, box: self._dot(painter, box, role))

    def home(self) -> QPixmap:
        """Return a small house."""
        return self._kept(("home",), 2 * HOME_PX + 4, self._home)

    def pin(self, name: str) -> QPixmap:
        """Return a pin with a letter on its head; its tip is the picture's middle."""
        return self._kept(("pin", name), 6 * PIN_PX, lambda painter, box: self._pin(painter, box, name))

    def plate(self, width: float, height: float) -> QPixmap:
        """Return what words on the glass stand on, to the pixel."""
        key = ("plate", round(width), round(height))
        made = self._made.get(key)
        if made is None:
            made = self._made[key] = self._blank(*key[1:])
            painter = QPainter(made)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(clear(self.colours.surface, 0.88))
            painter.drawRoundedRect(QRectF(0.0, 0.0, *key[1:]), 3.0, 3.0)
            painter.end()
        return made

    def circle(self, across: float, along: float) -> QPixmap:
        """Return the circle round a point, with these half axes in pixels; they are rounded to a half."""
        key = ("circle", round(2 * across), round(2 * along))
        made = self._made.get(key)
        if made is None:
            self._make_room("circle", MOST_CIRCLES)
            made = self._made[key] = self._blank(2 * across + 4, 2 * along + 4)
            painter = QPainter(made)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            paint_circle(painter, QPointF(across + 2, along + 2), key[1] / 2, key[2] / 2, self.colours)
            painter.end()
        return made

    def mark(self, severity: Severity) -> QPixmap:
        """Return a finding's mark, set off from what lies beneath."""
        return self._kept(("mark", severity), MARK_PX + 4, lambda painter, box: self._mark(painter, box, severity))

    def has_label(self, text: str, role: Role) -> bool:
        """Whether a name was painted before."""
        return ("label", text, role) in self._made

    def label(self, text: str, role: Role) -> QPixmap:
        """Return a name on a plate that hides the lines beneath."""
        made = self._made.get(("label", text, role))
        if made is None:
            width, height = self.label_size(text)
            made = self._blank(width, height)
            painter = QPainter(made)
            self._label(painter, QRectF(0.0, 0.0, width, height), text, role)
            painter.end()
            self._made["label", text, role] = made
        return made

    def turned_name(self, text: str, font: QFont, angle: float) -> QPixmap:
        """Return a road's name, written along the road (radians from east, clockwise) on a bed of bare ground."""
        key = ("road", text, font.pointSizeF(), angle)
        made = self._made.get(key)
        if made is None:
            self._make_room("road", MOST_ROADS)
            metrics = QFontMetricsF(font)
            made = self._made[key] = self._blank(*turned_size(metrics, text, angle))
            painter = QPainter(made)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._write(painter, text, font, angle)
            painter.end()
        return made

    def _write(self, painter: QPainter, text: str, font: QFont, angle: float) -> None:
        metrics = QFontMetricsF(font)
        wide, high = metrics.horizontalAdvance(text) + 2 * ROAD_PAD_PX, metrics.height()
        across, down = turned_size(metrics, text, angle)
        painter.translate(across / 2, down / 2)
        painter.rotate(math.degrees(angle))
        box = QRectF(-wide / 2, -high / 2, wide, high)
        painter.fillRect(box, clear(self.colours.ground, 0.85))
        painter.setFont(font)
        painter.setPen(QColor(self.colours.quiet))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)

    def _kept(self, key: tuple[object, ...], side: float, paint: Callable[[QPainter, QRectF], None]) -> QPixmap:
        made = self._made.get(key)
        if made is None:
            made = self._made[key] = self._blank(side, side)
            painter = QPainter(made)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            paint(painter, QRectF(0.0, 0.0, side, side))
            painter.end()
        return made

    def _make_room(self, kind: str, most: int) -> None:
        """Let go of all pictures of a kind once there are many."""
        made = [key for key in self._made if key[0] == kind]
        if len(made) >= most:
            for key in made:
                del self._made[key]

    def _blank(self, width: float, height: float) -> QPixmap:
        made = QPixmap(max(round(width * self.ratio), 1), max(round(height * self.ratio), 1))
        made.setDevicePixelRatio(self.ratio)
        made.fill(Qt.GlobalColor.transparent)
        return made

    def _disc(self, painter: QPainter, box: QRectF, number: int, role: Role) -> None:
        colours = self.colours
        middle = box.center()
        if role is Role.CHOSEN:
            painter.setPen(QPen(QColor(colours.focus), 2.0))
            painter.setBrush(QColor(colours.surface))
            painter.drawEllipse(middle, DISC_PX + 2.5, DISC_PX + 2.5)
        edge, inside, ink = {
            Role.USUAL: (colours.accent, colours.surface, colours.ink),
            Role.PROPOSED: (colours.surface, colours.good, colours.surface),
        }.get(role, (colours.surface, colours.accent, colours.on_accent))
        if role is Role.PROPOSED:
            painter.setPen(QPen(QColor(colours.good), 1.6, Qt.PenStyle.DotLine))
            painter.setBrush(QColor(colours.surface))
            painter.drawEllipse(middle, DISC_PX + 2.5, DISC_PX + 2.5)
        painter.setPen(QPen(QColor(edge), 1.5))
        painter.setBrush(QColor(inside))
        painter.drawEllipse(middle, DISC_PX, DISC_PX)
        self._write_number(painter, box, str(number), ink)

    def _write_number(self, painter: QPainter, box: QRectF, text: str, ink: str) -> None:
        font = QFont(self._bold)
        font.setPixelSize(12 if len(text) < 2 else 11 if len(text) < 3 else 9)
        painter.setFont(font)
        painter.setPen(QColor(ink))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)

    def _pin(self, painter: QPainter, box: QRectF, name: str) -> None:
        tip, size = box.center(), PIN_PX
        head = QPointF(tip.x(), tip.y() - 1.9 * size)
        drop = QPainterPath(tip)
        drop.cubicTo(head + QPointF(-0.35 * size, size), head + QPointF(-size, 0.8 * size), head - QPointF(size, 0))
        drop.arcTo(QRectF(head.x() - size, head.y() - size, 2 * size, 2 * size), 180, -180)
        drop.cubicTo(head + QPointF(size, 0.8 * size), head + QPointF(0.35 * size, size), tip)
        painter.setPen(QPen(QColor(self.colours.surface), 1.5))
        painter.setBrush(QColor(self.colours.ink))
        painter.drawPath(drop)
        around = QRectF(head.x() - size, head.y() - size, 2 * size, 2 * size)
        self._write_number(painter, around, name, self.colours.surface)

    def _dot(self, painter: QPainter, box: QRectF, role: Role) -> None:
        chosen = role is not Role.USUAL
        painter.setPen(QPen(QColor(self.colours.ink if role is Role.CHOSEN else self.colours.surface), 1.2))
        painter.setBrush(QColor(self.colours.accent))
        size = DOT_PX + 1.0 if chosen else DOT_PX
        painter.drawEllipse(box.center(), size, size)

    def _home(self, painter: QPainter, box: QRectF) -> None:
        x, y, size = box.center().x(), box.center().y(), HOME_PX
        roof = [(-size, 0.0), (0.0, -size), (size, 0.0)]
        walls = [(size * 0.68, 0.0), (size * 0.68, size * 0.85), (-size * 0.68, size * 0.85), (-size * 0.68, 0.0)]
        painter.setPen(QPen(QColor(self.colours.surface), 1.2))
        painter.setBrush(QColor(self.colours.note))
        painter.drawPolygon(QPolygonF([QPointF(x + dx, y + dy) for dx, dy in (*roof, *walls)]))

    def _mark(self, painter: QPainter, box: QRectF, severity: Severity) -> None:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(self.colours.surface))
        painter.drawEllipse(box)
        paint_mark(painter, box.adjusted(2.5, 2.5, -2.5, -2.5), severity, self.colours)

    def _label(self, painter: QPainter, box: QRectF, text: str, role: Role) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        chosen = role is Role.CHOSEN_ROUTE
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(self.colours.accent) if chosen else clear(self.colours.surface, 0.88))
        painter.drawRoundedRect(box, 3.0, 3.0)
        usual = self.colours.note if role is Role.HOME else self.colours.ink
        painter.setPen(QColor(self.colours.on_accent if chosen else usual))
        painter.setFont(self._bold if chosen else self.font)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)


def turned_size(metrics: QFontMetricsF, text: str, angle: float) -> tuple[float, float]:
    """Return width and height of the upright box round a road's name that is turned, pixels."""
    wide, high = metrics.horizontalAdvance(text) + 2 * ROAD_PAD_PX, metrics.height()
    cosine, sine = abs(math.cos(angle)), abs(math.sin(angle))
    return wide * cosine + high * sine, wide * sine + high * cosine


def paint_circle(painter: QPainter, spot: QPointF, across: float, along: float, colours: Colours) -> None:
    """Paint the circle round a point."""
    painter.setPen(QPen(clear(colours.accent, 0.55), 1.0))
    painter.setBrush(clear(colours.accent, 0.07))
    painter.drawEllipse(spot, across, along)
    painter.setBrush(Qt.BrushStyle.NoBrush)


def set_down(painter: QPainter, picture: QPixmap, spot: QPointF) -> None:
    """Draw a small picture with its middle there."""
    half = _half(picture)
    painter.drawPixmap(QPointF(spot.x() - half.x(), spot.y() - half.y()), picture)


def set_down_all(painter: QPainter, picture: QPixmap, x: Floats, y: Floats) -> None:
    """Draw the same small picture with its middle at many spots."""
    half = _half(picture)
    # Whole pixels: half as long for Qt, and the dots are all alike.
    lefts, tops = np.rint(x - half.x()).astype(np.int64).tolist(), np.rint(y - half.y()).astype(np.int64).tolist()
    for left, top in zip(lefts, tops, strict=True):
        painter.drawPixmap(left, top, picture)


def _half(picture: QPixmap) -> QPointF:
    size = picture.deviceIndependentSize()
    return QPointF(size.width() / 2, size.height() / 2)
