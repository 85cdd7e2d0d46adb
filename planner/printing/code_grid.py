"""Codes of many points side by side, for sheets whose lines have no room for them."""

from __future__ import annotations

from collections.abc import Sequence

from planner.domain.route import Point
from planner.printing.blocks import Block, Rows, paragraph, space, stacked
from planner.printing.canvas import Align, Canvas
from planner.printing.geometry import Box
from planner.printing.headings import heading
from planner.printing.place_code import CODE_MM, draw_code
from planner.printing.type_scale import BODY, HEADING, SMALL

GRID_COLUMNS = 4


def code_grid(points: Sequence[Point], width: float) -> tuple[Block, Rows]:
    """Return the codes of points, each once, with number and coordinates, under a heading."""
    some = list({point.number: point for point in points}.values())
    rows = [some[start : start + GRID_COLUMNS] for start in range(0, len(some), GRID_COLUMNS)]
    words = "Scan a code to see the point on your telephone's map."
    above = stacked((heading("Where the points are, for your telephone"), paragraph(words, BODY, width)))
    return space(2.0), Rows(above, tuple(_grid_row(row, width / GRID_COLUMNS) for row in rows), whole=True)


def _grid_row(points: Sequence[Point], wide: float) -> Block:
    def paint(canvas: Canvas, box: Box) -> None:
        for number, point in enumerate(points):
            left = box.left + number * wide
            draw_code(canvas, (left + wide - CODE_MM - 4.0, box.top), point.place)
            centre = (left + (wide - CODE_MM - 4.0) / 2, box.top + CODE_MM / 2)
            canvas.disc(centre, 3.9, width=0.5)
            canvas.text((centre[0], centre[1] + HEADING.cap / 2), str(point.number), HEADING, align=Align.CENTRE)
            canvas.text((left + wide / 2, box.top + CODE_MM + SMALL.ascent - 1.0), str(point.place), SMALL,
                        align=Align.CENTRE)  # fmt: skip

    return Block(CODE_MM + SMALL.line + 4.0, paint)
