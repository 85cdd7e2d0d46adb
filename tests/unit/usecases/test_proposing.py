"""Proposals keep what can be kept, and put first who breaks nothing."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.errors import ImpossibleError
from planner.domain.finding import Severity
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.scheduling import SeasonProblem, audit, plan_season
from planner.usecases.plan.judging import judge
from planner.usecases.plan.proposing import Role, candidates, on_date, propose, reserves_for, setups_for, with_person
from tests.unit.scheduling.audit_seasons import CLEAN, Scene, june, route, volunteer
from tests.unit.scheduling.random_seasons import busy_season

_SCENE = Scene().problem()


def test_that_a_move_keeps_setup_and_reserve_where_they_can_stay() -> None:
    stood = CLEAN.by_key[VisitKey("R1", 1)]
    assert on_date(_SCENE, CLEAN, stood, june(6)) == replace(stood, date=june(6))


def test_that_a_move_past_setup_and_reserve_takes_both_along() -> None:
    stood = CLEAN.by_key[VisitKey("R1", 1)]
    moved = on_date(_SCENE, CLEAN, stood, june(14))
    assert moved.setup is not None
    assert june(7) <= moved.setup <= june(14)
    assert moved.reserve == june(15)
    assert judge(_SCENE, CLEAN, moved).allowed


def test_that_no_reserve_is_held_where_every_later_date_breaks_a_rule() -> None:
    moved = on_date(_SCENE, CLEAN, CLEAN.by_key[VisitKey("R1", 1)], june(30))
    assert moved.reserve is None


@cache
def _busy(seed: int) -> tuple[SeasonProblem, Plan]:
    problem = busy_season(seed, 4, 5)
    return problem, plan_season(problem).plan


@settings(max_examples=15)
@given(st.integers(0, 50), st.integers(0, 47), st.data())
def test_that_a_proposal_on_another_date_breaks_no_more_than_keeping_everything_would(
    seed: int, on: int, data: st.DataObject
) -> None:
    problem, plan = _busy(seed % 3)
    visit = data.draw(st.sampled_from(plan.visits))
    date = problem.season.dates.first + dt.timedelta(days=on)
    proposed, kept = on_date(problem, plan, visit, date), replace(visit, date=date)
    assert (proposed.date, proposed.people) == (date, visit.people)
    assert len(judge(problem, plan, proposed).broken) <= len(judge(problem, plan, kept).broken)


@settings(max_examples=15)
@given(st.integers(0, 2), st.integers(0, 47), st.data())
def test_that_set_up_and_reserve_date_are_the_first_of_those_that_break_fewest_rules(
    seed: int, on: int, data: st.DataObject
) -> None:
    problem, plan = _busy(seed)
    visit = data.draw(st.sampled_from(plan.visits))
    lead = data.draw(st.sampled_from(problem.season.volunteers)).code
    visit = with_person(visit, Role.LEAD, lead)
    date = problem.season.dates.first + dt.timedelta(days=on)

    def breaks(option: PlannedVisit) -> int:
        return sum(one.severity is Severity.BROKEN for one in audit(problem, plan.with_visit(option)))

    moved = replace(visit, date=date)
    expected = min((replace(moved, setup=day) for day in setups_for(problem.season, visit, date)), key=breaks)
    if visit.reserve is not None:
        reserves = (*reserves_for(problem.season, visit, date), None)
        expected = min((replace(expected, reserve=day) for day in reserves), key=breaks)
    assert on_date(problem, plan, visit, date) == expected


def test_that_those_who_break_nothing_come_first_and_who_lives_far_off_is_left_out() -> None:
    scene = Scene(
        volunteers=(
            volunteer("V1", training=frozenset()),
            volunteer("V2"),
            volunteer("V3"),
            volunteer("V4", drive_limit_minutes=5.0),
        ),
        out_minutes={"V3": 30.0},
    )
    problem = scene.problem()
    found = candidates(problem, CLEAN, replace(CLEAN.by_key[VisitKey("R1", 2)], lead="V2"), Role.LEAD)
    assert [one.code for one in found] == ["V2", "V3", "V1"]
    assert [len(one.verdict.still_broken) for one in found] == [0, 0, 1]
    assert found[1].one_way_minutes == pytest.approx(30.0)


def test_that_nobody_is_offered_as_second_to_themselves() -> None:
    found = candidates(_SCENE, CLEAN, CLEAN.by_key[VisitKey("R1", 2)], Role.SECOND)
    assert {one.code for one in found} == {"V2", "V3"}
    assert all(one.verdict.visit.lead == "V1" for one in found)


def test_that_a_second_who_becomes_lead_changes_places() -> None:
    pair = replace(CLEAN.by_key[VisitKey("R1", 2)], second="V3")
    assert with_person(pair, Role.LEAD, "V3").people == ("V3", "V1")
    assert with_person(pair, Role.LEAD, "V2").people == ("V2", "V3")
    assert with_person(pair, Role.SECOND, "").people == ("V1",)


def test_that_an_unfilled_visit_is_proposed_with_somebody_set_up_and_reserve() -> None:
    plan = CLEAN.without(VisitKey("R1", 1))
    verdict = propose(_SCENE, plan, VisitKey("R1", 1), june(6))
    assert verdict.allowed
    assert verdict.before is None
    assert verdict.visit.lead == "V1"  # who leads visit 2
    assert verdict.visit.setup is not None
    assert verdict.visit.reserve is not None


def test_that_a_likely_lead_may_lead_and_has_given_the_date_and_two_go_where_two_must() -> None:
    people = (
        volunteer("near", training=frozenset()),
        volunteer("away", availability=()),
        volunteer("good"),
        volunteer("far"),
    )
    minutes = {"near": 5.0, "away": 6.0, "good": 10.0, "far": 30.0}
    problem = Scene(routes=(route("R1", people=2),), volunteers=people, out_minutes=minutes).problem()
    verdict = propose(problem, Plan(), VisitKey("R1", 1), june(6))
    assert verdict.visit.people == ("good", "near")
    assert propose(problem, Plan(), VisitKey("R1", 1), june(6), "far").visit.people == ("far", "near")


def test_that_a_visit_is_proposed_on_a_date_for_another_lead() -> None:
    verdict = propose(_SCENE, CLEAN, VisitKey("R1", 1), june(7), "V3")
    stood = CLEAN.by_key[VisitKey("R1", 1)]
    assert verdict.visit == replace(stood, date=june(7), lead="V3")
    assert verdict.before == stood


def test_that_nothing_is_proposed_without_volunteers() -> None:
    empty = Scene(volunteers=()).problem()
    with pytest.raises(ImpossibleError, match="no volunteers yet"):
        propose(empty, Plan(), VisitKey("R1", 1), june(6))
