"""Times of day as people and spreadsheets write them, and the moment that a time of one evening's night is."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from planner.domain.light import Span
from planner.exchange.field_files.bad_cells import Unclear

_DAY_S = 86_400
_CLOCK = re.compile(
    r"(?P<hour>[0-9]{1,2})\s*[:.h]\s*(?P<minute>[0-9]{2})(?:[:.](?P<second>[0-9]{2}(?:\.[0-9]+)?))?"
    r"\s*(?:h|hrs|uhr)?\s*(?P<half>[ap]\.?\s?m\.?)?",
    re.IGNORECASE,
)
_TOGETHER = re.compile(
    r"(?P<hour>[0-9]{1,2})(?P<minute>[0-9]{2})\s*(?:h|hrs)?\s*(?P<half>[ap]\.?\s?m\.?)?", re.IGNORECASE
)
_HOUR = re.compile(r"(?P<hour>[0-9]{1,2})\s*(?P<half>[ap]\.?\s?m\.?)", re.IGNORECASE)
_NUMBER = re.compile(r"[0-9]{1,2}(?:\.[0-9]{1,15})?")
_WITH_DATE = re.compile(
    r"(?P<date>[0-9]{4}-[0-9]{2}-[0-9]{2})[T ](?P<clock>[0-9]{2}:[0-9]{2}(?::[0-9]{2}(?:\.[0-9]+)?)?)"
)
_DAYS_ON = re.compile(r"(?P<days>[0-9]) days?, (?P<clock>[0-9]{1,2}:[0-9]{2}:[0-9]{2}(?:\.[0-9]+)?)")
_SPREADSHEETS_BEGIN = 1905
"""Years before it are the first days of spreadsheets: a length of time that is shown as a date."""
_FIRST_DAYS = {dt.date(1899, 12, 30): 0, dt.date(1899, 12, 31): 1, dt.date(1900, 1, 1): 1, dt.date(1904, 1, 1): 0}
_FAR = dt.timedelta(hours=6)
"""A count is not this far off its light window: it was the other half of the day, or another date. Our own choice."""
_HALF_DAY = dt.timedelta(hours=12)
_HALF_HOUR = dt.timedelta(minutes=30)
WANTED = "a time by the 24-hour clock, such as 21:40"


@dataclass(frozen=True, slots=True)
class Clock:
    """A time of day, before it is known of which date."""

    seconds: int
    """Since midnight; from 86400 on it is said to be after the midnight that ends the evening's date."""
    date: dt.date | None = None
    """The date that stood with it."""

    def __str__(self) -> str:
        """Hours and minutes."""
        return f"{self.seconds // 3600 % 24:02d}:{self.seconds // 60 % 60:02d}"


def clock(text: str, *, number: bool = False) -> Clock | None:
    """Read a time; None where the cell is empty.

    Understood are 21:12, 21.12, 2112, 21h12, 9.30pm, 24:05, a fraction of a day, and a time that stands with its date.

    Args:
        text: the cell.
        number: whether the workbook holds it as a number.

    Raises:
        Unclear: it is no time, or could be two.
    """
    if not text:
        return None
    if match := _WITH_DATE.fullmatch(text):
        return _with_date(match)
    if match := _DAYS_ON.fullmatch(text):
        on = clock(match["clock"])
        return None if on is None else Clock(on.seconds + int(match["days"]) * _DAY_S)
    if number and _NUMBER.fullmatch(text):
        return _of_number(text)
    if text.casefold() == "midnight":
        return Clock(_DAY_S)
    match = _CLOCK.fullmatch(text) or _TOGETHER.fullmatch(text) or _HOUR.fullmatch(text)
    if match is None:
        raise Unclear(WANTED, "Write hours and minutes.")
    return _of_parts(match)


def _of_parts(match: re.Match[str]) -> Clock:
    said = match.groupdict()
    hour, minute = (int(said.get(part) or 0) for part in ("hour", "minute"))
    second = round(float(said.get("second") or 0))  # a spreadsheet's 21:12 may be 21:11:59.999
    half = (said["half"] or "")[:1].casefold()
    if minute > 59 or second > 60 or hour > 47 or (half and not 1 <= hour <= 12):
        raise Unclear(WANTED, "Write hours and minutes that the clock has.")
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    return Clock(3600 * hour + 60 * minute + second)


