"""Two changes that belong together, changes that make others move, and somebody new: each worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.domain.change import Change, ChangeKind
from planner.domain.plan import Explanation, Plan, VisitKey
from planner.domain.protocol import PeopleRule
from planner.domain.window import PartOfDay
from planner.scheduling import SeasonProblem, plan_season
from planner.scheduling.engine.compile import compile_season
from planner.scheduling.explain import explain
from tests.unit.scheduling.changed_seasons import assert_true
from tests.unit.scheduling.seasons import day, days, planned, problem, protocol, route, volunteer

FIRST_DAY = (days(0, 0),)


def explained(season: SeasonProblem, key: VisitKey) -> Explanation:
    """The explanation of one visit of its best plan, every offer of it made true once."""
    result = plan_season(season)
    found = next(one for one in result.explanations if one.key == key)
    for offered in found.relaxations:
        assert_true(season, result.plan, found, offered)
    return found


def two_routes(*, limit_of_b: int = 9) -> SeasonProblem:
    """V-A can do both routes on the one date there is, and is nearer to R2; V-B lives far from R1 and is not free."""
    return problem(
        rules=protocol(visits=1),
        visits=FIRST_DAY,
        routes=[route("R1"), route("R2")],
        volunteers=[volunteer("A", [0], visits_limit=1), volunteer("B", [5], visits_limit=limit_of_b)],
        homes={"R1": [30.0, 200.0], "R2": [10.0, 10.0]},
    )


def test_that_an_evening_far_off_is_offered_with_the_visit_that_changes_hands() -> None:
    found = explained(two_routes(), VisitKey("R1", 1))
    offered = found.relaxations[0]
    assert offered.what == "B gives 1 evening more: Tue 1 Jun; then R2 visit 1 changes hands."
    assert offered.changes == (Change(ChangeKind.GIVES, "B", given=((day(0), PartOfDay.DUSK),)),)
    assert offered.moves == (VisitKey("R2", 1),)
    assert {visit.key.route: visit.lead for visit in offered.visits} == {"R1": "A", "R2": "B"}


def test_that_nobody_is_moved_where_the_one_who_takes_over_has_no_visit_left() -> None:
    found = explained(two_routes(limit_of_b=0), VisitKey("R1", 1))
    assert all(not offered.moves for offered in found.relaxations)


def test_that_a_visit_more_far_off_is_offered_with_the_visit_that_changes_hands() -> None:
    season = two_routes()
    people = (season.season.volunteers[0], volunteer("B", [0], visits_limit=0))
    season = replace(season, season=replace(season.season, volunteers=people))
    found = explained(season, VisitKey("R1", 1))
    assert found.relaxations[0].what == "B takes one visit more than the 0 offered; then R2 visit 1 changes hands."


def test_that_planning_again_says_who_moves() -> None:
    season = two_routes()
    people = (season.season.volunteers[0], volunteer("B", [0]))
    season = replace(season, season=replace(season.season, volunteers=people))
    (found,) = [
        one
        for one in explain(compile_season(season, Plan()), Plan((planned("R2/1", "A", 0),)))
        if not one.lacks_reserve_only
    ]
    assert found.relaxations[0].what == (
        "Plan again: R2 visit 1 changes hands, and nobody is asked for more than they offered."
    )
    assert found.relaxations[0].changes == ()


@pytest.mark.parametrize(("number", "date"), [(1, "Tue 1 Jun"), (2, "Tue 8 Jun")])
def test_that_no_more_is_asked_for_than_the_visit_in_question_needs(number: int, date: str) -> None:
    season = problem(
        rules=protocol(visits=2),
        visits=(days(0, 0), days(7, 7)),
        routes=[route("R1")],
        volunteers=[volunteer("V1", [3])],
    )
    offered = explained(season, VisitKey("R1", number)).relaxations[0]
    assert offered.what == f"V1 gives 1 evening more: {date}."
    assert [visit.key.number for visit in offered.visits] == [number]


def test_that_two_changes_are_offered_together_where_neither_does_alone() -> None:
    season = problem(
        rules=protocol(visits=1),
        visits=FIRST_DAY,
        routes=[route("R1")],
        volunteers=[volunteer("A", [5], visits_limit=0)],
    )
    found = explained(season, VisitKey("R1", 1))
    assert [offered.what for offered in found.relaxations] == [
        "A gives 1 evening more: Tue 1 Jun, and A takes one visit more than the 0 offered.",
        "A takes one visit more than the 0 offered, and the dates of the route's visits end 5 days later.",
        "One more volunteer joins who lives within 45 minutes of here.",
    ]


def test_that_somebody_new_and_a_second_person_are_offered_where_two_must_go() -> None:
    season = problem(
        rules=protocol(visits=1, people=PeopleRule(fewest=2, preferred=2, lead_training=("course",))),
        visits=FIRST_DAY,
        routes=[route("R1", needs=frozenset({"4x4"}))],
        volunteers=[volunteer("A", [0], drive_limit_minutes=30.0)],
    )
    (offered,) = explained(season, VisitKey("R1", 1)).relaxations
    assert offered.what == "One more volunteer joins who lives within 30 minutes of here and has 4x4 and course."
    assert offered.changes == (Change(ChangeKind.NEWCOMER, amount=30, skills=("4x4", "course")),)


@pytest.mark.parametrize("limits", [(20.0,), (20.0, 30.0, 64.0), ()])
def test_that_somebody_new_drives_as_far_as_others_usually_do(limits: tuple[float, ...]) -> None:
    people = [volunteer(f"V{n}", [9], drive_limit_minutes=limit) for n, limit in enumerate(limits)]
    season = problem(rules=protocol(visits=1), visits=FIRST_DAY, routes=[route("R1")], volunteers=people)
    (found,) = plan_season(season).explanations
    (new,) = (one.changes[0] for one in found.relaxations if one.changes[0].kind is ChangeKind.NEWCOMER)
    assert new.amount == {1: 20, 3: 30, 0: 40}[len(limits)]


def test_that_what_was_tried_in_vain_is_said() -> None:
    season = problem(
        rules=protocol(visits=1, people=PeopleRule(fewest=2, preferred=2)),
        visits=FIRST_DAY,
        routes=[route("R1")],
        volunteers=[volunteer("A", [5], visits_limit=0), volunteer("B", [5], visits_limit=0)],
    )
    found = explained(season, VisitKey("R1", 1))
    assert found.relaxations == ()
    assert found.tried == (
        "No single change helps, nor two together, all else as planned: more dates and another visit of the"
        " 2 volunteers within the drive limit, dates and gaps moved by up to 14 days and somebody new within"
        " 45 minutes of here were tried."
    )
