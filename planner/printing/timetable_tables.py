"""The timetable as tables: one row for each stop, with a box to tick."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from planner.domain.route import Route
from planner.printing.blocks import Block, Rows, beside, space
from planner.printing.canvas import Align, Canvas
from planner.printing.geometry import Box
from planner.printing.setting import at_most_lines
from planner.printing.times import MINUTE, LocalClock
from planner.printing.timetable import Leg, Stop
from planner.printing.type_scale import CLOCK, HEADING, SMALL, SMALL_BOLD

ROWS_MM = (9.6, 9.0, 8.4, 7.9)
"""Heights of a row; the largest is taken with which an outing needs fewest pages."""
PAIR_GAP_MM = 4.0
LEAST_NOTE_MM = 30.0
TICK_MM = 6.0
_DAY_MM = 9.0

Cell = Callable[[Canvas, Box, Stop], None]
Moment = Callable[[Stop], dt.datetime | None]


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its head, its width, and how a stop fills it."""

    head: str
    width: float
    cell: Cell


@dataclass(frozen=True, slots=True)
class LegTable:
    """A leg of the outing, ready to be set."""

    title: str
    leg: Leg
    clock: LocalClock
    route: Route
    row_mm: float = ROWS_MM[0]
    arrivals: bool = True
    """Whether the arrival has a column of its own."""

    @property
    def columns(self) -> tuple[Column, ...]:
        """The columns that this leg needs, without the notes."""
        columns = [Column("point", 13.0, _point_cell), Column("drive", self._drive_mm, _drive_cell)]
        if self.arrivals and any(_arrival_differs(stop) for stop in self.leg.stops):
            columns.append(self._clock_column("arrive", lambda stop: stop.arrive_utc))
        both = self.leg.counts and bool(self.leg.ground_kinds)
        if self.leg.ground_kinds:
            word = "habitat " if both else ""
            columns.append(self._clock_column(f"{word}from", lambda stop: stop.ground and stop.ground[0]))
            columns.append(self._clock_column(f"{word}to", lambda stop: stop.ground and stop.ground[1]))
        if self.leg.counts:
            word = "count " if both else ""
            columns.append(self._clock_column(f"{word}from", lambda stop: stop.count and stop.count[0]))
            columns.append(self._clock_column(f"{word}to", lambda stop: stop.count and stop.count[1]))
        return (*columns, Column("done", 10.0, _tick_cell))

    @property
    def _drive_mm(self) -> float:
        return max(SMALL.width(_drive_words(stop)) for stop in self.leg.stops) + 3.0

    @property
    def least_width(self) -> float:
        """How wide the table must be, without the notes."""
        return sum(column.width for column in self.columns)

    def _clock_column(self, head: str, moment: Moment) -> Column:
        shown = [self.clock.show(found) for stop in self.leg.stops if (found := moment(stop)) is not None]
        clocks = max((CLOCK.width(one.clock) for one in shown), default=0.0)
        width = clocks + 2.4 + (_DAY_MM if any(one.day for one in shown) else 0.0)

        def cell(canvas: Canvas, box: Box, stop: Stop) -> None:
            found = moment(stop)
            if found is not None:
                _paint_clock(canvas, box, self.clock, found)

        return Column(head, max(width, SMALL.width(head) + 1.5), cell)

    def rows(self, width: float) -> Rows:
        """Return the table set to that width, with the points' notes where there is room for them."""
        columns = list(self.columns)
        spare = width - sum(column.width for column in columns)
        if spare >= LEAST_NOTE_MM:
            columns.insert(-1, Column("where", spare, self._note_cell))
        return Rows(
            _head(self.title, columns), tuple(_row(stop, columns, self.row_mm) for stop in self.leg.stops), whole=True
        )

    def _note_cell(self, canvas: Canvas, box: Box, stop: Stop) -> None:
        room = 2 if box.height >= 2 * SMALL.line else 1
        lines = at_most_lines(self.route.point(stop.point).note, SMALL, box.width - 2.0, room)
        canvas.lines((box.left + 1.0, box.centre[1] - len(lines) * SMALL.line / 2), lines, SMALL)


