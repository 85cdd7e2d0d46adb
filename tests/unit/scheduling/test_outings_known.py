"""An outing that was timed before is not timed again, and never taken for one that has changed since."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.domain.errors import RuleError
from planner.domain.plan import PlannedVisit
from planner.scheduling import SeasonProblem, outing_for
from planner.scheduling.outing import visits
from planner.usecases.season.problem import season_problem
from tests.unit.usecases.edited_seasons import PLAN, SEASON

VISIT = PLAN.visits[0]


@pytest.fixture
def problem() -> SeasonProblem:
    return season_problem(SEASON, None)


def timed_anew(problem: SeasonProblem, visit: PlannedVisit, *, reserve: bool = False) -> object:
    """Time the same outing on drives that are equal and nobody has seen."""
    code = visit.key.route
    unseen = replace(problem, drives={**problem.drives, code: replace(problem.drives[code])})
    return outing_for(unseen, visit, visit.lead, reserve=reserve)


def test_that_an_outing_is_timed_once_while_nothing_of_it_changes(problem: SeasonProblem) -> None:
    first = outing_for(problem, VISIT, VISIT.lead)
    assert outing_for(problem, VISIT, VISIT.lead) is first
    assert outing_for(replace(problem, today=VISIT.date), VISIT, VISIT.lead) is first
    assert timed_anew(problem, VISIT) is not first
    assert timed_anew(problem, VISIT) == first


def test_that_another_date_other_people_and_the_reserve_date_are_timed_by_themselves(problem: SeasonProblem) -> None:
    outing_for(problem, VISIT, VISIT.lead)
    later = VISIT.date + dt.timedelta(days=1)
    moved, held = replace(VISIT, date=later, reserve=None), replace(VISIT, reserve=later)
    other = next(one.code for one in SEASON.volunteers if one.code not in VISIT.people)
    for visit, reserve in ((moved, False), (held, False), (held, True), (replace(VISIT, lead=other), False)):
        assert outing_for(problem, visit, visit.lead, reserve=reserve) == timed_anew(problem, visit, reserve=reserve)


def test_that_other_rules_another_light_and_other_homes_are_seen(problem: SeasonProblem) -> None:
    outing_for(problem, VISIT, VISIT.lead)
    season, code = problem.season, VISIT.key.route
    count = replace(season.protocol.count, settle_minutes=season.protocol.count.settle_minutes + 1)
    slower = replace(problem, season=replace(season, protocol=replace(season.protocol, count=count)))
    light = replace(problem.light[code], sunset_utc=problem.light[code].sunset_utc - 3600)
    darker = replace(problem, light={**problem.light, code: light})
    # The same homes in the same order, but somebody else's: the drives are the same object.
    turned = replace(problem, season=replace(season, volunteers=season.volunteers[::-1]))
    for changed in (slower, darker, turned):
        assert outing_for(changed, VISIT, VISIT.lead) == timed_anew(changed, VISIT)


def test_that_no_more_than_some_are_kept(problem: SeasonProblem) -> None:
    for number in range(visits._MOST_KNOWN + 5):
        outing_for(problem, replace(VISIT, second=f"N{number}"), VISIT.lead)
    assert len(visits._known[problem.drives[VISIT.key.route]]) <= visits._MOST_KNOWN


def test_that_what_the_season_lacks_is_still_said(problem: SeasonProblem) -> None:
    with pytest.raises(RuleError, match="no volunteer 'Nobody'"):
        outing_for(problem, replace(VISIT, lead="Nobody"), "Nobody")
    with pytest.raises(RuleError, match="no reserve date"):
        outing_for(problem, replace(VISIT, reserve=None), VISIT.lead, reserve=True)
