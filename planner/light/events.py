"""The events of the sun's day: when they happen on a civil date, or why they do not.

An event belongs to the date of its solar noon N: dusk is looked for from N to N + 12 h and dawn from N - 12 h
to N. So an evening's dusk keeps the evening's date even where it falls after midnight.

Angles are of the sun's centre, geometric, for an observer at sea level on a level horizon: 90 degrees 50' from
the zenith for rise and set (34' of refraction and 16' of semidiameter), 6, 12 and 18 degrees below the horizon
for the twilights (HM Nautical Almanac Office, information sheet 7). Height above sea level is never used:
printed tables do not, and volunteers' windows are read from those.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, tzinfo
from enum import IntEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from planner.domain.errors import RuleError
from planner.domain.window import Event
from planner.light.crossing import HalfDay
from planner.light.localdays import LocalNoons, day_spans, local_noons, zone_named
from planner.light.sun import PARALLAX_DEG, Floats

HORIZON_DEG = -50.0 / 60.0
GRAZING_DEG = 0.02
"""A turning point of the sun this near to an event's angle leaves open whether the event happens, and its time
uncertain by many minutes: ten times the largest error of the position, and less than refraction varies."""
ROWS_AT_ONCE = 16_384
"""Places times dates that are computed in one go, so that the work stays in the processor's cache."""

ANGLES_DEG = {
    Event.SUNRISE: HORIZON_DEG,
    Event.SUNSET: HORIZON_DEG,
    Event.CIVIL_DAWN: -6.0,
    Event.CIVIL_DUSK: -6.0,
    Event.NAUTICAL_DAWN: -12.0,
    Event.NAUTICAL_DUSK: -12.0,
    Event.ASTRONOMICAL_DAWN: -18.0,
    Event.ASTRONOMICAL_DUSK: -18.0,
}
"""Altitude of the sun's centre in degrees that makes each event."""
DAWNS = frozenset({Event.SUNRISE, Event.CIVIL_DAWN, Event.NAUTICAL_DAWN, Event.ASTRONOMICAL_DAWN})
SUN_EVENTS = (*ANGLES_DEG, Event.NOON)
"""Every event of the sun, in the order that tables use."""


class EventStatus(IntEnum):
    """Whether an event happens on a date, or the reason why not."""

    HAPPENS = 0
    STAYS_ABOVE = 1
    """The sun does not sink through the event's angle in that half day: it is above it at midnight."""
    STAYS_BELOW = 2
    """The sun does not rise through the event's angle in that half day: it is below it at noon."""
    GRAZING = 3
    """The sun turns within 0.02 degrees of the angle: too close to say."""
    NO_NOON = 4
    """No solar noon falls in the date: the zone is half a day off the place."""
    NO_SUCH_DATE = 5
    """The zone skipped the date."""


@dataclass(frozen=True, slots=True)
class EventResult:
    """One event on one date at one place."""

    event: Event
    status: EventStatus
    instant: datetime | None
    """Aware, UTC; None unless the event happens."""

    @property
    def reason(self) -> str:
        """Why the event does not happen, in words; empty where it happens."""
        return reason_in_words(self.event, self.status)


@dataclass(frozen=True, slots=True, eq=False)
class EventTable:
    """Events at places on dates; both arrays have the shape (events, places, dates)."""

    events: tuple[Event, ...]
    dates: tuple[date, ...]
    instants_s: Floats
    """Unix seconds; NaN unless the event happens."""
    statuses: NDArray[np.int8]
    """Values of :class:`EventStatus`."""

    def of(self, event: str) -> tuple[Floats, NDArray[np.int8]]:
        """Return instants and statuses of one event, each of shape (places, dates)."""
        i = self.events.index(Event(event))
        return self.instants_s[i], self.statuses[i]


def reason_in_words(event: Event, status: EventStatus) -> str:
    """Say why an event does not happen; empty where it does."""
    if status is EventStatus.HAPPENS:
        return ""
    name = event.words
    if status is EventStatus.NO_SUCH_DATE:
        return f"no {name}: the time zone skips this date"
    if status is EventStatus.NO_NOON:
        return f"no {name}: it falls on the dates before and after; the time zone is half a day off the place"
    angle = -ANGLES_DEG[event]
    degrees = "50 minutes of arc" if angle < 1.0 else f"{angle:.0f} degrees"
    if status is EventStatus.STAYS_ABOVE:
        return f"no {name}: the sun does not sink {degrees} below the horizon"
    if status is EventStatus.STAYS_BELOW:
        return f"no {name}: the sun stays more than {degrees} below the horizon"
    return f"no certain {name}: the sun only grazes {degrees} below the horizon"


def event_time(event: str, date: date, latitude: float, longitude: float, zone: str | tzinfo) -> datetime | None:
    """Return when an event happens on a civil date at a place.

    Args:
        event: one of ``sunrise sunset civil_dawn civil_dusk nautical_dawn nautical_dusk astronomical_dawn
            astronomical_dusk noon``.
        date: the local civil date of the solar noon that the event belongs to.
        latitude: degrees, north positive.
        longitude: degrees, east positive, -180 to 180.
        zone: the IANA name of the place's time zone, or the zone itself.

    Returns:
        The instant, aware, in UTC; None where the event does not happen or the sun only grazes the angle
        (:func:`event_on` says which). Good to 5 seconds up to 55 degrees of latitude (10 for the deeper
        twilights), to 10 up to 60 and to 15 up to 66.

    Raises:
        RuleError: an unknown event or zone, a place off the globe, a year outside 1900 to 2100.
    """
    return event_on(event, date, latitude, longitude, zone).instant


