"""Reading what was typed: dates, numbers, and the error for wrong usage."""

from __future__ import annotations

import argparse
import datetime as dt
import re
from pathlib import Path

from planner.domain.calendar import DateRange
from planner.domain.errors import DimpsyError, RuleError
from planner.domain.geo import Place
from planner.exchange import CoordinateError, parse_pair


class UsageError(DimpsyError):
    """The command line was typed in a way the program cannot read."""


_ISO_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def path(text: str) -> Path:
    """Read the name of a file or folder, for argparse; an empty one would silently mean the folder one stands in."""
    if not text:
        raise argparse.ArgumentTypeError("name a file or folder, found an empty name")
    return Path(text)


def date(text: str) -> dt.date:
    """Read a date as YYYY-MM-DD, for argparse."""
    if not _ISO_DATE.fullmatch(text):
        raise argparse.ArgumentTypeError(f"write a date as YYYY-MM-DD, found {text!r}")
    try:
        return dt.date.fromisoformat(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"write a date that the calendar has, found {text!r}") from error


def positive(text: str) -> float:
    """Read a number above 0, for argparse."""
    try:
        number = float(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"write a number, found {text!r}") from error
    if not 0 < number < float("inf"):
        raise argparse.ArgumentTypeError(f"the number must be above 0, found {text!r}")
    return number


def whole(text: str) -> int:
    """Read a whole number of at least 1, for argparse."""
    number = positive(text)
    if number != int(number):
        raise argparse.ArgumentTypeError(f"write a whole number, found {text!r}")
    return int(number)


def place(text: str) -> Place:
    """Read ``51.5,-1.25`` or any other pair of coordinates that can be read one way, for argparse."""
    try:
        return parse_pair(text)
    except CoordinateError as error:
        raise argparse.ArgumentTypeError(str(error)) from error


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
