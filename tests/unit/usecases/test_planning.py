"""Planning is one step of the file, keeps what is fixed, and never saves what the audit would not pass."""

from __future__ import annotations

import datetime as dt
import threading
from dataclasses import replace

import pytest

from planner.cli.commands.plan import plan_lines
from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.finding import Rule, Severity
from planner.domain.plan import Plan, Status
from planner.scheduling import Outcome, after_rounds
from planner.store import SeasonFile
from planner.usecases.plan.planning import Scope, accepted, keep, listed_codes, plan, read_task, solve, solve_until
from planner.usecases.season.problem import season_problem

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


def test_that_a_plan_without_roads_says_how_far_its_drives_may_be_off(reedhaven: SeasonFile) -> None:
    assert plan(reedhaven, stop=after_rounds(1)).drives_said == ""
    with reedhaven.step("Take the road map and the plan away"):
        reedhaven.save_season(replace(reedhaven.season(), roads=None))
        reedhaven.save_plan(Plan())
    planned = plan(reedhaven, stop=after_rounds(1))
    assert planned.result.plan.visits
    assert "35 % less than the estimate, or 100 % and 3 minutes more" in planned.drives_said
    assert planned.drives_said in plan_lines(planned)


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
    [found] = [finding for finding in planned.findings if finding.rule is Rule.VISIT_DRIVE]
    assert (found.severity, found.todo) == (
        Severity.DOUBT,
        "It is past: nothing in the plan can mend it any more.",
    )
    assert planned.broken == ()


def test_that_a_visit_that_is_done_is_not_among_those_that_break_a_rule_and_a_confirmed_one_is(
    reedhaven: SeasonFile,
) -> None:
    season, before = reedhaven.season(), reedhaven.plan()
    first = before.visits[0]
    weary = tuple(
        replace(person, drive_limit_minutes=0.5) if person.code == first.lead else person
        for person in season.volunteers
    )
    problem = season_problem(replace(season, volunteers=weary), None)
    for status, severity in ((Status.DONE, Severity.DOUBT), (Status.CONFIRMED, Severity.BROKEN)):
        others = Plan(tuple(one for one in before if one.lead != first.lead))
        standing = others.with_visit(replace(first, status=status))
        [found] = [one for one in accepted(problem, standing, standing) if one.rule is Rule.VISIT_DRIVE]
        assert found.severity is severity


def test_that_reading_solving_and_keeping_are_what_planning_does(reedhaven: SeasonFile) -> None:
    _emptied(reedhaven)
    task = read_task(reedhaven)
    found = solve(task, stop=after_rounds(3), seed=5)
    assert reedhaven.plan() == Plan()
    planned = keep(reedhaven, task, found)
    kept = reedhaven.plan()
    reedhaven.undo()
    assert plan(reedhaven, stop=after_rounds(3), seed=5).result.plan == kept == planned.result.plan


def test_that_only_the_chosen_routes_are_planned_and_pins_stay_as_they_were(reedhaven: SeasonFile) -> None:
    before = reedhaven.plan()
    first, *others = sorted({visit.key.route for visit in before})
    holes = Plan(tuple(one for one in before if one.key.route not in (first, others[0])))
    pinned = holes.with_visit(replace(holes.visits[0], pinned=True))
    with reedhaven.step("Two routes are unfilled"):
        reedhaven.save_plan(pinned)
    task = read_task(reedhaven, scope=Scope.SELECTED, routes=[first])
    planned = keep(reedhaven, task, solve(task))
    after = reedhaven.plan()
    assert {visit.key for visit in after} - {visit.key for visit in pinned} == {
        visit.key for visit in before if visit.key.route == first
    }
    assert all(after.by_key[visit.key] == visit for visit in pinned)
    assert {one.key.route for one in planned.result.explanations} <= {first}
    assert reedhaven.history()[-1].label == f"Plan route {first}: {len(after)} of 10 visits filled"


