"""Ranges of dates: of one season, and of every year as a protocol prints them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from planner.domain.errors import RuleError

FIRST_YEAR, LAST_YEAR = 1900, 2099
"""Years that seasons lie in: the day after a season is computed too, and the sun is computed up to 2100."""


@dataclass(frozen=True, slots=True, order=True)
class DateRange:
    """From a first to a last date, both included."""

    first: dt.date
    last: dt.date

    def __post_init__(self) -> None:
        if self.last < self.first:
            raise RuleError(f"dates are reversed: {self.first} comes after {self.last}; swap them")

    def __contains__(self, day: dt.date) -> bool:
        return self.first <= day <= self.last

    def __iter__(self) -> Iterator[dt.date]:
        return map(dt.date.fromordinal, range(self.first.toordinal(), self.last.toordinal() + 1))

    def __len__(self) -> int:
        return (self.last - self.first).days + 1

    def __str__(self) -> str:
        """Both ends in ISO form."""
        return f"{self.first} to {self.last}"


@dataclass(frozen=True, slots=True, order=True)
class MonthDay:
    """A day of every year, 29 February excluded."""

    month: int
    day: int

    def __post_init__(self) -> None:
        try:
            dt.date(2001, self.month, self.day)
        except ValueError as error:
            raise RuleError(f"no such day in every year: month {self.month}, day {self.day}") from error

    @classmethod
    def parse(cls, text: str) -> MonthDay:
        """Read ``"05-15"`` (month, day)."""
        month, dash, day = text.partition("-")
        if not (dash and month.isdigit() and day.isdigit()):
            raise RuleError(f"write a day of the year as MM-DD, found {text!r}")
        return cls(int(month), int(day))

    def in_year(self, year: int) -> dt.date:
        """Return the date in that year."""
        return dt.date(year, self.month, self.day)

    def __str__(self) -> str:
        """MM-DD."""
        return f"{self.month:02d}-{self.day:02d}"


@dataclass(frozen=True, slots=True)
class YearlyRange:
    """Dates that a protocol gives for every year, or for one region or one year of it; may cross New Year."""

    first: MonthDay
    last: MonthDay
    region: str = ""
    year: int | None = None

    def starting_in(self, year: int) -> DateRange:
        """Return the range that begins in that year."""
        wraps = self.last < self.first
        return DateRange(self.first.in_year(year), self.last.in_year(year + wraps))
