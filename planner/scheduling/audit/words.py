"""Dates, moments and figures as the audit says them."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable


def day_words(day: dt.date) -> str:
    """Return a date as it is said: ``Tue 8 Jun``."""
    return f"{day:%a} {day.day} {day:%b}"


def clock_words(moment_s: float, zone: dt.tzinfo) -> str:
    """Return the local time of Unix seconds as ``22:41``."""
    return f"{dt.datetime.fromtimestamp(moment_s, zone):%H:%M}"


def minutes_over(minutes: float, limit: float) -> str:
    """Return minutes that exceed a limit with as many decimals as it takes to see that they do, two at most."""
    for decimals in (0, 1):
        figure = f"{minutes:.{decimals}f}"
        if float(figure) > limit:
            return figure
    return f"{math.ceil(minutes * 100) / 100:.2f}"


def whole_minutes_up(seconds: float) -> str:
    """Return seconds as minutes, rounded up: ``7 min``."""
    return f"{math.ceil(round(seconds / 60, 6))} min"


def listed(words: Iterable[str]) -> str:
    """Return words in a row: ``car, owl course and 4x4``."""
    *first, last = words
    return f"{', '.join(first)} and {last}" if first else last


def days_words(count: int) -> str:
    """Return a number of days: ``1 day``, ``12 days``."""
    return f"{count} day" if abs(count) == 1 else f"{count} days"
