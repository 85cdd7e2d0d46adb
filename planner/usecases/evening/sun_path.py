"""The sun over the hours of one outing, minute by minute: what its hour scale is painted with."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np

from planner.domain.geo import Place
from planner.domain.window import Event
from planner.light import SUN_EVENTS, event_table, sun_altitude

_MINUTE = dt.timedelta(minutes=1)
_NAMED = tuple(event for event in SUN_EVENTS if event is not Event.NOON)


@dataclass(frozen=True, slots=True)
class SunMoment:
    """One event of the sun's day."""

    event: Event
    instant: dt.datetime
    """Aware, UTC."""


@dataclass(frozen=True, slots=True)
class SunPath:
    """The altitude of the sun's centre at every full minute of some hours at one place."""

    begin_utc: dt.datetime
    altitudes_deg: tuple[float, ...]
    """Geometric, without refraction; the first at ``begin_utc``."""
    events: tuple[SunMoment, ...]
    """Rising, setting and the twilights inside those hours, in time order; those that do not happen are left out."""

    @property
    def end_utc(self) -> dt.datetime:
        """The last minute."""
        return self.begin_utc + _MINUTE * (len(self.altitudes_deg) - 1)

    def altitude_at(self, moment: dt.datetime) -> float:
        """Return the altitude in degrees at a moment, straight between full minutes; the nearest outside the path."""
        minutes = (moment - self.begin_utc) / _MINUTE
        return float(np.interp(minutes, np.arange(len(self.altitudes_deg)), self.altitudes_deg))


def sun_path(place: Place, begin_utc: dt.datetime, end_utc: dt.datetime, zone: str) -> SunPath:
    """Return the sun's path over a place from one moment to another, full minutes that enclose both.

    Args:
        place: where it is seen from, at sea level.
        begin_utc: the first moment, aware.
        end_utc: the last moment, aware.
        zone: IANA name of the season's time zone, in which the sun's events have their dates.
    """
    first = begin_utc.replace(second=0, microsecond=0)
    count = int(-(-(end_utc - first) // _MINUTE)) + 1
    instants = first.timestamp() + 60.0 * np.arange(count)
    altitudes = sun_altitude(instants, place.latitude, place.longitude)
    events = _events(place, first, first + _MINUTE * (count - 1), zone)
    return SunPath(first, tuple(altitudes.tolist()), events)


def _events(place: Place, begin: dt.datetime, end: dt.datetime, zone: str) -> tuple[SunMoment, ...]:
    # An event belongs to the date of its noon: the day before and after may reach into these hours.
    first = begin.date() - dt.timedelta(days=1)
    days = [first + dt.timedelta(days=number) for number in range((end.date() - first).days + 2)]
    table = event_table(_NAMED, days, [place.latitude], [place.longitude], zone)
    found = [
        SunMoment(event, dt.datetime.fromtimestamp(float(instant), dt.UTC))
        for event, row in zip(_NAMED, table.instants_s[:, 0], strict=True)
        for instant in row
        if begin.timestamp() <= instant <= end.timestamp()
    ]
    return tuple(sorted(found, key=lambda moment: moment.instant))
