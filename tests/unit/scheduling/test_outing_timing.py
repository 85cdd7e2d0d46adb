"""Outings minute by minute: daylight for habitat, counts in the window, home again."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.counting import Direction
from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.habitat import HabitatTiming
from planner.domain.outing import Outing, StepKind
from planner.domain.travel import FigureSource
from planner.domain.window import Edge, Event, FinishRule, Pass, StartRule
from planner.scheduling import OutingRequest, SeasonProblem, outing_for, setup_outing_for, time_outing
from planner.scheduling.outing import PassSpan
from tests.unit.scheduling.seasons import (
    dawn,
    day,
    dusk,
    habitat_rule,
    line_legs,
    out_and_back,
    pass_light,
    planned,
    problem,
    protocol,
    route_light,
    same,
    seconds,
    setup_rule,
    volunteer,
    window_light,
)

ANY_TIME = Pass(Edge(Event.SUNSET), Edge(Event.SUNSET, 600), StartRule.EXACTLY, FinishRule.BY)


def request(points: int = 3, leg: float = 2.0, window: float = 120.0, **changes: object) -> OutingRequest:
    """Counts of 5 minutes from 21:00 UTC, 10 minutes from home to the first point of a straight road."""
    legs = line_legs(points, leg)
    opens = np.full(points, seconds(0, "21:00"))
    plain = OutingRequest(
        route="R1",
        date=day(0),
        numbers=tuple(range(1, points + 1)),
        legs=same(legs),
        out=same(10.0 + legs[0]),
        back=same(10.0 + legs[0]),
        sunrise_utc=seconds(0, "04:00"),
        sunset_utc=seconds(0, "20:40"),
        count_minutes=5.0,
        window="dusk",
        spans=(PassSpan(ANY_TIME, opens, opens + window * 60),),
    )
    return replace(plain, **changes)  # type: ignore[arg-type]  # fields by name


def clock(moment: dt.datetime) -> str:
    return f"{moment:%H:%M}"


def assert_unbroken(outing: Outing) -> None:
    """Each step begins where and when the one before it ended; it begins and ends at home."""
    for before, after in pairwise(outing.steps):
        assert abs((after.start_utc - before.end_utc).total_seconds()) < 1.01
        here = after.from_point if after.kind is StepKind.DRIVE else after.point
        assert here == before.point
    assert outing.steps[0].from_point is None
    assert outing.steps[-1].point is None


def season(**changes: object) -> SeasonProblem:
    rules = protocol(**changes)  # type: ignore[arg-type]  # fields by name
    return problem(rules=rules, volunteers=[volunteer("V1"), volunteer("V2")])


def test_that_counts_alone_start_at_the_opening_after_the_latest_departure() -> None:
    outing = time_outing(request())
    assert clock(outing.leave_home_utc) == "20:50"
    assert outing.order == (1, 2, 3)
    assert [clock(step.start_utc) for step in outing.of_kind(StepKind.COUNT)] == ["21:00", "21:07", "21:14"]
    assert clock(outing.due_home_utc) == "21:33"
    assert outing.margin_minutes == pytest.approx(101.0)
    assert outing.missed == ()
    assert outing.squeeze is None
    assert_unbroken(outing)


def test_that_the_habitat_round_ends_by_sunset_where_counting_starts() -> None:
    outing = time_outing(request(habitat_minutes=4.0))
    habitat = outing.of_kind(StepKind.HABITAT)
    assert [step.point for step in habitat] == [1, 2, 3]
    assert clock(habitat[-1].end_utc) == "20:40"
    assert [step.minutes for step in outing.of_kind(StepKind.WAIT)] == [20.0]
    assert outing.order == (3, 2, 1)
    assert_unbroken(outing)


def test_that_without_a_wait_the_habitat_round_ends_as_counting_starts() -> None:
    outing = time_outing(request(habitat_minutes=4.0, sunset_utc=seconds(0, "21:30")))
    assert outing.of_kind(StepKind.WAIT) == ()
    assert clock(outing.of_kind(StepKind.HABITAT)[-1].end_utc) == "21:00"


def test_that_squeezing_habitat_between_the_counts_says_what_is_left_and_what_is_lost() -> None:
    outing = time_outing(request(points=4, window=30.0, habitat_minutes=4.0))
    assert outing.squeeze is not None
    # 30 minutes less 4 counts of 5 and 3 legs of 2 leave 4 minutes for 3 pieces of habitat.
    assert outing.squeeze.minutes_left_per_point == pytest.approx(4 / 3, abs=1e-4)
    assert len(outing.squeeze.points_lost) == 1
    assert outing.missed == ()


def test_that_nothing_is_left_for_habitat_where_the_counts_alone_do_not_fit() -> None:
    outing = time_outing(request(points=4, window=20.0, habitat_minutes=4.0))
    assert outing.squeeze is not None
    assert outing.squeeze.minutes_left_per_point == 0.0
    assert len(outing.missed) == 1
    assert outing.margin_minutes == pytest.approx(1.0)


def test_that_a_single_point_has_its_whole_margin_for_habitat() -> None:
    outing = time_outing(request(points=1, habitat_minutes=4.0))
    assert outing.squeeze is not None
    assert outing.squeeze.minutes_left_per_point == pytest.approx(115.0)
    assert outing.squeeze.points_lost == ()


def test_that_a_window_before_sunrise_has_its_habitat_after_it_in_daylight() -> None:
    opens = np.full(3, seconds(0, "02:30"))
    before_sunrise = (PassSpan(ANY_TIME, opens, opens + 3_600.0),)
    outing = time_outing(request(habitat_minutes=4.0, spans=before_sunrise))
    habitat = outing.of_kind(StepKind.HABITAT)
    assert clock(habitat[0].start_utc) == "04:00"
    assert habitat[0].point == outing.order[-1]
    assert_unbroken(outing)


def test_that_habitat_after_the_counts_follows_them_where_there_is_daylight() -> None:
    opens = np.full(3, seconds(0, "05:00"))
    morning = (PassSpan(ANY_TIME, opens, opens + 3_600.0),)
    after = time_outing(request(habitat_minutes=4.0, spans=morning, timing=HabitatTiming.AFTER_COUNTS))
    assert after.of_kind(StepKind.HABITAT)[0].start_utc == after.of_kind(StepKind.COUNT)[-1].end_utc
    dark = time_outing(request(habitat_minutes=4.0, timing=HabitatTiming.AFTER_COUNTS))
    assert dark.of_kind(StepKind.HABITAT)[-1].end_utc < dark.of_kind(StepKind.COUNT)[0].start_utc


def test_that_daylight_binds_nothing_where_the_sun_does_not_set() -> None:
    nan = float("nan")
    outing = time_outing(request(habitat_minutes=4.0, sunrise_utc=nan, sunset_utc=nan))
    assert clock(outing.of_kind(StepKind.HABITAT)[-1].end_utc) == "21:00"
    alone = time_outing(request(spans=(), setup_minutes=6.0, sunrise_utc=nan, sunset_utc=nan))
    assert alone.due_home_utc.hour == 18


def test_that_a_setup_day_ends_at_home_by_sunset() -> None:
    outing = time_outing(request(spans=(), setup_minutes=6.0))
    assert clock(outing.due_home_utc) == "20:40"
    assert len(outing.of_kind(StepKind.SETUP)) == 3
    assert outing.window is None
    assert outing.margin_minutes is None
    assert_unbroken(outing)


def test_that_setup_on_the_day_of_the_counts_takes_the_place_of_habitat() -> None:
    outing = time_outing(request(setup_minutes=6.0, habitat_minutes=4.0))
    assert len(outing.of_kind(StepKind.SETUP)) == 3
    assert outing.of_kind(StepKind.HABITAT) == ()
    assert len(outing.of_kind(StepKind.COUNT)) == 3


def test_that_an_overcast_sky_has_an_outing_of_its_own() -> None:
    early = np.full(3, seconds(0, "20:50"))
    outing = time_outing(request(overcast=(PassSpan(ANY_TIME, early, early + 7_200.0),)))
    assert outing.overcast is not None
    assert clock(outing.overcast.leave_home_utc) == "20:40"
    assert outing.overcast.overcast is None


def test_that_an_overcast_sky_without_a_count_is_left_out() -> None:
    early = np.full(3, seconds(0, "20:50"))
    assert time_outing(request(overcast=(PassSpan(ANY_TIME, early, early + 60.0),))).overcast is None


def test_that_a_second_pass_turns_back_and_waits_for_its_own_light() -> None:
    rules = protocol(windows=(out_and_back(),))
    found = problem(rules=rules, volunteers=[volunteer("V1")])
    outing = outing_for(found, replace(planned("R1/1", "V1", 2), window="night"), "V1")
    counts = outing.of_kind(StepKind.COUNT)
    assert [step.pass_number for step in counts] == [1, 1, 1, 2, 2, 2]
    assert [step.point for step in counts[3:]] == [step.point for step in counts[:3]][::-1]
    assert clock(counts[3].start_utc) == "22:00"
    assert outing.window is not None
    assert len(outing.window.passes) == 2
    assert_unbroken(outing)


def test_that_the_way_of_the_first_pass_is_chosen_for_both_passes() -> None:
    legs = line_legs(3, 2.0)
    runs = out_and_back().passes
    opens = np.full(3, seconds(0, "21:00"))
    spans = (PassSpan(runs[0], opens, opens + 3_000.0), PassSpan(runs[1], opens + 3_600.0, opens + 4_600.0))
    outing = time_outing(request(spans=spans, direction=Direction.EITHER, out=same(10.0 + legs[2])))
    assert len(outing.order) == 2
    assert len(outing.missed) == 1
    assert outing.margin_minutes is not None


def test_that_a_pass_may_lose_all_points_of_the_one_before() -> None:
    runs = out_and_back().passes
    opens = np.full(3, seconds(0, "21:00"))
    third = PassSpan(runs[1], opens + 7_200.0, opens + 9_000.0)
    short = PassSpan(runs[1], opens + 3_600.0, opens + 3_660.0)
    outing = time_outing(request(spans=(PassSpan(runs[0], opens, opens + 3_000.0), short, third)))
    assert outing.order == ()
    assert outing.missed == (1, 2, 3)
    assert len(outing.of_kind(StepKind.COUNT)) == 3


def test_that_a_point_without_a_road_is_missed_and_the_rest_is_counted() -> None:
    legs = line_legs(3, 2.0)
    legs[1, :], legs[:, 1] = np.inf, np.inf
    legs[1, 1] = 0.0
    outing = time_outing(request(legs=same(legs, estimated=True)))
    assert outing.order == (1, 3)
    assert outing.missed == (2,)
    assert {step.leg.source for step in outing.steps if step.leg} == {FigureSource.ROAD, FigureSource.ESTIMATE}


def test_that_no_road_no_light_and_no_time_are_said() -> None:
    with pytest.raises(ImpossibleError, match="no road leads from this home"):
        time_outing(request(out=same(np.full(3, np.inf))))
    dark = np.full(3, np.nan)
    with pytest.raises(ImpossibleError, match="no light window"):
        time_outing(request(spans=(PassSpan(ANY_TIME, dark, dark),)))
    with pytest.raises(ImpossibleError, match="no count of 5 minutes fits"):
        time_outing(request(window=3.0))


def test_that_a_request_without_points_or_work_is_refused() -> None:
    with pytest.raises(RuleError, match="has no points"):
        request(numbers=())
    with pytest.raises(RuleError, match="drives must be given"):
        request(numbers=(1, 2))
    with pytest.raises(RuleError, match="counts, sets up, or both"):
        time_outing(request(spans=()))


def test_that_a_planned_visit_is_timed_from_its_own_home_and_date() -> None:
    found = season(habitat=habitat_rule(), setup=setup_rule())
    visit = planned("R1/1", "V1", 3, reserve=5, setup=1)
    assert outing_for(found, visit, "V1").date == day(3)
    assert outing_for(found, visit, "V2", reserve=True).date == day(5)
    setup = setup_outing_for(found, visit, "V1")
    assert setup.date == day(1)
    assert setup.of_kind(StepKind.COUNT) == ()


def test_that_habitat_left_to_the_setup_day_is_not_done_again() -> None:
    found = season(habitat=habitat_rule(timing=HabitatTiming.SETUP_DAY_ONLY), setup=setup_rule())
    assert outing_for(found, planned("R1/2", "V1", 8), "V1").of_kind(StepKind.HABITAT) == ()


def test_that_a_wrong_visit_is_refused_in_words() -> None:
    found = season()
    with pytest.raises(RuleError, match="no reserve date"):
        outing_for(found, planned("R1/1", "V1", 3), "V1", reserve=True)
    with pytest.raises(RuleError, match="no set-up day"):
        setup_outing_for(found, planned("R1/1", "V1", 3), "V1")
    with pytest.raises(RuleError, match="no window 'noon'; it has dusk"):
        outing_for(found, replace(planned("R1/1", "V1", 3), window="noon"), "V1")


def test_that_a_date_without_a_window_says_why() -> None:
    light = {"R1": route_light((window_light("dusk", (pass_light(14, 3, "21:00", 120.0, without=[3]),)),))}
    found = problem(volunteers=[volunteer("V1")], light=light)
    with pytest.raises(ImpossibleError, match="the sun stays above"):
        outing_for(found, planned("R1/1", "V1", 3), "V1")


def test_that_windows_of_one_protocol_are_told_apart_by_name() -> None:
    found = season(windows=(dusk(), dawn()))
    outing = outing_for(found, replace(planned("R1/1", "V1", 3), window="dawn"), "V1")
    assert clock(outing.of_kind(StepKind.COUNT)[0].start_utc) == "02:20"


@pytest.mark.parametrize(
    ("points", "miles", "drive_km_h", "least", "most"),
    [
        # Fifty 3-minute stops 0.5 mile apart take 4 to 5 hours: North American Breeding Bird Survey, USGS instructions
        # (from memory) and coordinators' pages (about 4 h, about 5 h).
        (50, 0.5, 35.0, 240.0, 300.0),
        # Twenty 3-minute stops a mile apart take about 2 hours: USFWS Mourning Dove Call-count Survey.
        (20, 1.0, 45.0, 110.0, 130.0),
    ],
)
def test_that_a_run_takes_what_its_survey_publishes(
    points: int, miles: float, drive_km_h: float, least: float, most: float
) -> None:
    stop_overhead = 1.0
    leg = miles * 1.609344 / drive_km_h * 60 + stop_overhead
    outing = time_outing(request(points, leg, window=600.0, count_minutes=3.0, direction=Direction.FIXED))
    counts = outing.of_kind(StepKind.COUNT)
    assert len(counts) == points
    assert least <= (counts[-1].end_utc - counts[0].start_utc).total_seconds() / 60 <= most


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 6), st.integers(0, 9_999), st.sampled_from(Direction), st.sampled_from([0.0, 3.0]))
def test_that_every_outing_is_unbroken_and_keeps_light(
    points: int, seed: int, direction: Direction, habitat: float
) -> None:
    rng = np.random.default_rng(seed)
    legs = rng.integers(1, 12, size=(points, points)).astype(np.float64)
    np.fill_diagonal(legs, 0.0)
    opens = seconds(0, "21:00") + rng.integers(0, 90, size=points)
    closes = opens + 60.0 * rng.integers(6, 70)
    found = time_outing(
        request(
            points,
            legs=same(legs),
            out=same(rng.integers(5, 40, size=points)),
            back=same(rng.integers(5, 40, size=points)),
            direction=direction,
            habitat_minutes=habitat,
            spans=(PassSpan(ANY_TIME, opens.astype(np.float64), closes.astype(np.float64)),),
        )
    )
    assert_unbroken(found)
    assert sorted(found.order + found.missed) == list(range(1, points + 1))
    for step in found.of_kind(StepKind.COUNT):
        assert step.point is not None
        assert opens[step.point - 1] - 1e-3 <= step.start_utc.timestamp()
        assert step.end_utc.timestamp() <= closes[step.point - 1] + 2e-3
    if habitat:
        assert sorted(step.point or 0 for step in found.of_kind(StepKind.HABITAT)) == list(range(1, points + 1))
        assert found.of_kind(StepKind.HABITAT)[-1].end_utc.timestamp() <= seconds(0, "20:40") + 1e-3


def test_that_more_points_than_can_be_proven_still_have_a_habitat_round() -> None:
    outing = time_outing(request(17, habitat_minutes=4.0, window=300.0))
    assert len(outing.of_kind(StepKind.HABITAT)) == 17
    assert len(outing.order) == 17
    assert_unbroken(outing)
