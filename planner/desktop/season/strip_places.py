"""Where things stand on the strip of a season: dates across, the clock and the outings down."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF

from planner.domain.calendar import DateRange
from planner.usecases.evening.who_is_out import OutOn

if TYPE_CHECKING:
    from planner.usecases.season.sky import SkyPanel

GUTTER = 52.0
"""At the left, for the hours."""
MARGIN = 8.0
LINE = 18.0
"""One line of words."""
MOST_MARK, LEAST_MARK = 9.0, 2.5
"""Sides of the marks of outings, in pixels."""
MOST_ACROSS = 4
SKY_SHARE = 0.68
"""Of the height that is left for the sky and the outings together."""


@dataclass(frozen=True)
class StripPlaces:
    """The layout of a strip of that size; in device-independent pixels.

    What all marks hang on is worked out once: there may be hundreds of them to paint.
    """

    width: float
    height: float
    dates: DateRange
    visits: tuple[DateRange, ...]
    panels: tuple[SkyPanel, ...]
    most_out: int
    """Most marks of one date."""

    @classmethod
    def fitting(
        cls,
        size: tuple[float, float],
        dates: DateRange,
        visits: Sequence[DateRange],
        panels: tuple[SkyPanel, ...],
        out: Mapping[dt.date, OutOn],
    ) -> StripPlaces:
        """Return the layout for a widget of that size."""
        most = max((len(one.visits) + len(one.setups) + len(one.reserves) for one in out.values()), default=0)
        return cls(size[0], size[1], dates, tuple(visits), panels, most)

    @cached_property
    def column(self) -> float:
        """Width of a date."""
        return max(self.width - GUTTER - MARGIN, 1.0) / len(self.dates)

    def left(self, day: dt.date) -> float:
        """Return the left edge of a date."""
        return GUTTER + (day - self.dates.first).days * self.column

    def middle(self, day: dt.date) -> float:
        """Return the middle of a date."""
        return self.left(day) + self.column / 2

    def day_at(self, across: float) -> dt.date | None:
        """Return the date at a place; None beside the dates."""
        number = int((across - GUTTER) // self.column)
        return self.dates.first + dt.timedelta(days=number) if 0 <= number < len(self.dates) else None

    @cached_property
    def visit_lines(self) -> tuple[int, ...]:
        """The line of each visit's date range above the sky, from 0: those that overlap lie below one another."""
        ends: list[dt.date] = []
        lines = []
        for dates in self.visits:
            free = next((line for line, end in enumerate(ends) if end < dates.first), len(ends))
            ends[free : free + 1] = [dates.last]
            lines.append(free)
        return tuple(lines)

    def visit_box(self, number: int) -> QRectF:
        """Return where the date range of a visit is drawn; visits count from 0."""
        dates = self.visits[number]
        left = self.left(dates.first) + 1.0
        right = self.left(dates.last) + self.column - 1.0
        return QRectF(left, LINE * (1 + self.visit_lines[number]), right - left, LINE - 3.0)

    def panel_box(self, number: int) -> QRectF:
        """Return the box of a panel of the sky; panels count from 0."""
        count = max(len(self.panels), 1)
        room = self._room * SKY_SHARE
        each = (room - 6.0 * (count - 1)) / count
        top = self.sky_top + number * (each + 6.0)
        return QRectF(GUTTER, top, self.column * len(self.dates), each)

    @cached_property
    def sky_top(self) -> float:
        """The upper edge of the sky."""
        return LINE * (1 + len(set(self.visit_lines))) + 3.0

    @cached_property
    def outings_box(self) -> QRectF:
        """The box below the sky in which the outings of each date are piled up, from its upper edge."""
        top = self.sky_top + self._room * SKY_SHARE + 5.0
        return QRectF(GUTTER, top, self.column * len(self.dates), self.sky_top + self._room - top)

    @cached_property
    def marks_across(self) -> int:
        """How many marks of one date lie side by side: as many as make them largest."""
        return max(range(1, MOST_ACROSS + 1), key=lambda across: (self._mark_of(across), -across))

    @cached_property
    def mark(self) -> float:
        """Side of the mark of one outing: as large as the busiest date allows."""
        return self._mark_of(self.marks_across)

    def mark_box(self, day: dt.date, place: int, count: int) -> QRectF:
        """Return the box of an outing of a date; from 0, the first ones next to the sky.

        Args:
            day: the date.
            place: which of its outings.
            count: how many it has.
        """
        side, across = self.mark, self.marks_across
        row, column = divmod(place, across)
        in_row = min(across, count - row * across)
        left = self.middle(day) - (in_row * (side + 1.0) - 1.0) / 2
        return QRectF(left + column * (side + 1.0), self.outings_box.top() + row * (side + 1.0), side, side)

    def _mark_of(self, across: int) -> float:
        rows = -(-max(self.most_out, 1) // across)
        fits = min((self.column - 2.0) / across - 1.0, self.outings_box.height() / rows - 1.0)
        return min(max(fits, LEAST_MARK), MOST_MARK)

    def down(self, number: int, minute: float) -> float:
        """Return where a minute of the clock stands in a panel."""
        panel, box = self.panels[number], self.panel_box(number)
        share = (minute - panel.first_minute) / (panel.last_minute - panel.first_minute)
        return box.top() + share * box.height()

    @cached_property
    def _room(self) -> float:
        """Height of the sky and the outings together; the last line is the key."""
        return max(self.height - self.sky_top - LINE - 6.0, 20.0)
