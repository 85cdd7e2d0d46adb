"""The hour scale: from moments to places and back, the local clock's full hours, room for all that is shown."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from planner.desktop.outing.evening import HourScale
from planner.desktop.outing.trial import Trial
from planner.printing.times import LocalClock
from planner.usecases.evening.outing_view import Occasion
from tests.desktop.outing.sights import evening, sight

BEGIN = dt.datetime(2027, 6, 4, 18, 30, tzinfo=dt.UTC)
moments = st.datetimes(dt.datetime(2027, 6, 4, 18, 30), dt.datetime(2027, 6, 5, 2, 0), timezones=st.just(dt.UTC))  # noqa: DTZ001


@given(moments, st.floats(200, 3000), st.floats(0, 50))
def test_that_a_moment_is_found_again_at_its_place(moment: dt.datetime, width: float, left: float) -> None:
    scale = HourScale(BEGIN, dt.datetime(2027, 6, 5, 2, 0, tzinfo=dt.UTC), left, width)
    assert left <= scale.at(moment) <= scale.right
    assert abs(scale.moment(scale.at(moment)) - moment) < dt.timedelta(milliseconds=1)


def test_that_places_beyond_the_scale_are_kept_inside_it() -> None:
    scale = HourScale(BEGIN, BEGIN + dt.timedelta(hours=4), 10.0, 400.0)
    assert scale.at(BEGIN - dt.timedelta(hours=1)) == 10.0
    assert scale.moment(9_999.0) == scale.end
    assert not scale.shows(scale.end + dt.timedelta(seconds=1))


def test_that_the_hours_are_those_of_the_local_clock_even_where_it_is_half_an_hour_off() -> None:
    clock = LocalClock(ZoneInfo("Australia/Adelaide"), dt.date(2027, 10, 4))
    begin = dt.datetime(2027, 10, 3, 19, 30, tzinfo=dt.UTC)
    hours = list(HourScale(begin, begin + dt.timedelta(hours=3), 0.0, 300.0).hours(clock))
    assert [f"{clock.local(hour):%H:%M}" for hour in hours] == ["06:00", "07:00", "08:00", "09:00"]


def test_that_the_clock_going_back_shows_its_hour_twice() -> None:
    clock = LocalClock(ZoneInfo("Europe/London"), dt.date(2027, 10, 30))
    begin = dt.datetime(2027, 10, 30, 23, 30, tzinfo=dt.UTC)
    hours = list(HourScale(begin, begin + dt.timedelta(hours=3), 0.0, 300.0).hours(clock))
    assert [f"{clock.local(hour):%H:%M}" for hour in hours] == ["01:00", "01:00", "02:00"]


def test_that_the_scale_has_room_for_the_plan_and_for_what_is_tried() -> None:
    for occasion in Occasion:
        of = sight(occasion)
        for trial in (Trial(), Trial(offset=-50), Trial(offset=90)):
            shown = evening(of, trial)
            begin, end = shown.range()
            assert begin < min(shown.latest_utc, shown.leave_utc)
            assert end > shown.lanes[0].outing.due_home_utc
            assert begin.minute in (0, 30)
            assert end.minute in (0, 30)
