"""The sun's position against astral (the same elements), pvlib (NREL SPA) and skyfield with DE421."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pandas as pd
import pvlib
import pytest
from astral import Observer
from astral.sun import elevation

from planner.domain.errors import RuleError
from planner.light import sun_altitude
from tests.unit.light.ephemeris import true_altitude

CHANCE = np.random.default_rng(21)
FIRST_S = dt.datetime(1900, 1, 2, tzinfo=dt.UTC).timestamp()
LAST_S = dt.datetime(2100, 12, 30, tzinfo=dt.UTC).timestamp()


def test_that_the_altitude_is_that_of_astral_within_what_astral_leaves_out() -> None:
    count = 4000
    instants = np.floor(CHANCE.uniform(FIRST_S, LAST_S, count))
    latitudes, longitudes = CHANCE.uniform(-89.8, 89.8, count), CHANCE.uniform(-180.0, 180.0, count)
    astrals = [
        elevation(Observer(north, east), dt.datetime.fromtimestamp(instant, tz=dt.UTC), with_refraction=False)
        for instant, north, east in zip(instants, latitudes, longitudes, strict=True)
    ]
    ours = sun_altitude(instants, latitudes, longitudes)
    # Perturbations up to 0.008 degrees, parallax 0.0024, a series for the equation of time good to 0.015.
    assert np.abs(ours - astrals).max() <= 0.03
    assert np.median(np.abs(ours - astrals)) <= 0.005


@pytest.mark.parametrize(("latitude", "longitude"), [(-45.9, 170.5), (0.0, 0.0), (38.9, -77.0), (65.0, 25.5)])
def test_that_the_altitude_is_the_ephemeris_to_six_thousandths_of_a_degree(latitude: float, longitude: float) -> None:
    first = dt.datetime(1990, 1, 1, tzinfo=dt.UTC).timestamp()
    last = dt.datetime(2030, 12, 31, tzinfo=dt.UTC).timestamp()
    instants = CHANCE.uniform(first, last, 500)
    error = np.abs(sun_altitude(instants, latitude, longitude) - true_altitude(instants, latitude, longitude))
    assert error.max() <= 0.006
    assert np.median(error) <= 0.0015


def test_that_the_altitude_is_that_of_the_solar_position_algorithm() -> None:
    """Pvlib's implementation of Reda & Andreas 2004, true elevation without refraction."""
    instants = pd.date_range("2026-01-03", "2028-12-29", periods=400, tz="UTC")
    for latitude, longitude in ((-41.3, 174.8), (51.5, -0.1), (64.8, -147.7)):
        spa = pvlib.solarposition.spa_python(instants, latitude, longitude)["elevation"].to_numpy()
        unix = np.array([instant.timestamp() for instant in instants])
        assert np.abs(sun_altitude(unix, latitude, longitude) - spa).max() <= 0.006


def test_that_arguments_are_broadcast() -> None:
    instants = np.array([1.8e9, 1.8e9 + 3600.0])
    table = sun_altitude(instants, np.array([[50.0], [60.0], [70.0]]), 0.0)
    assert table.shape == (3, 2)
    assert table[2, 1] == sun_altitude(instants[1], 70.0, 0.0)


def test_that_an_aware_datetime_is_the_same_instant_in_any_zone() -> None:
    utc = dt.datetime(2027, 5, 1, 20, 0, tzinfo=dt.UTC)
    west = utc.astimezone(dt.timezone(dt.timedelta(hours=-7)))
    assert float(sun_altitude(utc, 40.0, -105.0)) == float(sun_altitude(west, 40.0, -105.0))


def test_that_a_naive_datetime_is_refused() -> None:
    with pytest.raises(RuleError, match="needs its zone"):
        sun_altitude(dt.datetime(2027, 5, 1, 20, 0), 40.0, -105.0)  # noqa: DTZ001 - the point of the test
