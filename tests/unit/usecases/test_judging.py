"""The verdict on one visit is what a whole audit would newly say, and proposals keep what can be kept."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.errors import RuleError
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.scheduling import SeasonProblem, audit, driving, outing_for, plan_season
from planner.usecases.judging import Role, added, candidates, first_proposal, judge, on_date, with_person
from tests.unit.scheduling.audit_seasons import CLEAN, Scene, june, volunteer
from tests.unit.scheduling.random_seasons import busy_season, varied_season

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


@st.composite
def _moves(draw: st.DrawFn) -> tuple[SeasonProblem, Plan, PlannedVisit]:
    """A small random season, a plan of it with some visits put anywhere, and one more visit put anywhere."""
    problem, standing = varied_season(draw(st.integers(0, 400)))
    plan = plan_season(problem, start=standing).plan
    for _ in range(draw(st.integers(0, 3))):
        plan = plan.with_visit(_any_visit(draw, problem, plan))
    return problem, plan, _any_visit(draw, problem, plan)


@settings(max_examples=60)
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


@settings(max_examples=25)
@given(st.integers(0, 50), st.integers(0, 47), st.data())
def test_that_a_proposal_on_another_date_breaks_no_more_than_keeping_everything_would(
    seed: int, on: int, data: st.DataObject
) -> None:
    problem = busy_season(seed % 3, 4, 5)
    plan = plan_season(problem).plan
    visit = data.draw(st.sampled_from(plan.visits))
    date = problem.season.dates.first + dt.timedelta(days=on)
    proposed, kept = on_date(problem, plan, visit, date), replace(visit, date=date)
    assert (proposed.date, proposed.people) == (date, visit.people)
    assert len(judge(problem, plan, proposed).broken) <= len(judge(problem, plan, kept).broken)


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
    proposed = first_proposal(_SCENE, plan, VisitKey("R1", 1), june(6))
    verdict = judge(_SCENE, plan, proposed)
    assert verdict.allowed
    assert proposed.status is Status.PLANNED
    assert proposed.setup is not None
    assert proposed.reserve is not None


def test_that_the_same_finding_said_twice_is_new_once() -> None:
    findings = audit(_SCENE, Plan())
    assert added(findings, [*findings, findings[0]]) == [findings[0]]
