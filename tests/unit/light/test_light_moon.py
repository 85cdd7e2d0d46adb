"""The moon against skyfield with DE421, and intervals against a look at every minute."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.errors import RuleError
from planner.domain.window import MoonRule
from planner.light import moon_at, moon_holds, moon_least, moon_table
from tests.unit.light.ephemeris import true_moon

CHANCE = np.random.default_rng(9)
SOME_S = CHANCE.uniform(
    dt.datetime(2020, 1, 1, tzinfo=dt.UTC).timestamp(), dt.datetime(2032, 1, 1, tzinfo=dt.UTC).timestamp(), 60
)


@pytest.mark.parametrize(("latitude", "longitude"), [(-41.3, 174.8), (0.5, -78.0), (51.5, 0.0), (65.0, 25.0)])
def test_that_altitude_and_lit_fraction_are_those_of_the_ephemeris(latitude: float, longitude: float) -> None:
    altitudes, fractions = true_moon(SOME_S, latitude, longitude)
    states = [moon_at(latitude, longitude, dt.datetime.fromtimestamp(s, tz=dt.UTC)) for s in SOME_S]
    assert np.abs(np.array([state.altitude_deg for state in states]) - altitudes).max() < 0.01
    assert np.abs(np.array([state.illuminated for state in states]) - fractions).max() < 0.0005


def test_that_the_table_is_what_single_questions_answer() -> None:
    count = 200
    instants = CHANCE.uniform(1.6e9, 2.0e9, count)
    north, east = CHANCE.uniform(-90.0, 90.0, count), CHANCE.uniform(-180.0, 180.0, count)
    table = moon_table(north, east, instants)
    for i in range(count):
        state = moon_at(north[i], east[i], dt.datetime.fromtimestamp(instants[i], tz=dt.UTC))
        assert abs(table.altitudes_deg[i] - state.altitude_deg) < 1e-4
        assert abs(table.illuminated[i] - state.illuminated) < 1e-5


def test_that_the_table_broadcasts_and_keeps_unknown_instants_unknown() -> None:
    table = moon_table([[50.0], [60.0]], [[0.0], [10.0]], [1.8e9, np.nan, 1.8e9 + 7200.0])
    assert table.altitudes_deg.shape == table.illuminated.shape == (2, 3)
    assert np.isnan(table.altitudes_deg).tolist() == [[False, True, False]] * 2
    assert np.isnan(table.illuminated).tolist() == [[False, True, False]] * 2


def test_that_a_table_of_nothing_is_empty() -> None:
    assert moon_table([], [], []).altitudes_deg.shape == (0,)


@given(
    st.floats(-75.0, 75.0),
    st.floats(-180.0, 180.0),
    st.datetimes(dt.datetime(2026, 1, 1), dt.datetime(2030, 1, 1), timezones=st.just(dt.UTC)),  # noqa: DTZ001
    st.integers(0, 2400),
)
@settings(max_examples=30, deadline=None)
def test_that_the_least_of_an_interval_is_that_of_its_minutes(
    latitude: float, longitude: float, opening: dt.datetime, minutes: int
) -> None:
    closing = opening + dt.timedelta(minutes=minutes)
    least = moon_least(latitude, longitude, opening, closing)
    table = moon_table(latitude, longitude, opening.timestamp() + 60.0 * np.arange(minutes + 1))
    lowest, darkest = float(table.altitudes_deg.min()), float(table.illuminated.min())
    # Straight below, the altitude turns so sharply that whole minutes miss up to an eighth of a degree.
    missed = 0.13 if lowest < -85.0 else 0.005
    assert lowest - missed <= least.altitude_deg <= lowest + 1e-4
    assert abs(least.illuminated - darkest) < 1e-4


def test_that_a_moon_that_sets_and_rises_again_inside_an_interval_does_not_hold() -> None:
    """The shortest dip below the horizon from January to June 2027 at 69.65 north, found on a grid of ten minutes."""
    place = (69.65, 18.96)
    start = dt.datetime(2027, 1, 1, tzinfo=dt.UTC)
    moments = start.timestamp() + 600.0 * np.arange(6 * 24 * 60)
    up = moon_table(*place, moments).altitudes_deg > 0.0
    sets, rises = np.flatnonzero(up[:-1] & ~up[1:]), np.flatnonzero(~up[:-1] & up[1:])
    dips = [(a, rises[rises > a].min()) for a in sets if (rises > a).any()]
    first, last = min(dips, key=lambda dip: dip[1] - dip[0])
    opening = dt.datetime.fromtimestamp(moments[first] - 1800.0, tz=dt.UTC)
    closing = dt.datetime.fromtimestamp(moments[last] + 2400.0, tz=dt.UTC)
    anyhow = MoonRule(least_illuminated=0.0)
    assert moon_at(*place, opening).altitude_deg > 0.0
    assert moon_at(*place, closing).altitude_deg > 0.0
    assert not moon_holds(anyhow, *place, opening, closing)
    assert moon_holds(MoonRule(least_illuminated=0.0, above_horizon=False), *place, opening, closing)


def test_that_the_moon_must_be_lit_as_far_as_the_rule_says() -> None:
    """Full moon of 20 May 2027, 10:59 UTC (skyfield, DE421), high over the Tasman Sea at midnight."""
    place = (-35.0, 160.0)
    opening = dt.datetime(2027, 5, 20, 12, 0, tzinfo=dt.UTC)
    closing = opening + dt.timedelta(hours=2)
    assert moon_least(*place, opening, closing).illuminated > 0.997
    assert moon_holds(MoonRule(0.99), *place, opening, closing)
    first_quarter = opening - dt.timedelta(days=7, hours=3)
    assert not moon_holds(MoonRule(0.99), *place, first_quarter, first_quarter + dt.timedelta(hours=1))
    assert not moon_holds(MoonRule(1.0, above_horizon=False), *place, opening, closing)


def test_that_an_interval_must_not_close_before_it_opens() -> None:
    opening = dt.datetime(2027, 5, 20, 12, 0, tzinfo=dt.UTC)
    with pytest.raises(RuleError, match="closes before it opens"):
        moon_least(50.0, 0.0, opening, opening - dt.timedelta(seconds=1))


def test_that_the_moon_needs_an_aware_instant_and_a_place_on_the_globe() -> None:
    with pytest.raises(RuleError, match="needs its zone"):
        moon_at(50.0, 0.0, dt.datetime(2027, 5, 20))  # noqa: DTZ001 - the point of the test
    with pytest.raises(RuleError, match="no such place"):
        moon_at(95.0, 0.0, dt.datetime(2027, 5, 20, tzinfo=dt.UTC))
