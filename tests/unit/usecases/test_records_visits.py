"""Each rule on a record as a whole: weather, people, date, points, and what follows.

Dusk runs from 21:00 to 23:00 UTC, counts last 5 minutes, points lie 2 minutes apart, homes 10 minutes away.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.domain.conditions import Condition
from planner.domain.counting import Direction, OrderRule
from planner.domain.disruption import PartlyDone, Remains, VisitCancelled
from planner.domain.field.visit_record import RecordKey, RecordState, Stopped
from planner.domain.finding import Rule, Severity
from planner.domain.measures import Speed
from planner.domain.plan import Plan, Status
from planner.domain.protocol import PeopleRule, Protocol
from planner.domain.weather import LimitKind, Quantity, WeatherLimit
from planner.usecases.records import breaks, judge_record, record_findings
from tests.unit.scheduling.seasons import (
    day,
    out_and_back,
    planned,
    protocol,
    volunteer,
)
from tests.unit.usecases.record_seasons import (
    GOOD,
    PLAN,
    SMALL,
    VISIT,
    all_later,
    on,
    only,
    record_of,
    said,
    small,
)


def rules_with(**order: object) -> Protocol:
    return replace(protocol(direction=Direction.EITHER), order=OrderRule(Direction.EITHER, **order))  # type: ignore[arg-type]


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
    timeless = replace(GOOD, counts=())
    nowhere = replace(GOOD, key=replace(GOOD.key, route="R9"))
    assert not said(judge_record(SMALL, PLAN, other, (timeless, nowhere)), Rule.RECORD_TIMES), "nobody can tell"
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


def test_that_a_visit_done_and_recorded_says_nothing_more() -> None:
    done = Plan(tuple(replace(one, status=Status.DONE) for one in PLAN))
    assert judge_record(SMALL, done, GOOD).findings == ()


@pytest.mark.parametrize("finish_another_day", [False, True])
def test_that_an_evening_made_again_and_whole_asks_for_nothing_more(*, finish_another_day: bool) -> None:
    rules = replace(rules_with(finish_another_day=finish_another_day), weather=(WIND,))
    later = small(rules, today=day(8))
    windy = replace(GOOD, weather_first=(CALM,), weather_last=(WINDY,))
    again = replace(on(GOOD, 5), weather_first=(CALM,), weather_last=(CALM,))
    stands = Plan(tuple(replace(one, status=Status.DONE, date=day(5)) for one in PLAN))
    found = record_findings(later, stands, (windy, again))
    assert [one.rule for one in found if one.severity <= Severity.DOUBT] == (
        [Rule.RECORD_WEATHER] if finish_another_day else []
    ), "where evenings are put together, the first still counts"
    assert Rule.RECORD_WEATHER in {one.rule for one in record_findings(later, PLAN, (windy,))}


def test_that_a_record_of_today_is_not_of_a_date_to_come() -> None:
    assert judge_record(small(today=VISIT.date), PLAN, GOOD).findings == ()


def test_that_a_point_left_out_in_one_pass_is_named_with_that_pass() -> None:
    problem = small(protocol(windows=(out_and_back(),), direction=Direction.FIXED))
    visit = replace(VISIT, window="night")
    record = record_of(problem, visit)
    some = replace(record, counts=(*record.counts[:3], *record.counts[5:7]), stopped=Stopped.LIGHT)
    judged = judge_record(problem, Plan((visit,)), some)
    assert [one.what for one in said(judged, Rule.RECORD_POINTS)] == [
        "Not counted: point 4; point 1 in pass 2 (the light was gone)."
    ]
    assert judged.points_that_count == (2, 3)
