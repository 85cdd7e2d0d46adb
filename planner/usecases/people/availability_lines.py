"""Dates painted on a calendar, written as few lines of availability that a person can read."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from planner.domain.calendar import DateRange
from planner.domain.volunteer import Availability
from planner.domain.window import PartOfDay

Parts: TypeAlias = frozenset[PartOfDay]

_NONE: Parts = frozenset()
_EVERY_DAY = frozenset(range(7))
_MOST_BREAKS = 40
"""A weekly pattern is sought between so many dates at most, so that a stroke of the brush is answered at once."""


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Some days in a row, the parts that each weekday usually has in it, and the days that differ."""

    first: int
    last: int
    usual: tuple[Parts, ...]
    """By weekday, Monday first."""
    runs: tuple[tuple[int, int, Parts], ...]
    """First and last day and parts of what differs."""

    @property
    def lines(self) -> int:
        """How many lines it takes to write it down."""
        return len(set(self.usual) - {_NONE}) + len(self.runs)


def lines_of(given: Mapping[dt.date, Parts], dates: DateRange) -> tuple[Availability, ...]:
    """Return few lines that say which parts of which dates are given; a date not in ``given`` has none.

    The dates are parted into stretches that each keep a weekly pattern, and days that differ from it become lines
    after it, as a person would write them: "Tue Thu, 3 May to 2 July; none from 24 to 30 May". Never more lines than
    there are runs of like days. Not proven to be the fewest.

    Args:
        given: the parts by date.
        dates: the dates that the lines are to speak of.
    """
    days = [given.get(day, _NONE) for day in dates]
    weekdays = [day.weekday() for day in dates]
    lines = [line for stretch in _cheapest(days, weekdays) for line in _written(stretch, weekdays, dates.first)]
    plain = _plain_runs(days, dates.first)
    return tuple(lines if len(lines) <= len(plain) else plain)


def _plain_runs(days: Sequence[Parts], first: dt.date) -> list[Availability]:
    """Return one line for each run of like days: the most that it ever takes."""
    lines = []
    start = 0
    for index in range(1, len(days) + 1):
        if index == len(days) or days[index] != days[start]:
            if days[start]:
                lines.append(Availability(_between(first, start, index - 1), days[start]))
            start = index
    return lines


def _cheapest(days: Sequence[Parts], weekdays: Sequence[int]) -> list[_Stretch]:
    """Return the stretches that take the fewest lines, by dynamic programming over where one may end."""
    ends = _breaks(days)
    cheapest: list[tuple[int, int, _Stretch | None]] = [(0, 0, None)]
    for to in range(1, len(ends)):
        ways = []
        for start in range(to):
            stretch = _stretch(days, weekdays, ends[start], ends[to] - 1)
            ways.append((cheapest[start][0] + stretch.lines, start, stretch))
        cheapest.append(min(ways, key=lambda way: (way[0], way[1])))
    found = []
    at = len(ends) - 1
    while at:
        _, before, here = cheapest[at]
        assert here is not None, "only the empty beginning has no stretch"
        found.append(here)
        at = before
    return found[::-1]


def _breaks(days: Sequence[Parts]) -> list[int]:
    """Return where a stretch may begin: wherever a day and its eve are not as they were a week before."""
    inner = [i for i in range(1, len(days)) if i < 8 or days[i - 1 : i + 1] != days[i - 8 : i - 6]]
    step = max(-(-len(inner) // _MOST_BREAKS), 1)
    return [0, *inner[::step], len(days)]


def _stretch(days: Sequence[Parts], weekdays: Sequence[int], first: int, last: int) -> _Stretch:
    return min(
        (_with_pattern(days, weekdays, first, last, usual) for usual in _patterns(days, weekdays, first, last)),
        key=lambda one: one.lines,
    )


def _patterns(
    days: Sequence[Parts], weekdays: Sequence[int], first: int, last: int
) -> tuple[tuple[Parts, ...], tuple[Parts, ...]]:
    """Return what may be usual: the commonest parts of each weekday, or the commonest of all days for each."""
    by_weekday: list[Counter[Parts]] = [Counter() for _ in range(7)]
    overall: Counter[Parts] = Counter()
    for index in range(first, last + 1):
        by_weekday[weekdays[index]][days[index]] += 1
        overall[days[index]] += 1
    commonest = overall.most_common(1)[0][0]
    varied = tuple(_commonest(counts, commonest) for counts in by_weekday)
    return varied, (commonest,) * 7


def _commonest(counts: Counter[Parts], otherwise: Parts) -> Parts:
    """Return the parts that come up most often; of those alike ``otherwise`` where it is one of them."""
    most = max(counts.values(), default=0)
    best = [parts for parts, count in counts.items() if count == most]
    return otherwise if otherwise in best or not best else best[0]


def _with_pattern(
    days: Sequence[Parts], weekdays: Sequence[int], first: int, last: int, usual: tuple[Parts, ...]
) -> _Stretch:
    runs: list[tuple[int, int, Parts]] = []
    still_open = False
    for index in range(first, last + 1):
        parts = days[index]
        if still_open and parts == runs[-1][2]:
            if parts != usual[weekdays[index]]:
                runs[-1] = (runs[-1][0], index, parts)
        elif parts != usual[weekdays[index]]:
            runs.append((index, index, parts))
            still_open = True
        else:
            still_open = False
    return _Stretch(first, last, usual, tuple(runs))


def _written(stretch: _Stretch, weekdays: Sequence[int], first: dt.date) -> list[Availability]:
    """Return the lines of one stretch: what is usual, then what differs."""
    span = range(stretch.first, stretch.last + 1)
    there = {weekdays[index] for index in span}
    lines = []
    for parts in dict.fromkeys(stretch.usual):
        having = frozenset(day for day in there if stretch.usual[day] == parts)
        if parts and having:
            on = _EVERY_DAY if having == there else having
            lines.append(Availability(_between(first, span[0], span[-1]), parts, on))
    lines += [Availability(_between(first, start, end), parts) for start, end, parts in stretch.runs]
    return lines


def _between(first: dt.date, start: int, end: int) -> DateRange:
    return DateRange(first + dt.timedelta(days=start), first + dt.timedelta(days=end))
