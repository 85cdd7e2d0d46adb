"""Where everything on the board lies, in pixels of its viewport: rows of lanes, columns of dates."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRect, QRectF

from planner.domain.calendar import DateRange

_ROW_PAD = 4
"""Free pixels above and below the lanes of a row."""


@dataclass(frozen=True, slots=True)
class BoardGeometry:
    """The measures of the board at one zoom and one place of the scroll bars."""

    rows: int
    columns: int
    column_width: int
    lane_height: int
    lanes: tuple[int, ...] = (0,)
    """The lane that each visit runs in, by its place; visits whose date ranges meet run in different lanes."""
    left: int = 0
    """Pixels scrolled away at the left."""
    top: int = 0

    @property
    def row_height(self) -> int:
        """Height of each row."""
        return (max(self.lanes) + 1) * self.lane_height + 2 * _ROW_PAD

    @property
    def width(self) -> int:
        """Width of all dates."""
        return self.columns * self.column_width

    @property
    def height(self) -> int:
        """Height of all rows."""
        return self.rows * self.row_height

    def row_at(self, y: float) -> int:
        """Return the row at a height of the viewport; -1 below the last."""
        row = int((y + self.top) // self.row_height)
        return row if 0 <= row < self.rows else -1

    def column_at(self, x: float) -> int:
        """Return the column at a place of the viewport; -1 right of the last."""
        column = int((x + self.left) // self.column_width)
        return column if 0 <= column < self.columns else -1

    def cell(self, row: int, column: int) -> QRect:
        """Return the rectangle of a cell in the viewport."""
        x, y = column * self.column_width - self.left, row * self.row_height - self.top
        return QRect(x, y, self.column_width, self.row_height)

    def block(self, row: int, column: int, visit: int) -> QRectF:
        """Return the rectangle of a block of a visit (from 1) on a date."""
        x, y = column * self.column_width - self.left, self.lane_top(row, visit)
        return QRectF(x + 1.5, y + 1.5, self.column_width - 3, self.lane_height - 3)

    def band(self, row: int, first: int, last: int, visit: int) -> QRectF:
        """Return the rectangle of the dates that a visit (from 1) may have."""
        x = first * self.column_width - self.left
        return QRectF(x, self.lane_top(row, visit), (last - first + 1) * self.column_width, self.lane_height)

    def lane_top(self, row: int, visit: int) -> int:
        """Return the upper edge of a visit's lane in a row."""
        lane = self.lanes[visit - 1] if visit <= len(self.lanes) else 0
        return row * self.row_height - self.top + _ROW_PAD + lane * self.lane_height

    def rows_in(self, top: int, bottom: int) -> range:
        """Return the rows between two heights of the viewport."""
        return _between(top + self.top, bottom + self.top, self.row_height, self.rows)

    def columns_in(self, left: int, right: int) -> range:
        """Return the columns between two places of the viewport."""
        return _between(left + self.left, right + self.left, self.column_width, self.columns)


def _between(low: int, high: int, step: int, count: int) -> range:
    return range(max(0, low // step), min(count, high // step + 1))


def lanes_for(ranges: Sequence[Sequence[DateRange]], visits: int) -> tuple[int, ...]:
    """Return a lane for each visit so that on no route two visits of one lane may lie on the same date.

    Args:
        ranges: the date ranges of visit 1, visit 2 … of each route.
        visits: how many visits the protocol has.
    """
    lanes: list[int] = []
    for number in range(visits):
        taken = {lanes[other] for other in range(number) if any(_meet(one[number], one[other]) for one in ranges)}
        lanes.append(next(lane for lane in range(visits) if lane not in taken))
    return tuple(lanes) or (0,)


def _meet(one: DateRange, other: DateRange) -> bool:
    return one.first <= other.last and other.first <= one.last
