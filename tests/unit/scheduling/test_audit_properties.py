"""Break one rule of a clean plan, anywhere: that rule is found, and no other."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.calendar import DateRange
from planner.domain.finding import Rule, Severity
from planner.domain.plan import Plan, PlannedVisit
from planner.domain.volunteer import Availability
from planner.domain.window import PartOfDay
from planner.scheduling.audit import audit
from tests.unit.scheduling.audit_seasons import SEASON, Scene, july, june, route, rules, visit, volunteer

EVENINGS = frozenset({PartOfDay.DUSK, PartOfDay.DAWN})
UNTRAINED = volunteer("V3", training=frozenset())
FAR = volunteer("V4")
NEVER = volunteer("V5", availability=(Availability(SEASON, frozenset({PartOfDay.DAYLIGHT})),))
NO_DAYTIME = volunteer("V6", availability=(Availability(SEASON, EVENINGS),))
DARK = {june(30): "no dusk", july(30): "no dusk"}

SCENE = Scene(
    volunteers=(volunteer("V1"), volunteer("V2"), UNTRAINED, FAR, NEVER, NO_DAYTIME, volunteer("V7", visits_limit=0)),
    out_minutes={"V4": 46.0},
    dark=DARK,
)


def last_day(visit: PlannedVisit) -> dt.date:
    return june(30) if visit.key.number == 1 else july(31)


Mutation = Callable[[PlannedVisit], PlannedVisit]
MUTATIONS: dict[Rule, tuple[Mutation, ...]] = {
    Rule.VISIT_UNKNOWN: (
        lambda visit: replace(visit, lead="V9"),
        lambda visit: replace(visit, second="V9"),
        lambda visit: replace(visit, window="noon"),
    ),
    Rule.VISIT_TRAINING: (lambda visit: replace(visit, lead="V3"),),
    Rule.VISIT_DRIVE: (lambda visit: replace(visit, lead="V4"), lambda visit: replace(visit, second="V4")),
    Rule.VISIT_AVAILABLE: (lambda visit: replace(visit, lead="V5"), lambda visit: replace(visit, second="V5")),
    Rule.LOAD_LIMIT: (lambda visit: replace(visit, lead="V7"), lambda visit: replace(visit, second="V7")),
    Rule.RESERVE_DATE: (
        lambda visit: replace(visit, reserve=visit.date),
        lambda visit: replace(visit, reserve=last_day(visit) + dt.timedelta(1)),
    ),
    Rule.SETUP_DATE: (
        lambda visit: replace(visit, setup=visit.date + dt.timedelta(-8)),
        lambda visit: replace(visit, setup=visit.date + dt.timedelta(1)),
    ),
    Rule.VISIT_NO_LIGHT: (
        lambda visit: replace(visit, reserve=june(30)) if visit.key.number == 1 else replace(visit, reserve=july(30)),
    ),
}


def clean_plans() -> st.SearchStrategy[Plan]:
    """Plans that keep every rule: dates drawn with the reserve, gap and set-up rules kept."""

    @st.composite
    def plans(draw: st.DrawFn) -> Plan:
        visits = []
        for name, lead in (("R1", "V1"), ("R2", "V2")):
            first = june(9 + draw(st.integers(0, 4)))
            reserve = first + dt.timedelta(draw(st.integers(1, 3)))
            second = reserve + dt.timedelta(draw(st.integers(10, 12)))
            after = min(second + dt.timedelta(draw(st.integers(1, 3))), june(29))
            setup = first - dt.timedelta(draw(st.integers(0, 7)))
            visits.append(visit(name, 1, lead, first, reserve=reserve, setup=setup))
            visits.append(visit(name, 2, lead, second, reserve=after if after > second else july(2)))
        return Plan(tuple(visits))

    return plans()


@settings(max_examples=30, deadline=None)
@given(clean_plans())
def test_that_plans_that_keep_every_rule_have_no_findings(plan: Plan) -> None:
    assert audit(SCENE.problem(), plan) == []


@settings(max_examples=60, deadline=None)
@given(clean_plans(), st.sampled_from(sorted(MUTATIONS)), st.data())
def test_that_one_broken_rule_is_the_only_one_found(plan: Plan, rule: Rule, data: st.DataObject) -> None:
    mutation = data.draw(st.sampled_from(MUTATIONS[rule]))
    victim = data.draw(st.sampled_from(plan.visits))
    broken = plan.with_visit(mutation(victim))
    extra = {Rule.VISIT_GAP} if rule is Rule.VISIT_NO_LIGHT else set()
    found = audit(SCENE.problem(), broken)
    assert rules(found, Severity.BROKEN) - extra == {rule}
    assert {finding.subject.route for finding in found} == {victim.key.route}


@settings(max_examples=30, deadline=None)
@given(clean_plans(), st.integers(1, 9))
def test_that_a_gap_one_day_too_short_is_the_only_thing_found(plan: Plan, days: int) -> None:
    first, second = plan.of_route("R1")
    assert first.reserve is not None
    day = first.reserve + dt.timedelta(days)
    broken = plan.with_visit(replace(second, date=day, reserve=day + dt.timedelta(1)))
    expected = {Rule.VISIT_GAP} if day >= june(12) else {Rule.VISIT_GAP, Rule.VISIT_DATE}
    assert rules(audit(SCENE.problem(), broken)) <= expected
    assert audit(SCENE.problem(), broken)


@settings(max_examples=20, deadline=None)
@given(clean_plans(), st.sampled_from([PartOfDay.DUSK, PartOfDay.DAYLIGHT]), st.data())
def test_that_one_date_taken_away_is_the_only_thing_found(plan: Plan, part: PartOfDay, data: st.DataObject) -> None:
    victim = data.draw(st.sampled_from([one for one in plan if part is PartOfDay.DUSK or one.setup]))
    day = victim.setup if part is PartOfDay.DAYLIGHT else data.draw(st.sampled_from([victim.date, victim.reserve]))
    assert day is not None
    taken = Availability(DateRange(day, day), frozenset(PartOfDay) - {part})
    people = tuple(
        replace(one, availability=(*one.availability, taken)) if one.code == victim.lead else one
        for one in SCENE.volunteers
    )
    found = audit(replace(SCENE, volunteers=people).problem(), plan)
    assert [finding.rule for finding in found] == [Rule.VISIT_AVAILABLE]
    assert (found[0].subject.volunteer, found[0].subject.date) == (victim.lead, day)


@settings(max_examples=20, deadline=None)
@given(clean_plans())
def test_that_who_is_named_first_does_not_change_what_is_found(plan: Plan) -> None:
    scene = replace(SCENE, routes=(route("R1", people=2), route("R2", needs=frozenset({"boat"}))))
    turned = replace(scene, routes=scene.routes[::-1])
    ours, theirs = audit(scene.problem(), plan), audit(turned.problem(), plan)
    assert set(ours) == set(theirs)
    assert rules(ours) == {Rule.VISIT_PEOPLE, Rule.VISIT_VEHICLE}
