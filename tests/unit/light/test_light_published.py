"""Events against published examples; the source stands beside each."""

from __future__ import annotations

import datetime as dt

import pytest

from planner.light import event_time

GOLDEN = (39.742476, -105.1786)
MOUNTAIN = dt.timezone(dt.timedelta(hours=-7))


def seconds_from(clock: str, event: str, day: dt.date, place: tuple[float, float], zone: dt.tzinfo) -> float:
    """Return how many seconds after a local clock time on a date the event happens."""
    instant = event_time(event, day, *place, zone)
    assert instant is not None
    published = dt.datetime.combine(day, dt.time.fromisoformat(clock), tzinfo=zone)
    return (instant - published).total_seconds()


def test_that_sunrise_at_golden_is_that_of_the_solar_position_algorithm() -> None:
    """I. Reda & A. Andreas, Solar Position Algorithm, NREL/TP-560-34302 (2004, revised 2008)."""
    assert abs(seconds_from("06:12:43", "sunrise", dt.date(2003, 10, 17), GOLDEN, MOUNTAIN)) <= 3.0


def test_that_the_sunset_printed_with_that_example_belongs_to_the_day_before() -> None:
    """17:20:19 is printed for 17 October 2003; the evening of the 17th is at 17:18:51 (skyfield, DE421)."""
    assert abs(seconds_from("17:20:19", "sunset", dt.date(2003, 10, 16), GOLDEN, MOUNTAIN)) <= 3.0
    assert abs(seconds_from("17:18:51", "sunset", dt.date(2003, 10, 17), GOLDEN, MOUNTAIN)) <= 3.0


@pytest.mark.parametrize(
    ("day", "rise", "set_"),
    [
        (dt.date(1996, 7, 5), "07:08:15", "17:01:04"),
        (dt.date(2004, 12, 4), "04:38:57", "19:02:03"),
    ],
)
def test_that_the_southern_examples_of_the_solar_position_algorithm_hold(day: dt.date, rise: str, set_: str) -> None:
    """NREL/TP-560-34302, table A8-1: 35 degrees south on the meridian of Greenwich."""
    assert abs(seconds_from(rise, "sunrise", day, (-35.0, 0.0), dt.UTC)) <= 3.0
    assert abs(seconds_from(set_, "sunset", day, (-35.0, 0.0), dt.UTC)) <= 3.0


@pytest.mark.parametrize(
    ("event", "clock"),
    [
        ("sunrise", "08:06"),
        ("civil_dawn", "07:26"),
        ("nautical_dawn", "06:43"),
        ("astronomical_dawn", "06:02"),
    ],
)
def test_that_greenwich_agrees_with_the_printed_almanac(event: str, clock: str) -> None:
    """US Naval Observatory, rise, set and twilight for 51.5 N 0 W, 2017-01-01, rounded to the minute."""
    assert abs(seconds_from(clock, event, dt.date(2017, 1, 1), (51.5, 0.0), dt.UTC)) <= 60.0
