"""Boxes to write in, by hand and in poor light."""

from __future__ import annotations

from collections.abc import Sequence

from planner.printing.canvas import Canvas
from planner.printing.geometry import Box
from planner.printing.type_scale import SMALL


def field(canvas: Canvas, box: Box, label: str, unit: str = "") -> None:
    """Draw a box with its label in the upper left corner and a unit in the lower right one."""
    canvas.frame(box, 0.35)
    canvas.text((box.left + 1.5, box.top + 0.6 + SMALL.ascent), label, SMALL, width=box.width - 3.0)
    if unit:
        canvas.text((box.right - 1.5 - SMALL.width(unit), box.bottom - 1.0 - SMALL.descent), unit, SMALL)


def field_row(canvas: Canvas, box: Box, labels: Sequence[tuple[str, str]], gap: float = 2.5) -> None:
    """Draw boxes of one width next to each other; each has a label and a unit."""
    width = (box.width - gap * (len(labels) - 1)) / len(labels)
    for number, (label, unit) in enumerate(labels):
        field(canvas, Box(box.left + number * (width + gap), box.top, width, box.height), label, unit)