def _of_number(text: str) -> Clock:
    """Read a number: a fraction of a day, or hours and minutes written with a point (21.3 was 21.30)."""
    whole, _, decimals = text.partition(".")
    days = float(text)
    as_fraction = Clock(round(days * _DAY_S)) if days < 2 and decimals else None
    minutes = int(decimals.ljust(2, "0")) if 1 <= len(decimals) <= 2 else 60
    as_clock = Clock(3600 * int(whole) + 60 * minutes) if minutes < 60 and int(whole) < 48 else None
    if as_fraction and as_clock:
        raise Unclear(f"{WANTED}; {text} could be {as_clock} or {as_fraction}", "Write the one that is meant.")
    found = as_fraction or as_clock
    if found is None:
        raise Unclear(WANTED, "Write hours and minutes.")
    return found


def _with_date(match: re.Match[str]) -> Clock:
    at = clock(match["clock"])
    date = dt.date.fromisoformat(match["date"])
    assert at is not None, "a clock stands beside the date"
    if date.year < _SPREADSHEETS_BEGIN:
        if date not in _FIRST_DAYS:
            # 21.10 in a cell of times is 21.1 days, and would be read as 02:24.
            raise Unclear(f"{WANTED}; a figure with a point was kept as {date}", "Write the time with a colon.")
        return Clock(at.seconds + _FIRST_DAYS[date] * _DAY_S)
    return Clock(at.seconds, date)


def moment(said: Clock, date: dt.date, window: Span, zone: ZoneInfo, *, counting: bool) -> dt.datetime:
    """Return the moment of a time that belongs to one evening or morning: that which lies nearest to its light window.

    So 00:12 of an evening in June is after the midnight that follows, and 23:30 before a dawn in May is on the day
    before. Of a time that the clock has twice, going back, the second is meant where it lies nearer by more than half
    of the hour: who arrives somewhat early is not taken to have come an hour later. Our own rule.

    Args:
        said: the time.
        date: the evening or morning that it belongs to.
        window: the light window of that date, in UTC.
        zone: the season's.
        counting: whether it is of a count, which cannot lie many hours off its window.

    Raises:
        Unclear: the clock skipped that time; the date beside it is another night's; a count lies far off its window.
    """
    if said.date is not None and abs((said.date - date).days) > 1:
        raise Unclear(f"a time of the night of {date}; the date beside it is {said.date}", "Correct the date.")
    days = [said.date] if said.date is not None else [date + dt.timedelta(days=day) for day in (-1, 0, 1)]
    found = min((_at(day, said.seconds, zone) for day in days), key=lambda one: _off(one, window))
    again = found.replace(fold=1)
    if _off(again, window) + _HALF_HOUR < _off(found, window):
        found = again
    if _skipped(found, zone):
        raise Unclear(f"a time that the clock had; clocks went forward over {said}", "Write the time by the clock.")
    if counting and _off(found, window) > _FAR:
        raise _far_off(said, found, window)
    return found.astimezone(dt.UTC)


def _at(day: dt.date, seconds: int, zone: ZoneInfo) -> dt.datetime:
    midnight = dt.datetime.combine(day, dt.time(), tzinfo=zone)
    return midnight + dt.timedelta(seconds=seconds)


def _skipped(found: dt.datetime, zone: ZoneInfo) -> bool:
    return found.astimezone(dt.UTC).astimezone(zone).replace(tzinfo=None) != found.replace(tzinfo=None)


def _off(found: dt.datetime, window: Span) -> dt.timedelta:
    """Return how far a moment lies from a window; nothing inside it."""
    at = found.astimezone(dt.UTC)
    return max(window.open_utc - at, at - window.close_utc, dt.timedelta())


def _far_off(said: Clock, found: dt.datetime, window: Span) -> Unclear:
    hours = _off(found, window) / dt.timedelta(hours=1)
    other = min((found - _HALF_DAY, found + _HALF_DAY), key=lambda one: _off(one, window))
    meant = f"Write {other:%H:%M} if you mean that." if _off(other, window) <= _FAR else "Correct the time or the date."
    return Unclear(f"a time near the light window; {said} is {hours:.0f} hours off it", meant)
