"""Which date an event belongs to, where clocks, zones and calendars are awkward."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from planner.domain.errors import RuleError
from planner.light import (
    ANGLES_DEG,
    SUN_EVENTS,
    EventStatus,
    event_on,
    event_table,
    event_time,
    reason_in_words,
    zone_named,
)
from planner.light.events import DAWNS
from planner.light.localdays import day_spans, start_of_day

YEAR = [dt.date(2027, 1, 1) + dt.timedelta(days=i) for i in range(365)]


def local_dates(event: str, latitude: float, longitude: float, zone: str) -> list[dt.date | None]:
    """Return the local civil date on which the event of each date of 2027 falls."""
    instants, _ = event_table([event], YEAR, [latitude], [longitude], zone).of(event)
    return [None if np.isnan(s) else dt.datetime.fromtimestamp(s, tz=ZoneInfo(zone)).date() for s in instants[0]]


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone"),
    [
        (-17.8, 180.0, "Pacific/Fiji"),
        (-16.8, -180.0, "Pacific/Fiji"),
        (-13.8, -171.8, "Pacific/Apia"),
        (1.9, -157.4, "Pacific/Kiritimati"),
        (-43.9, -176.5, "Pacific/Chatham"),
        (52.9, 173.2, "America/Adak"),
        (21.3, -157.9, "Pacific/Honolulu"),
        (39.5, 76.0, "Asia/Shanghai"),
    ],
)
def test_that_rise_noon_and_set_fall_on_their_own_date(latitude: float, longitude: float, zone: str) -> None:
    for event in ("sunrise", "noon", "sunset"):
        assert local_dates(event, latitude, longitude, zone) == YEAR


def test_that_dusk_after_midnight_keeps_the_date_of_its_evening() -> None:
    """London, astronomical dusk in May and July: past midnight, but of the evening before."""
    london = (51.5, -0.13, "Europe/London")
    fallen = local_dates("astronomical_dusk", *london)
    late = [day for day, on in zip(YEAR, fallen, strict=True) if on == day + dt.timedelta(days=1)]
    assert len(late) >= 5
    assert all(on in (None, day, day + dt.timedelta(days=1)) for day, on in zip(YEAR, fallen, strict=True))
    for day in late:
        noon, dusk = (event_time(event, day, *london) for event in ("noon", "astronomical_dusk"))
        assert noon is not None
        assert dusk is not None
        assert dt.timedelta(hours=10.5) < dusk - noon < dt.timedelta(hours=12)


def test_that_a_clock_change_moves_no_event() -> None:
    """Sunrise on the dates about a change differs by minutes in UTC, not by an hour."""
    days = [dt.date(2027, 3, 27), dt.date(2027, 3, 28), dt.date(2027, 3, 29)]
    instants, _ = event_table(["sunrise"], days, [51.5], [0.0], "Europe/London").of("sunrise")
    assert (np.abs(np.diff(instants[0]) - 86_400.0) < 200.0).all()


def test_that_a_date_starts_at_the_clock_change_where_midnight_is_skipped() -> None:
    """Beirut went from 00:00 to 01:00 on 31 March 2024 (IANA time zone database)."""
    start = start_of_day(dt.date(2024, 3, 31), ZoneInfo("Asia/Beirut"))
    assert start == dt.datetime(2024, 3, 30, 22, 0, tzinfo=dt.UTC)


def test_that_a_skipped_date_has_no_event_and_says_so() -> None:
    """Samoa had no 30 December 2011 (IANA time zone database)."""
    skipped = dt.date(2011, 12, 30)
    for event in SUN_EVENTS:
        result = event_on(event, skipped, -13.83, -171.77, "Pacific/Apia")
        assert result.status is EventStatus.NO_SUCH_DATE
        assert result.instant is None
        assert result.reason == f"no {event.words}: the time zone skips this date"
    for neighbour in (dt.date(2011, 12, 29), dt.date(2011, 12, 31)):
        sunset = event_time("sunset", neighbour, -13.83, -171.77, "Pacific/Apia")
        assert sunset is not None
        assert sunset.astimezone(ZoneInfo("Pacific/Apia")).date() == neighbour


def test_that_dates_with_two_or_no_noons_take_the_dawn_and_dusk_that_fall_in_them() -> None:
    """On the meridian of 180 degrees in UTC the sun's noon wanders over midnight four times a year."""
    place = (20.0, 180.0, "UTC")
    noons, statuses = event_table(["noon"], YEAR, [20.0], [180.0], "UTC").of("noon")
    none = [day for day, status in zip(YEAR, statuses[0], strict=True) if status == EventStatus.NO_NOON]
    gaps = np.diff(noons[0][~np.isnan(noons[0])]) / 86_400.0
    two = [day for day, gap in zip(YEAR, gaps, strict=False) if gap > 1.5]
    assert 1 <= len(none) <= 2
    assert two
    for day in none:
        assert event_on("noon", day, *place).reason.startswith("no noon: it falls on the dates before and after")
        for event in ("sunset", "civil_dusk", "sunrise", "nautical_dawn"):
            instant = event_time(event, day, *place)
            assert instant is not None
            assert instant.date() == day


def test_that_a_date_with_two_noons_uses_the_first_for_dusk_and_the_second_for_dawn() -> None:
    noons = event_table(["noon"], YEAR, [20.0], [180.0], "UTC").instants_s[0, 0]
    for day, noon, following in zip(YEAR, noons, noons[1:], strict=False):
        midnight = dt.datetime.combine(day, dt.time(), tzinfo=dt.UTC).timestamp()
        if noon - midnight < 40.0 and following - noon > 1.5 * 86_400.0:
            dusk, dawn = (event_time(event, day, 20.0, 180.0, "UTC") for event in ("sunset", "sunrise"))
            assert dusk is not None
            assert dawn is not None
            assert dusk.date() == dawn.date() == day
            return
    pytest.fail("no date of 2027 has two noons there")