def test_that_the_visits_of_chosen_routes_that_are_filled_may_change(reedhaven: SeasonFile) -> None:
    before = reedhaven.plan()
    late = max(before, key=lambda visit: (visit.date, visit.key))
    with reedhaven.step("No reserve date"):
        reedhaven.save_plan(before.with_visit(replace(late, reserve=None)))
    task = read_task(reedhaven, scope=Scope.SELECTED, routes=[late.key.route])
    after = solve(task).plan
    assert after.by_key[late.key].reserve is not None
    assert all(after.by_key[one.key] == one for one in before if one.key.route != late.key.route)


def test_that_planning_what_is_missing_leaves_every_filled_visit_alone(reedhaven: SeasonFile) -> None:
    before = reedhaven.plan()
    gone = {before.visits[0].key, before.visits[5].key}
    odd = tuple(replace(one, reserve=None) for one in before if one.key not in gone)
    with reedhaven.step("Two visits are unfilled"):
        reedhaven.save_plan(Plan(odd))
    task = read_task(reedhaven, scope=Scope.MISSING)
    keep(reedhaven, task, solve(task))
    after = reedhaven.plan()
    assert set(after.by_key) == set(before.by_key)
    assert all(after.by_key[one.key] == one for one in odd)
    assert reedhaven.history()[-1].label == "Plan what is missing: 10 of 10 visits filled"


def test_that_a_broken_rule_outside_the_scope_does_not_stop_planning(reedhaven: SeasonFile) -> None:
    before = reedhaven.plan()
    bad, gone = before.visits[0], before.visits[-1]
    assert bad.key.route != gone.key.route
    with reedhaven.step("A reserve date on the date itself, and a hole"):
        reedhaven.save_plan(before.without(gone.key).with_visit(replace(bad, reserve=bad.date)))
    task = read_task(reedhaven, scope=Scope.MISSING)
    planned = keep(reedhaven, task, solve(task))
    assert gone.key in reedhaven.plan().by_key
    assert Rule.RESERVE_DATE in {finding.rule for finding in planned.findings}


def test_that_a_plan_made_for_a_season_that_has_changed_since_is_not_saved(reedhaven: SeasonFile) -> None:
    _emptied(reedhaven)
    task = read_task(reedhaven)
    found = solve(task, stop=after_rounds(1))
    with reedhaven.step("Somebody else changes it"):
        reedhaven.save_season(replace(reedhaven.season(), notes="changed"))
    with pytest.raises(ImpossibleError, match="has changed while it was planned"):
        keep(reedhaven, task, found)
    assert reedhaven.plan() == Plan()


def test_that_planning_chosen_routes_wants_some_that_exist(reedhaven: SeasonFile) -> None:
    with pytest.raises(RuleError, match="no route is chosen"):
        read_task(reedhaven, scope=Scope.SELECTED)
    with pytest.raises(RuleError, match="no route 'nowhere'"):
        read_task(reedhaven, scope=Scope.SELECTED, routes=["nowhere"])


def test_that_many_codes_are_told_by_their_number() -> None:
    assert listed_codes(["A", "B"]) == "A, B"
    assert listed_codes(["A", "B", "C", "D", "E", "F"]) == "A, B, C and 3 more"


def test_that_a_run_stops_when_somebody_sets_the_event(reedhaven: SeasonFile) -> None:
    _emptied(reedhaven)
    stop = threading.Event()
    stop.set()
    assert solve_until(read_task(reedhaven), stop).outcome is Outcome.STOPPED
    stop.clear()
    assert solve_until(read_task(reedhaven), stop).outcome is Outcome.FINISHED


def test_that_a_run_that_failed_is_not_kept(reedhaven: SeasonFile) -> None:
    before, task = reedhaven.plan(), read_task(reedhaven)
    found = replace(solve(task, stop=after_rounds(1)), outcome=Outcome.FAILED, why="the solver gave up", plan=Plan())
    with pytest.raises(ImpossibleError, match="the solver gave up"):
        keep(reedhaven, task, found)
    assert reedhaven.plan() == before


def test_that_a_season_without_people_is_not_planned(reedhaven: SeasonFile) -> None:
    _emptied(reedhaven)
    with reedhaven.step("Everybody leaves"):
        reedhaven.save_season(replace(reedhaven.season(), volunteers=()))
    with pytest.raises(ImpossibleError, match="no volunteers yet"):
        read_task(reedhaven)
