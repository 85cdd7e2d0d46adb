"""Where the moon stands and how much of it is lit, by the ``ephem`` library.

Altitudes are topocentric (the moon is near enough that the observer's place on the globe moves it by up to a
degree), of the moon's centre, without refraction, at sea level.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime

import ephem
import numpy as np

from planner.domain.errors import RuleError
from planner.domain.window import MoonRule
from planner.light.sun import unix_seconds

SAMPLE_S = 900.0
"""Step at which an interval is looked at: near the horizon the moon's altitude bends by less than 0.05 degrees
within one."""
REFINEMENTS = 30
"""Golden-section steps that narrow two sample steps to a millisecond."""
GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0


@dataclass(frozen=True, slots=True)
class MoonState:
    """The moon at one place and instant."""

    altitude_deg: float
    """Of the centre, topocentric, without refraction."""
    illuminated: float
    """Lit fraction of the disc, 0 to 1, from the centre of the globe as almanacs print it."""


def moon_at(latitude: float, longitude: float, instant: datetime) -> MoonState:
    """Return the moon's altitude and lit fraction.

    Args:
        latitude: degrees, north positive.
        longitude: degrees, east positive.
        instant: an aware datetime.

    Raises:
        RuleError: an instant without a zone.
    """
    return _Watch(latitude, longitude).at(float(unix_seconds(instant)))


def moon_least(latitude: float, longitude: float, open_utc: datetime, close_utc: datetime) -> MoonState:
    """Return the moon's least altitude and its least lit fraction in an interval, ends included.

    The interval is sampled every quarter of an hour and the lowest sample is refined, so that a moon that
    sets and rises again inside the interval is not missed.

    Raises:
        RuleError: an instant without a zone, or an interval that closes before it opens.
    """
    open_s, close_s = float(unix_seconds(open_utc)), float(unix_seconds(close_utc))
    if close_s < open_s:
        raise RuleError(f"the interval closes before it opens: {open_utc} to {close_utc}")
    watch = _Watch(latitude, longitude)
    return MoonState(
        _least(lambda s: watch.at(s).altitude_deg, open_s, close_s),
        _least(lambda s: watch.at(s).illuminated, open_s, close_s),
    )


def moon_holds(rule: MoonRule, latitude: float, longitude: float, open_utc: datetime, close_utc: datetime) -> bool:
    """Return whether the moon meets a rule from the first to the last moment of an interval.

    It must be lit at least as far as the rule says and, where the rule wants it up, its centre must stay
    above the horizon. Whether the rule bars or only prefers is for the caller to weigh.

    Raises:
        RuleError: as for :func:`moon_least`.
    """
    least = moon_least(latitude, longitude, open_utc, close_utc)
    up = least.altitude_deg > 0.0 or not rule.above_horizon
    return up and least.illuminated >= rule.least_illuminated


def _least(value: Callable[[float], float], low_s: float, high_s: float) -> float:
    """Return the least value in an interval: samples first, then golden section about the lowest one."""
    count = max(2, math.ceil((high_s - low_s) / SAMPLE_S) + 1)
    instants = np.linspace(low_s, high_s, count).tolist()
    values = [value(instant) for instant in instants]
    lowest = min(range(count), key=values.__getitem__)
    left, right = instants[max(0, lowest - 1)], instants[min(count - 1, lowest + 1)]
    for _ in range(REFINEMENTS):
        width = GOLDEN * (right - left)
        if value(right - width) < value(left + width):
            right = left + width
        else:
            left = right - width
    return min(values[lowest], value((left + right) / 2.0))


class _Watch:
    """An observer at sea level without air, who looks at the moon."""

    __slots__ = ("_moon", "_observer")

    def __init__(self, latitude: float, longitude: float) -> None:
        if not (-90.0 <= latitude <= 90.0 and -180.0 <= longitude <= 180.0):
            raise RuleError(f"no such place: latitude {latitude}, longitude {longitude}")
        self._observer = ephem.Observer()
        self._observer.lat = math.radians(latitude)
        self._observer.lon = math.radians(longitude)
        self._observer.elevation = 0.0
        self._observer.pressure = 0.0
        self._moon = ephem.Moon()

    def at(self, instant_s: float) -> MoonState:
        """Return the moon at Unix seconds."""
        self._observer.date = datetime.fromtimestamp(instant_s, tz=UTC).replace(tzinfo=None)
        self._moon.compute(self._observer)
        return MoonState(math.degrees(self._moon.alt), float(self._moon.phase) / 100.0)
