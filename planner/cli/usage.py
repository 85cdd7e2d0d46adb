"""Reading what was typed: dates, numbers, and the error for wrong usage."""

from __future__ import annotations

import argparse
import datetime as dt

from planner.domain.calendar import DateRange
from planner.domain.errors import DimpsyError, RuleError


class UsageError(DimpsyError):
    """The command line was typed in a way the program cannot read."""


def date(text: str) -> dt.date:
    """Read a date in ISO form, for argparse."""
    try:
        return dt.date.fromisoformat(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"write a date as YYYY-MM-DD, found {text!r}") from error


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


def visit_dates(text: str) -> tuple[int, DateRange]:
    """Read ``2=2027-06-04..2027-07-02``, for argparse."""
    number, equals, dates = text.partition("=")
    first, dots, last = dates.partition("..")
    if not (equals and dots and number.isdigit()):
        raise argparse.ArgumentTypeError(f"write K=FIRST..LAST, such as 2=2027-06-04..2027-07-02, found {text!r}")
    try:
        return int(number), DateRange(date(first), date(last))
    except RuleError as error:
        raise argparse.ArgumentTypeError(str(error)) from error
