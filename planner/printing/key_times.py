"""The strip of the moments that the evening hangs on, readable at arm's length."""

from __future__ import annotations

from dataclasses import dataclass

from planner.domain.light import SunLine
from planner.printing.blocks import Block
from planner.printing.canvas import Align, Canvas
from planner.printing.geometry import Box
from planner.printing.setting import elided
from planner.printing.times import LocalClock, Shown, nearest_minute
from planner.printing.timetable import KeyTimes
from planner.printing.type_scale import BIG_CLOCK, SMALL, SMALL_BOLD


@dataclass(frozen=True, slots=True)
class KeyCell:
    """One moment of the strip."""

    above: str
    below: str
    shown: Shown
    inverse: bool = False


def count_cells(key: KeyTimes, clock: LocalClock) -> list[KeyCell]:
    """Return the strip of an outing with counts."""
    cells = [
        KeyCell("Leave", "home", clock.show(key.leave_home_utc)),
        KeyCell("Arrive", _at(key.arrive_point), clock.show(key.arrive_utc)),
    ]
    if key.counts_start_utc is not None and key.last_count_ends_utc is not None:
        cells.append(KeyCell("Counts", "start", clock.show(key.counts_start_utc)))
        cells.append(KeyCell("Last count", "ends", clock.show(key.last_count_ends_utc)))
    if key.closes_utc is not None:
        cells.append(KeyCell("Window", "closes", clock.show(key.closes_utc)))
    if key.margin_minutes is not None:
        cells.append(KeyCell("MARGIN", "", Shown(str(key.margin_minutes), "min"), inverse=True))
    return [*cells, KeyCell("Due", "home", clock.show(key.due_home_utc))]


def setup_cells(key: KeyTimes, clock: LocalClock, sun: SunLine) -> list[KeyCell]:
    """Return the strip of a set-up day of its own."""
    cells = [
        KeyCell("Leave", "home", clock.show(key.leave_home_utc)),
        KeyCell("Arrive", _at(key.arrive_point), clock.show(key.arrive_utc)),
        KeyCell("Last point", "done", clock.show(key.done_utc)),
    ]
    if sun.sunset_utc is not None:
        cells.append(KeyCell("Sunset", "", clock.show(nearest_minute(sun.sunset_utc))))
    return [*cells, KeyCell("Due", "home", clock.show(key.due_home_utc))]


def _at(point: int | None) -> str:
    return "home" if point is None else f"point {point}"


def key_strip(cells: list[KeyCell], caption: str = "") -> Block:
    """Return the strip; ``caption`` stands above it where there are two."""
    head = SMALL_BOLD.line + 1.0 if caption else 0.0
    body = 3.0 + 2 * SMALL.line + BIG_CLOCK.line + (SMALL.line if any(_needs_day(cell) for cell in cells) else 0.0)

    def paint(canvas: Canvas, box: Box) -> None:
        if caption:
            canvas.text((box.left, box.top + SMALL_BOLD.ascent), caption, SMALL_BOLD)
        frame = Box(box.left, box.top + head, box.width, body)
        width = frame.width / len(cells)
        for number, cell in enumerate(cells):
            _paint_cell(canvas, Box(frame.left + number * width, frame.top, width, frame.height), cell)
            if number:
                start = frame.left + number * width
                canvas.line((start, frame.top), (start, frame.bottom), 0.25)
        canvas.frame(frame, 0.7)

    return Block(head + body + 4.0, paint)


def _needs_day(cell: KeyCell) -> bool:
    return bool(cell.shown.day)


def _paint_cell(canvas: Canvas, box: Box, cell: KeyCell) -> None:
    if cell.inverse:
        canvas.fill(box)
    middle = box.centre[0]
    label = SMALL_BOLD if cell.inverse else SMALL
    top = box.top + 1.5
    for text in (cell.above, cell.below):
        canvas.text(
            (middle, top + label.ascent), elided(text, label, box.width), label, align=Align.CENTRE, white=cell.inverse
        )
        top += label.line
    canvas.text((middle, top + BIG_CLOCK.ascent), cell.shown.clock, BIG_CLOCK, align=Align.CENTRE, white=cell.inverse)
    if cell.shown.day:
        below = top + BIG_CLOCK.line + SMALL_BOLD.ascent - 1.0
        canvas.text((middle, below), cell.shown.day, SMALL_BOLD, align=Align.CENTRE, white=cell.inverse)
