"""Heads, bars and legends that the parts of the board's page share."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from planner.printing.canvas import Canvas
from planner.printing.geometry import Box
from planner.printing.patterns import dotted, empty, level, slanted, solid
from planner.printing.type_scale import BODY_BOLD, SMALL

Fill = Callable[[Canvas, Box], None]

HEAD_MM = 7.0
LEAST_SHOWN_MM = 0.6
"""A part of a bar that is not nothing is at least so wide."""


def paint_head(canvas: Canvas, box: Box, text: str) -> Box:
    """Paint the head of a part and return the room below it."""
    baseline = box.top + BODY_BOLD.ascent
    canvas.text((box.left, baseline), text, BODY_BOLD, width=box.width)
    rule = baseline + BODY_BOLD.descent * 0.8
    canvas.line((box.left, rule), (box.right, rule), 0.4)
    return Box(box.left, box.top + HEAD_MM, box.width, box.height - HEAD_MM)


def paint_stack(canvas: Canvas, box: Box, parts: Sequence[tuple[int, Fill]], whole: int) -> None:
    """Paint a bar whose parts lie side by side, to scale, in the order given."""
    left = box.left
    for count, fill in parts:
        if count:
            width = min(max(box.width * count / whole, LEAST_SHOWN_MM), box.right - left)
            fill(canvas, Box(left, box.top, width, box.height))
            left += width
    canvas.frame(box, 0.3)


def paint_share(canvas: Canvas, box: Box, share: float, fill: Fill = solid) -> None:
    """Paint a bar that is filled to a share, 0 to 1."""
    if share > 0.0:
        fill(canvas, Box(box.left, box.top, max(box.width * min(share, 1.0), LEAST_SHOWN_MM), box.height))
    canvas.frame(box, 0.3)


def paint_legend(canvas: Canvas, box: Box, entries: Sequence[tuple[str, Fill]]) -> float:
    """Paint what fills mean, as many to a line as there is room for, and return where it ends."""
    left, top = box.left, box.top
    for words, fill in entries:
        width = 7.0 + SMALL.width(words)
        if left > box.left and left + width > box.right:
            left, top = box.left, top + SMALL.line + 0.6
        fill(canvas, Box(left, top + 0.9, 5.0, SMALL.line - 1.8))
        canvas.text((left + 6.3, top + SMALL.ascent), words, SMALL, width=box.right - left - 6.3)
        left += width + 4.0
    return top + SMALL.line


DONE, PARTLY, TO_COME, UNRECORDED, UNFILLED = solid, slanted, level, dotted, empty
"""How the states of a visit are filled: without colour, so that a copy shows them as well."""
