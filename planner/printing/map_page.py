"""The page of the map: the ground of an outing, and where each of its points is."""

from __future__ import annotations

from collections.abc import Sequence

from planner.domain.itinerary import DayPlan
from planner.domain.route import Point
from planner.printing.blocks import Block, Rows, Section, space
from planner.printing.canvas import Align, Canvas
from planner.printing.geometry import Box
from planner.printing.headings import heading
from planner.printing.route_map import map_height, route_map
from planner.printing.setting import wrapped
from planner.printing.type_scale import BODY, HEADING, SMALL

MAP_MM = (88.0, 175.0)
"""The map's least and most height."""
PLACE_MM, NOTE_MM = 14.0, 62.0
"""Left edges of the columns after the point's number."""


def map_page(day: DayPlan, head: Block, notes: Sequence[Block], content: Box, radius_m: float | None) -> Section:
    """Return the map as large as the list of points lets it be, and the list.

    Args:
        day: the outing.
        head: heads the page and those that follow it.
        notes: what else the volunteer should know; stands above the map.
        content: the room on a page.
        radius_m: of the habitat circle; None where there is none.
    """
    rows = Rows(_head(), tuple(_row(point, content.width) for point in day.route.points))
    above = (head, *notes, heading("Where the points are", before=2.0 if notes else 0.0))
    spare = content.height - sum(block.height for block in above) - rows.height - 3.0
    least, most = MAP_MM
    room = min(spare, most) if spare >= least else most
    height = max(least, map_height(day, content.width, room))
    return Section((*above, route_map(day, height, radius_m), space(2.0), rows), head)


def _head() -> Block:
    def paint(canvas: Canvas, box: Box) -> None:
        baseline = box.top + SMALL.ascent
        for left, words in ((0.0, "point"), (PLACE_MM, "latitude, longitude"), (NOTE_MM, "where to stand")):
            canvas.text((box.left + left, baseline), words, SMALL)
        canvas.line((box.left, box.bottom - 0.3), (box.right, box.bottom - 0.3), 0.5)

    return Block(SMALL.line + 1.2, paint)


def _row(point: Point, width: float) -> Block:
    lines = wrapped(point.note, BODY, width - NOTE_MM)
    height = max(1, len(lines)) * BODY.line + 2.4

    def paint(canvas: Canvas, box: Box) -> None:
        baseline = box.top + 1.2 + BODY.ascent
        canvas.text((box.left + 5.0, baseline), str(point.number), HEADING, align=Align.CENTRE)
        canvas.text((box.left + PLACE_MM, baseline), str(point.place), BODY)
        canvas.lines((box.left + NOTE_MM, box.top + 1.2), lines, BODY)
        canvas.line((box.left, box.bottom), (box.right, box.bottom), 0.15)

    return Block(height, paint)
