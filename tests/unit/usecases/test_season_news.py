"""The one thing to do next: what keeps all else back comes first, then who is out, then what people hold in hand."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.plan import Plan, Status
from planner.domain.season import Season
from planner.scheduling import SeasonProblem, drive_one_way_minutes
from planner.store import SeasonFile
from planner.usecases.checking import Checked
from planner.usecases.paper.papers import Papers, PaperState, VolunteerPaper
from planner.usecases.plan.total_driving import total_drive_minutes
from planner.usecases.season.problem import season_problem
from planner.usecases.season_news import Next, Step, WhatNext, season_figures, what_next

pytestmark = pytest.mark.xdist_group("reedhaven")

LONG_BEFORE = dt.date(2027, 1, 10)
ALL_PRINTED = Papers((VolunteerPaper("V1", "Ada Reed", 1, PaperState.CURRENT, None),), ())


@pytest.fixture
def season(reedhaven: SeasonFile) -> Season:
    """Return the dawn demo's season: five routes, two visits each."""
    return reedhaven.season()


@pytest.fixture
def plan(reedhaven: SeasonFile) -> Plan:
    """Return its plan, in which every visit is filled."""
    return reedhaven.plan()


def _checked(*findings: Finding) -> Checked:
    return Checked("as it stands", findings, may_be_planned=True, may_be_printed=True)


def _finding(severity: Severity, rule: Rule = Rule.VISIT_GAP, subject: Subject | None = None) -> Finding:
    return Finding(rule, severity, subject or Subject(), "Something is so.", "Do something.")


def _papers(*states: PaperState) -> Papers:
    return Papers(tuple(VolunteerPaper(f"V{n}", f"Name {n}", 1, state, None) for n, state in enumerate(states)), ())


def test_that_an_empty_season_wants_routes_then_people(season: Season) -> None:
    empty = replace(season, routes=(), volunteers=())
    assert what_next(empty, Plan(), None, None, LONG_BEFORE) == WhatNext(Step(Next.IMPORT_ROUTES))
    no_people = replace(season, volunteers=())
    assert what_next(no_people, Plan(), _checked(), None, LONG_BEFORE) == WhatNext(Step(Next.IMPORT_PEOPLE))


def test_that_nothing_is_said_before_the_findings_are_there(season: Season, plan: Plan) -> None:
    assert what_next(season, plan, None, ALL_PRINTED, LONG_BEFORE) == WhatNext(Step(Next.LOOK))


def test_that_an_unplanned_season_is_planned(season: Season) -> None:
    doubt = _finding(Severity.DOUBT)
    assert what_next(season, Plan(), _checked(doubt), None, LONG_BEFORE).first == Step(Next.PLAN, 10)


def test_that_troubles_come_before_the_plan_which_may_be_made_all_the_same(season: Season) -> None:
    trouble = _finding(Severity.TROUBLE, Rule.ROUTE_TOO_LONG)
    found = what_next(season, Plan(), _checked(trouble, trouble), None, LONG_BEFORE)
    assert found == WhatNext(Step(Next.TROUBLES, 2, finding=trouble), Step(Next.PLAN, 10))


def test_that_a_broken_rule_comes_before_everything(season: Season, plan: Plan) -> None:
    broken = _finding(Severity.BROKEN, subject=Subject(route="M1", visit=1))
    out = plan.visits[0].date - dt.timedelta(days=1)
    found = what_next(season, plan, _checked(broken), _papers(PaperState.CHANGED), out)
    assert found.first == Step(Next.MEND, 1, finding=broken)


def test_that_a_rule_broken_in_a_past_visit_keeps_nothing_back(season: Season, plan: Plan) -> None:
    visit = min(plan, key=lambda one: one.date)
    broken = _finding(Severity.BROKEN, subject=Subject(route=visit.key.route, visit=visit.key.number))
    later = visit.date + dt.timedelta(days=1)
    assert what_next(season, plan, _checked(broken), ALL_PRINTED, later).first.what is not Next.MEND
    assert what_next(season, plan, _checked(broken), ALL_PRINTED, visit.date).first.what is Next.MEND