@pytest.mark.parametrize(
    ("event", "day", "latitude", "status", "reason"),
    [
        ("sunset", "2027-06-21", 70.0, "STAYS_ABOVE", "does not sink 50 minutes of arc below the horizon"),
        ("sunrise", "2027-12-21", 70.0, "STAYS_BELOW", "stays more than 50 minutes of arc below the horizon"),
        ("nautical_dusk", "2027-06-21", 56.0, "STAYS_ABOVE", "does not sink 12 degrees below the horizon"),
        ("astronomical_dawn", "2027-06-21", 56.0, "STAYS_ABOVE", "does not sink 18 degrees below the horizon"),
        ("sunset", "2027-12-21", -70.0, "STAYS_ABOVE", "does not sink 50 minutes of arc below the horizon"),
    ],
)
def test_that_an_event_that_does_not_happen_says_why(
    event: str, day: str, latitude: float, status: str, reason: str
) -> None:
    result = event_on(event, dt.date.fromisoformat(day), latitude, 20.0, "Europe/Oslo")
    assert result.status is EventStatus[status]
    assert result.instant is None
    assert result.reason == f"no {event.replace('_', ' ')}: the sun {reason}"
    assert event_time(event, dt.date.fromisoformat(day), latitude, 20.0, "Europe/Oslo") is None


def test_that_a_sun_turning_at_the_angle_is_called_grazing() -> None:
    """On 21 June the sun turns at latitude + 23.436 - 90 degrees; 12 degrees below is at 54.564 north."""
    day = dt.date(2027, 6, 21)
    graze = event_on("nautical_dusk", day, 54.564, 0.0, "Europe/London")
    assert graze.status is EventStatus.GRAZING
    assert graze.instant is None
    assert graze.reason == "no certain nautical dusk: the sun only grazes 12 degrees below the horizon"
    assert event_on("nautical_dusk", day, 54.50, 0.0, "Europe/London").status is EventStatus.HAPPENS
    assert event_on("nautical_dusk", day, 54.62, 0.0, "Europe/London").status is EventStatus.STAYS_ABOVE


def test_that_an_event_that_happens_has_no_reason() -> None:
    result = event_on("sunset", dt.date(2027, 5, 1), 50.0, 0.0, "Europe/London")
    assert result.reason == ""
    assert result.instant is not None
    assert result.instant.utcoffset() == dt.timedelta(0)


def test_that_every_event_and_status_has_words() -> None:
    for event in ANGLES_DEG:
        texts = {reason_in_words(event, status) for status in EventStatus}
        assert len(texts) == len(EventStatus)


def test_that_dawns_come_before_noon_and_dusks_after() -> None:
    assert {event for event in ANGLES_DEG if "dawn" in event or event == "sunrise"} == DAWNS


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"event": "moonrise"}, "no event of the sun is named 'moonrise'; choose one of sunrise"),
        ({"event": "clock"}, "no event of the sun is named 'clock'"),
        ({"zone": "Europe/Atlantis"}, "no time zone is named 'Europe/Atlantis'"),
        ({"zone": "../etc/passwd"}, "no time zone is named"),
        ({"zone": "Europe"}, "no time zone is named"),
        ({"latitude": 90.5}, "latitudes must lie between -90 and 90"),
        ({"latitude": float("nan")}, "latitudes must lie"),
        ({"longitude": 190.0}, "longitudes must lie between -180 and 180"),
        ({"date": dt.date(1850, 5, 1)}, "years 1900 to 2100, found 1850-05-01"),
        ({"date": dt.date(9999, 12, 31)}, "years 1900 to 2100"),
        ({"date": dt.datetime(2027, 5, 1, tzinfo=dt.UTC)}, "a date was expected, found the moment"),
    ],
)
def test_that_what_makes_no_sense_is_refused(change: dict[str, object], message: str) -> None:
    asked = {
        "event": "sunset",
        "date": dt.date(2027, 5, 1),
        "latitude": 50.0,
        "longitude": 0.0,
        "zone": "Europe/London",
    }
    with pytest.raises(RuleError, match=message):
        event_time(**(asked | change))  # type: ignore[arg-type]  # wrong values on purpose


def test_that_places_need_as_many_latitudes_as_longitudes() -> None:
    with pytest.raises(RuleError, match=r"found shapes \(2,\) and \(1,\)"):
        event_table(["sunset"], YEAR[:1], [50.0, 51.0], [0.0], "UTC")


def test_that_no_places_or_no_dates_make_an_empty_table() -> None:
    assert event_table(["sunset"], [], [50.0], [0.0], "UTC").instants_s.shape == (1, 1, 0)
    assert event_table(["sunset"], YEAR[:3], [], [], "UTC").instants_s.shape == (1, 0, 3)


def test_that_a_zone_may_be_given_itself() -> None:
    zone = ZoneInfo("Europe/Oslo")
    assert zone_named(zone) is zone
    by_name = event_time("sunset", dt.date(2027, 5, 1), 60.0, 10.0, "Europe/Oslo")
    assert event_time("sunset", dt.date(2027, 5, 1), 60.0, 10.0, zone) == by_name


def test_that_day_spans_have_the_hours_of_their_dates() -> None:
    days = [dt.date(2027, 3, 28), dt.date(2027, 6, 1), dt.date(2027, 10, 31)]
    starts, ends = day_spans(days, ZoneInfo("Europe/London"))
    assert ((ends - starts) / 3600.0).tolist() == [23.0, 24.0, 25.0]
