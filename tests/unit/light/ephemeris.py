"""The sun by skyfield and the JPL ephemeris DE421: the outside authority for everything that light computes."""

from __future__ import annotations

import datetime as dt
import functools
import warnings
from dataclasses import dataclass
from typing import Any

import numpy as np
import skyfield_data
from numpy.typing import ArrayLike, NDArray
from skyfield import almanac
from skyfield.api import Loader, wgs84

Floats = NDArray[np.float64]

RATE_STEP_S = 20.0
"""Half the span over which the rate of climb is taken."""


@functools.cache
def _sky() -> tuple[Any, Any, Any]:
    with warnings.catch_warnings():
        # The package warns that its table of Earth orientation is old; DE421 itself does not age.
        warnings.simplefilter("ignore", RuntimeWarning)
        load = Loader(skyfield_data.get_skyfield_data_path(), verbose=False)
    bodies = load("de421.bsp")
    return load.timescale(builtin=True), bodies["earth"], bodies["sun"]


def true_altitude(instants_s: ArrayLike, latitude: float, longitude: float) -> Floats:
    """Return the geometric topocentric altitude of the sun's centre in degrees at Unix seconds, shape (n,)."""
    timescale, earth, sun = _sky()
    moments = [dt.datetime.fromtimestamp(s, tz=dt.UTC) for s in np.asarray(instants_s, dtype=np.float64).tolist()]
    observer = earth + wgs84.latlon(latitude, longitude)
    altitude, _, _ = observer.at(timescale.from_datetimes(moments)).observe(sun).apparent().altaz()
    return np.asarray(altitude.degrees, dtype=np.float64)


def altitude_and_rate(instants_s: Floats, latitude: float, longitude: float) -> tuple[Floats, Floats]:
    """Return the altitude in degrees and how fast it changes in degrees a second."""
    three = np.concatenate([instants_s - RATE_STEP_S, instants_s, instants_s + RATE_STEP_S])
    before, at, after = np.split(true_altitude(three, latitude, longitude), 3)
    return at, (after - before) / (2 * RATE_STEP_S)


def seconds_wrong(instants_s: Floats, angle_deg: float, latitude: float, longitude: float) -> Floats:
    """Return how late each instant is, in seconds, as a moment when the altitude passes the angle.

    One step of Newton's method on the true altitude: exact to the square of the error over the time to the
    sun's turning point.
    """
    altitude, rate = altitude_and_rate(instants_s, latitude, longitude)
    return (altitude - angle_deg) / rate


@dataclass(frozen=True, slots=True)
class Sighting:
    """What the ephemeris shows in one half day."""

    instant: dt.datetime | None
    noon_deg: float
    midnight_deg: float

    def turns_within_deg(self, angle_deg: float) -> float:
        """Return how near, in degrees, the sun's altitude at noon or midnight comes to an angle."""
        return min(abs(self.noon_deg - angle_deg), abs(self.midnight_deg - angle_deg))


def true_noon(date: dt.date, latitude: float, longitude: float, zone: dt.tzinfo) -> dt.datetime:
    """Return the sun's upper transit on a local civil date; there must be exactly one."""
    timescale, earth, sun = _sky()
    start = dt.datetime.combine(date, dt.time(), tzinfo=zone).astimezone(dt.UTC)
    end = dt.datetime.combine(date + dt.timedelta(days=1), dt.time(), tzinfo=zone).astimezone(dt.UTC)
    observer = earth + wgs84.latlon(latitude, longitude)
    moments = almanac.find_transits(observer, sun, timescale.from_datetime(start), timescale.from_datetime(end))
    (noon,) = moments.utc_datetime()
    assert isinstance(noon, dt.datetime)
    return noon


def true_event(noon: dt.datetime, side: int, angle_deg: float, latitude: float, longitude: float) -> Sighting:
    """Look for the altitude's passing an angle in the 12 hours after (+1) or before (-1) a noon."""
    midnight = noon + side * dt.timedelta(hours=12)
    ends = true_altitude([noon.timestamp(), midnight.timestamp()], latitude, longitude).tolist()
    timescale, earth, sun = _sky()
    observer = earth + wgs84.latlon(latitude, longitude)
    first, last = (timescale.from_datetime(moment) for moment in sorted((noon, midnight)))
    search = almanac.find_settings if side > 0 else almanac.find_risings
    moments, crosses = search(observer, sun, first, last, horizon_degrees=angle_deg)
    found = [moment for moment, real in zip(moments.utc_datetime(), crosses, strict=True) if real]
    return Sighting(found[0] if found else None, *ends)


def true_moon(instants_s: ArrayLike, latitude: float, longitude: float) -> tuple[Floats, Floats]:
    """Return the moon's topocentric altitude in degrees without refraction, and the fraction that is lit.

    The fraction is as seen from the centre of the globe, which is what almanacs print.
    """
    timescale, earth, sun = _sky()
    moon = sun.ephemeris["moon"]
    moments = [dt.datetime.fromtimestamp(s, tz=dt.UTC) for s in np.asarray(instants_s, dtype=np.float64).tolist()]
    instants = timescale.from_datetimes(moments)
    altitude, _, _ = (earth + wgs84.latlon(latitude, longitude)).at(instants).observe(moon).apparent().altaz()
    lit = earth.at(instants).observe(moon).apparent().fraction_illuminated(sun)
    return np.asarray(altitude.degrees, dtype=np.float64), np.asarray(lit, dtype=np.float64)
