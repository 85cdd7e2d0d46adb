"""Where people are short, in seasons in which it is plain to see, each claim made true once more by planning."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from planner.domain.calendar import DateRange
from planner.domain.change import Change, ChangeKind
from planner.domain.plan import VisitKey
from planner.domain.protocol import PeopleRule
from planner.scheduling import SeasonProblem, SeasonResult, Shortage, ShortageKind, plan_season
from tests.unit.scheduling.changed_seasons import helps
from tests.unit.scheduling.random_seasons import busy_season, one_in, tiny_season
from tests.unit.scheduling.seasons import days, problem, protocol, route, volunteer

LONG = (days(0, 13),)


def of_kind(result: SeasonResult, kind: ShortageKind) -> list[Shortage]:
    return [one for one in result.shortages if one.kind is kind]


def weeks_of(shortage: Shortage) -> list[DateRange]:
    mondays = [dt.date.fromisoformat(one) for one in shortage.what.replace(" and", ",").split(", ")]
    return [DateRange(monday, monday + dt.timedelta(days=6)) for monday in mondays]


def test_that_a_season_without_lacks_is_short_of_nobody() -> None:
    season = problem(rules=protocol(visits=1), visits=LONG, routes=[route("R1")], volunteers=[volunteer("V1")])
    assert plan_season(season).shortages == ()


def test_that_a_season_without_volunteers_or_light_has_no_shortages_to_name() -> None:
    rules = protocol(visits=1, count=50.0)
    too_long = problem(rules=rules, visits=LONG, routes=[route("R1")], volunteers=[volunteer("V1")])
    assert plan_season(too_long).shortages == ()
    nobody = problem(rules=protocol(visits=1), visits=LONG, routes=[route("R1")])
    assert plan_season(nobody).shortages == ()


def test_that_the_week_in_which_nobody_is_free_is_named() -> None:
    # Tue 1 Jun to Mon 14 Jun 2027: V1 is free in the first week; visit 2 falls into the second, of Mon 7 Jun.
    season = problem(
        rules=protocol(visits=2),
        visits=(days(0, 5), days(7, 11)),
        routes=[route("R1")],
        volunteers=[volunteer("V1", range(6))],
    )
    (week,) = of_kind(plan_season(season), ShortageKind.WEEK)
    assert (week.what, week.visits) == ("2027-06-07", (VisitKey("R1", 2),))
    assert week.words == "Week of Mon 7 Jun: one more volunteer, free then, would fill R1 visit 2."
    # A visit and its reserve date, less little for driving and lateness.
    assert 10_000 < week.worth_minutes < 11_000


def test_that_the_skill_that_nobody_has_is_named() -> None:
    season = problem(
        rules=protocol(visits=1, people=PeopleRule(lead_training=("course",))),
        visits=LONG,
        routes=[route("R1")],
        volunteers=[volunteer("V1")],
    )
    (skill,) = of_kind(plan_season(season), ShortageKind.SKILL)
    assert skill.what == "course"
    assert skill.words == "Course: one more volunteer who has it would fill R1 visit 1; without it, none."


def test_that_the_routes_that_nobody_lives_near_are_named_together() -> None:
    season = problem(
        rules=protocol(visits=1),
        visits=LONG,
        routes=[route("R1"), route("R2"), route("R3")],
        volunteers=[volunteer("V1"), volunteer("V2", visits_limit=0)],
        homes={"R1": [10.0, 99.0], "R2": [99.0, 10.0], "R3": [99.0, 10.0]},
    )
    result = plan_season(season)
    (area,) = of_kind(result, ShortageKind.AREA)
    assert area.what == "R2 and R3"
    assert area.words == (
        "Round R2 and R3: one more volunteer within 45 minutes would fill any of 2 visits, R2 visit 1 and R3 visit 1."
    )


def test_that_visits_offered_that_are_used_up_are_named() -> None:
    season = problem(
        rules=protocol(visits=1),
        visits=LONG,
        routes=[route("R1"), route("R2")],
        volunteers=[volunteer("V1", visits_limit=1)],
    )
    result = plan_season(season)
    (lacking,) = (one.key for one in result.explanations)
    (visits,) = of_kind(result, ShortageKind.VISITS)
    assert visits.words == (
        f"Visits offered: 1 of 1 volunteer within reach has all the visits they offered; one more would fill {lacking}."
    )


@pytest.mark.parametrize("seed", one_in(3, range(20, 32)))
def test_that_each_visit_named_is_mended_by_such_a_person(seed: int) -> None:
    assert_mended(tiny_season(seed))


def test_that_each_visit_named_in_a_busy_season_is_mended_by_such_a_person() -> None:
    assert_mended(busy_season(1, 8, 6))


def assert_mended(season: SeasonProblem) -> None:
    result = plan_season(season)
    explained = {one.key: one for one in result.explanations}
    minutes = 40 if len(season.season.routes) < 5 else 45
    for shortage in result.shortages:
        if shortage.kind is ShortageKind.VISITS:
            continue
        for key in shortage.visits:
            skills = season.season.route(key.route).needs | set(season.season.protocol.people.lead_training)
            new = Change(ChangeKind.NEWCOMER, amount=minutes, skills=tuple(skills))
            assert helps(season, result.plan, explained[key], [new]), shortage.words
            if shortage.kind is ShortageKind.SKILL:
                less = replace(new, skills=tuple(skills - {shortage.what}))
                assert not helps(season, result.plan, explained[key], [less]), shortage.words
            if shortage.kind is ShortageKind.WEEK:
                for week in weeks_of(shortage):
                    assert helps(season, result.plan, explained[key], [new], week), shortage.words
