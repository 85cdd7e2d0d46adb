"""Times on paper: whole minutes, rounded so that whoever follows them keeps inside the light window.

A plan is computed to the second, a paper is read to the minute. Each kind of time is rounded to the side
that is safe for the person who follows it:

* leaving home, arriving, and the habitat round: down, so that nobody is later than the plan;
* a window's opening: up; its closing: down. No printed minute lies outside the window;
* a count starts on the next full minute and its end is printed one count later, as it will be lived. Where
  that would pass the closing it starts on the minute before, if the window is open then; where the window is
  so narrow that no full minute serves, the exact seconds are printed;
* being due home: up, so that nobody is missed too soon;
* the sun's events: to the nearest minute, as almanacs print them.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from planner.domain.clock_times import MINUTE, minute_after, minute_before, nearest_minute
from planner.domain.light import Span
from planner.domain.volunteer import WEEKDAYS

__all__ = [
    "DAYS",
    "MINUTE",
    "MONTHS",
    "LocalClock",
    "Shown",
    "long_date",
    "minute_after",
    "minute_before",
    "nearest_minute",
    "printed_count",
    "short_date",
    "whole_minutes",
]

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July",
    "August", "September", "October", "November", "December",
)  # fmt: skip
DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def printed_count(start: dt.datetime, end: dt.datetime, span: Span | None) -> tuple[dt.datetime, dt.datetime]:
    """Return the start and end of a count as they are printed.

    Args:
        start: planned start, in UTC.
        end: planned end, in UTC.
        span: what the count must keep inside; None where it is not known.

    Returns:
        Whole minutes wherever the span has room for them: see the module's text.
    """
    length = end - start
    later = minute_after(start)
    if span is None:
        return later, minute_after(later + length)
    for begin in (later, minute_before(start)):
        if span.open_utc <= begin and begin + length <= span.close_utc:
            finish = minute_after(begin + length)
            return begin, finish if finish <= span.close_utc else minute_before(begin + length)
    return start, end


def whole_minutes(minutes: float) -> int:
    """Return minutes rounded up, forgiving what arithmetic leaves behind (a hundredth of a second)."""
    return -int(-(minutes - 1e-4) // 1)


@dataclass(frozen=True, slots=True)
class Shown:
    """A time in figures, and the weekday where it is not that of the outing's date."""

    clock: str
    day: str = ""

    def __str__(self) -> str:
        """'21:41', or '00:12 Sat'."""
        return f"{self.clock} {self.day}".strip()


@dataclass(frozen=True, slots=True)
class LocalClock:
    """Shows moments in the season's zone, seen from the date of one outing."""

    zone: ZoneInfo
    date: dt.date

    def local(self, moment: dt.datetime) -> dt.datetime:
        """Return the moment in the zone."""
        return moment.astimezone(self.zone)

    def show(self, moment: dt.datetime) -> Shown:
        """Return a rounded moment as it is printed; with its seconds where it is no full minute."""
        local = self.local(moment)
        clock = f"{local:%H:%M:%S}" if local.second else f"{local:%H:%M}"
        day = "" if local.date() == self.date else WEEKDAYS[local.weekday()]
        return Shown(clock, day)

    def zone_words(self, moment: dt.datetime) -> str:
        """Return the zone as the paper names it: 'BST, Europe/London'."""
        short = self.local(moment).tzname() or ""
        return f"{short}, {self.zone.key}" if short.isalpha() else self.zone.key


def long_date(day: dt.date) -> str:
    """Return 'Friday 18 June 2027'."""
    return f"{DAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]} {day.year}"


def short_date(day: dt.date) -> str:
    """Return 'Tue 22 June'."""
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"
