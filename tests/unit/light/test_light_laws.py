"""Laws that the events obey on any date at any place."""

from __future__ import annotations

import datetime as dt
from itertools import pairwise
from zoneinfo import ZoneInfo

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.light import ANGLES_DEG, SUN_EVENTS, EventStatus, event_on, event_table, sun_altitude
from planner.light.events import DAWNS, HORIZON_DEG

dates = st.dates(dt.date(1900, 1, 1), dt.date(2100, 12, 30))
latitudes = st.floats(-90.0, 90.0)
livable = st.floats(-66.0, 66.0)
longitudes = st.floats(-180.0, 180.0)
zones = st.sampled_from(
    [
        "UTC",
        "Europe/London",
        "America/Nome",
        "Pacific/Kiritimati",
        "Pacific/Apia",
        "Asia/Shanghai",
        "Asia/Kathmandu",
        "America/St_Johns",
        "Australia/Lord_Howe",
    ]
)


@given(dates, latitudes, longitudes, zones)
@settings(max_examples=60, deadline=None)
def test_that_the_sun_stands_at_the_angle_when_an_event_happens(
    date: dt.date, latitude: float, longitude: float, zone: str
) -> None:
    table = event_table(ANGLES_DEG, [date], [latitude], [longitude], zone)
    for event, angle_deg in ANGLES_DEG.items():
        instants, statuses = table.of(event)
        assert np.isfinite(instants[0, 0]) == (statuses[0, 0] == EventStatus.HAPPENS)
        if statuses[0, 0] == EventStatus.HAPPENS:
            assert abs(float(sun_altitude(instants[0, 0], latitude, longitude)) - angle_deg) < 1e-5


@given(dates, livable, longitudes)
@settings(max_examples=60, deadline=None)
def test_that_the_events_of_a_date_come_in_their_order(date: dt.date, latitude: float, longitude: float) -> None:
    zone = dt.timezone(dt.timedelta(hours=round(longitude / 15.0)))
    order = [
        "astronomical_dawn",
        "nautical_dawn",
        "civil_dawn",
        "sunrise",
        "noon",
        "sunset",
        "civil_dusk",
        "nautical_dusk",
        "astronomical_dusk",
    ]
    results = [event_on(event, date, latitude, longitude, zone) for event in order]
    instants = [result.instant for result in results if result.instant is not None]
    assert all(a < b for a, b in pairwise(instants))
    noon = results[4].instant
    assert noon is not None
    assert noon.astimezone(zone).date() == date
    assert all(abs(instant - noon) <= dt.timedelta(hours=12) for instant in instants)


@given(dates, livable, longitudes)
@settings(max_examples=50, deadline=None)
def test_that_a_deeper_twilight_never_happens_without_the_lighter_ones(
    date: dt.date, latitude: float, longitude: float
) -> None:
    zone = dt.timezone(dt.timedelta(hours=round(longitude / 15.0)))
    for kind in ("dawn", "dusk"):
        statuses = [
            event_on(f"{depth}_{kind}", date, latitude, longitude, zone).status
            for depth in ("civil", "nautical", "astronomical")
        ]
        above = [status is EventStatus.STAYS_ABOVE for status in statuses]
        assert above == sorted(above)


@given(dates, st.floats(-89.0, 89.0), longitudes, zones)
@settings(max_examples=50, deadline=None)
def test_that_the_status_tells_where_the_sun_stays(date: dt.date, latitude: float, longitude: float, zone: str) -> None:
    result = event_on("sunset", date, latitude, longitude, zone)
    noon = event_on("noon", date, latitude, longitude, zone).instant
    if noon is None:
        return
    hours = noon.timestamp() + 3600.0 * np.arange(13)
    altitudes = sun_altitude(hours, latitude, longitude)
    if result.status is EventStatus.STAYS_ABOVE:
        assert altitudes.min() > HORIZON_DEG - 0.001
    if result.status is EventStatus.STAYS_BELOW:
        assert altitudes[0] < HORIZON_DEG
    if result.status is EventStatus.HAPPENS:
        assert altitudes[0] > HORIZON_DEG > altitudes[-1]


@given(st.lists(dates, min_size=1, max_size=4), st.lists(st.tuples(latitudes, longitudes), max_size=3), zones)
@settings(max_examples=15, deadline=None)
def test_that_a_table_holds_what_single_questions_answer(
    days: list[dt.date], places: list[tuple[float, float]], zone: str
) -> None:
    north, east = [place[0] for place in places], [place[1] for place in places]
    table = event_table(SUN_EVENTS, days, north, east, zone)
    for e, event in enumerate(SUN_EVENTS):
        for p, place in enumerate(places):
            for d, day in enumerate(days):
                single = event_on(event, day, *place, zone)
                assert single.status == table.statuses[e, p, d]
                if single.instant is not None:
                    assert abs(single.instant.timestamp() - table.instants_s[e, p, d]) < 1e-5


@given(dates, livable, longitudes)
@settings(max_examples=50, deadline=None)
def test_that_sunset_of_one_date_follows_that_of_the_date_before_by_about_a_day(
    date: dt.date, latitude: float, longitude: float
) -> None:
    zone = ZoneInfo("UTC")
    days = [date, date + dt.timedelta(days=1)]
    table = event_table(["sunset", "noon"], days, [latitude], [longitude], zone)
    if (table.statuses == EventStatus.HAPPENS).all():
        gap_h = float(np.diff(table.of("sunset")[0][0])[0]) / 3600.0
        noons_h = float(np.diff(table.of("noon")[0][0])[0]) / 3600.0
        assert abs(gap_h - noons_h) < 2.0 or noons_h > 30.0


def test_that_the_sun_stands_at_the_angle_through_a_year_near_the_poles() -> None:
    """There the sun meets an angle so flatly that Newton's method alone misses some crossings."""
    days = [dt.date(2027, 1, 1) + dt.timedelta(days=i) for i in range(365)]
    north = np.linspace(-89.0, 89.0, 90)
    table = event_table(ANGLES_DEG, days, north, np.zeros(90), "UTC")
    for event, angle_deg in ANGLES_DEG.items():
        instants, statuses = table.of(event)
        error = np.abs(sun_altitude(instants, north[:, None], 0.0) - angle_deg)
        assert error[statuses == EventStatus.HAPPENS].max() < 1e-5


def test_that_dawns_and_dusks_are_told_apart() -> None:
    assert len(DAWNS) * 2 == len(ANGLES_DEG)
