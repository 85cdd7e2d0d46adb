"""Dates as people and spreadsheets write them; what could be the one day or the other is refused with both."""

from __future__ import annotations

import calendar
import datetime as dt
import re
from collections.abc import Iterator

from planner.domain.calendar import DateRange
from planner.exchange.field_files.bad_cells import Unclear

_ISO = re.compile(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})(?:[T ]00:00(?::00(?:\.0+)?)?)?")
_FIGURES = re.compile(r"([0-9]{1,2})\s*[-/.]\s*([0-9]{1,2})\s*[-/.]\s*([0-9]{4}|[0-9]{2})")
_DAY_FIRST = re.compile(
    r"([0-9]{1,2})(?:st|nd|rd|th|\.)?[\s-]*([a-z]{3,9})\.?[\s,-]*([0-9]{4}|[0-9]{2})?", re.IGNORECASE
)
_MONTH_FIRST = re.compile(r"([a-z]{3,9})\.?\s*([0-9]{1,2})(?:st|nd|rd|th)?[\s,]*([0-9]{4})?", re.IGNORECASE)
_WEEKDAY = re.compile(
    r"(mon|tue|wed|thu|fri|sat|sun)(?:day|s|sday|nes|nesday|rs|rsday|urday)?\b\.?,?\s*", re.IGNORECASE
)
_SERIAL = re.compile(r"[0-9]{5}(?:\.0+)?")
_SERIAL_ZERO = dt.date(1899, 12, 30)
"""Day 0 of the serial numbers of spreadsheets: ECMA-376 part 1, 18.17.4.1, the 1900 date system."""
_NEAR_DAYS = 400
"""Days off the season within which a number or a text is still taken for a date: last year's, say. Our own choice."""
_MONTHS = {
    name[:length].casefold(): number
    for number, name in enumerate(calendar.month_name)
    if name
    for length in range(3, len(name) + 1)
}
_WANTED = "a date, such as 2027-06-03 or 3 June 2027"
_WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def date_of(text: str, season: DateRange, *, number: bool = False) -> dt.date | None:
    """Read a date; None where the cell is empty.

    A day and a month in figures, '03/06/2027', are taken only where one of the two readings lies in the season. A date
    without a year is the one in the season, and one years off it is a slip: a number shown as a date, or a wrong year.

    Args:
        text: the cell.
        season: dates of the season.
        number: whether the workbook holds it as a number: then it may be the serial number of a date.

    Raises:
        Unclear: it is no date, could be two, or is years off the season.
    """
    if not text:
        return None
    if _SERIAL.fullmatch(text) and _near(_serial(text), season, number=number):
        return _serial(text)
    weekday = _WEEKDAY.match(text)
    rest = text[weekday.end() :] if weekday else text
    found = sorted(set(_readings(rest.strip(), season)))
    inside = [day for day in found if day in season]
    if not found:
        raise Unclear(_WANTED, "Write year, month and day.")
    if len(found) > 1 and len(inside) != 1:
        both = " or ".join(f"{day.day} {day:%B %Y} ({day})" for day in found)
        raise Unclear(f"a date that can be read in one way; it could be {both}", "Write the one that is meant.")
    date = inside[0] if inside else found[0]
    if weekday and _WEEKDAYS[date.weekday()] != weekday[1].casefold():
        wanted = f"a date whose weekday is its own; {date} is a {date:%A}"
        raise Unclear(wanted, "Correct the date or the weekday.")
    if not _near(date, season, number=True):
        raise Unclear(f"a date of this season, {season}, or not far off it", f"{date} cannot be meant: write the date.")
    return date


def _serial(text: str) -> dt.date:
    return _SERIAL_ZERO + dt.timedelta(days=int(float(text)))


def _near(date: dt.date, season: DateRange, *, number: bool) -> bool:
    """Whether a serial number is meant: of a date in the season, or not far off where the cell holds a number."""
    days = max(season.first.toordinal() - date.toordinal(), date.toordinal() - season.last.toordinal(), 0)
    return days <= (_NEAR_DAYS if number else 0)


def _readings(text: str, season: DateRange) -> Iterator[dt.date]:
    """Yield every date that a text could mean."""
    if match := _ISO.fullmatch(text):
        year, month, day = map(int, match.groups())
        yield from _day(year, month, day)
    elif match := _FIGURES.fullmatch(text):
        first, second, year = map(int, match.groups())
        year += 2000 if year < 100 else 0
        yield from _day(year, second, first)
        yield from _day(year, first, second)
    elif match := _DAY_FIRST.fullmatch(text):
        yield from _named(match[1], match[2], match[3], season)
    elif match := _MONTH_FIRST.fullmatch(text):
        yield from _named(match[2], match[1], match[3], season)


def _named(day: str, month: str, year: str | None, season: DateRange) -> Iterator[dt.date]:
    number = _MONTHS.get(month.casefold())
    if number is None:
        return
    if year is not None:
        yield from _day(int(year) + (2000 if int(year) < 100 else 0), number, int(day))
        return
    for one in range(season.first.year, season.last.year + 1):
        yield from (date for date in _day(one, number, int(day)) if date in season)


def _day(year: int, month: int, day: int) -> Iterator[dt.date]:
    try:
        yield dt.date(year, month, day)
    except ValueError:
        return
