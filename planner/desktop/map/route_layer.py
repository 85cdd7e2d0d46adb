"""Routes and their points, as much of them as the size allows."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from planner.desktop.map.drawing import Sight, corners_of, draw_lines, mixed
from planner.desktop.map.ground import Floats, Ints
from planner.desktop.map.route_sheet import RouteSheet
from planner.desktop.map.sprites import DISC_PX, Role, Sprites, paint_circle, set_down, set_down_all
from planner.desktop.map.thinning import Thinned

FEW_ROUTES = 60
"""Up to so many in sight have lines of full width; more have thin ones, which are drawn all at once."""
LINE_PX = 2.0
CIRCLE_FROM_PX = DISC_PX + 6.0
"""Circles are drawn once they stand clear of the discs."""
MOST_CIRCLES = 400
PAINTED_ONCE_PX = 120.0
"""Circles up to this radius are painted once and set down as pictures."""
POINT_MARGIN_PX = 30.0
"""Points so far outside the window may still reach into it."""


class RouteLayer:
    """Lines of routes, circles, dots and numbered discs."""

    def __init__(self, sheet: RouteSheet, thinned: Thinned | None, *, has_way: bool = False) -> None:
        """Take the routes; ``has_way``: a way along roads stands for the line of the selected or only route."""
        self.sheet = sheet
        self.thinned = thinned
        self._has_way = has_way

    def paint(self, painter: QPainter, sight: Sight, sprites: Sprites) -> None:
        """Paint what is in sight, the selected route last."""
        if not len(self.sheet.east):
            return
        chosen = self.sheet.route_place(sight.route)
        places = self._in_sight(sight)
        others = places[places != chosen] if chosen is not None else places
        x, y = sight.camera.spots(self.sheet.east, self.sheet.south)
        rows = self._rows_in_sight(x, y, sight)
        self._paint_circles(painter, sight, sprites, (x, y), rows)
        colour = mixed(sight.colours.accent, sight.colours.ground, 0.35 if chosen is not None else 0.1)
        if not self._has_way or len(self.sheet.routes) > 1:
            pen = _pen(colour, LINE_PX if len(others) <= FEW_ROUTES else 1.0)
            self._paint_lines(painter, pen, others, (x, y), sight.ratio)
        if chosen is not None and not self._has_way:
            pen = _pen(QColor(sight.colours.accent), LINE_PX + 1.5)
            self._paint_lines(painter, pen, np.array([chosen]), (x, y), sight.ratio)
        self._paint_points(painter, sight, sprites, (x, y), rows)

    def _in_sight(self, sight: Sight) -> Ints:
        seen = sight.camera.seen
        west, north, east, south = self.sheet.boxes
        with np.errstate(invalid="ignore"):
            inside = (east >= seen.left()) & (west <= seen.right()) & (south >= seen.top()) & (north <= seen.bottom())
        return np.flatnonzero(inside)

    def _rows_in_sight(self, x: Floats, y: Floats, sight: Sight) -> Ints:
        edge, camera = POINT_MARGIN_PX, sight.camera
        reach = edge + self._radius_px(sight)
        inside = (x > -reach) & (x < camera.width + reach) & (y > -reach) & (y < camera.height + reach)
        return np.flatnonzero(inside)

    def _radius_px(self, sight: Sight) -> float:
        return (self.sheet.radius_m or 0.0) * sight.camera.scale * float(self.sheet.true_east.max(initial=1.0))

    def _paint_lines(
        self, painter: QPainter, pen: QPen, places: Ints, spots: tuple[Floats, Floats], ratio: float
    ) -> None:
        if not len(places):
            return
        rows, counts = corners_of(places, self.sheet.starts)
        draw_lines(painter, pen, spots[0][rows], spots[1][rows], counts, ratio)

    def _paint_circles(
        self, painter: QPainter, sight: Sight, sprites: Sprites, spots: tuple[Floats, Floats], rows: Ints
    ) -> None:
        x, y = spots
        radius_m = self.sheet.radius_m
        if radius_m is None or self._radius_px(sight) < CIRCLE_FROM_PX or len(rows) > MOST_CIRCLES:
            return
        across = (self.sheet.true_east[rows] * radius_m * sight.camera.scale).tolist()
        along = (self.sheet.true_south[rows] * radius_m * sight.camera.scale).tolist()
        for left, top, wide, high in zip(x[rows].tolist(), y[rows].tolist(), across, along, strict=True):
            if wide <= PAINTED_ONCE_PX:
                set_down(painter, sprites.circle(wide, high), QPointF(left, top))
            else:
                paint_circle(painter, QPointF(left, top), wide, high, sight.colours)

    def _paint_points(
        self, painter: QPainter, sight: Sight, sprites: Sprites, spots: tuple[Floats, Floats], rows: Ints
    ) -> None:
        x, y = spots
        discs = self.disc_rows(rows, sight)
        dots = self.dot_rows(rows, sight)
        chosen = self.sheet.route_place(sight.route)
        row_chosen = self.sheet.row(sight.route, sight.point) if sight.point is not None else None
        role = {False: Role.USUAL, True: Role.CHOSEN_ROUTE}
        for is_chosen in (False, True):
            some = dots[(self.sheet.owners[dots] == chosen) == is_chosen]
            set_down_all(painter, sprites.dot(role[is_chosen]), x[some], y[some])
        for row in discs.tolist():
            picture = sprites.disc(int(self.sheet.numbers[row]), role[self.sheet.owners[row] == chosen])
            set_down(painter, picture, QPointF(x[row], y[row]))
        if row_chosen is not None and sight.point is not None:
            set_down(painter, sprites.disc(sight.point, Role.CHOSEN), QPointF(x[row_chosen], y[row_chosen]))

    def disc_rows(self, rows: Ints, sight: Sight) -> Ints:
        """Return which of the rows stand as numbered discs at this size."""
        if self.thinned is None:
            return rows[:0]
        return rows[self.thinned.discs_from[rows] <= sight.camera.scale]

    def dot_rows(self, rows: Ints, sight: Sight) -> Ints:
        """Return which of the rows stand as dots."""
        if self.thinned is None:
            return rows[:0]
        scale = sight.camera.scale
        return rows[(self.thinned.dots_from[rows] <= scale) & (self.thinned.discs_from[rows] > scale)]


def _pen(colour: QColor, width: float) -> QPen:
    return QPen(colour, width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin)
