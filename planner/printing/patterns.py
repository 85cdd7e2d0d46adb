"""Fills that black ink can tell apart: slanted lines, dots, level lines."""

from __future__ import annotations

from planner.printing.canvas import Canvas
from planner.printing.geometry import Box


def slanted(canvas: Canvas, box: Box, *, apart: float = 1.3, width: float = 0.2) -> None:
    """Fill a box with lines that rise to the right."""
    with canvas.clipped(box):
        start = box.left - box.height
        while start < box.right:
            canvas.line((start, box.bottom), (start + box.height, box.top), width)
            start += apart
    canvas.frame(box, 0.3)


def level(canvas: Canvas, box: Box, *, apart: float = 1.2) -> None:
    """Fill a box with level lines."""
    count = max(1, round(box.height / apart))
    for number in range(1, count):
        down = box.top + box.height * number / count
        canvas.line((box.left, down), (box.right, down), 0.2)
    canvas.frame(box, 0.3)


def dotted(canvas: Canvas, box: Box, *, apart: float = 1.2, radius: float = 0.22) -> None:
    """Fill a box with dots."""
    with canvas.clipped(box):
        down, row = box.top + apart / 2, 0
        while down < box.bottom:
            across = box.left + apart / 2 + (apart / 2 if row % 2 else 0.0)
            while across < box.right:
                canvas.disc((across, down), radius, width=0.01, white=False)
                across += apart
            down, row = down + apart * 0.8, row + 1
    canvas.frame(box, 0.3)


def empty(canvas: Canvas, box: Box) -> None:
    """Draw the edge only."""
    canvas.frame(box, 0.3)


def solid(canvas: Canvas, box: Box) -> None:
    """Fill a box with black."""
    canvas.fill(box)


def bar(canvas: Canvas, box: Box) -> None:
    """Draw a slim black bar along the middle of a box."""
    thick = min(1.6, box.height)
    canvas.fill(Box(box.left, box.top + (box.height - thick) / 2, box.width, thick))
