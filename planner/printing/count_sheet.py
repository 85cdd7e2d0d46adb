"""The sheet on which counts are written down: one line for each count, and the weather at both ends."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from planner.printing.blocks import Block, Rows, Section, paragraph, space
from planner.printing.canvas import Align, Canvas
from planner.printing.day_plan import Page
from planner.printing.fields import field_row
from planner.printing.geometry import Box
from planner.printing.headings import heading
from planner.printing.times import LocalClock
from planner.printing.timetable import Stop
from planner.printing.type_scale import BODY, CLOCK, HEADING, SMALL, SMALL_BOLD
from planner.printing.wording import count_sentence

WEATHER = (("Wind", ""), ("Cloud", "%"), ("Rain, fog", ""), ("Temperature", "°C"), ("Initials", ""))
WEATHER_MM = 13.0
ROW_MM = (13.0, 19.0)
"""Least and most height of a line."""
PLANNED_MM, BEGUN_MM, HEARD_MM = 14.0, 52.0, 76.0
"""Left edges of the columns after the point's number."""
NOTES_MM = 52.0

CountKey = tuple[int, int]
"""Point and run."""


def count_sheet(page: Page, content: Box) -> Section | None:
    """Return the count sheet of one outing; None where nothing is counted."""
    planned = [_planned(variant.table.stops) for variant in page.variants]
    if not planned[0]:
        return None
    head = page.running
    above = (
        head,
        heading("Count sheet", before=0.0),
        paragraph(count_sentence(page.itinerary.count), BODY, page.width, after=2.0),
        _weather("At the first count"),
        _weather("At the last count"),
        space(2.0),
    )
    taken = sum(block.height for block in above) + _table_head().height
    least, most = ROW_MM
    height = min(most, max(least, (content.height - taken - 0.5) / len(planned[0])))
    rows = tuple(_row(key, [other.get(key) for other in planned], page.clock, height) for key in planned[0])
    return Section((*above, Rows(_table_head(), rows)), head)


def _planned(stops: Sequence[Stop]) -> dict[CountKey, dt.datetime]:
    return {(stop.point, stop.pass_number): stop.count[0] for stop in stops if stop.count is not None}


def _weather(label: str) -> Block:
    name_mm = 26.0

    def paint(canvas: Canvas, box: Box) -> None:
        words = label.rsplit(" ", 2)
        canvas.lines((box.left, box.top + 1.0), (words[0], " ".join(words[1:])), SMALL_BOLD)
        field_row(canvas, Box(box.left + name_mm, box.top, box.width - name_mm, WEATHER_MM), WEATHER)

    return Block(WEATHER_MM + 2.0, paint)


def _columns(box: Box) -> tuple[float, ...]:
    return (
        box.left,
        box.left + PLANNED_MM,
        box.left + BEGUN_MM,
        box.left + HEARD_MM,
        box.right - NOTES_MM,
    )


def _table_head() -> Block:
    def paint(canvas: Canvas, box: Box) -> None:
        for left, words in zip(_columns(box), ("point", "planned", "begun", "seen or heard", "notes"), strict=True):
            canvas.text((left + 1.5, box.top + SMALL.ascent), words, SMALL)
        canvas.line((box.left, box.bottom), (box.right, box.bottom), 0.6)

    return Block(SMALL.line + 1.0, paint)


def _row(key: CountKey, planned: Sequence[dt.datetime | None], clock: LocalClock, height: float) -> Block:
    def paint(canvas: Canvas, box: Box) -> None:
        point_left, planned_left, *lines = _columns(box)
        middle = box.centre[1]
        canvas.disc((point_left + 5.5, middle), 3.9, width=0.5)
        canvas.text((point_left + 5.5, middle + HEADING.cap / 2), str(key[0]), HEADING, align=Align.CENTRE)
        run = f"run {key[1]}" if key[1] > 1 else ""
        _paint_planned(canvas, Box(planned_left, box.top, BEGUN_MM - PLANNED_MM, height), planned, clock, run)
        for left in lines:
            canvas.line((left, box.top), (left, box.bottom), 0.25)
        canvas.line((box.left, box.bottom), (box.right, box.bottom), 0.25)

    return Block(height, paint)


def _paint_planned(
    canvas: Canvas, box: Box, planned: Sequence[dt.datetime | None], clock: LocalClock, run: str
) -> None:
    """Set the planned start; under an overcast sky's one where the sky decides."""
    words = ("",) if len(planned) == 1 else ("clear", "overcast")
    face = CLOCK
    step = box.height / len(planned)
    for number, (moment, word) in enumerate(zip(planned, words, strict=True)):
        baseline = box.top + step * (number + 0.5) + face.cap / 2
        if moment is None:
            continue
        shown = clock.show(moment)
        canvas.text((box.left + 1.5, baseline), shown.clock, face)
        after = " ".join(part for part in (shown.day, word, run) if part)
        canvas.text((box.left + 2.5 + face.width(shown.clock), baseline), after, SMALL)
