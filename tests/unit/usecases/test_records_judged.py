"""Each rule on a visit record, on small seasons whose light and drives are given by hand.

Dusk runs from 21:00 to 23:00 UTC, counts last 5 minutes, points lie 2 minutes apart, homes 10 minutes away.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.conditions import Condition, Seen, Share
from planner.domain.counting import CountRule, Direction, OrderRule, Segment
from planner.domain.disruption import PartlyDone, Remains, VisitCancelled
from planner.domain.field.visit_record import PointRecord, RecordKey, RecordState, Stopped, VisitRecord
from planner.domain.finding import Rule, Severity
from planner.domain.measures import Speed
from planner.domain.plan import Plan, PlannedVisit, Status
from planner.domain.protocol import PeopleRule, Protocol
from planner.domain.weather import LimitKind, Quantity, WeatherLimit
from planner.domain.window import StartRule
from planner.scheduling import SeasonProblem, outing_for
from planner.usecases.records import breaks, judge_record
from tests.unit.scheduling.seasons import (
    dawn,
    day,
    days,
    dusk,
    out_and_back,
    pass_light,
    planned,
    problem,
    protocol,
    route,
    route_light,
    volunteer,
    window_light,
)
from tests.unit.usecases.record_seasons import all_later, only, record_of, said, shifted, with_count

VISIT = planned("R1/1", "V1", 2, second="V2", reserve=4)
PLAN = Plan((VISIT, planned("R2/1", "V1", 3), planned("R1/2", "V2", 9)))


def small(rules: Protocol | None = None, **changes: object) -> SeasonProblem:
    given = {
        "rules": rules or protocol(direction=Direction.EITHER),
        "routes": (route("R1", 4), route("R2", 4)),
        "volunteers": (volunteer("V1"), volunteer("V2")),
        "today": day(3),
    }
    return problem(**{**given, **changes})  # type: ignore[arg-type]  # arguments by name


SMALL = small()
GOOD = replace(record_of(SMALL, VISIT), left_utc=None, home_utc=None)


def rules_with(**order: object) -> Protocol:
    return replace(protocol(direction=Direction.EITHER), order=OrderRule(Direction.EITHER, **order))  # type: ignore[arg-type]


def utc(clock: str, on: int = 2) -> dt.datetime:
    return dt.datetime.combine(day(on), dt.time.fromisoformat(clock), tzinfo=dt.UTC)


def test_that_a_record_that_keeps_to_the_plan_leaves_nothing_to_do() -> None:
    judged = judge_record(SMALL, PLAN, GOOD)
    assert judged.findings == ()
    assert (judged.follows, judged.points_that_count, judged.left) == (Remains.NOTHING, (1, 2, 3, 4), ())
    assert (judged.window, breaks(judged)) == ("dusk", None)


def test_that_a_count_that_ends_after_its_window_does_not_stand_and_one_on_the_minute_does() -> None:
    late = with_count(GOOD, 3, replace(GOOD.counts[3], began_utc=utc("22:56"), ended_utc=utc("23:01")))
    finding = only(SMALL, PLAN, late, Rule.RECORD_WINDOW, Severity.TROUBLE)
    assert finding.subject.point == 4
    assert finding.what == "The count at point 4 ended at 23:01, 1 min after its light window closes at 23:00."
    judged = judge_record(SMALL, PLAN, late)
    assert (judged.follows, judged.points_that_count, judged.left) == (Remains.WHOLE, (1, 2, 3), (1, 2, 3, 4))
    assert breaks(judged) == PartlyDone(VISIT.key, 3)
    just = with_count(GOOD, 3, replace(GOOD.counts[3], began_utc=utc("22:55"), ended_utc=utc("23:00:50")))
    assert judge_record(SMALL, PLAN, just).findings == ()


def test_that_a_count_before_the_window_does_not_stand() -> None:
    early = with_count(GOOD, 0, replace(GOOD.counts[0], arrived_utc=utc("20:48"), began_utc=utc("20:48")))
    finding = only(SMALL, PLAN, early, Rule.RECORD_WINDOW, Severity.TROUBLE)
    assert finding.what == "The count at point 1 began at 20:48, 12 min before its light window opens at 21:00."


def test_that_each_point_has_a_window_of_its_own() -> None:
    own = pass_light(14, 4, "21:00", 120.0)
    own.close_utc[2, 3] -= 70 * 60.0
    problem = small(light={"R1": route_light((window_light("dusk", (own,)),))})
    late = with_count(GOOD, 3, replace(GOOD.counts[3], began_utc=utc("21:50"), ended_utc=utc("21:55")))
    finding = only(problem, PLAN, late, Rule.RECORD_WINDOW, Severity.TROUBLE)
    assert (finding.subject.point, "closes at 21:50" in finding.what) == (4, True)
    assert judge_record(SMALL, PLAN, late).findings == ()


def test_that_times_of_another_hour_are_pointed_out_as_one_slip() -> None:
    slipped = all_later(GOOD, -60)
    judged = judge_record(SMALL, PLAN, slipped)
    assert len(said(judged, Rule.RECORD_WINDOW)) == 4
    assert all("if the times were 1 hour later." in one.todo for one in said(judged, Rule.RECORD_WINDOW))
    assert breaks(judged) == PartlyDone(VISIT.key, 0)


def test_that_the_night_on_which_clocks_change_is_named() -> None:
    night = 151
    autumn = small(length=170, visits=(days(0, 160), days(161, 169)), today=None)
    autumn = replace(autumn, season=replace(autumn.season, zone="Europe/London"))
    visit = replace(VISIT, date=day(night), reserve=None)
    assert visit.date == dt.date(2027, 10, 30), "clocks go back at 01:00 UTC of the next day"
    slipped = all_later(replace(record_of(autumn, visit), home_utc=None), -60)
    found = said(judge_record(autumn, Plan((visit,)), slipped), Rule.RECORD_WINDOW)
    assert found[0].todo.endswith("if the times were 1 hour later: the clocks change on this night.")


def test_that_a_count_too_short_does_not_stand_and_a_minute_is_enough_to_tell() -> None:
    for ended, wrong in (("20", False), ("10", False), ("00", True)):
        short = with_count(GOOD, 1, replace(GOOD.counts[1], began_utc=utc("21:10"), ended_utc=utc(f"21:14:{ended}")))
        judged = judge_record(SMALL, PLAN, short)
        assert [one.rule for one in judged.findings if one.rule is Rule.RECORD_SHORT] == [Rule.RECORD_SHORT] * wrong
        assert (2 in judged.points_that_count) is not wrong


def test_that_settling_too_briefly_is_a_doubt_and_costs_no_point() -> None:
    rules = replace(protocol(direction=Direction.EITHER), count=CountRule((Segment("listen", 5.0),), settle_minutes=2))
    problem = small(rules)
    record = record_of(problem, VISIT)
    assert judge_record(problem, PLAN, record).findings == ()
    hasty = with_count(record, 2, replace(record.counts[2], arrived_utc=record.counts[2].began_utc))
    finding = only(problem, PLAN, hasty, Rule.RECORD_SHORT, Severity.DOUBT)
    assert "settle for 2 min" in finding.what
    assert judge_record(problem, PLAN, hasty).follows is Remains.NOTHING


def test_that_a_count_that_ends_before_it_begins_does_not_stand() -> None:
    count = GOOD.counts[1]
    back = with_count(GOOD, 1, replace(count, began_utc=count.ended_utc, ended_utc=count.began_utc))
    finding = only(SMALL, PLAN, back, Rule.RECORD_TIMES, Severity.TROUBLE)
    assert finding.what == "The times at point 2 run backwards: arrived 21:07, began 21:12, ended 21:07."
    assert judge_record(SMALL, PLAN, back).points_that_count == (1, 3, 4)


def test_that_two_counts_at_one_time_are_told() -> None:
    both = with_count(GOOD, 2, timed(GOOD.counts[2], "21:10", "21:10", "21:16"))
    finding = only(SMALL, PLAN, both, Rule.RECORD_TIMES, Severity.TROUBLE)
    assert finding.what == "The team was at point 3 at 21:10, before the count at point 2 ended at 21:12."


def timed(count: PointRecord, arrived: str, began: str, ended: str) -> PointRecord:
    return replace(count, arrived_utc=utc(arrived), began_utc=utc(began), ended_utc=utc(ended))


def test_that_a_drive_in_less_than_half_of_the_least_minutes_is_doubted() -> None:
    far = small(leg_minutes=12.0)
    record = record_of(far, VISIT)
    assert judge_record(far, PLAN, record).findings == ()
    counts = tuple(shifted(one, -9.0 * number) for number, one in enumerate(record.counts))
    found = said(judge_record(far, PLAN, replace(record, counts=counts)), Rule.RECORD_TIMES)
    assert [(one.severity, one.subject.point) for one in found] == [(Severity.DOUBT, point) for point in (2, 3, 4)]
    assert found[0].what == "From point 1 to point 2 in 3 min: at best it takes 12."


def test_that_a_drive_from_home_quicker_than_possible_is_doubted() -> None:
    finding = only(SMALL, PLAN, replace(GOOD, left_utc=utc("20:57")), Rule.RECORD_TIMES, Severity.DOUBT)
    assert "at best the drive takes 10 min" in finding.what


def test_that_home_before_the_last_count_and_leaving_after_the_first_are_told() -> None:
    only(SMALL, PLAN, replace(GOOD, home_utc=utc("21:20")), Rule.RECORD_TIMES, Severity.TROUBLE)
    found = said(judge_record(SMALL, PLAN, replace(GOOD, left_utc=utc("21:20"))), Rule.RECORD_TIMES)
    assert any("after the first count began" in one.what for one in found)


def test_that_counts_without_times_stand_and_are_asked_for_in_one_finding() -> None:
    bare = replace(
        GOOD, counts=tuple(replace(one, arrived_utc=None, began_utc=None, ended_utc=None) for one in GOOD.counts)
    )
    finding = only(SMALL, PLAN, bare, Rule.RECORD_TIMES, Severity.DOUBT)
    assert "points 1, 2, 3 and 4" in finding.what
    assert judge_record(SMALL, PLAN, bare).follows is Remains.NOTHING


def test_that_half_of_the_times_is_judged_by_the_count_s_length() -> None:
    half = with_count(GOOD, 3, replace(GOOD.counts[3], arrived_utc=None, began_utc=utc("22:58"), ended_utc=None))
    judged = judge_record(SMALL, PLAN, half)
    assert [one.what for one in said(judged, Rule.RECORD_WINDOW)] == [
        "The count at point 4 ended at 23:03, 3 min after its light window closes at 23:00."
    ]
    assert [one.severity for one in said(judged, Rule.RECORD_TIMES)] == [Severity.DOUBT]


@pytest.mark.parametrize(
    ("direction", "order", "wrong"),
    [
        (Direction.FIXED, (1, 2, 3, 4), False),
        (Direction.FIXED, (4, 3, 2, 1), True),
        (Direction.EITHER, (4, 3, 2, 1), False),
        (Direction.EITHER, (1, 3, 2, 4), True),
        (Direction.ANY, (3, 1, 4, 2), False),
    ],
)
def test_that_the_order_is_the_protocol_s(direction: Direction, order: tuple[int, ...], wrong: bool) -> None:
    problem = small(protocol(direction=direction))
    record = replace(GOOD, counts=tuple(replace(one, point=p) for one, p in zip(GOOD.counts, order, strict=True)))
    roomy = replace(
        record, counts=tuple(shifted(one, 6.0 * number) for number, one in enumerate(record.counts)), home_utc=None
    )
    found = said(judge_record(problem, PLAN, roomy), Rule.RECORD_ORDER)
    assert [one.severity for one in found] == [Severity.TROUBLE] * wrong
    assert not wrong or f"in the order {', '.join(map(str, order))};" in found[0].what


def test_that_a_sheet_that_lists_its_points_against_their_times_is_read_by_the_times() -> None:
    listed = replace(GOOD, counts=GOOD.counts[::-1])
    assert judge_record(SMALL, PLAN, listed).findings == ()


def test_that_one_slip_in_a_time_is_told_as_one_and_not_as_a_wrong_order() -> None:
    slip = with_count(GOOD, 2, timed(GOOD.counts[2], "20:14", "20:14", "20:19"))
    judged = judge_record(SMALL, PLAN, slip)
    assert not said(judged, Rule.RECORD_ORDER)
    assert [one.subject.point for one in said(judged, Rule.RECORD_TIMES)] == [3]


def test_that_a_reverse_pass_goes_back_along_the_first_and_each_pass_has_its_window() -> None:
    rules = protocol(windows=(out_and_back(),), direction=Direction.FIXED)
    problem = small(rules)
    visit = replace(VISIT, window="night")
    plan = Plan((visit,))
    record = record_of(problem, visit)
    assert judge_record(problem, plan, record).findings == ()
    assert [one.point for one in record.counts] == [1, 2, 3, 4, 4, 3, 2, 1]
    turned = [replace(one, point=5 - one.point) if one.pass_number == 2 else one for one in record.counts]
    turned = [*turned[:4], *(shifted(one, 10) for one in turned[4:])]
    found = said(judge_record(problem, plan, replace(record, counts=tuple(turned), home_utc=None)), Rule.RECORD_ORDER)
    assert "The points of pass 2 were counted in the order 1, 2, 3, 4" in found[0].what
    second_early = with_count(record, 4, shifted(record.counts[4], -15))
    judged = judge_record(problem, plan, second_early)
    assert any("point 4, pass 2" in one.what and "opens at 22:00" in one.what for one in judged.findings)
    assert judged.points_that_count == (1, 2, 3)


def test_that_a_third_pass_and_a_point_of_another_route_are_told() -> None:
    other = with_count(GOOD, 3, replace(GOOD.counts[3], point=14))
    judged = judge_record(SMALL, PLAN, other)
    assert said(judged, Rule.RECORD_POINTS)[0].what == "Route R1 has no point 14."
    assert judged.points_that_count == (1, 2, 3)
    third = with_count(GOOD, 3, replace(GOOD.counts[3], pass_number=3))
    assert said(judge_record(SMALL, PLAN, third), Rule.RECORD_POINTS)[0].severity is Severity.TROUBLE


def test_that_an_exact_start_missed_is_told_and_the_counts_stand() -> None:
    problem = small(protocol(direction=Direction.FIXED, windows=(dusk(StartRule.EXACTLY, within=60.0),)))
    record = record_of(problem, VISIT)
    assert judge_record(problem, PLAN, record).findings == ()
    late = all_later(record, 5)
    finding = only(problem, PLAN, late, Rule.RECORD_WINDOW, Severity.TROUBLE)
    assert finding.what.startswith("The first count began 5 min after the opening at 21:00")
    assert judge_record(problem, PLAN, late).follows is Remains.NOTHING
    long = with_count(record, 3, timed(record.counts[3], "21:56", "21:57", "22:02"))
    finding = only(problem, PLAN, replace(long, home_utc=None), Rule.RECORD_WINDOW, Severity.TROUBLE)
    assert "closes at 22:00" in finding.what, "60 minutes from its start"


def test_that_of_two_windows_the_one_is_taken_that_the_counts_lie_in() -> None:
    rules = protocol(direction=Direction.EITHER, windows=(dusk(), dawn()))
    problem = small(rules)
    at_dawn = record_of(problem, replace(VISIT, window="dawn"))
    judged = judge_record(problem, PLAN, at_dawn)
    assert (judged.window, judged.follows) == ("dawn", Remains.NOTHING)


def test_that_a_date_without_a_window_says_why_once() -> None:
    dark = small(light={"R1": route_light((window_light("dusk", (pass_light(14, 4, "21:00", 120.0, without=[2]),)),))})
    judged = judge_record(dark, PLAN, GOOD)
    assert [one.what for one in said(judged, Rule.RECORD_WINDOW)] == [
        "The date has no dusk window: the sun stays above."
    ]
    assert judged.points_that_count == ()


WIND = WeatherLimit(Quantity.WIND, LimitKind.BAR, at_most=Speed(20, "km/h"))
WINDY, CALM = Condition(Quantity.WIND, Speed(31, "km/h")), Condition(Quantity.WIND, Speed(5, "km/h"))


@pytest.mark.parametrize(
    ("first", "last", "counting"),
    [
        (CALM, CALM, (1, 2, 3, 4)),
        (WINDY, CALM, (2, 3, 4)),
        (CALM, WINDY, (1, 2, 3)),
        (WINDY, WINDY, ()),
    ],
)
def test_that_counts_in_barred_weather_do_not_stand(
    first: Condition, last: Condition, counting: tuple[int, ...]
) -> None:
    problem = small(replace(protocol(direction=Direction.EITHER), weather=(WIND,)))
    judged = judge_record(problem, PLAN, replace(GOOD, weather_first=(first,), weather_last=(last,)))
    assert judged.points_that_count == counting
    passed = [one for one in said(judged, Rule.RECORD_WEATHER) if one.severity is Severity.TROUBLE]
    assert len(passed) == [first, last].count(WINDY)


def test_that_weather_not_written_down_is_a_note_and_costs_nothing() -> None:
    problem = small(replace(protocol(direction=Direction.EITHER), weather=(WIND,)))
    judged = judge_record(problem, PLAN, GOOD)
    assert {one.severity for one in judged.findings} == {Severity.NOTE}
    assert judged.follows is Remains.NOTHING


def overcast_season() -> SeasonProblem:
    rules = protocol(direction=Direction.FIXED)
    light = window_light("dusk", (pass_light(14, 4, "21:00", 60.0),), (pass_light(14, 4, "20:45", 60.0),))
    window = replace(
        dusk(), passes=(replace(dusk().passes[0], open=replace(dusk().passes[0].open, overcast_offset_minutes=5)),)
    )
    return small(replace(rules, windows=(window,)), light={"R1": route_light((light,))})


@pytest.mark.parametrize(
    ("cloud", "wrong"),
    [
        (Condition(Quantity.CLOUD, Share(80, "%")), None),
        (Condition(Quantity.CLOUD, Share(75, "%")), Severity.TROUBLE),
        (Condition(Quantity.CLOUD, seen=Seen.NONE), Severity.TROUBLE),
        (None, Severity.DOUBT),
    ],
)
def test_that_the_cloud_at_the_first_count_decides_on_the_window(
    cloud: Condition | None, wrong: Severity | None
) -> None:
    season = overcast_season()
    record = record_of(season, VISIT, overcast=True, weather=(cloud,) if cloud else ())
    assert record.counts[0].began_utc == utc("20:45")
    found = said(judge_record(season, PLAN, record), Rule.RECORD_WINDOW)
    assert {one.severity for one in found} == ({wrong} if wrong is not None else set())
    assert len(found) == {None: 0, Severity.DOUBT: 1, Severity.TROUBLE: 3}[wrong]


def test_that_strangers_too_few_and_untrained_leads_are_told() -> None:
    rules = replace(
        protocol(direction=Direction.EITHER), people=PeopleRule(fewest=2, preferred=2, lead_training=("calls",))
    )
    problem = small(rules, volunteers=(volunteer("V1", training=frozenset({"calls"})), volunteer("V2")))
    assert judge_record(problem, PLAN, GOOD).findings == ()
    alone = replace(GOOD, team=("V1",))
    assert [(one.rule, one.severity) for one in judge_record(problem, PLAN, alone).findings] == [
        (Rule.RECORD_PEOPLE, Severity.TROUBLE),
        (Rule.RECORD_PEOPLE, Severity.NOTE),
    ]
    turned = only(problem, PLAN, replace(GOOD, team=("V2", "V1")), Rule.RECORD_PEOPLE, Severity.TROUBLE)
    assert turned.what == "V2 led without the training calls."
    strange = only(problem, PLAN, replace(GOOD, team=("V1", "V9")), Rule.RECORD_PEOPLE, Severity.TROUBLE)
    assert (strange.subject.volunteer, strange.what) == ("V9", "The season has no volunteer 'V9'.")
    only(problem, PLAN, replace(GOOD, team=()), Rule.RECORD_PEOPLE, Severity.DOUBT)


def on(record: VisitRecord, number: int) -> VisitRecord:
    """The record on another day."""
    moved = all_later(record, 1440.0 * (number - 2))
    return replace(moved, key=replace(record.key, date=day(number)))


def test_that_the_reserve_date_is_fine_and_another_is_doubted() -> None:
    later = small(today=day(8))
    note = only(later, PLAN, on(GOOD, 4), Rule.RECORD_UNPLANNED, Severity.NOTE)
    assert note.what == "Done on the reserve date; it was planned for Thu 3 Jun."
    only(later, PLAN, on(GOOD, 5), Rule.RECORD_UNPLANNED, Severity.DOUBT)
    assert judge_record(later, PLAN, on(GOOD, 5)).follows is Remains.NOTHING


def test_that_a_date_outside_the_visit_s_range_is_trouble() -> None:
    found = said(judge_record(small(today=day(12)), PLAN, on(GOOD, 8)), Rule.RECORD_UNPLANNED)
    assert found[0].severity is Severity.TROUBLE
    assert found[0].what == "Visit 1 runs from Tue 1 Jun to Mon 7 Jun."


def test_that_a_record_outside_the_season_or_to_come_is_judged_without_light() -> None:
    outside = judge_record(small(today=day(60)), PLAN, on(GOOD, 40))
    assert (outside.points_that_count, outside.window) == ((), "")
    ahead = judge_record(SMALL, PLAN, on(GOOD, 4))
    assert not ahead.known
    assert breaks(ahead) is None


def test_that_an_unknown_route_or_visit_is_said_and_nothing_follows() -> None:
    for key in (RecordKey("R9", 1, day(2)), RecordKey("R1", 7, day(2))):
        judged = judge_record(SMALL, PLAN, replace(GOOD, key=key))
        assert [(one.rule, one.severity) for one in judged.findings] == [(Rule.RECORD_UNPLANNED, Severity.TROUBLE)]
        assert (judged.known, breaks(judged)) == (False, None)


def test_that_a_visit_never_planned_is_doubted_and_judged_all_the_same() -> None:
    finding = only(SMALL, Plan(), GOOD, Rule.RECORD_UNPLANNED, Severity.DOUBT)
    assert finding.what == "The visit was never planned."
    short = replace(GOOD, counts=GOOD.counts[:2], stopped=Stopped.LIGHT)
    assert breaks(judge_record(SMALL, Plan(), short)) is None, "nothing planned breaks"


def test_that_one_person_on_two_routes_at_one_time_is_told_on_the_later_record() -> None:
    other = record_of(SMALL, planned("R2/1", "V1", 2))
    found = said(judge_record(SMALL, PLAN, other, (GOOD,)), Rule.RECORD_TIMES)
    assert [(one.subject.volunteer, one.subject.route) for one in found] == [("V1", "R2")]
    apart = all_later(other, 90)
    assert not said(judge_record(SMALL, PLAN, apart, (GOOD,)), Rule.RECORD_TIMES)


def test_that_points_left_out_name_the_reason_and_ask_for_one() -> None:
    some = replace(GOOD, counts=(*GOOD.counts[:2], replace(GOOD.counts[2], done=False)))
    told = said(judge_record(SMALL, PLAN, some), Rule.RECORD_POINTS)
    assert [(one.severity, one.what) for one in told] == [
        (Severity.DOUBT, "Not counted: points 3 and 4, and no reason is given.")
    ]
    told = said(judge_record(SMALL, PLAN, replace(some, stopped=Stopped.ROAD)), Rule.RECORD_POINTS)
    assert [one.what for one in told] == ["Not counted: points 3 and 4 (the road was closed)."]


@pytest.mark.parametrize(
    ("order", "follows", "left"),
    [
        ({}, Remains.WHOLE, (1, 2, 3, 4)),
        ({"least_points": 3}, Remains.WHOLE, (1, 2, 3, 4)),
        ({"least_points": 2}, Remains.NOTHING, ()),
        ({"finish_another_day": True}, Remains.REST, (3, 4)),
        ({"finish_another_day": True, "least_points": 3}, Remains.WHOLE, (1, 2, 3, 4)),
    ],
)
def test_that_what_follows_is_what_the_protocol_says(
    order: dict[str, object], follows: Remains, left: tuple[int, ...]
) -> None:
    judged = judge_record(small(rules_with(**order)), PLAN, replace(GOOD, counts=GOOD.counts[:2]))
    assert (judged.follows, judged.left) == (follows, left)
    wanted = None if follows is Remains.NOTHING else PartlyDone(VISIT.key, 2)
    assert breaks(judged) == wanted
    assert bool(said(judged, Rule.RECORD_FOLLOWS)) is (wanted is not None)


def test_that_two_evenings_are_put_together_where_a_route_may_be_finished_on_another_day() -> None:
    later = small(rules_with(finish_another_day=True), today=day(8))
    first, second = replace(GOOD, counts=GOOD.counts[:2]), replace(on(GOOD, 5), counts=on(GOOD, 5).counts[2:])
    judged = judge_record(later, PLAN, second, (first,))
    assert (judged.follows, judged.points_that_count) == (Remains.NOTHING, (1, 2, 3, 4))
    assert not said(judged, Rule.RECORD_POINTS), "the points of the first evening are not missing"
    alone = judge_record(small(today=day(8)), PLAN, second, (first,))
    assert (alone.follows, alone.points_that_count) == (Remains.WHOLE, (1, 2)), "not where the protocol is silent"


def test_that_a_visit_that_has_its_new_date_already_breaks_nothing_more() -> None:
    partly = replace(GOOD, counts=GOOD.counts[:2], stopped=Stopped.WEATHER)
    moved = PLAN.with_visit(replace(VISIT, date=day(6), reserve=None))
    judged = judge_record(SMALL, moved, partly)
    assert breaks(judged) is None
    assert [(one.rule, one.severity) for one in judged.findings] == [
        (Rule.RECORD_POINTS, Severity.NOTE),
        (Rule.RECORD_FOLLOWS, Severity.NOTE),
    ]


def test_that_a_weather_stop_before_the_first_count_is_a_cancelled_visit_until_its_date_is_past() -> None:
    none = replace(GOOD, counts=(), stopped=Stopped.WEATHER)
    assert breaks(judge_record(small(today=day(2)), PLAN, none)) == VisitCancelled(VISIT.key)
    assert breaks(judge_record(small(today=day(3)), PLAN, none)) == PartlyDone(VISIT.key, 0)


def test_that_a_draft_of_another_evening_does_not_count() -> None:
    later = small(rules_with(finish_another_day=True), today=day(8))
    draft = replace(GOOD, counts=GOOD.counts[:2], state=RecordState.DRAFT)
    rest = replace(on(GOOD, 5), counts=on(GOOD, 5).counts[2:])
    assert judge_record(later, PLAN, rest, (draft,)).follows is Remains.REST


@st.composite
def seasons(draw: st.DrawFn) -> tuple[SeasonProblem, PlannedVisit]:
    """Small seasons of every shape of window, order and settling, with one planned visit."""
    window = draw(
        st.sampled_from((dusk(), dusk(StartRule.EXACTLY), dusk(StartRule.EXACTLY, within=90.0), out_and_back()))
    )
    rules = protocol(windows=(window,), direction=draw(st.sampled_from(Direction)))
    settle = draw(st.sampled_from((0.0, 1.0, 2.5)))
    count = CountRule((Segment("listen", draw(st.sampled_from((2.0, 3.0, 5.0)))),), settle_minutes=settle)
    points, legs = draw(st.integers(1, 4)), draw(st.floats(0.5, 6.0))
    found = small(replace(rules, count=count), routes=(route("R1", points), route("R2", 1)), leg_minutes=legs)
    return found, replace(VISIT, window=window.name)


@settings(max_examples=80, deadline=None)
@given(seasons())
def test_that_a_record_made_from_the_plan_s_own_timetable_never_has_a_finding(
    made: tuple[SeasonProblem, PlannedVisit],
) -> None:
    season, visit = made
    if outing_for(season, visit, visit.lead).missed:
        return
    judged = judge_record(season, Plan((visit,)), record_of(season, visit))
    assert judged.findings == ()
    assert judged.follows is Remains.NOTHING


@settings(max_examples=80, deadline=None)
@given(seasons())
def test_that_the_last_count_later_by_the_margin_and_a_minute_always_has_a_finding(
    made: tuple[SeasonProblem, PlannedVisit],
) -> None:
    season, visit = made
    outing = outing_for(season, visit, visit.lead)
    assert outing.margin_minutes is not None
    record = record_of(season, visit)
    ends = _margin_of_last_pass(season, record)
    late = with_count(record, len(record.counts) - 1, shifted(record.counts[-1], ends + 1.0))
    judged = judge_record(season, Plan((visit,)), replace(late, home_utc=None))
    last = record.counts[-1]
    assert any(one.subject.point == last.point for one in said(judged, Rule.RECORD_WINDOW))
    alone = len([one for one in record.counts if one.pass_number == last.pass_number]) == 1
    if not (alone and season.season.protocol.windows[0].passes[-1].within_minutes is not None):
        # A pass of one count takes its start along, so the minutes from its start still hold.
        assert last.point not in judged.points_that_count


def _margin_of_last_pass(season: SeasonProblem, record: VisitRecord) -> float:
    """Minutes from the end of the last count to the closing of its pass, worked out from the rule and the light."""
    window = season.season.protocol.windows[0]
    last, light = record.counts[-1], season.light["R1"].windows[0].passes[-1]
    assert last.ended_utc is not None
    closes = dt.datetime.fromtimestamp(float(light.close_utc[2, last.point - 1]), dt.UTC)
    within = window.passes[-1].within_minutes
    if within is not None:
        settle = season.season.protocol.count.settle_minutes
        began = min(one.began_utc for one in record.counts if one.began_utc is not None)
        closes = min(closes, began + dt.timedelta(minutes=within - settle))
    return (closes - last.ended_utc).total_seconds() / 60


def test_that_a_visit_done_and_recorded_says_nothing_more() -> None:
    done = Plan(tuple(replace(one, status=Status.DONE) for one in PLAN))
    assert judge_record(SMALL, done, GOOD).findings == ()
