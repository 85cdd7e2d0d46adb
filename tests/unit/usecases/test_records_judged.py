"""Each rule on the counts of a record: light, length, times, order.

Dusk runs from 21:00 to 23:00 UTC, counts last 5 minutes, points lie 2 minutes apart, homes 10 minutes away.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.domain.conditions import Condition, Seen, Share
from planner.domain.counting import CountRule, Direction, Segment
from planner.domain.disruption import PartlyDone, Remains
from planner.domain.finding import Rule, Severity
from planner.domain.plan import Plan
from planner.domain.weather import Quantity
from planner.domain.window import PassDirection, StartRule
from planner.scheduling import SeasonProblem
from planner.usecases.records import breaks, judge_record
from tests.unit.scheduling.seasons import (
    dawn,
    day,
    days,
    dusk,
    out_and_back,
    pass_light,
    protocol,
    route_light,
    window_light,
)
from tests.unit.usecases.record_seasons import (
    GOOD,
    PLAN,
    SMALL,
    VISIT,
    all_later,
    only,
    record_of,
    said,
    shifted,
    small,
    timed,
    utc,
    with_count,
)


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
    assert finding.todo == "Neither count stands until its times are mended: look at the sheet again."
    judged = judge_record(SMALL, PLAN, both)
    assert judged.points_that_count == (1, 4)
    assert judged.follows is not Remains.NOTHING


def test_that_two_counts_at_one_time_do_not_stand_though_others_are_written_between_them() -> None:
    first, last = GOOD.counts[0], GOOD.counts[3]
    both = with_count(GOOD, 3, replace(first, point=last.point))
    judged = judge_record(SMALL, PLAN, both)
    assert judged.points_that_count == (2, 3)
    told = [one.what for one in said(judged, Rule.RECORD_TIMES)]
    assert "The counts at point 1 and point 4 were going on at the same time." in told


def test_that_counts_that_touch_stand_and_so_do_those_where_only_the_arrival_is_too_early() -> None:
    ended = GOOD.counts[1].ended_utc
    assert ended is not None
    for arrived, told in ((ended, 0), (ended - dt.timedelta(minutes=3), 1)):
        length = dt.timedelta(minutes=5)
        close = replace(GOOD.counts[2], arrived_utc=arrived, began_utc=ended, ended_utc=ended + length)
        judged = judge_record(SMALL, PLAN, with_count(GOOD, 2, close))
        assert judged.points_that_count == (1, 2, 3, 4)
        assert len([one for one in said(judged, Rule.RECORD_TIMES) if one.severity is Severity.TROUBLE]) == told


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


@pytest.mark.parametrize("order", [(1, 2, 3, 4), (4, 3, 2, 1)])
@pytest.mark.parametrize("untimed", [1, 3, 4])
def test_that_a_count_without_times_stands_where_the_order_has_it(order: tuple[int, ...], untimed: int) -> None:
    done = [replace(one, point=point) for one, point in zip(GOOD.counts, order, strict=True)]
    known = [one for one in done if one.point != untimed]
    lost = [replace(one, arrived_utc=None, began_utc=None, ended_utc=None) for one in done if one.point == untimed]
    judged = judge_record(SMALL, PLAN, replace(GOOD, counts=(*known, *lost)))
    assert [one.rule for one in judged.findings] == [Rule.RECORD_TIMES], "its times are asked for, and no more"
    one, other, third = known
    swapped = (replace(one, point=other.point), replace(other, point=one.point), third)
    assert said(judge_record(SMALL, PLAN, replace(GOOD, counts=(*swapped, *lost))), Rule.RECORD_ORDER)


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


def test_that_a_count_of_which_only_the_end_is_known_began_its_length_before() -> None:
    half = with_count(GOOD, 0, replace(GOOD.counts[0], arrived_utc=None, began_utc=None, ended_utc=utc("21:02")))
    assert [one.what for one in said(judge_record(SMALL, PLAN, half), Rule.RECORD_WINDOW)] == [
        "The count at point 1 began at 20:57, 3 min before its light window opens at 21:00."
    ]


def test_that_where_the_times_do_not_tell_the_planned_window_is_taken() -> None:
    problem = small(protocol(direction=Direction.EITHER, windows=(dusk(), dawn())))
    bare = [replace(one, arrived_utc=None, began_utc=None, ended_utc=None) for one in GOOD.counts]
    for name in ("dusk", "dawn"):
        plan = Plan((replace(VISIT, window=name),))
        assert judge_record(problem, plan, replace(GOOD, counts=tuple(bare))).window == name


def test_that_the_second_pass_turns_whichever_way_the_first_one_went() -> None:
    problem = small(protocol(windows=(out_and_back(),), direction=Direction.EITHER))
    visit = replace(VISIT, window="night")
    record = record_of(problem, visit)
    turned = replace(record, counts=tuple(replace(one, point=5 - one.point) for one in record.counts), left_utc=None)
    for one in (record, turned):
        assert judge_record(problem, Plan((visit,)), one).findings == ()


def test_that_passes_follow_one_another() -> None:
    problem = small(protocol(windows=(out_and_back(),), direction=Direction.ANY))
    visit = replace(VISIT, window="night")
    record = record_of(problem, visit)
    mixed = replace(record, counts=(*record.counts[:3], record.counts[4], record.counts[3], *record.counts[5:]))
    bare = replace(
        mixed, counts=tuple(replace(one, arrived_utc=None, began_utc=None, ended_utc=None) for one in mixed.counts)
    )
    assert [one.what for one in said(judge_record(problem, Plan((visit,)), bare), Rule.RECORD_ORDER)] == [
        "A pass began before the one before it was over."
    ]


def test_that_no_slip_is_made_up_where_none_explains_it() -> None:
    judged = judge_record(SMALL, PLAN, all_later(GOOD, 300))
    assert {one.todo for one in said(judged, Rule.RECORD_WINDOW)} == {
        "Mend the times if they are wrong; else the point does not count."
    }


def test_that_a_pass_that_goes_forward_by_the_protocol_is_told_when_it_went_back() -> None:
    window = replace(dusk(), passes=(replace(dusk().passes[0], direction=PassDirection.FORWARD),))
    problem = small(protocol(direction=Direction.EITHER, windows=(window,)))
    turned = replace(GOOD, counts=tuple(replace(one, point=5 - one.point) for one in GOOD.counts))
    found = said(judge_record(problem, PLAN, turned), Rule.RECORD_ORDER)
    assert [one.what for one in found] == [
        "The points were counted in the order 4, 3, 2, 1; the protocol asks for the route's own order."
    ]
