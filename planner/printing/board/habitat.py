"""The habitat of all routes together: a bar for each class and visit."""

from __future__ import annotations

from planner.domain.reports.habitat_summary import HabitatReport, RouteHabitat
from planner.printing.board.parts import Fill, paint_head, paint_legend, paint_share
from planner.printing.canvas import Align, Canvas
from planner.printing.geometry import Box
from planner.printing.patterns import slanted, solid
from planner.printing.setting import at_most_lines
from planner.printing.type_scale import SMALL, SMALL_BOLD

_FILLS: tuple[Fill, ...] = (solid, slanted)
_BAR = 1.9
_FIGURE_MM = 20.0


def paint_habitat(canvas: Canvas, box: Box, habitat: HabitatReport | None) -> None:
    """Paint the mean cover of the classes that cover most, of the last two visits that have sheets."""
    room = paint_head(canvas, box, "Habitat, mean of all points")
    if habitat is None or not habitat.whole:
        words = "The protocol estimates no habitat." if habitat is None else "No habitat sheet is handed in yet."
        canvas.lines((room.left, room.top), at_most_lines(words, SMALL, room.width, 2), SMALL)
        return
    visits = habitat.whole[-len(_FILLS) :]
    top = room.top
    if len(visits) > 1:
        entries = [(f"visit {one.visit}, {one.points} points", fill) for one, fill in zip(visits, _FILLS, strict=False)]
        top = paint_legend(canvas, room, entries) + 0.8
    row = SMALL.line + _BAR * len(visits) + 1.0
    most = max(int((room.bottom - top) / row), 1)
    for code, name in _largest(habitat, visits)[:most]:
        _paint_class(canvas, Box(room.left, top, room.width, row), code, name, visits)
        top += row


def _largest(habitat: HabitatReport, visits: tuple[RouteHabitat, ...]) -> list[tuple[str, str]]:
    """Return the classes, that which covers most on some visit first; those that cover nothing are left out."""
    most = {code: max(_mean(one, code) for one in visits) for code, _ in habitat.classes}
    return sorted((one for one in habitat.classes if most[one[0]] > 0.0), key=lambda one: -most[one[0]])


def _paint_class(canvas: Canvas, box: Box, code: str, name: str, visits: tuple[RouteHabitat, ...]) -> None:
    baseline = box.top + SMALL.ascent
    wide = SMALL_BOLD.width(code) + 1.6
    # No arrow: the visits may be of other points, and a change is that of points with sheets of both.
    figures = " / ".join(f"{_mean(one, code):.0f}" for one in visits)
    canvas.text((box.left, baseline), code, SMALL_BOLD)
    canvas.text((box.left + wide, baseline), name, SMALL, width=box.width - wide - _FIGURE_MM)
    canvas.text((box.right, baseline), f"{figures} %", SMALL, align=Align.RIGHT)
    for number, (one, fill) in enumerate(zip(visits, _FILLS, strict=False)):
        bar = Box(box.left, box.top + SMALL.line + number * _BAR, box.width, _BAR)
        paint_share(canvas, bar, _mean(one, code) / 100.0, fill if len(visits) > 1 else solid)


def _mean(one: RouteHabitat, code: str) -> float:
    return next(cover.mean for cover in one.covers if cover.code == code)
