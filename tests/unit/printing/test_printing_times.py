"""Rounding: no printed time lies outside the window, and none is a minute from the plan."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from planner.domain.light import Span
from planner.printing.times import (
    MINUTE,
    LocalClock,
    Shown,
    long_date,
    minute_after,
    minute_before,
    nearest_minute,
    printed_count,
    short_date,
    whole_minutes,
)
from planner.printing.wording import zone_sentence

START = dt.datetime(2027, 6, 18, 20, 0, tzinfo=dt.UTC)
MOMENTS = st.integers(0, 86_400_000).map(lambda ms: START + dt.timedelta(milliseconds=ms))


def at(minute: int, second: int = 0) -> dt.datetime:
    return START + dt.timedelta(minutes=minute, seconds=second)


@given(MOMENTS)
def test_that_rounding_stays_within_a_minute_on_its_own_side(moment: dt.datetime) -> None:
    assert moment - MINUTE < minute_before(moment) <= moment
    assert moment <= minute_after(moment) < moment + MINUTE
    assert abs(nearest_minute(moment) - moment) <= MINUTE / 2
    for rounded in (minute_before(moment), minute_after(moment), nearest_minute(moment)):
        assert (rounded.second, rounded.microsecond) == (0, 0)


@given(
    open_s=st.integers(0, 7200),
    window_s=st.integers(60, 7200),
    length_s=st.integers(60, 900),
    share=st.floats(0, 1),
)
def test_that_a_printed_count_keeps_inside_the_window_it_was_planned_in(
    open_s: int, window_s: int, length_s: int, share: float
) -> None:
    assume(length_s <= window_s)
    span = Span(at(0, open_s), at(0, open_s + window_s))
    start = span.open_utc + dt.timedelta(seconds=round(share * (window_s - length_s)))
    length = dt.timedelta(seconds=length_s)

    begin, end = printed_count(start, start + length, span)

    assert span.open_utc <= begin
    assert end <= span.close_utc
    assert begin + length <= span.close_utc
    assert abs(begin - start) < MINUTE
    assert abs(end - begin - length) < MINUTE
    # Brute force: seconds are printed only where no full minute beside the planned start serves.
    near = [moment for moment in (minute_before(start), minute_after(start)) if span.open_utc <= moment]
    serving = [moment for moment in near if moment + length <= span.close_utc]
    assert (begin.second == 0) == (bool(serving) or start.second == 0)


def test_that_a_count_starts_on_the_next_full_minute() -> None:
    span = Span(at(0, 20), at(30))
    assert printed_count(at(0, 20), at(6, 20), span) == (at(1), at(7))


def test_when_the_next_minute_would_pass_the_closing_the_count_starts_on_the_one_before() -> None:
    span = Span(at(0), at(10, 30))
    assert printed_count(at(4, 20), at(10, 20), span) == (at(4), at(10))


def test_when_no_full_minute_serves_the_seconds_are_printed() -> None:
    span = Span(at(0, 20), at(6, 25))
    begin, end = printed_count(at(0, 20), at(6, 20), span)
    clock = LocalClock(ZoneInfo("UTC"), START.date())
    assert [str(clock.show(moment)) for moment in (begin, end)] == ["20:00:20", "20:06:20"]


def test_when_a_count_is_no_whole_number_of_minutes_its_end_is_not_printed_past_the_closing() -> None:
    length = dt.timedelta(minutes=6, seconds=30)
    assert printed_count(at(1), at(1) + length, Span(at(0), at(8)))[1] == at(8)
    assert printed_count(at(1), at(1) + length, Span(at(0), at(7, 45)))[1] == at(7)


def test_when_the_window_is_unknown_the_next_minute_is_taken() -> None:
    assert printed_count(at(0, 1), at(6, 1), None) == (at(1), at(7))


@given(st.floats(0, 600))
def test_that_drive_minutes_are_rounded_up(minutes: float) -> None:
    assert minutes - 1e-3 <= whole_minutes(minutes) < minutes + 1


def test_that_a_drive_of_four_minutes_is_four_though_arithmetic_left_a_trace() -> None:
    assert whole_minutes(4.000000001) == 4
    assert whole_minutes(4.01) == 5


def test_that_the_weekday_is_shown_after_midnight_only() -> None:
    clock = LocalClock(ZoneInfo("Europe/London"), dt.date(2027, 6, 18))
    assert clock.show(dt.datetime(2027, 6, 18, 22, 59, tzinfo=dt.UTC)) == Shown("23:59")
    assert str(clock.show(dt.datetime(2027, 6, 18, 23, 12, tzinfo=dt.UTC))) == "00:12 Sat"


def test_that_a_morning_whose_drive_begins_the_evening_before_says_so() -> None:
    clock = LocalClock(ZoneInfo("Australia/Hobart"), dt.date(2027, 10, 14))
    assert str(clock.show(dt.datetime(2027, 10, 13, 12, 50, tzinfo=dt.UTC))) == "23:50 Wed"


@pytest.mark.parametrize(
    ("zone", "words"),
    [("Europe/London", "BST, Europe/London"), ("America/Sao_Paulo", "America/Sao_Paulo"), ("UTC", "UTC, UTC")],
)
def test_that_the_zone_is_named_with_its_letters_where_it_has_any(zone: str, words: str) -> None:
    clock = LocalClock(ZoneInfo(zone), dt.date(2027, 6, 18))
    assert clock.zone_words(START) == words


def test_that_dates_are_written_in_words() -> None:
    assert long_date(dt.date(2027, 6, 18)) == "Friday 18 June 2027"
    assert short_date(dt.date(2027, 6, 22)) == "Tue 22 June"


def test_that_an_outing_over_the_change_of_clocks_says_so() -> None:
    clock = LocalClock(ZoneInfo("Europe/London"), dt.date(2027, 3, 27))
    leave, due = (dt.datetime(2027, 3, 27, 23, 0, tzinfo=dt.UTC), dt.datetime(2027, 3, 28, 1, 30, tzinfo=dt.UTC))
    assert zone_sentence(clock, leave, leave) == "All times are GMT, Europe/London."
    assert zone_sentence(clock, leave, due) == (
        "The clocks change during this outing: times are GMT, Europe/London first, and BST, Europe/London after the"
        " change."
    )
