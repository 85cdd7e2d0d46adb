"""Repairs of small seasons whose answer can be worked out by hand."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.domain.calendar import DateRange
from planner.domain.counting import Direction, OrderRule
from planner.domain.disruption import (
    Disruption,
    EveningCancelled,
    PartlyDone,
    Remains,
    RoadClosed,
    VisitCancelled,
    VisitsCancelled,
    VolunteerLeaves,
    remains,
)
from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.plan import Plan, Status, VisitKey
from planner.domain.protocol import PeopleRule
from planner.scheduling import SeasonProblem, repair
from planner.scheduling.repair.breakage import breakage_of
from planner.scheduling.repair.repairing import RINGS
from planner.scheduling.repair.ring import ring_routes
from tests.unit.scheduling.random_seasons import busy_season, first_plan
from tests.unit.scheduling.seasons import day, days, fixed, planned, problem, protocol, route, setup_rule, volunteer

ONE_VISIT = (days(0, 6),)
R1 = VisitKey("R1", 1)


def one_route(*volunteers: object, **changes: object) -> SeasonProblem:
    return problem(visits=ONE_VISIT, length=7, volunteers=volunteers, **changes)  # type: ignore[arg-type]  # fields by name


def test_that_the_first_way_is_the_reserve_date_with_the_same_people_and_a_new_reserve() -> None:
    season = one_route(volunteer("A", [0, 2, 4]), volunteer("B", [1, 2, 3]))
    ways = repair(season, Plan((planned("R1/1", "A", 0, reserve=2),)), VisitCancelled(R1))
    assert ways[0].plan.visits == (planned("R1/1", "A", 2, reserve=4),)
    assert ways[0].papers == ("A",)
    assert ways[0].drive_change_minutes == 0.0
    assert {(way.plan.visits[0].lead, way.plan.visits[0].date) for way in ways} == {
        ("A", day(2)),
        ("A", day(4)),
        ("B", day(1)),
    }


def test_that_who_is_free_takes_over_where_the_same_people_cannot() -> None:
    season = one_route(volunteer("A", [0]), volunteer("B", [3, 5]), volunteer("C", [3]))
    ways = repair(season, Plan((planned("R1/1", "A", 0),)), VisitCancelled(R1))
    assert ways[0].plan.visits == (planned("R1/1", "B", 3, reserve=5),)
    assert ways[0].papers == ("A", "B")


def test_that_where_nobody_can_it_says_why_and_what_would_help() -> None:
    season = one_route(volunteer("A", [0]))
    (way,) = repair(season, Plan((planned("R1/1", "A", 0),)), VisitCancelled(R1))
    assert not way.full
    assert (way.filled_before, way.filled_after) == (1, 0)
    assert [item.key for item in way.unfilled] == [R1]
    assert way.unfilled[0].reasons
    assert way.unfilled[0].relaxations
    assert not [item for item in way.unfilled[0].relaxations if "1 Jun" in item.what]


def two_routes() -> tuple[SeasonProblem, Plan]:
    """Only B could take over R1, and is on R2 that day; R2 could be on another."""
    season = problem(
        visits=ONE_VISIT,
        length=7,
        routes=(route("R1"), route("R2")),
        volunteers=(volunteer("A", [1]), volunteer("B", [1, 4])),
        homes={"R1": [10.0, 10.0], "R2": [100.0, 10.0]},
        light=None,
    )
    return season, Plan((planned("R1/1", "A", 1), planned("R2/1", "B", 4)))


def test_that_another_visit_moves_where_only_that_helps() -> None:
    season, plan = two_routes()
    shut = RoadClosed("R1", DateRange(day(0), day(3)))
    way = repair(season, plan, shut)[0]
    assert [(v.key.route, v.lead, v.date) for v in way.plan] == [("R1", "B", day(4)), ("R2", "B", day(1))]
    assert way.papers == ("A", "B")
    assert [move.key for move in way.moves] == [R1, VisitKey("R2", 1)]


@pytest.mark.parametrize("pinned", [True, False])
def test_that_what_is_confirmed_or_pinned_stays(*, pinned: bool) -> None:
    season, plan = two_routes()
    stands = plan.by_key[VisitKey("R2", 1)]
    plan = plan.with_visit(replace(stands, pinned=True) if pinned else fixed(stands))
    (way,) = repair(season, plan, RoadClosed("R1", DateRange(day(0), day(3))))
    assert not way.full
    assert way.plan.by_key[VisitKey("R2", 1)] == plan.by_key[VisitKey("R2", 1)]


def test_that_nothing_outside_the_ring_moves() -> None:
    season = busy_season(3, 16, 22)
    plan = Plan(tuple(visit for visit in first_plan(season, Plan())))
    for visit in plan.visits[::10]:
        lost = VisitCancelled(visit.key)
        ring = ring_routes(breakage_of(season, plan, lost), plan, RINGS[0])
        for way in repair(season, plan, lost):
            outside = [one for one in plan if one.key.route not in ring]
            assert len(outside) > 0
            assert all(way.plan.by_key[one.key] == one for one in outside)
            touched = {code for move in way.moves for code in move.people}
            assert set(way.papers) == touched


def test_that_a_reserve_date_on_a_lost_evening_is_replaced_and_the_visit_stays() -> None:
    season = one_route(volunteer("A", [0, 2, 4]))
    plan = Plan((fixed(planned("R1/1", "A", 0, reserve=2)),))
    (way,) = repair(season, plan, EveningCancelled(day(2)))
    assert way.plan.visits == (fixed(planned("R1/1", "A", 0, reserve=4)),)


def test_that_who_drops_out_keeps_what_comes_before() -> None:
    season = problem(length=14, volunteers=(volunteer("A"), volunteer("B")))
    plan = Plan((planned("R1/1", "A", 0, reserve=1), planned("R1/2", "A", 8, reserve=9)))
    way = repair(season, plan, VolunteerLeaves("A", day(5)))[0]
    assert way.plan.by_key[R1] == plan.by_key[R1]
    assert way.plan.by_key[VisitKey("R1", 2)].lead == "B"


def test_that_a_set_up_that_is_done_is_not_done_again() -> None:
    season = one_route(
        volunteer("A", [1, 3, 4, 5]), rules=protocol(visits=1, setup=setup_rule(6)), today=day(3), leg_minutes=2.0
    )
    plan = Plan((planned("R1/1", "A", 3, reserve=4, setup=1),))
    assert repair(season, plan, VisitCancelled(R1))[0].plan.visits == (planned("R1/1", "A", 4, reserve=5, setup=1),)


def test_that_a_second_whom_the_protocol_only_prefers_goes_along() -> None:
    season = one_route(
        volunteer("A", [0, 2]), volunteer("B", [0, 2]), rules=protocol(visits=1, people=PeopleRule(preferred=2))
    )
    ways = repair(season, Plan((planned("R1/1", "A", 0, second="B", reserve=2),)), VisitCancelled(R1))
    assert ways[0].plan.visits == (planned("R1/1", "A", 2, second="B"),)


@pytest.mark.parametrize(
    ("rule", "points", "left"),
    [
        (OrderRule(Direction.ANY), 7, Remains.WHOLE),
        (OrderRule(Direction.ANY, finish_another_day=True), 7, Remains.REST),
        (OrderRule(Direction.ANY, finish_another_day=True), 0, Remains.WHOLE),
        (OrderRule(Direction.ANY, finish_another_day=True, least_points=5), 4, Remains.WHOLE),
        (OrderRule(Direction.ANY, finish_another_day=True, least_points=5), 5, Remains.REST),
        (OrderRule(Direction.ANY, least_points=5), 5, Remains.NOTHING),
        (OrderRule(Direction.ANY, least_points=5), 4, Remains.WHOLE),
    ],
)
def test_that_what_remains_of_a_visit_is_the_protocols_to_say(rule: OrderRule, points: int, left: Remains) -> None:
    assert remains(rule, points) is left


def test_that_a_visit_partly_done_is_repeated_later_and_says_by_which_rule() -> None:
    season = one_route(volunteer("A", [0, 2, 4]), today=day(1))
    plan = Plan((replace(planned("R1/1", "A", 0), status=Status.DONE),))
    ways = repair(season, plan, PartlyDone(R1, 2))
    assert ways[0].plan.visits[0].date == day(2)
    assert ways[0].plan.visits[0].status is Status.PLANNED
    assert "the whole visit is repeated" in ways[0].note


@pytest.mark.parametrize(
    ("broken", "error", "words"),
    [
        (VisitCancelled(VisitKey("R9", 1)), RuleError, "no route 'R9'"),
        (VisitCancelled(VisitKey("R1", 3)), RuleError, "visits 1 to 2"),
        (VisitCancelled(VisitKey("R1", 2)), ImpossibleError, "not planned"),
        (VisitCancelled(VisitKey("R2", 1)), ImpossibleError, "past"),
        (VisitCancelled(VisitKey("R2", 2)), ImpossibleError, "done already"),
        (VisitsCancelled((R1, VisitKey("R2", 1))), ImpossibleError, "past"),
        (VisitsCancelled((R1, VisitKey("R2", 2))), ImpossibleError, "done already"),
        (VisitsCancelled((VisitKey("R1", 2),)), ImpossibleError, "not planned"),
        (EveningCancelled(dt.date(2028, 1, 1)), RuleError, "outside the season"),
        (EveningCancelled(day(5)), ImpossibleError, "nothing to repair"),
        (VolunteerLeaves("Z", day(0)), RuleError, "no volunteer 'Z'"),
        (RoadClosed("R9", DateRange(day(0), day(1))), RuleError, "no route 'R9'"),
        (PartlyDone(R1, 9), RuleError, "0 to 2"),
        (PartlyDone(R1, 1), ImpossibleError, "still to come"),
    ],
)
def test_that_what_cannot_break_is_refused_in_words(broken: Disruption, error: type[Exception], words: str) -> None:
    season = problem(length=14, routes=(route("R1"), route("R2")), volunteers=(volunteer("A"),), today=day(2))
    done = replace(planned("R2/2", "A", 9), status=Status.DONE)
    with pytest.raises(error, match=words):
        repair(season, Plan((planned("R1/1", "A", 4), planned("R2/1", "A", 1), done)), broken)


def test_that_the_same_repair_gives_the_same_ways() -> None:
    season = busy_season(5, 8, 10)
    plan = first_plan(season, Plan())
    lost = VisitCancelled(plan.visits[0].key)
    assert repair(season, plan, lost) == repair(season, plan, lost)
