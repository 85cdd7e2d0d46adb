"""The sun by skyfield and the JPL ephemeris DE421: the outside authority for everything that light computes."""

from __future__ import annotations

import datetime as dt
import functools
import warnings
from typing import Any

import numpy as np
import skyfield_data
from numpy.typing import ArrayLike, NDArray
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
