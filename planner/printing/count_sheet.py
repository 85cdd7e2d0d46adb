"""The sheet on which counts are written down: one line for each count, the weather at both ends, and the way there."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from planner.domain.route import Point
from planner.printing.blocks import Block, Rows, Section, paragraph, space
from planner.printing.canvas import Align, Canvas
from planner.printing.code_grid import code_grid
from planner.printing.day_plan import Page
from planner.printing.fields import field_row
from planner.printing.geometry import Box, Spot
from planner.printing.headings import heading
from planner.printing.place_code import CODE_MM, draw_code
from planner.printing.times import LocalClock, Shown
from planner.printing.timetable import Stop
from planner.printing.type_scale import BODY, CLOCK, HEADING, SMALL, SMALL_BOLD
from planner.printing.wording import count_sentence

WEATHER = (("Wind", ""), ("Cloud", "%"), ("Rain, fog", ""), ("Temperature", "°C"), ("Initials", ""))
EVENING = (("Left home", ""), ("Home again", ""), ("Driven", "km"), ("Stopped early: why", ""))
BOXES_MM = (15.0, 10.5)
"""Height of a row of boxes with the gap under it; the second on a shorter page, where a line then has room for a
code."""
BOX_GAP_MM = 1.0
ROW_MM = (13.0, 19.0)
"""Least and most height of a line."""
PLANNED_MM = 14.0
"""Left edge of the planned time, after the point's number."""
ARRIVED_MM, CODED_ARRIVED_MM = 52.0, 57.0
"""Left edge of the next column; the second where a code stands beside the planned time."""
TIME_MM = 18.0
"""Width of a column for a time of day."""
COLUMNS = ("point", "planned", "arrived", "begun", "ended", "seen or heard, notes")
LINE_MM = 0.25
"""Thickness of the lines between columns: a code keeps clear of them."""

CountKey = tuple[int, int]
"""Point and run."""


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One line of the sheet."""

    point: Point
    run: int
    planned: tuple[Shown | None, ...]
    """Under each sky."""
    first: bool
    """Whether no line above is of the same point."""


@dataclass(frozen=True, slots=True)
class LineLook:
    """How the lines are laid out."""

    height: float
    coded: bool
    """Whether a point's code stands beside the planned time of its first line."""

    @property
    def columns(self) -> tuple[float, ...]:
        """Left edges of all columns after the point's number, from the left edge of the sheet."""
        arrived = CODED_ARRIVED_MM if self.coded else ARRIVED_MM
        return PLANNED_MM, arrived, arrived + TIME_MM, arrived + 2 * TIME_MM, arrived + 3 * TIME_MM


def count_sheet(page: Page, content: Box, *, codes_elsewhere: bool) -> Section | None:
    """Return the count sheet of one outing; None where nothing is counted.

    The code of each point stands on its line where the lines have room for it; else all of them follow the table,
    unless other sheets of the outing have them.
    """
    lines = _lines(page)
    if not lines:
        return None
    above, look = _fitted(page, lines, content)
    rows = Rows(_table_head(look), tuple(_row(line, look) for line in lines))
    bare = () if look.coded or codes_elsewhere else code_grid([line.point for line in lines], page.width)
    return Section((*above, rows, *bare), page.running)


def _fitted(page: Page, lines: Sequence[SheetLine], content: Box) -> tuple[Sequence[Block], LineLook]:
    """Return what stands above the lines, and their layout: with codes on them where lower boxes leave room for that.

    Codes that follow the table are a page away from where they are wanted.
    """
    fits = []
    for boxes_mm in BOXES_MM:
        above = _above(page, boxes_mm)
        taken = sum(block.height for block in above) + _table_head_mm()
        fits.append((above, _look(lines, content.height - taken - 0.5)))
    return next((fit for fit in fits if fit[1].coded), fits[0])


def _above(page: Page, boxes_mm: float) -> tuple[Block, ...]:
    return (
        page.running,
        heading("Count sheet", before=0.0),
        paragraph(count_sentence(page.itinerary.count), BODY, page.width, after=2.0),
        _boxes(("At the", "first count"), WEATHER, boxes_mm),
        _boxes(("At the", "last count"), WEATHER, boxes_mm),
        _boxes(("The whole", "outing"), EVENING, boxes_mm),
        space(2.0),
    )


def _lines(page: Page) -> list[SheetLine]:
    planned = [_planned(variant.table.stops) for variant in page.variants]
    lines: list[SheetLine] = []
    for key in planned[0]:
        point, first = page.day.route.point(key[0]), all(line.point.number != key[0] for line in lines)
        lines.append(SheetLine(point, key[1], tuple(_shown(one.get(key), page.clock) for one in planned), first))
    return lines