def event_on(event: str, date: date, latitude: float, longitude: float, zone: str | tzinfo) -> EventResult:
    """Return when an event happens on a civil date at a place, or the reason why it does not.

    Arguments and errors are those of :func:`event_time`.
    """
    table = event_table([event], [date], [latitude], [longitude], zone)
    status = EventStatus(int(table.statuses[0, 0, 0]))
    happens = status is EventStatus.HAPPENS
    return EventResult(table.events[0], status, as_utc(table.instants_s[0, 0, 0]) if happens else None)


def as_utc(instant_s: float) -> datetime:
    """Return Unix seconds as an aware datetime in UTC."""
    return datetime.fromtimestamp(float(instant_s), tz=UTC)


def event_table(
    events: Iterable[str],
    dates: Sequence[date],
    latitudes: ArrayLike,
    longitudes: ArrayLike,
    zone: str | tzinfo,
) -> EventTable:
    """Compute events at places on dates, all at once.

    Args:
        events: names as for :func:`event_time`.
        dates: local civil dates.
        latitudes: degrees, north positive, shape (places,).
        longitudes: degrees, east positive, shape (places,).
        zone: the time zone of every place.

    Raises:
        RuleError: as for :func:`event_time`.
    """
    names = tuple(_sun_event(event) for event in events)
    north, east = _checked_places(latitudes, longitudes)
    starts, ends = day_spans(dates, zone_named(zone))
    shape = (len(names), len(north), len(starts))
    instants, statuses = np.empty(shape), np.empty(shape, dtype=np.int8)
    step = max(1, ROWS_AT_ONCE // max(1, len(starts)))
    for low in range(0, len(north), step):
        rows = slice(low, low + step)
        _fill(names, local_noons(starts, ends, east[rows]), north[rows], instants[:, rows], statuses[:, rows])
    statuses[:, :, starts >= ends] = EventStatus.NO_SUCH_DATE
    return EventTable(names, tuple(dates), instants, statuses)


def _sun_event(name: str) -> Event:
    if name not in SUN_EVENTS:
        raise RuleError(f"no event of the sun is named {name!r}; choose one of {', '.join(SUN_EVENTS)}")
    return Event(name)


def _checked_places(latitudes: ArrayLike, longitudes: ArrayLike) -> tuple[Floats, Floats]:
    north = np.asarray(latitudes, dtype=np.float64)
    east = np.asarray(longitudes, dtype=np.float64)
    if north.ndim != 1 or north.shape != east.shape:
        raise RuleError(f"one latitude and one longitude a place, found shapes {north.shape} and {east.shape}")
    if not (np.abs(north) <= 90.0).all():
        raise RuleError("latitudes must lie between -90 and 90 degrees")
    if not (np.abs(east) <= 180.0).all():
        raise RuleError("longitudes must lie between -180 and 180 degrees")
    return north, east


def _fill(
    names: tuple[Event, ...], noons: LocalNoons, north: Floats, instants: Floats, statuses: NDArray[np.int8]
) -> None:
    """Write the events about the given noons into the tables of shape (events, places, dates)."""
    sides: dict[int, tuple[HalfDay, Floats, Floats]] = {}
    for i, name in enumerate(names):
        if name is Event.NOON:
            instants[i] = noons.noon
            statuses[i] = np.where(np.isnan(noons.noon), EventStatus.NO_NOON, EventStatus.HAPPENS)
            continue
        side = -1 if name in DAWNS else 1
        if side not in sides:
            anchors = noons.after_dawn if name in DAWNS else noons.before_dusk
            half_day = HalfDay.about(anchors, north[:, None], side)
            sides[side] = (half_day, *half_day.end_altitudes())
        half_day, at_noon, at_midnight = sides[side]
        angle_deg = _from_centre(ANGLES_DEG[name])
        statuses[i] = _statuses(at_noon, at_midnight, angle_deg)
        instants[i] = half_day.crossing(angle_deg, statuses[i] == EventStatus.HAPPENS)


def _from_centre(angle_deg: float) -> float:
    """Return the altitude that the sun has from the earth's centre when it has this one from the ground."""
    return angle_deg + PARALLAX_DEG * math.cos(math.radians(angle_deg))


def _statuses(at_noon: Floats, at_midnight: Floats, angle_deg: float) -> NDArray[np.int8]:
    """Judge by the altitudes at both ends of the half day whether the angle is passed between them."""
    grazing = np.minimum(np.abs(at_noon - angle_deg), np.abs(at_midnight - angle_deg)) <= GRAZING_DEG
    statuses = np.zeros(at_noon.shape, dtype=np.int8)
    statuses[at_noon < angle_deg] = EventStatus.STAYS_BELOW
    statuses[at_midnight > angle_deg] = EventStatus.STAYS_ABOVE
    statuses[grazing] = EventStatus.GRAZING
    return statuses
