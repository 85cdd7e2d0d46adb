"""The outings of a date: who, when, and which date is shown."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.plan import Plan
from planner.scheduling import SeasonProblem, outing_for, setup_outing_for
from planner.store import SeasonFile
from planner.usecases.evening.outings import (
    date_to_show,
    fits,
    neighbour_dates,
    outing_dates,
    outings_on,
    rules_broken,
    time_away,
)
from planner.usecases.season.opening import whole_road_network
from planner.usecases.season.problem import season_problem
from tests.unit.scheduling.seasons import day, days, planned, protocol, setup_rule, volunteer
from tests.unit.scheduling.seasons import problem as small_season

pytestmark = pytest.mark.xdist_group("reedhaven")


@pytest.fixture
def problem(reedhaven: SeasonFile) -> SeasonProblem:
    season = reedhaven.season()
    return season_problem(season, whole_road_network(reedhaven.path, season.roads))


def busiest(plan: Plan) -> dt.date:
    """The date with most visits."""
    dates = [visit.date for visit in plan]
    return max(sorted(set(dates)), key=dates.count)


def test_that_every_visit_and_set_up_day_stands_on_its_date_and_nowhere_else(
    reedhaven: SeasonFile, problem: SeasonProblem
) -> None:
    plan = reedhaven.plan()
    shown = [(one.date, one.key, one.counts) for date in outing_dates(plan) for one in outings_on(problem, plan, date)]
    wanted = [(visit.date, visit.key, True) for visit in plan]
    wanted += [(v.setup, v.key, False) for v in plan if v.setup is not None and v.setup != v.date]
    assert sorted(shown) == sorted(wanted)
    assert outings_on(problem, plan, problem.days.first - dt.timedelta(days=1)) == ()


def test_that_times_are_those_of_the_timetable_and_the_first_to_leave_comes_first(
    reedhaven: SeasonFile, problem: SeasonProblem
) -> None:
    plan = reedhaven.plan()
    for date in outing_dates(plan)[:12]:
        outings = outings_on(problem, plan, date)
        leaving = [one.leave_utc for one in outings if one.leave_utc is not None]
        assert leaving == sorted(leaving)
        for one in outings:
            visit = plan.by_key[one.key]
            for goer in one.people:
                timed = (
                    outing_for(problem, visit, goer.code) if one.counts else setup_outing_for(problem, visit, goer.code)
                )
                assert (goer.leave_utc, goer.due_utc) == time_away(timed)
                assert goer.telephone == problem.season.volunteer(goer.code).telephone
            assert [goer.leads for goer in one.people] == [True, False][: len(one.people)]


def test_that_a_set_up_day_of_its_own_is_the_leads_alone() -> None:
    season = small_season(
        rules=protocol(visits=1, setup=setup_rule(6)),
        visits=(days(0, 6),),
        length=7,
        volunteers=(volunteer("A"), volunteer("B")),
        leg_minutes=2.0,
    )
    plan = Plan((planned("R1/1", "A", 3, second="B", setup=1),))
    (setup,) = outings_on(season, plan, day(1))
    assert (setup.counts, setup.setup, setup.reserve) == (False, True, None)
    assert [goer.code for goer in setup.people] == ["A"]
    timed = setup_outing_for(season, plan.visits[0], "A")
    assert (setup.leave_utc, setup.due_utc) == time_away(timed)
    (counts,) = outings_on(season, plan, day(3))
    assert (counts.counts, counts.setup) == (True, False)
    assert [goer.code for goer in counts.people] == ["A", "B"]


def test_that_an_outing_without_a_timetable_says_why(reedhaven: SeasonFile, problem: SeasonProblem) -> None:
    visit = reedhaven.plan().visits[0]
    (one,) = outings_on(problem, Plan((replace(visit, window="noon", setup=None),)), visit.date)
    assert "no window 'noon'" in one.trouble
    assert one.leave_utc is None
    assert one.people[0].due_utc is None


def test_that_under_two_skies_the_longest_time_away_counts(reedhaven: SeasonFile, problem: SeasonProblem) -> None:
    visit = reedhaven.plan().visits[0]
    outing = outing_for(problem, visit, visit.lead)
    hour = dt.timedelta(hours=1)
    steps = [replace(step, start_utc=step.start_utc + hour, end_utc=step.end_utc + hour) for step in outing.steps]
    both = replace(outing, overcast=replace(outing, steps=tuple(steps)))
    early, late = time_away(outing)
    assert time_away(both) == (early, late + hour)
    assert dt.timedelta(0) <= outing.leave_home_utc - early < dt.timedelta(minutes=1)
    assert dt.timedelta(0) <= late - outing.due_home_utc < dt.timedelta(minutes=1)
    assert (early.second, late.second) == (0, 0)


def test_that_the_date_shown_is_today_or_the_next_with_outings(reedhaven: SeasonFile) -> None:
    plan = reedhaven.plan()
    dates = outing_dates(plan)
    assert date_to_show(plan, dates[3]) == dates[3]
    gap = next(one for one in (d + dt.timedelta(days=1) for d in dates) if one not in dates and one < dates[-1])
    assert date_to_show(plan, gap) == min(date for date in dates if date > gap)
    assert date_to_show(plan, dates[-1] + dt.timedelta(days=9)) == dates[-1] + dt.timedelta(days=9)
    assert neighbour_dates(plan, dates[1]) == (dates[0], dates[2])
    assert neighbour_dates(plan, dates[0]) == (None, dates[1])
    assert neighbour_dates(plan, dates[-1])[1] is None
    assert neighbour_dates(Plan(), dates[0]) == (None, None)


def test_that_a_problem_fits_its_own_season_and_no_other(reedhaven: SeasonFile, problem: SeasonProblem) -> None:
    season = reedhaven.season()
    assert fits(problem, season)
    assert not fits(problem, replace(season, volunteers=season.volunteers[1:]))


def test_that_an_outing_breaks_the_rules_of_its_visit_and_of_its_people_on_its_date(
    reedhaven: SeasonFile, problem: SeasonProblem
) -> None:
    plan = reedhaven.plan()
    one, *_ = outings_on(problem, plan, busiest(plan))
    person = one.people[0].code

    def broken(subject: Subject, severity: Severity = Severity.BROKEN) -> Finding:
        return Finding(Rule.DAY_TWICE, severity, subject, "It cannot be.", "")

    visit = broken(Subject(route=one.key.route, visit=one.key.number))
    twice = broken(Subject(volunteer=person, date=one.date))
    others = [
        broken(visit.subject, Severity.TROUBLE),
        broken(Subject(route=one.key.route, visit=one.key.number + 1)),
        broken(Subject(route=one.key.route)),
        broken(Subject(volunteer=person, date=one.date + dt.timedelta(days=1))),
        broken(Subject(volunteer="nobody", date=one.date)),
    ]
    assert rules_broken([*others, twice, visit], one) == (twice, visit)
