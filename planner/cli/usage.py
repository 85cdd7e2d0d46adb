"""Reading what was typed: dates, numbers, and the error for wrong usage."""

from __future__ import annotations

import argparse
import datetime as dt
import re
from pathlib import Path

from planner.domain.calendar import FIRST_YEAR, LAST_YEAR, DateRange
from planner.domain.errors import DimpsyError, RuleError
from planner.domain.geo import Place
from planner.domain.volunteer import WEEKDAYS
from planner.exchange import CoordinateError, parse_pair


class UsageError(DimpsyError):
    """The command line was typed in a way the program cannot read."""


_CLOCK = re.compile(r"[0-9]{1,2}:[0-9]{2}")
_DAY_MINUTES = 24 * 60
_MOST_DIGITS = 18
"""Of a number that is only a number: those of 64 bits."""
_ISO_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def path(text: str) -> Path:
    """Read the name of a file or folder, for argparse; an empty one would silently mean the folder one stands in."""
    if not text:
        raise argparse.ArgumentTypeError("name a file or folder, found an empty name")
    return Path(text)


def date(text: str) -> dt.date:
    """Read a date as YYYY-MM-DD, for argparse; one of years that no season can lie in is a slip."""
    day = any_date(text)
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        years = f"{FIRST_YEAR} to {LAST_YEAR}"
        raise argparse.ArgumentTypeError(f"seasons lie in the years {years}, found {text!r}: mend the year")
    return day


def any_date(text: str) -> dt.date:
    """Read a date of any year as YYYY-MM-DD, for argparse."""
    if not _ISO_DATE.fullmatch(text):
        raise argparse.ArgumentTypeError(f"write a date as YYYY-MM-DD, found {text!r}")
    try:
        return dt.date.fromisoformat(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"write a date that the calendar has, found {text!r}") from error


def clock(text: str) -> dt.time:
    """Read a time of day as HH:MM, for argparse."""
    if not _CLOCK.fullmatch(text):
        raise argparse.ArgumentTypeError(f"write a time of day as HH:MM, found {text!r}")
    hours, minutes = map(int, text.split(":"))
    try:
        return dt.time(hours, minutes)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"write a time that the clock shows, found {text!r}") from error


def moment(text: str) -> dt.datetime:
    """Read a moment as YYYY-MM-DDTHH:MM, without a zone, for argparse."""
    day, _, time = text.replace(" ", "T", 1).partition("T")
    return dt.datetime.combine(date(day), clock(time))


def positive(text: str) -> float:
    """Read a number above 0, for argparse."""
    try:
        number = float(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"write a number, found {text!r}") from error
    if not 0 < number < float("inf"):
        raise argparse.ArgumentTypeError(f"the number must be above 0, found {text!r}")
    return number


def not_negative(text: str) -> float:
    """Read a number of at least 0, for argparse."""
    return 0.0 if text in {"0", "0.0"} else positive(text)


def whole(text: str) -> int:
    """Read a whole number of at least 1, for argparse."""
    number = positive(text)
    if number != int(number):
        raise argparse.ArgumentTypeError(f"write a whole number, found {text!r}")
    return int(number)


def from_nought(text: str) -> int:
    """Read a whole number of at least 0, for argparse."""
    if not (text.isascii() and text.isdecimal() and len(text) <= _MOST_DIGITS):
        raise argparse.ArgumentTypeError(f"write a whole number of at least 0, found {text!r}")
    return int(text)


def up_to_a_day(text: str) -> float:
    """Read minutes, from 0 to a whole day of them, for argparse."""
    minutes = not_negative(text)
    if minutes > _DAY_MINUTES:
        raise argparse.ArgumentTypeError(f"write at most {_DAY_MINUTES} minutes, which are a day, found {text!r}")
    return minutes


def codes(text: str) -> tuple[str, ...]:
    """Read codes parted by commas, for argparse; none of them would silently mean everything."""
    found = tuple(code.strip() for code in text.split(",") if code.strip())
    if not found:
        raise argparse.ArgumentTypeError(f"name at least one, parted by commas, found {text!r}")
    return found


def words(text: str) -> str:
    """Read a name, for argparse; an empty one would silently mean everything."""
    if not text.strip():
        raise argparse.ArgumentTypeError("write a name, found an empty one")
    return text


def place(text: str) -> Place:
    """Read ``51.5,-1.25`` or any other pair of coordinates that can be read one way, for argparse."""
    try:
        return parse_pair(text)
    except CoordinateError as error:
        raise argparse.ArgumentTypeError(str(error)) from error


def weekdays(text: str) -> frozenset[int]:
    """Read weekdays such as ``Tue,Thu``, Monday being 0, for argparse."""
    words = [word.strip().capitalize()[:3] for word in text.replace(",", " ").split()]
    if not words or any(word not in WEEKDAYS for word in words):
        raise argparse.ArgumentTypeError(f"write weekdays as {' '.join(WEEKDAYS)}, parted by commas, found {text!r}")
    return frozenset(map(WEEKDAYS.index, words))


def visit_dates(text: str) -> tuple[int, DateRange]:
    """Read ``2=2027-06-04..2027-07-02``, for argparse."""
    number, equals, dates = text.partition("=")
    first, dots, last = dates.partition("..")
    if not (equals and dots and number.isdecimal()):
        raise argparse.ArgumentTypeError(f"write K=FIRST..LAST, such as 2=2027-06-04..2027-07-02, found {text!r}")
    try:
        return int(number), DateRange(date(first), date(last))
    except RuleError as error:
        raise argparse.ArgumentTypeError(str(error)) from error
