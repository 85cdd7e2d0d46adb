"""Seasons with something wrong in them: planning ends, says why, and breaks nothing more; the audit names the fault."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import pytest

from planner.domain.calendar import DateRange
from planner.domain.finding import Rule, Severity
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.protocol import Gap, PeopleRule
from planner.domain.route import Route
from planner.domain.window import MoonRule
from planner.scheduling import (
    Outcome,
    SeasonProblem,
    SeasonResult,
    Stop,
    after_rounds,
    after_seconds,
    audit,
    plan_season,
)
from tests.unit.scheduling.seasons import (
    day,
    days,
    pass_light,
    planned,
    problem,
    protocol,
    route,
    route_light,
    setup_rule,
    volunteer,
    window_light,
)

WEEK = (days(0, 6),)


def pin(key: str, lead: str, on: int, **changes: object) -> PlannedVisit:
    return replace(planned(key, lead, on, **changes), pinned=True)


def planned_soundly(season: SeasonProblem, start: Plan | None = None) -> SeasonResult:
    """Plan a season, and check that the result is whole: a figure, a bound below it, a reason for each open visit."""
    result = plan_season(season, start=start)
    assert result.outcome is Outcome.FINISHED
    assert math.isfinite(result.objective)
    assert result.bound is not None
    assert result.bound <= result.objective + 1e-6
    assert "nan" not in result.why
    every = {VisitKey(one.code, n + 1) for one in season.season.routes for n in range(len(season.season.visits))}
    unfilled = every - set(result.plan.by_key)
    told = {one.key for one in result.explanations if one.reasons and not one.lacks_reserve_only}
    assert told == unfilled
    found = {
        (one.subject.route, one.subject.visit) for one in audit(season, result.plan) if one.rule is Rule.VISIT_UNFILLED
    }
    assert found == {(key.route, key.number) for key in unfilled}
    return result


def broken(season: SeasonProblem, plan: Plan) -> set[tuple[Rule, str]]:
    """The rules that a plan breaks, and the visit that each is put to."""
    findings = [finding for finding in audit(season, plan) if finding.severity is Severity.BROKEN]
    return {(one.rule, f"{one.subject.route}/{one.subject.visit}") for one in findings}


def reasons(result: SeasonResult) -> str:
    return " ".join(reason for explanation in result.explanations for reason in explanation.reasons)


def without_light() -> SeasonProblem:
    light = route_light((window_light("dusk", (pass_light(14, 3, "21:00", 120.0, without=range(14)),)),))
    return problem(volunteers=[volunteer("V1")], light={"R1": light})


def without_moon() -> SeasonProblem:
    light = route_light((window_light("dusk", (pass_light(14, 3, "21:00", 120.0),), moonless=range(14)),))
    rules = replace(protocol(visits=1), moon=MoonRule(0.5))
    return problem(rules=rules, visits=WEEK, volunteers=[volunteer("V1")], light={"R1": light})


def one_visit(**changes: object) -> SeasonProblem:
    """One visit of one route within a week by one volunteer."""
    given = {"rules": protocol(visits=1), "visits": WEEK, "volunteers": [volunteer("V1")]}
    return problem(**{**given, **changes})  # type: ignore[arg-type]  # fields by name


@pytest.mark.parametrize(
    ("season", "why"),
    [
        (problem(), "no volunteers"),
        (without_light(), "no window 'dusk' on any date"),
        (without_moon(), "The moon is not as the protocol asks"),
        (one_visit(rules=protocol(visits=1, count=100.0)), "too long for window 'dusk'"),
        (problem(volunteers=[volunteer("V1")], today=day(30)), "are past"),
        (one_visit(volunteers=[volunteer("V1", visits_limit=0)]), "1 has all the visits they offered"),
        (one_visit(volunteers=[volunteer("V1", [])]), "1 is free on none of the 7 dates"),
        (one_visit(homes={"R1": [math.inf]}), "1 lives beyond their drive limit"),
        (one_visit(routes=[route("R1", lead="V9")]), "is not V9, who leads this route"),
        (one_visit(routes=[route("R1", people=2)]), "no second person is free"),
        (one_visit(rules=protocol(visits=1, people=PeopleRule(lead_training=("owls",)))), "1 lacks owls"),
        (one_visit(rules=protocol(visits=1, setup=setup_rule(0, same_day=False))), "free in daylight for its set-up"),
        (one_visit(routes=[route("R1", points=0)]), "The route has no points"),
    ],
)
def test_that_a_season_in_which_nothing_can_be_done_says_why(season: SeasonProblem, why: str) -> None:
    result = planned_soundly(season)
    assert len(result.plan) == 0
    assert result.objective == 0.0
    assert why in reasons(result)
    assert broken(season, result.plan) == set()


@pytest.mark.parametrize(
    ("ranges", "filled"), [((days(0, 4), days(3, 6)), 1), ((days(0, 3),) * 3, 1), ((days(0, 5), days(4, 13)), 2)]
)
def test_that_ranges_too_short_for_the_gap_lose_only_the_visits_they_must(
    ranges: tuple[DateRange, ...], filled: int
) -> None:
    rules = protocol(visits=len(ranges), gap=Gap(10))
    season = problem(rules=rules, visits=ranges, volunteers=[volunteer("V1")])
    result = planned_soundly(season)
    assert len(result.plan) == filled
    assert broken(season, result.plan) == set()
    assert ("cannot keep the gap" in reasons(result)) is (filled < len(ranges))


def test_that_one_route_on_one_day_is_a_season() -> None:
    season = one_visit(visits=(days(0, 0),), length=1)
    result = planned_soundly(season)
    assert [(visit.lead, visit.date, visit.reserve) for visit in result.plan] == [("V1", day(0), None)]
    assert [explanation.lacks_reserve_only for explanation in result.explanations] == [True]


TWO = [route("R1"), route("R2")]


@pytest.mark.parametrize(
    ("routes", "pins", "found"),
    [
        (TWO, [pin("R1/1", "V1", 2), pin("R2/1", "V1", 2)], (Rule.DAY_TWICE, "R2/1")),
        (TWO, [pin("R1/1", "V1", 2, reserve=4), pin("R2/1", "V1", 4)], (Rule.DAY_TWICE, "R2/1")),
        (TWO, [pin("R1/1", "V1", 3, setup=2), pin("R2/1", "V1", 5, setup=2)], (Rule.DAY_TWICE, "R2/1")),
        (TWO[:1], [pin("R1/1", "V1", 5), pin("R1/2", "V1", 7)], (Rule.VISIT_GAP, "R1/2")),
        (TWO[:1], [pin("R1/1", "V1", 6, reserve=8), pin("R1/2", "V1", 5)], (Rule.VISIT_GAP, "R1/2")),
        (TWO[:1], [pin("R1/1", "V2", 1), pin("R1/2", "V2", 9)], (Rule.LOAD_LIMIT, "R1/2")),
        (TWO[:1], [pin("R1/1", "V1", 40)], (Rule.VISIT_DATE, "R1/1")),
        (TWO[:1], [pin("R1/1", "V9", 2)], (Rule.VISIT_UNKNOWN, "R1/1")),
        (TWO[:1], [replace(pin("R1/1", "V1", 2), window="noon")], (Rule.VISIT_UNKNOWN, "R1/1")),
        (TWO[:1], [pin("R9/1", "V1", 2)], (Rule.VISIT_UNKNOWN, "R9/1")),
    ],
)
def test_that_pins_against_the_rules_stay_and_the_audit_names_them_and_nothing_else_breaks(
    routes: Sequence[Route], pins: Sequence[PlannedVisit], found: tuple[Rule, str]
) -> None:
    season = problem(
        rules=protocol(visits=2, gap=Gap(3), setup=setup_rule(3)),
        visits=(days(0, 8), days(5, 13)),
        routes=[*routes, route("R3")],
        volunteers=[volunteer("V1"), volunteer("V2", visits_limit=1), volunteer("V3")],
    )
    start = Plan(tuple(pins))
    before = broken(season, start)
    assert found in before
    result = planned_soundly(season, start)
    assert [result.plan.by_key[visit.key] for visit in pins] == list(pins)
    assert broken(season, result.plan) == before
    assert {VisitKey("R3", 1), VisitKey("R3", 2)} <= set(result.plan.by_key)


def test_that_everything_past_leaves_a_plan_as_it_stands() -> None:
    season = problem(volunteers=[volunteer("V1")], today=day(30))
    start = Plan((planned("R1/1", "V1", 1),))
    result = planned_soundly(season, start)
    assert result.plan == start
    assert "are past" in reasons(result)


@pytest.mark.parametrize("stop", [after_seconds(0.0), after_rounds(1)])
def test_that_a_bad_season_stopped_at_once_keeps_its_pins(stop: Stop) -> None:
    season = problem(routes=TWO, volunteers=[volunteer("V1")])
    start = Plan((pin("R1/1", "V1", 2), pin("R2/1", "V1", 2)))
    result = plan_season(season, stop=stop, start=start)
    assert result.outcome is Outcome.STOPPED
    assert "best plan so far" in result.why
    assert {visit.key for visit in start} <= set(result.plan.by_key)
    assert broken(season, result.plan) == {(Rule.DAY_TWICE, "R2/1")}


def test_that_a_pinned_visit_which_no_road_reaches_does_not_stop_the_others() -> None:
    season = one_visit(routes=TWO, volunteers=[volunteer("V1"), volunteer("V2")], homes={"R1": [math.inf, 10.0]})
    result = planned_soundly(season, Plan((pin("R1/1", "V1", 5),)))
    assert set(result.plan.by_key) == {VisitKey("R1", 1), VisitKey("R2", 1)}
    assert (Rule.VISIT_DRIVE, "R1/1") in broken(season, result.plan)


def test_that_a_pinned_visit_of_a_route_without_points_does_not_stop_the_others() -> None:
    season = one_visit(routes=[route("R1", points=0), route("R2")], volunteers=[volunteer("V1")])
    result = planned_soundly(season, Plan((pin("R1/1", "V1", 5),)))
    assert set(result.plan.by_key) == {VisitKey("R1", 1), VisitKey("R2", 1)}


def test_that_a_pinned_visit_of_a_number_that_is_not_there_does_not_stop_the_others() -> None:
    season = one_visit()
    result = planned_soundly(season, Plan((pin("R1/2", "V1", 5),)))
    assert VisitKey("R1", 1) in result.plan.by_key
    assert broken(season, result.plan) == {(Rule.VISIT_UNKNOWN, "R1/2")}


def test_that_a_reserve_date_before_its_own_visit_does_not_shorten_the_gap_to_the_next() -> None:
    season = problem(rules=protocol(visits=2, gap=Gap(3)), volunteers=[volunteer("V1")])
    start = Plan((pin("R1/1", "V1", 5, reserve=2),))
    result = planned_soundly(season, start)
    assert broken(season, result.plan) == broken(season, start) == {(Rule.RESERVE_DATE, "R1/1")}
