"""The routes on a small map, each with a mark for how far it has come: shapes, so that no colour is needed."""

from __future__ import annotations

import math
from collections.abc import Sequence

from planner.domain.geo import MEAN_EARTH_RADIUS_M
from planner.domain.reports.season_report import RouteMark, RoutePlace
from planner.printing.board.parts import paint_head
from planner.printing.canvas import Align, Canvas
from planner.printing.geometry import Box, Spot
from planner.printing.projection import Projection, fitted, round_length_m
from planner.printing.type_scale import SMALL

_RADIUS = (2.0, 1.0)
"""Of a mark in millimetres: with few routes, with very many."""
_MANY = 80
_WORDS = {
    RouteMark.DONE: "all done",
    RouteMark.STARTED: "some done",
    RouteMark.PLANNED: "planned",
    RouteMark.WANTING: "wanting",
}
_LEGEND_MM = 11.0
_STEPS = 16


def paint_map(canvas: Canvas, box: Box, places: Sequence[RoutePlace]) -> None:
    """Paint the routes where they lie; codes stand beside as many as do not cover another."""
    room = paint_head(canvas, box, "Routes")
    frame = Box(room.left, room.top, room.width, room.height - _LEGEND_MM)
    canvas.frame(frame, 0.3)
    _paint_legend(canvas, Box(room.left, frame.bottom + 0.8, room.width, _LEGEND_MM))
    if not places:
        canvas.text(frame.centre, "No route has points yet.", SMALL, align=Align.CENTRE)
        return
    radius = _RADIUS[len(places) > _MANY]
    projection = fitted(
        [one.middle for one in places], 0.0, Box(frame.left, frame.top, frame.width - 8.0, frame.height), 7.0
    )
    spots = [(one, projection.spot(one.middle)) for one in places]
    with canvas.clipped(frame):
        # What wants a person is painted last, so that nothing covers it.
        for one, spot in sorted(spots, key=lambda pair: pair[0].mark is RouteMark.WANTING):
            paint_mark(canvas, spot, radius, one.mark)
        _paint_codes(canvas, frame, spots, radius)
        _paint_scale(canvas, frame, projection)


def paint_mark(canvas: Canvas, spot: Spot, radius: float, mark: RouteMark) -> None:
    """Paint one mark: a disc filled as far as the route has come, or a triangle where something is wanting."""
    across, down = spot
    if mark is RouteMark.WANTING:
        reach = radius * 1.25
        corners = [(across, down - reach), (across + reach, down + reach * 0.8), (across - reach, down + reach * 0.8)]
        canvas.shape(corners, white=True, edge=0.5)
        canvas.line((across, down - reach * 0.35), (across, down + reach * 0.45), 0.5)
        return
    canvas.disc(spot, radius, width=0.45, white=mark is not RouteMark.DONE)
    if mark is RouteMark.STARTED:
        angles = [math.pi * (0.5 + step / _STEPS) for step in range(_STEPS + 1)]
        canvas.shape([(across + radius * math.cos(one), down + radius * math.sin(one)) for one in angles])


def _paint_codes(canvas: Canvas, frame: Box, spots: Sequence[tuple[RoutePlace, Spot]], radius: float) -> None:
    taken = [Box(x - radius, y - radius, 2 * radius, 2 * radius) for _, (x, y) in spots]
    taken.append(Box(frame.left, frame.bottom - 9.0, 34.0, 9.0))
    wanting_first = sorted(spots, key=lambda pair: pair[0].mark is not RouteMark.WANTING)
    for one, (across, down) in wanting_first:
        width = SMALL.width(one.route)
        lefts = (across + radius + 0.7, across - radius - 0.7 - width)
        labels = [Box(left, down - SMALL.line / 2, width, SMALL.line) for left in lefts]
        free = (label for label in labels if frame.holds(label) and not any(label.meets(other) for other in taken))
        label = next(free, None)
        if label is not None:
            canvas.text((label.left, label.top + SMALL.ascent), one.route, SMALL)
            taken.append(label)


def _paint_scale(canvas: Canvas, frame: Box, projection: Projection) -> None:
    """Paint a length of ground; none where it would say nothing, as round the whole earth."""
    most_m = 26.0 / projection.mm_per_m
    if most_m >= MEAN_EARTH_RADIUS_M:
        return
    length_m = round_length_m(most_m)
    wide = length_m * projection.mm_per_m
    left, down = frame.left + 2.5, frame.bottom - 2.5
    canvas.line((left, down), (left + wide, down), 0.5)
    for across in (left, left + wide):
        canvas.line((across, down - 1.0), (across, down + 1.0), 0.5)
    words = f"{length_m / 1000:g} km" if length_m >= 1000.0 else f"{length_m:g} m"
    canvas.text((left, down - 1.4), words, SMALL)


def _paint_legend(canvas: Canvas, box: Box) -> None:
    width = box.width / 2
    for number, (mark, words) in enumerate(_WORDS.items()):
        row, column = divmod(number, 2)
        left, top = box.left + column * width, box.top + row * (SMALL.line + 0.4)
        paint_mark(canvas, (left + 2.4, top + SMALL.line / 2), 1.7, mark)
        canvas.text((left + 6.0, top + SMALL.ascent), words, SMALL, width=width - 6.0)
