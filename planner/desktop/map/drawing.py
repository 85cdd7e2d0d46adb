"""What every layer draws with: the sight it draws into, colours mixed, and polylines handed to Qt in one piece."""

from __future__ import annotations

import struct
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QByteArray, QDataStream, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from planner.desktop.look.colours import Colours
from planner.desktop.map.camera import Camera
from planner.desktop.map.ground import Floats, Ints
from planner.desktop.units import Units

THIN, SIDE_BY_SIDE = 1.0, 3.2
"""Widest line, in pixels of the screen, that Qt draws in one go; and that looks like one as thin lines side by side."""
FEW = 80
"""So many wide lines are drawn one by one."""

_ELEMENT = np.dtype([("kind", ">i4"), ("x", ">f8"), ("y", ">f8")])
"""An element of a QPainterPath in a QDataStream: 0 moves there, 1 draws a line there."""


@dataclass(frozen=True, slots=True)
class Sight:
    """One frame: what is seen, in which colours and units, and what is selected."""

    camera: Camera
    colours: Colours
    units: Units
    route: str
    """Code of the selected route; empty where none is."""
    point: int | None
    """Number of the selected point."""
    ratio: float
    """Pixels of the screen per pixel of the window."""
    at_rest: bool = True
    """Whether the map has not moved nor changed for a moment: what takes longer may be done now."""
    kept_free: tuple[QRectF, ...] = ()
    """Where no name may stand, pixels of the window."""

    @property
    def frame(self) -> QRectF:
        """The window, pixels."""
        return QRectF(0.0, 0.0, self.camera.width, self.camera.height)


def mixed(first: str, second: str, share: float) -> QColor:
    """Return the colour that lies ``share`` of the way from the first to the second."""
    a, b = QColor(first), QColor(second)
    pairs = ((a.red(), b.red()), (a.green(), b.green()), (a.blue(), b.blue()))
    return QColor(*(round(low + (high - low) * share) for low, high in pairs))


def clear(colour: str, alpha: float) -> QColor:
    """Return a colour that lets through what lies beneath; ``alpha`` 1 hides it."""
    made = QColor(colour)
    made.setAlphaF(alpha)
    return made


def corners_of(lines: Ints, starts: Ints) -> tuple[Ints, Ints]:
    """Return the corners of some lines one after the other, and how many each line has."""
    begins, counts = starts[lines], starts[lines + 1] - starts[lines]
    ends = np.cumsum(counts)
    total = int(ends[-1]) if len(ends) else 0
    return np.arange(total) + np.repeat(begins - (ends - counts), counts), counts


def lines_path(x: Floats, y: Floats, counts: Ints) -> QPainterPath:
    """Return polylines as one path.

    Args:
        x: corners of all lines, one line after the other.
        y: likewise.
        counts: corners of each line.
    """
    counts = counts[counts > 0]  # a route may have no points yet
    elements = np.empty(len(x), dtype=_ELEMENT)
    elements["kind"] = 1
    elements["kind"][np.cumsum(counts) - counts] = 0
    elements["x"], elements["y"] = x, y
    # A loop over the corners would take ten times as long as the drawing; Qt's own stream takes them in one piece.
    packed = struct.pack(">i", len(x)) + elements.tobytes() + struct.pack(">ii", 0, 0)
    path = QPainterPath()
    if len(x):
        stream = QDataStream(QByteArray(packed))
        stream >> path
    return path


def draw_lines(painter: QPainter, pen: QPen, x: Floats, y: Floats, counts: Ints, ratio: float) -> None:
    """Draw polylines the quick way for their number and the pen's width on the screen.

    Qt draws a path of many lines at once where the pen is one pixel wide, but takes fifty times as long where it is
    wider. Few wide lines are drawn one by one, many not much wider ones as thin lines side by side.

    Args:
        painter: draws.
        pen: width in pixels of the window.
        x: corners of all lines, one line after the other.
        y: likewise.
        counts: corners of each line.
        ratio: pixels of the screen per pixel of the window.
    """
    screen_px = pen.widthF() * ratio
    path = lines_path(x, y, counts)
    if screen_px <= THIN:
        painter.setPen(pen)
        painter.drawPath(path)
    elif len(counts) <= FEW or screen_px > SIDE_BY_SIDE:
        painter.setPen(pen)
        for polygon in path.toSubpathPolygons():
            painter.drawPolyline(polygon)
    else:
        _draw_side_by_side(painter, pen, path, screen_px)


def _draw_side_by_side(painter: QPainter, pen: QPen, path: QPainterPath, screen_px: float) -> None:
    thin = QPen(pen)
    thin.setWidthF(pen.widthF() / screen_px)
    if pen.style() is Qt.PenStyle.CustomDashLine:
        thin.setDashPattern([length * screen_px for length in pen.dashPattern()])
    painter.setPen(thin)
    aside = (pen.widthF() - thin.widthF()) / 2
    corners = ((-aside, -aside), (aside, -aside), (aside, aside), (-aside, aside))
    # Beyond two pixels the four would leave a gap between them.
    for dx, dy in corners if screen_px <= 2.0 else (*corners, (0.0, 0.0)):
        painter.translate(dx, dy)
        painter.drawPath(path)
        painter.translate(-dx, -dy)