def side_by_side(left: LegTable, right: LegTable, width: float) -> Rows | None:
    """Return two tables next to each other; None where the page is too narrow for them."""
    left_mm, right_mm = left.least_width, right.least_width
    spare = width - left_mm - right_mm
    if spare < PAIR_GAP_MM:
        return None
    gap = min(spare, 3 * PAIR_GAP_MM)
    first, second = left.rows(left_mm), right.rows(right_mm)
    count = max(len(first.rows), len(second.rows))
    pairs = zip(_padded(first.rows, count, left.row_mm), _padded(second.rows, count, left.row_mm), strict=True)
    rows = tuple(beside(one, other, left_mm, gap) for one, other in pairs)
    return Rows(beside(first.head, second.head, left_mm, gap), rows, whole=True)


def _padded(rows: Sequence[Block], count: int, height: float) -> list[Block]:
    return [*rows, *([space(height)] * (count - len(rows)))]


def _arrival_differs(stop: Stop) -> bool:
    """Whether one stands at a point with nothing to do for longer than rounding to the minute makes of no time."""
    first = stop.ground or stop.count
    return stop.arrive_utc is not None and first is not None and first[0] - stop.arrive_utc > MINUTE


def _baseline(box: Box, cap: float) -> float:
    return box.centre[1] + cap / 2


def _head(title: str, columns: Sequence[Column]) -> Block:
    width = sum(column.width for column in columns)

    def paint(canvas: Canvas, box: Box) -> None:
        canvas.text((box.left, box.top + HEADING.ascent), title, HEADING, width=width)
        left = box.left
        for column in columns:
            canvas.text((left + 1.0, box.top + HEADING.line + SMALL.ascent), column.head, SMALL)
            left += column.width
        rule = box.top + HEADING.line + SMALL.line + 0.8
        canvas.line((box.left, rule), (left, rule), 0.6)

    return Block(HEADING.line + SMALL.line + 1.0, paint)


def _row(stop: Stop, columns: Sequence[Column], height: float) -> Block:
    def paint(canvas: Canvas, box: Box) -> None:
        left = box.left
        for column in columns:
            column.cell(canvas, Box(left, box.top, column.width, box.height), stop)
            left += column.width
        canvas.line((box.left, box.bottom), (left, box.bottom), 0.15)

    return Block(height, paint)


def _point_cell(canvas: Canvas, box: Box, stop: Stop) -> None:
    across, down = box.left + 5.5, box.centre[1]
    canvas.disc((across, down), min(3.9, box.height / 2 - 0.4), width=0.5)
    canvas.text((across, down + HEADING.cap / 2), str(stop.point), HEADING, align=Align.CENTRE)


def _drive_cell(canvas: Canvas, box: Box, stop: Stop) -> None:
    canvas.text((box.left + 1.0, _baseline(box, SMALL.cap)), _drive_words(stop), SMALL)


def _drive_words(stop: Stop) -> str:
    return "here" if stop.drive_minutes is None else f"{stop.drive_minutes} min"


def _paint_clock(canvas: Canvas, box: Box, clock: LocalClock, moment: dt.datetime) -> None:
    shown = clock.show(moment)
    baseline = _baseline(box, CLOCK.cap)
    canvas.text((box.left + 1.0, baseline), shown.clock, CLOCK)
    if shown.day:
        canvas.text((box.left + 2.2 + CLOCK.width(shown.clock), baseline), shown.day, SMALL_BOLD)


def _tick_cell(canvas: Canvas, box: Box, _stop: Stop) -> None:
    across, down = box.right - TICK_MM / 2 - 0.5, box.centre[1]
    canvas.frame(Box(across - TICK_MM / 2, down - TICK_MM / 2, TICK_MM, TICK_MM), 0.4)
