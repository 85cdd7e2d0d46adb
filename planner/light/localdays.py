"""Civil dates of a zone as spans of UTC, and the solar noons that fall in them."""

from __future__ import annotations

import zoneinfo
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, tzinfo

import numpy as np

from planner.domain.errors import RuleError
from planner.light.sun import DAY_S, Floats, declination_and_equation

FIRST_YEAR, LAST_YEAR = 1900, 2100
"""The years for which the equations of ``planner.light.sun`` are published (1800 to 2100), less those before
time zones were common."""

NEAR_MIDNIGHT_S = 2 * 3600.0
"""A noon this near to an end of its date is looked at closely: more than a clock change and the equation of
time (17 minutes) together, which decide whether the date has one noon, two or none."""


def zone_named(zone: str | tzinfo) -> tzinfo:
    """Return the zone itself, given it or its name in the IANA database.

    Raises:
        RuleError: no zone of that name is known.
    """
    if isinstance(zone, tzinfo):
        return zone
    try:
        return zoneinfo.ZoneInfo(zone)
    except (KeyError, ValueError, OSError) as error:
        raise RuleError(f"no time zone is named {zone!r}; use a name such as Europe/London") from error


def start_of_day(day: date, zone: tzinfo) -> datetime:
    """Return the first instant of a civil date in a zone, in UTC.

    Where the clocks jump over midnight, that is the moment of the jump; where midnight comes twice, the first.
    """
    return datetime(day.year, day.month, day.day, tzinfo=zone, fold=0).astimezone(UTC)


def day_spans(dates: Sequence[date], zone: tzinfo) -> tuple[Floats, Floats]:
    """Return the first instant of each date and of the date after it, as Unix seconds.

    The two are equal for a date that the zone never had (Samoa skipped 30 December 2011).

    Raises:
        RuleError: a year outside 1900 to 2100, or a datetime in place of a date.
    """
    starts = np.empty(len(dates))
    ends = np.empty(len(dates))
    for i, day in enumerate(dates):
        if isinstance(day, datetime):
            raise RuleError(f"a date was expected, found the moment {day.isoformat()}")
        if not FIRST_YEAR <= day.year <= LAST_YEAR:
            raise RuleError(f"the sun is computed for the years {FIRST_YEAR} to {LAST_YEAR}, found {day}")
        starts[i] = start_of_day(day, zone).timestamp()
        ends[i] = start_of_day(day + timedelta(days=1), zone).timestamp()
    return starts, ends


@dataclass(frozen=True, slots=True, eq=False)
class LocalNoons:
    """The solar noons of civil dates, Unix seconds, each array of shape (places, dates).

    All three are equal wherever exactly one solar noon falls in the date. Where noon lies so near to local
    midnight that a date has two or none (a zone far from the place's own meridian), the anchors are the noons
    whose dusk and whose dawn fall in the date.
    """

    noon: Floats
    """The first noon in the date; NaN where none falls in it."""
    before_dusk: Floats
    """The noon that the date's dusk follows; NaN for a date that the zone never had."""
    after_dawn: Floats
    """The noon that the date's dawn precedes; NaN for a date that the zone never had."""


def _transits(day_numbers: Floats, longitudes: Floats) -> Floats:
    """Return the sun's upper transit in the numbered mean solar days of each place, Unix seconds."""
    mean_noons = day_numbers * DAY_S + DAY_S / 2 - 240.0 * longitudes
    noons = mean_noons
    for _ in range(3):
        noons = mean_noons - 60.0 * declination_and_equation(noons)[1]
    return noons


def local_noons(starts: Floats, ends: Floats, longitudes: Floats) -> LocalNoons:
    """Find the solar noons in civil dates.

    Args:
        starts: first instants of the dates, Unix seconds, shape (dates,).
        ends: first instants of the dates after, Unix seconds, shape (dates,).
        longitudes: degrees, east positive, shape (places,).
    """
    shape = (len(longitudes), len(starts))
    start, end = np.broadcast_to(starts, shape), np.broadcast_to(ends, shape)
    east = np.broadcast_to(longitudes[:, None], shape)
    numbers = np.ceil((start - DAY_S / 2 + 240.0 * east) / DAY_S)
    noon = _transits(numbers, east)
    before_dusk, after_dawn = noon.copy(), noon.copy()

    near = (noon < start + NEAR_MIDNIGHT_S) | (noon > end - NEAR_MIDNIGHT_S)
    if near.any():
        noon[near], before_dusk[near], after_dawn[near] = _noons_near_midnight(
            start[near], end[near], numbers[near], east[near]
        )
    return LocalNoons(noon, before_dusk, after_dawn)


def _noons_near_midnight(start: Floats, end: Floats, numbers: Floats, east: Floats) -> tuple[Floats, Floats, Floats]:
    """Choose among three successive noons where a date may hold two or none; arrays of shape (rows,)."""
    candidates = _transits(numbers[:, None] + np.array([-1.0, 0.0, 1.0]), east[:, None])
    inside = (candidates >= start[:, None]) & (candidates < end[:, None])
    first_inside = np.where(inside, candidates, np.inf).min(axis=1)
    last_inside = np.where(inside, candidates, -np.inf).max(axis=1)
    last_before = np.where(candidates < start[:, None], candidates, -np.inf).max(axis=1)
    first_after = np.where(candidates >= end[:, None], candidates, np.inf).min(axis=1)
    none, missing = ~inside.any(axis=1), start >= end
    before_dusk = np.where(none, last_before, first_inside)
    after_dawn = np.where(none, first_after, last_inside)
    return (
        np.where(none, np.nan, first_inside),
        np.where(missing, np.nan, before_dusk),
        np.where(missing, np.nan, after_dawn),
    )
