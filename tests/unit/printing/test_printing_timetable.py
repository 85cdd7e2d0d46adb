"""The evening on paper: which lines there are, in which order, at which times."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from planner.domain.light import LightWindow, Span
from planner.domain.outing import Outing, StepKind
from planner.printing.timetable import Timetable, timetable
from tests.golden.itineraries import (
    HOBART,
    LONDON,
    Evening,
    long_names,
    moment,
    past_midnight,
    southern_dawn,
    ten_points,
)

OPENS = moment(LONDON, 2027, 6, 8, 21, 38, 41)


def _outing(evening: Evening, minutes_open: float = 120) -> Outing:
    span = Span(OPENS, OPENS + dt.timedelta(minutes=minutes_open))
    return Outing("R1", dt.date(2027, 6, 8), tuple(evening.steps), LightWindow("dusk", dt.date(2027, 6, 8), (span,)))


def _legs(table: Timetable) -> list[tuple[list[int], bool, bool]]:
    return [([s.point for s in leg.stops], bool(leg.ground_kinds), leg.counts) for leg in table.legs]


def test_that_habitat_round_and_counts_are_two_tables_in_the_order_of_the_evening() -> None:
    outing = ten_points().days[1].outing
    down, up = list(range(10, 0, -1)), list(range(1, 11))
    assert _legs(timetable(outing)) == [(down, True, False), (up, False, True)]


def test_that_the_first_count_is_made_where_the_habitat_round_ended_without_a_drive() -> None:
    stop = timetable(ten_points().days[1].outing).legs[1].stops[0]
    assert (stop.point, stop.drive_minutes, stop.arrive_utc) == (1, None, None)


def test_when_habitat_is_done_between_the_counts_each_point_has_one_line() -> None:
    evening = Evening(OPENS - dt.timedelta(minutes=30))
    evening.drive(30.0, 1)
    for point in (1, 2):
        if point > 1:
            evening.drive(3.0, point)
        evening.work(StepKind.COUNT, 6.0)
        evening.work(StepKind.HABITAT, 8.0)
    assert _legs(timetable(_outing(evening))) == [([1, 2], True, True)]


def test_that_two_runs_are_two_tables_though_the_second_begins_where_the_first_ended() -> None:
    table = timetable(southern_dawn().days[0].outing)
    assert [(leg.pass_number, [s.point for s in leg.stops]) for leg in table.legs] == [
        (1, [1, 2, 3, 4, 5]),
        (2, [5, 4, 3, 2, 1]),
    ]
    assert [pause.point for pause in table.pauses] == [1, 5]


def test_that_set_up_and_habitat_at_one_point_are_one_line() -> None:
    evening = Evening(OPENS - dt.timedelta(hours=3))
    evening.drive(30.0, 1)
    evening.work(StepKind.SETUP, 4.0)
    evening.work(StepKind.HABITAT, 8.0)
    (stop,) = timetable(replace(_outing(evening), window=None)).stops
    assert stop.ground_kinds == (StepKind.SETUP, StepKind.HABITAT)
    assert stop.ground is not None
    assert stop.ground[1] - stop.ground[0] == dt.timedelta(minutes=12)


def test_that_the_key_times_of_an_ordinary_evening_are_those_of_its_steps() -> None:
    # By hand, from the steps: leaves 18:32:07, drives 58.4 min; window 21:38:41 to 23:16:20.
    key = timetable(ten_points().days[1].outing).key
    at = [
        f"{one.astimezone(dt.timezone(dt.timedelta(hours=1))):%H:%M}"
        for one in (key.leave_home_utc, key.arrive_utc, key.opens_utc, key.closes_utc)
        if one is not None
    ]
    assert at == ["18:32", "19:30", "21:39", "23:16"]
    assert key.counts_start_utc == key.opens_utc
    assert key.arrive_point == 10


def test_that_the_margin_is_what_the_reader_can_add_up() -> None:
    for itinerary in (ten_points(), past_midnight(), southern_dawn(), long_names()):
        for day in itinerary.days:
            key = timetable(day.outing).key
            if key.margin_minutes is None or key.closes_utc is None or key.last_count_ends_utc is None:
                assert day.visit is None
                continue
            assert dt.timedelta(minutes=key.margin_minutes) == key.closes_utc - key.last_count_ends_utc
            assert day.outing.margin_minutes is not None
            assert abs(key.margin_minutes - day.outing.margin_minutes) < 2


def test_when_the_first_run_is_the_tighter_one_the_margin_is_its_own() -> None:
    outing = southern_dawn().days[0].outing
    assert outing.window is not None
    first, second = outing.window.passes
    tight = Span(first.open_utc, moment(HOBART, 2027, 10, 14, 5, 4, 30))
    key = timetable(replace(outing, window=replace(outing.window, passes=(tight, second)))).key
    assert key.margin_minutes == 1


def test_that_an_outing_without_counts_has_neither_window_nor_margin() -> None:
    key = timetable(ten_points().days[0].outing).key
    assert (key.opens_utc, key.counts_start_utc, key.last_count_ends_utc, key.margin_minutes) == (None,) * 4
    assert key.done_utc < key.due_home_utc


def test_that_the_overcast_variant_takes_the_overcast_span_where_the_window_has_one() -> None:
    evening = Evening(OPENS)
    evening.drive(1.0, 1)
    evening.work(StepKind.COUNT, 6.0)
    clear, overcast = (Span(OPENS + dt.timedelta(minutes=m), OPENS + dt.timedelta(hours=1)) for m in (10, 0))
    outing = replace(_outing(evening), window=LightWindow("dusk", dt.date(2027, 6, 8), (clear,), (overcast,)))
    assert timetable(outing).spans == (clear,)
    assert timetable(outing, overcast=True).spans == (overcast,)


@given(
    lag_s=st.integers(0, 59),
    legs=st.lists(st.floats(1.0, 9.0), min_size=1, max_size=8),
    spare_s=st.integers(0, 200),
    minutes=st.sampled_from([3.0, 5.0, 6.0, 7.5, 10.0]),
)
def test_that_no_printed_count_lies_outside_the_window_whatever_the_drives_take(
    lag_s: int, legs: list[float], spare_s: int, minutes: float
) -> None:
    evening = Evening(OPENS - dt.timedelta(minutes=20))
    evening.drive(20.0, 1)
    evening.wait_until(OPENS + dt.timedelta(seconds=lag_s))
    evening.work(StepKind.COUNT, minutes)
    for point, leg in enumerate(legs, start=2):
        evening.drive(leg, point)
        evening.work(StepKind.COUNT, minutes)
    span = Span(OPENS, evening.now + dt.timedelta(seconds=spare_s))
    evening.drive(30.0, None)
    window = LightWindow("dusk", dt.date(2027, 6, 8), (span,))
    table = timetable(Outing("R1", window.date, tuple(evening.steps), window))
    counts = [stop.count for stop in table.stops]
    assert len(counts) == len(legs) + 1
    for times in counts:
        assert times is not None
        assert span.open_utc <= times[0] < times[1] <= span.close_utc
    arrivals = [(s.arrive_utc, s.count) for s in table.stops if s.arrive_utc is not None and s.count is not None]
    assert all(arrive <= count[0] for arrive, count in arrivals)
    assert table.key.leave_home_utc <= evening.steps[0].start_utc
    assert table.key.due_home_utc >= evening.now
