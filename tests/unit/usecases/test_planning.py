"""Planning is one step of the file, keeps what is fixed, and never saves what the audit would not pass."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.domain.errors import ImpossibleError
from planner.domain.finding import Rule
from planner.domain.plan import Plan, Status
from planner.scheduling import Outcome, after_rounds
from planner.store import SeasonFile
from planner.usecases.planning import accepted, plan
from planner.usecases.season_problem import season_problem

pytestmark = pytest.mark.xdist_group("reedhaven")


def _emptied(file: SeasonFile) -> None:
    with file.step("Take the plan away"):
        file.save_plan(Plan())


def test_that_planning_is_one_step_with_a_label_in_words(reedhaven: SeasonFile) -> None:
    _emptied(reedhaven)
    before = len(reedhaven.history())
    planned = plan(reedhaven)
    assert [step.label for step in reedhaven.history()[before:]] == ["Plan the season: 10 of 10 visits filled"]
    assert planned.saved
    assert reedhaven.plan() == planned.result.plan
    assert planned.unfilled == planned.without_reserve == ()


def test_that_a_plan_stopped_at_once_is_kept_and_clean(reedhaven: SeasonFile) -> None:
    _emptied(reedhaven)
    planned = plan(reedhaven, stop=after_rounds(1))
    assert planned.result.outcome is Outcome.STOPPED
    assert len(reedhaven.plan()) == 10


def test_that_a_pinned_visit_stays_as_it_is_and_the_rest_is_planned_round_it(reedhaven: SeasonFile) -> None:
    first = reedhaven.plan().visits[0]
    pinned = replace(first, date=first.date + dt.timedelta(days=1), reserve=None, pinned=True)
    with reedhaven.step("Pin"):
        reedhaven.save_plan(Plan((pinned,)))
    planned = plan(reedhaven)
    assert planned.result.plan.by_key[pinned.key] == pinned
    assert len(planned.result.plan) == 10


def test_that_past_visits_stay_as_they_are(reedhaven: SeasonFile) -> None:
    before = reedhaven.plan()
    today = dt.date(2027, 10, 4)
    past = [visit for visit in before if visit.date < today]
    assert past
    after = plan(reedhaven, today=today).result.plan
    assert all(after.by_key[visit.key] == visit for visit in past)


def test_that_a_plan_that_breaks_a_rule_is_refused_with_the_rule(reedhaven: SeasonFile) -> None:
    problem = season_problem(reedhaven.season(), None)
    first = reedhaven.plan().visits[0]
    broken = reedhaven.plan().with_visit(replace(first, reserve=first.date))
    with pytest.raises(ImpossibleError, match="would break these rules") as caught:
        accepted(problem, broken, reedhaven.plan())
    assert any(first.key.route in reason for reason in caught.value.reasons)


def test_that_a_rule_broken_already_by_a_confirmed_visit_is_told_and_not_held_against_the_rest(
    reedhaven: SeasonFile,
) -> None:
    problem = season_problem(reedhaven.season(), None)
    first = reedhaven.plan().visits[0]
    standing = reedhaven.plan().with_visit(replace(first, reserve=first.date, status=Status.CONFIRMED))
    rules = {finding.rule for finding in accepted(problem, standing, standing)}
    assert Rule.RESERVE_DATE in rules


def test_that_a_rule_broken_in_a_past_visit_does_not_stop_what_is_still_to_come(reedhaven: SeasonFile) -> None:
    season, before = reedhaven.season(), reedhaven.plan()
    first = min(before, key=lambda visit: visit.date)
    weary = tuple(
        replace(person, drive_limit_minutes=0.5) if person.code == first.lead else person
        for person in season.volunteers
    )
    with reedhaven.step("Somebody drives less from now on"):
        reedhaven.save_season(replace(season, volunteers=weary))
    planned = plan(reedhaven, today=first.date + dt.timedelta(days=1))
    assert planned.result.plan.by_key[first.key] == first
    assert Rule.VISIT_DRIVE in {finding.rule for finding in planned.findings}
