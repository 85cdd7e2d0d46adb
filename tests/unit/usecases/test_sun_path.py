"""The sun over the hours of an outing, against two outside authorities."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pandas as pd
import pvlib
import pytest

from planner.domain.geo import Place
from planner.domain.window import Event
from planner.usecases.evening.sun_path import sun_path
from tests.unit.light.ephemeris import true_altitude

DEVON, MAORI, ARCTIC = Place(50.6, -3.9), Place(-38.7, 176.1), Place(69.6, 18.9)
EVENINGS = (
    (DEVON, dt.datetime(2027, 6, 3, 17, 12, 40, tzinfo=dt.UTC), "Europe/London"),
    (MAORI, dt.datetime(2027, 10, 20, 14, 30, tzinfo=dt.UTC), "Pacific/Auckland"),
    (ARCTIC, dt.datetime(2027, 6, 20, 19, 0, tzinfo=dt.UTC), "Europe/Oslo"),
)
HOURS = dt.timedelta(hours=9)


@pytest.mark.parametrize(("place", "begin", "zone"), EVENINGS)
def test_that_the_altitudes_are_those_of_the_ephemeris_minute_by_minute(
    place: Place, begin: dt.datetime, zone: str
) -> None:
    """Skyfield with JPL DE421, and pvlib's NREL solar position algorithm (Reda & Andreas 2004)."""
    path = sun_path(place, begin, begin + HOURS, zone)
    assert path.begin_utc == begin.replace(second=0)
    assert path.end_utc >= begin + HOURS
    instants = path.begin_utc.timestamp() + 60.0 * np.arange(len(path.altitudes_deg))
    ours = np.array(path.altitudes_deg)
    assert np.abs(ours - true_altitude(instants, place.latitude, place.longitude)).max() <= 0.006
    stamps = pd.DatetimeIndex(pd.to_datetime(instants, unit="s", utc=True))
    spa = pvlib.solarposition.spa_python(stamps, place.latitude, place.longitude)["elevation"].to_numpy()
    assert np.abs(ours - spa).max() <= 0.006


def test_that_an_altitude_between_two_minutes_lies_between_theirs() -> None:
    place, begin, zone = EVENINGS[0]
    path = sun_path(place, begin, begin + HOURS, zone)
    half = path.begin_utc + dt.timedelta(minutes=7, seconds=30)
    assert path.altitude_at(half) == pytest.approx((path.altitudes_deg[7] + path.altitudes_deg[8]) / 2)
    assert path.altitude_at(path.end_utc + HOURS) == path.altitudes_deg[-1]


@pytest.mark.parametrize(("place", "begin", "zone"), EVENINGS[:2])
def test_that_the_events_lie_where_the_altitude_passes_their_angle(place: Place, begin: dt.datetime, zone: str) -> None:
    angles = {"sun": -50 / 60, "civil": -6.0, "nautical": -12.0, "astronomical": -18.0}
    path = sun_path(place, begin, begin + HOURS, zone)
    assert [one.instant for one in path.events] == sorted(one.instant for one in path.events)
    for one in path.events:
        angle = angles[one.event.split("_")[0].replace("sunset", "sun").replace("sunrise", "sun")]
        assert path.altitude_at(one.instant) == pytest.approx(angle, abs=0.02)
        assert begin.replace(second=0) <= one.instant <= path.end_utc


def test_that_a_night_across_midnight_has_the_dusk_of_one_date_and_the_dawn_of_the_next() -> None:
    begin = dt.datetime(2027, 5, 20, 18, 0, tzinfo=dt.UTC)
    path = sun_path(DEVON, begin, begin + dt.timedelta(hours=11), "Europe/London")
    names = [one.event for one in path.events]
    assert names[0] is Event.SUNSET
    assert names[-1] is Event.SUNRISE
    assert names.index(Event.NAUTICAL_DUSK) < names.index(Event.NAUTICAL_DAWN)


def test_that_events_that_do_not_happen_are_left_out() -> None:
    place, begin, zone = EVENINGS[2]
    assert sun_path(place, begin, begin + HOURS, zone).events == ()
