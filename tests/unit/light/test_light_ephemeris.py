"""Events against skyfield's own search in DE421: the right moment, on the right date, and none that is not there."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import pytest

from planner.domain.window import Event
from planner.light import ANGLES_DEG, GRAZING_DEG, EventStatus, event_on, event_table
from planner.light.events import DAWNS
from tests.unit.light.ephemeris import Sighting, true_event, true_noon

PLACES = [
    (-41.29, 174.78, "Pacific/Auckland", ["2027-04-04", "2027-09-26", "2027-12-21"]),
    (-13.83, -171.77, "Pacific/Apia", ["2027-03-20", "2027-06-21"]),
    (1.87, -157.43, "Pacific/Kiritimati", ["2027-01-01", "2027-06-30"]),
    (-16.8, 180.0, "Pacific/Fiji", ["2027-02-14", "2027-10-03"]),
    (51.88, -176.65, "America/Adak", ["2027-03-14", "2027-06-21", "2027-11-07"]),
    (64.5, -165.4, "America/Nome", ["2027-05-02", "2027-06-21", "2027-07-18", "2027-12-21"]),
    (40.7, -74.0, "America/New_York", ["2027-03-14", "2027-11-07"]),
    (51.48, 0.0, "Europe/London", ["2027-03-28", "2027-05-20", "2027-06-30", "2027-10-31"]),
    (55.95, -3.19, "Europe/London", ["2027-04-28", "2027-05-12", "2027-07-20"]),
    (66.0, 25.7, "Europe/Helsinki", ["2027-03-28", "2027-06-21", "2027-12-21"]),
    (69.65, 18.96, "Europe/Oslo", ["2027-01-05", "2027-03-20", "2027-05-30", "2027-08-15"]),
    (43.8, 87.6, "Asia/Shanghai", ["2027-02-10", "2027-09-10"]),
    (-54.8, -68.3, "America/Argentina/Ushuaia", ["2027-06-21", "2027-12-21"]),
]
ROWS = [(lat, lon, zone, day) for lat, lon, zone, days in PLACES for day in days]


@pytest.mark.parametrize(("latitude", "longitude", "zone", "day"), ROWS)
def test_that_events_are_those_of_the_ephemeris(latitude: float, longitude: float, zone: str, day: str) -> None:
    date = dt.date.fromisoformat(day)
    noon = true_noon(date, latitude, longitude, ZoneInfo(zone))
    ours = event_on("noon", date, latitude, longitude, zone).instant
    assert ours is not None
    assert abs((ours - noon).total_seconds()) <= 6.0
    for event, angle_deg in ANGLES_DEG.items():
        result = event_on(event, date, latitude, longitude, zone)
        side = -1 if event in DAWNS else 1
        truth = true_event(noon, side, angle_deg, latitude, longitude)
        if truth.turns_within_deg(angle_deg) <= 2 * GRAZING_DEG:
            continue
        assert result.status is expected_status(truth, angle_deg), event
        if result.instant is not None and truth.instant is not None:
            seconds = abs((result.instant - truth.instant).total_seconds())
            assert seconds <= promised_s(event, latitude), event


def expected_status(truth: Sighting, angle_deg: float) -> EventStatus:
    if truth.instant is not None:
        return EventStatus.HAPPENS
    return EventStatus.STAYS_ABOVE if truth.midnight_deg > angle_deg else EventStatus.STAYS_BELOW


def promised_s(event: Event, latitude: float) -> float:
    """Seconds within which an event is promised, by latitude; beyond 66 degrees the sun moves ever flatter."""
    if abs(latitude) <= 55.0 and event in (Event.SUNRISE, Event.SUNSET, Event.CIVIL_DAWN, Event.CIVIL_DUSK):
        return 5.0
    return 10.0 if abs(latitude) <= 60.0 else 15.0 if abs(latitude) <= 66.0 else 60.0


@pytest.mark.parametrize("longitude", [75.0, 79.0, 83.0, 88.0])
def test_that_no_dawn_is_missed_far_east_of_greenwich(longitude: float) -> None:
    zone = dt.timezone(dt.timedelta(hours=5, minutes=30))
    dates = [dt.date(2027, 1, 1) + dt.timedelta(days=offset) for offset in range(0, 365, 3)]
    events = ("sunrise", "civil_dawn", "nautical_dawn", "astronomical_dawn")
    table = event_table(events, dates, [27.0], [longitude], zone)
    assert (table.statuses == EventStatus.HAPPENS).all()
    for instants_s in table.instants_s[:, 0]:
        assert [dt.datetime.fromtimestamp(one, zone).date() for one in instants_s.tolist()] == dates