def test_that_who_is_out_today_comes_before_papers_that_are_no_longer_true(season: Season, plan: Plan) -> None:
    day = plan.visits[0].date
    teams = {visit.key.route for visit in plan if day in (visit.date, visit.setup)}
    found = what_next(season, plan, _checked(), _papers(PaperState.CHANGED, PaperState.WITHDRAW), day)
    assert found == WhatNext(Step(Next.TODAY, len(teams), day), Step(Next.REPRINT, 2))


def test_that_wrong_papers_come_before_unfilled_visits_and_those_before_first_papers(
    season: Season, plan: Plan
) -> None:
    fewer = Plan(plan.visits[1:])
    wrong = _papers(PaperState.CHANGED, PaperState.NEVER)
    assert what_next(season, fewer, _checked(), wrong, LONG_BEFORE) == WhatNext(
        Step(Next.REPRINT, 1), Step(Next.FILL, 1)
    )
    new = _papers(PaperState.NEVER, PaperState.UNSURE, PaperState.CURRENT)
    assert what_next(season, fewer, _checked(), new, LONG_BEFORE) == WhatNext(Step(Next.FILL, 1), Step(Next.PRINT, 2))
    assert what_next(season, plan, _checked(), new, LONG_BEFORE).first == Step(Next.PRINT, 2)


def test_that_without_a_plan_planning_comes_before_the_papers_of_the_old_one(season: Season) -> None:
    void = _papers(PaperState.WITHDRAW, PaperState.WITHDRAW)
    found = what_next(season, Plan(), _checked(), void, LONG_BEFORE)
    assert found == WhatNext(Step(Next.PLAN, 10), Step(Next.REPRINT, 2))


def test_that_papers_are_not_spoken_of_while_a_rule_bars_them(season: Season, plan: Plan) -> None:
    barred = replace(_papers(PaperState.CHANGED), bars=(_finding(Severity.BROKEN),))
    assert what_next(season, plan, _checked(), barred, LONG_BEFORE).first.what is Next.WAIT


def test_that_with_all_done_the_next_evening_is_awaited(season: Season, plan: Plan) -> None:
    days = sorted({day for visit in plan for day in (visit.setup, visit.date) if day is not None})
    first = days[0]
    teams = sum(first in (visit.setup, visit.date) for visit in plan)
    found = what_next(season, plan, _checked(), ALL_PRINTED, LONG_BEFORE)
    assert found == WhatNext(Step(Next.WAIT, teams, first))


def test_that_after_the_last_visit_the_season_is_over(season: Season, plan: Plan) -> None:
    after = season.dates.last + dt.timedelta(days=1)
    assert what_next(season, plan, _checked(), ALL_PRINTED, after) == WhatNext(Step(Next.OVER))
    fewer = Plan(plan.visits[1:])
    assert what_next(season, fewer, _checked(), ALL_PRINTED, after) == WhatNext(Step(Next.OVER))


def test_that_the_figures_are_counted_and_the_driving_added_up(reedhaven: SeasonFile, plan: Plan) -> None:
    season = reedhaven.season()
    problem = season_problem(season, None)
    done = plan.with_status(plan.visits[0].key, Status.DONE)
    found = season_figures(season, done, total_drive_minutes(problem, done))
    assert (found.routes, found.volunteers) == (len(season.routes), len(season.volunteers))
    assert (found.visits, found.filled, found.done) == (10, 10, 1)
    assert found.reserved == sum(visit.reserve is not None for visit in plan)
    assert found.going == len({code for visit in plan for code in visit.people})
    assert found.drive_minutes == pytest.approx(sum(_trips(problem, plan)))
    assert season_figures(season, done, None).drive_minutes is None


def _trips(problem: SeasonProblem, plan: Plan) -> list[float]:
    """Every trip out and back, added up the long way: each person of each visit, each set-up day of its own."""
    people = [person.code for person in problem.season.volunteers]
    trips = []
    for visit in plan:
        minutes = dict(zip(people, drive_one_way_minutes(problem.drives[visit.key.route]), strict=True))
        trips += [2 * float(minutes[code]) for code in visit.people]
        if visit.setup is not None and visit.setup != visit.date:
            trips.append(2 * float(minutes[visit.lead]))
    return trips
