"""The lighter layers: homes, ties, a way in order, roads within reach, marks of findings, where a drop would land."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QCoreApplication, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from planner.desktop.map.boxes import Boxes
from planner.desktop.map.drawing import Sight, clear, draw_lines, mixed
from planner.desktop.map.ground import Floats, Ground, Ints
from planner.desktop.map.route_sheet import RouteSheet
from planner.desktop.map.sprites import DISC_PX, MARK_PX, Role, Sprites, set_down
from planner.desktop.map.things import MapHome, MapTie
from planner.domain.finding import Severity
from planner.domain.geo import Place

WAY_PX, REACH_PX = 4.0, 2.4
ARROWS_EVERY_PX, ARROW_STEP_PX = 40.0, 4.0
ARROW_PX = 7.0
MARK_ASIDE_PX = 10.0


@dataclass(frozen=True, eq=False)
class Lines:
    """Polylines on the ground, metres of the map."""

    east: Floats
    south: Floats
    counts: Ints

    @classmethod
    def of(cls, lines: Sequence[Sequence[Place]], ground: Ground) -> Lines:
        """Lay lines out on the ground; those of fewer than two places are left out."""
        kept = [line for line in lines if len(line) > 1]
        east, south = ground.spots([place for line in kept for place in line])
        return cls(east, south, np.array([len(line) for line in kept], dtype=np.int64))


class ReachLayer:
    """Roads that somebody can reach."""

    def __init__(self, lines: Lines) -> None:
        self.lines = lines

    def paint(self, painter: QPainter, sight: Sight, _sprites: Sprites) -> None:
        """Paint the roads over those of the map, in one colour."""
        x, y = sight.camera.spots(self.lines.east, self.lines.south)
        pen = QPen(QColor(sight.colours.good), REACH_PX)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        draw_lines(painter, pen, x, y, self.lines.counts, sight.ratio)


class TieLayer:
    """Straight light lines from homes to routes."""

    def __init__(self, ties: Sequence[MapTie], ground: Ground) -> None:
        self.ties = tuple(ties)
        self.origin_east, self.origin_south = ground.spots([tie.origin for tie in ties])
        self.east, self.south = ground.spots([tie.destination for tie in ties])

    def paint(self, painter: QPainter, sight: Sight, _sprites: Sprites) -> None:
        """Paint every tie."""
        x1, y1 = sight.camera.spots(self.origin_east, self.origin_south)
        x2, y2 = sight.camera.spots(self.east, self.south)
        x, y = np.column_stack([x1, x2]).ravel(), np.column_stack([y1, y2]).ravel()
        pen = QPen(clear(sight.colours.note, 0.75), 1.0)
        draw_lines(painter, pen, x, y, np.full(len(self.ties), 2, dtype=np.int64), sight.ratio)


class HomeLayer:
    """Where volunteers set out from."""

    def __init__(self, homes: Sequence[MapHome], ground: Ground) -> None:
        self.homes = tuple(homes)
        self.east, self.south = ground.spots([home.place for home in homes])

    def paint(self, painter: QPainter, sight: Sight, sprites: Sprites) -> None:
        """Paint a small house for each."""
        x, y = sight.camera.spots(self.east, self.south)
        seen = (x > -10) & (x < sight.camera.width + 10) & (y > -10) & (y < sight.camera.height + 10)
        for home in np.flatnonzero(seen).tolist():
            set_down(painter, sprites.home(), QPointF(x[home], y[home]))


class WayLayer:
    """The way of one outing along roads, with arrows in its direction."""

    def __init__(self, way: Sequence[Place], ground: Ground, discs: tuple[Floats, Floats]) -> None:
        self.east, self.south = ground.spots(way)
        self._discs = discs

    def paint(self, painter: QPainter, sight: Sight, _sprites: Sprites) -> None:
        """Paint the way on a lighter bed, then its arrows."""
        if len(self.east) < 2:
            return
        x, y = sight.camera.spots(self.east, self.south)
        line = QPolygonF([QPointF(a, b) for a, b in zip(x.tolist(), y.tolist(), strict=True)])
        joins = (Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin)
        painter.setPen(QPen(QColor(sight.colours.surface), WAY_PX + 3.0, *joins))
        painter.drawPolyline(line)
        painter.setPen(QPen(QColor(sight.colours.accent), WAY_PX, *joins))
        painter.drawPolyline(line)
        self._paint_arrows(painter, sight, x, y)

    def _paint_arrows(self, painter: QPainter, sight: Sight, x: Floats, y: Floats) -> None:
        painter.setPen(QPen(QColor(sight.colours.surface), 1.2))
        painter.setBrush(QColor(sight.colours.accent))
        for spot, angle in arrows(x, y, sight.camera.spots(*self._discs), sight.frame):
            painter.drawPolygon(_arrow(spot, angle))
        painter.setBrush(Qt.BrushStyle.NoBrush)


class OrderLayer:
    """The order of counting: where the counts start and end, and each point's turn where it is not the numbers' own."""

    def __init__(self, sheet: RouteSheet, rows: Sequence[int]) -> None:
        """Take the rows of the points in the order they are counted."""
        self.east, self.south = sheet.east[list(rows)], sheet.south[list(rows)]
        numbers = sheet.numbers[list(rows)]
        self._is_plain = bool((np.diff(numbers) > 0).all() or (np.diff(numbers) < 0).all())

    def paint(self, painter: QPainter, sight: Sight, sprites: Sprites) -> None:
        """Paint a small plate below each point that has something to say."""
        x, y = sight.camera.spots(self.east, self.south)
        for turn in range(len(x)):
            words = self._words(turn)
            if words:
                below = DISC_PX + 3.0 + sprites.label_size(words)[1] / 2
                set_down(painter, sprites.label(words, Role.USUAL), QPointF(x[turn], y[turn] + below))

    def _words(self, turn: int) -> str:
        if turn == 0:
            return QCoreApplication.translate("Map", "start", "where the counts begin")
        if turn == len(self.east) - 1:
            return QCoreApplication.translate("Map", "end", "where the counts end")
        return "" if self._is_plain else QCoreApplication.translate("Map", "{}.", "turn of counting").format(turn + 1)


def arrows(x: Floats, y: Floats, discs: tuple[Floats, Floats], frame: QRectF) -> list[tuple[QPointF, float]]:
    """Return where arrows stand on a line, clear of discs and of each other, and its direction there in radians.

    Args:
        x: corners of the line, pixels.
        y: likewise.
        discs: middles of the discs.
        frame: the window; none stands outside.
    """
    spot_x, spot_y, angles = _along(x, y)
    inside = (spot_x > frame.left()) & (spot_x < frame.right()) & (spot_y > frame.top()) & (spot_y < frame.bottom())
    away = np.hypot(spot_x[:, None] - discs[0], spot_y[:, None] - discs[1]).min(axis=1, initial=np.inf)
    found: list[tuple[QPointF, float]] = []
    last = -math.inf
    for place in np.flatnonzero(inside & (away > DISC_PX + ARROW_PX + 2.0)).tolist():
        if (place - last) * ARROW_STEP_PX >= ARROWS_EVERY_PX:
            last = place
            found.append((QPointF(spot_x[place], spot_y[place]), float(angles[place])))
    return found


def _along(x: Floats, y: Floats) -> tuple[Floats, Floats, Floats]:
    """Return places along a line every ``ARROW_STEP_PX`` and its direction there."""
    dx, dy = np.diff(x), np.diff(y)
    lengths = np.hypot(dx, dy)
    ends = np.cumsum(lengths)
    if not len(ends) or ends[-1] <= 0.0:
        return np.empty(0), np.empty(0), np.empty(0)
    at = np.arange(0.0, ends[-1], ARROW_STEP_PX)
    piece = np.minimum(np.searchsorted(ends, at, side="right"), len(ends) - 1)
    share = (at - (ends - lengths)[piece]) / lengths[piece]
    return x[piece] + share * dx[piece], y[piece] + share * dy[piece], np.arctan2(dy[piece], dx[piece])


def _arrow(spot: QPointF, angle: float) -> QPolygonF:
    cosine, sine, size = math.cos(angle), math.sin(angle), ARROW_PX
    corners = ((size, 0.0), (-size, -size * 0.85), (-size * 0.4, 0.0), (-size, size * 0.85))
    return QPolygonF([QPointF(spot.x() + a * cosine - b * sine, spot.y() + a * sine + b * cosine) for a, b in corners])


class MarkLayer:
    """Findings, at the points they are about; those of a whole route at its northernmost point."""

    def __init__(self, sheet: RouteSheet, findings: Mapping[tuple[str, int | None], Severity]) -> None:
        self.sheet = sheet
        placed = [(row, severity) for key, severity in findings.items() if (row := _row_of(sheet, key)) is not None]
        # The worst last: it lies on top.
        self.placed = sorted(placed, key=lambda pair: -pair[1])

    def boxes(self) -> Boxes:
        """Return what the marks cover, the worst first."""
        rows = np.array([row for row, _ in reversed(self.placed)], dtype=np.int64)
        aside, half = np.full(len(rows), MARK_ASIDE_PX), np.full(len(rows), MARK_PX / 2)
        return Boxes(self.sheet.east[rows], self.sheet.south[rows], aside, aside, half, half, self.sheet.owners[rows])

    def paint(self, painter: QPainter, sight: Sight, sprites: Sprites) -> None:
        """Paint each mark beside its point."""
        for row, severity in self.placed:
            spot = sight.camera.spot(float(self.sheet.east[row]), float(self.sheet.south[row]))
            if sight.frame.contains(spot):
                # Below, for the route's name may stand above.
                set_down(painter, sprites.mark(severity), QPointF(spot.x() + MARK_ASIDE_PX, spot.y() + MARK_ASIDE_PX))


def _row_of(sheet: RouteSheet, key: tuple[str, int | None]) -> int | None:
    code, number = key
    if number is not None:
        return sheet.row(code, number)
    place = sheet.route_place(code)
    if place is None:
        return None
    rows = sheet.rows(place)
    return sheet.top_row(place) if rows.stop > rows.start else None


class LandingLayer:
    """Where the point that hangs on the mouse would come to lie."""

    def __init__(self, place: Place, origin: tuple[float, float], ground: Ground) -> None:
        self.spot = ground.spot(place)
        self.origin = origin

    def paint(self, painter: QPainter, sight: Sight, _sprites: Sprites) -> None:
        """Paint a cross-hair there, and a dashed line from the mouse to it."""
        spot = sight.camera.spot(*self.spot)
        painter.setPen(QPen(mixed(sight.colours.good, sight.colours.ink, 0.2), 1.5, Qt.PenStyle.DashLine))
        painter.drawLine(sight.camera.spot(*self.origin), spot)
        painter.setPen(QPen(QColor(sight.colours.good), 2.0))
        painter.setBrush(QColor(sight.colours.surface))
        painter.drawEllipse(spot, 6.0, 6.0)
        painter.setBrush(Qt.BrushStyle.NoBrush)


class BandLayer:
    """The band drawn round routes."""

    def __init__(self, band: QRectF) -> None:
        self.band = band

    def paint(self, painter: QPainter, sight: Sight, _sprites: Sprites) -> None:
        """Paint a dashed frame, lightly filled."""
        painter.setPen(QPen(QColor(sight.colours.focus), 1.5, Qt.PenStyle.DashLine))
        painter.setBrush(clear(sight.colours.focus, 0.12))
        painter.drawRect(self.band)
        painter.setBrush(Qt.BrushStyle.NoBrush)
