"""The verdict on one visit is what a whole audit would newly say, and proposals keep what can be kept."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.errors import RuleError
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.scheduling import SeasonProblem, audit, driving, outing_for
from planner.usecases.plan.judging import added, judge, visit_facts
from tests.unit.scheduling.audit_seasons import CLEAN, Scene, june
from tests.unit.scheduling.random_seasons import first_plan, varied_season

_SCENE = Scene().problem()


def _said(findings: list[Finding]) -> Counter[tuple[Rule, Severity, str, str]]:
    """What findings say, wherever those on a person's day or load are put."""
    own = {Rule.DAY_TWICE, Rule.LOAD_LIMIT}
    return Counter((f.rule, f.severity, "" if f.rule in own else f.subject.route, f.what) for f in findings)


def _any_visit(draw: st.DrawFn, problem: SeasonProblem, plan: Plan) -> PlannedVisit:
    season = problem.season
    key = VisitKey(
        draw(st.sampled_from([one.code for one in season.routes])),
        draw(st.integers(1, len(season.protocol.visits))),
    )
    codes = [one.code for one in season.volunteers]
    days = st.sampled_from(list(season.dates))
    lead = draw(st.sampled_from(codes))
    stood = plan.by_key.get(key)
    changes = PlannedVisit(
        key,
        lead,
        draw(days),
        draw(st.sampled_from([one.name for one in season.protocol.windows])),
        second=draw(st.sampled_from(["", *(code for code in codes if code != lead)])),
        reserve=draw(st.none() | days),
        setup=draw(st.none() | days),
    )
    return changes if stood is None or draw(st.booleans()) else replace(stood, date=changes.date)


@cache
def _planned(seed: int) -> tuple[SeasonProblem, Plan]:
    problem, standing = varied_season(seed)
    return problem, first_plan(problem, standing)


@st.composite
def _moves(draw: st.DrawFn) -> tuple[SeasonProblem, Plan, PlannedVisit]:
    """A small random season, a plan of it with some visits put anywhere, and one more visit put anywhere."""
    problem, plan = _planned(draw(st.integers(0, 400)))
    for _ in range(draw(st.integers(0, 3))):
        plan = plan.with_visit(_any_visit(draw, problem, plan))
    return problem, plan, _any_visit(draw, problem, plan)


@settings(max_examples=30)
@given(_moves())
def test_that_the_verdict_is_what_the_whole_audit_would_newly_say(
    move: tuple[SeasonProblem, Plan, PlannedVisit],
) -> None:
    problem, plan, visit = move
    verdict = judge(problem, plan, visit)
    before, after = _said(audit(problem, plan)), _said(audit(problem, plan.with_visit(visit)))
    assert _said([*verdict.broken, *verdict.lesser]) == after - before
    assert _said(list(verdict.mended)) == before - after
    assert all(one.severity is Severity.BROKEN for one in verdict.broken)
    whole = sum(driving(problem, plan.with_visit(visit))) - sum(driving(problem, plan))
    assert verdict.drive_change_minutes == pytest.approx(whole, abs=1e-6)


def test_that_the_margin_is_that_of_the_leads_outing() -> None:
    visit = replace(CLEAN.by_key[VisitKey("R1", 1)], date=june(6))
    assert judge(_SCENE, CLEAN, visit).margin_minutes == outing_for(_SCENE, visit, "V1").margin_minutes


def test_that_a_date_without_a_window_has_no_margin_and_breaks_a_rule() -> None:
    problem = Scene(dark={june(6): "the sun stays above"}).problem()
    verdict = judge(problem, CLEAN, replace(CLEAN.by_key[VisitKey("R1", 1)], date=june(6)))
    assert verdict.margin_minutes is None
    assert Rule.VISIT_NO_LIGHT in {one.rule for one in verdict.broken}
    assert not verdict.allowed


def test_that_losing_the_reserve_date_is_told() -> None:
    stood = CLEAN.by_key[VisitKey("R1", 1)]
    assert judge(_SCENE, CLEAN, stood).reserve_kept
    assert not judge(_SCENE, CLEAN, replace(stood, reserve=None)).reserve_kept


def test_that_a_visit_the_protocol_does_not_have_is_refused() -> None:
    with pytest.raises(RuleError, match="visits 1 to 2"):
        judge(_SCENE, CLEAN, PlannedVisit(VisitKey("R1", 3), "V1", june(5), "dusk"))


def test_that_the_same_finding_said_twice_is_new_once() -> None:
    findings = audit(_SCENE, Plan())
    assert added(findings, [*findings, findings[0]]) == [findings[0]]


def test_that_the_facts_of_a_visit_are_those_of_its_outing_and_of_all_its_drives() -> None:
    pair = replace(CLEAN.by_key[VisitKey("R1", 1)], second="V3")
    facts = visit_facts(_SCENE, pair)
    assert facts.margin_minutes == outing_for(_SCENE, pair, "V1").margin_minutes
    assert facts.points_missed == 0
    assert facts.drive_minutes == pytest.approx(3 * 2 * 20.0)  # both to the visit, the lead to the set-up as well
    dark = Scene(dark={june(5): "the sun stays above"}).problem()
    assert visit_facts(dark, pair).margin_minutes is None