def _shown(moment: dt.datetime | None, clock: LocalClock) -> Shown | None:
    return None if moment is None else clock.show(moment)


def _look(lines: Sequence[SheetLine], room: float) -> LineLook:
    least, most = ROW_MM
    height = min(most, max(least, room / len(lines)))
    if height < CODE_MM or any(len(line.planned) > 1 for line in lines):
        return LineLook(height, coded=False)
    widest = max(_clock_width(shown) for line in lines for shown in line.planned if line.first and shown is not None)
    return LineLook(height, coded=PLANNED_MM + widest + CODE_MM + LINE_MM <= CODED_ARRIVED_MM)


def _clock_width(shown: Shown) -> float:
    return 2.5 + CLOCK.width(shown.clock) + SMALL.width(shown.day)


def _planned(stops: Sequence[Stop]) -> dict[CountKey, dt.datetime]:
    return {(stop.point, stop.pass_number): stop.count[0] for stop in stops if stop.count is not None}


def _boxes(words: tuple[str, str], labels: Sequence[tuple[str, str]], height: float) -> Block:
    name_mm = 26.0
    gap = 2 * BOX_GAP_MM if height == BOXES_MM[0] else BOX_GAP_MM

    def paint(canvas: Canvas, box: Box) -> None:
        canvas.lines((box.left, box.top + 1.0), words, SMALL_BOLD)
        field_row(canvas, Box(box.left + name_mm, box.top, box.width - name_mm, height - gap), labels)

    return Block(height, paint)


def _table_head_mm() -> float:
    return SMALL.line + 1.0


def _table_head(look: LineLook) -> Block:
    def paint(canvas: Canvas, box: Box) -> None:
        for left, words in zip((0.0, *look.columns), COLUMNS, strict=True):
            canvas.text((box.left + left + 1.5, box.top + SMALL.ascent), words, SMALL)
        canvas.line((box.left, box.bottom), (box.right, box.bottom), 0.6)

    return Block(_table_head_mm(), paint)


def _row(line: SheetLine, look: LineLook) -> Block:
    planned, *others = look.columns

    def paint(canvas: Canvas, box: Box) -> None:
        middle = box.centre[1]
        canvas.disc((box.left + 5.5, middle), 3.9, width=0.5)
        canvas.text((box.left + 5.5, middle + HEADING.cap / 2), str(line.point.number), HEADING, align=Align.CENTRE)
        place = Box(box.left + planned, box.top, others[0] - planned, look.height)
        if look.coded and line.first:
            _paint_coded(canvas, place, line)
        else:
            _paint_planned(canvas, place, line)
        for left in others:
            canvas.line((box.left + left, box.top), (box.left + left, box.bottom), LINE_MM)
        canvas.line((box.left, box.bottom), (box.right, box.bottom), LINE_MM)

    return Block(look.height, paint)


def _paint_coded(canvas: Canvas, box: Box, line: SheetLine) -> None:
    """Set the planned start over the coordinates, the code beside them."""
    draw_code(canvas, (box.right - LINE_MM - CODE_MM, box.top + (box.height - CODE_MM) / 2), line.point.place)
    top = box.top + (box.height - CLOCK.line - 2 * SMALL.line) / 2
    if line.planned[0] is not None:
        _paint_clock(canvas, (box.left + 1.5, top + CLOCK.ascent), line.planned[0])
    canvas.lines((box.left + 1.5, top + CLOCK.line), str(line.point.place).replace(", ", ",\n").split("\n"), SMALL)


def _paint_planned(canvas: Canvas, box: Box, line: SheetLine) -> None:
    """Set the planned start; under an overcast sky's one where the sky decides."""
    words = ("",) if len(line.planned) == 1 else ("clear", "overcast")
    run = f"run {line.run}" if line.run > 1 else ""
    step = box.height / len(line.planned)
    for number, (shown, word) in enumerate(zip(line.planned, words, strict=True)):
        baseline = box.top + step * (number + 0.5) + CLOCK.cap / 2
        if shown is not None:
            _paint_clock(canvas, (box.left + 1.5, baseline), shown, word, run)


def _paint_clock(canvas: Canvas, spot: Spot, shown: Shown, *words: str) -> None:
    canvas.text(spot, shown.clock, CLOCK)
    after = " ".join(part for part in (shown.day, *words) if part)
    canvas.text((spot[0] + 1.0 + CLOCK.width(shown.clock), spot[1]), after, SMALL)
