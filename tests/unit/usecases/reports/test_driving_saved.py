"""A plan by hand beside the plan: worked out on seasons of few people, and judged by the audit on the demo."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from planner.domain.finding import Severity
from planner.domain.plan import Plan
from planner.domain.protocol import Gap, PeopleRule
from planner.scheduling import SeasonProblem, audit
from planner.usecases.reports.by_hand import by_hand
from planner.usecases.reports.driving_saved import driving_saved
from planner.usecases.season.opening import road_network
from planner.usecases.season.problem import roads_from_homes, season_problem
from tests.unit.scheduling import seasons as small
from tests.unit.usecases.reports.conftest import Reported

pytestmark = pytest.mark.xdist_group("returned")


def _problem(**more: Any) -> SeasonProblem:  # noqa: ANN401  parts of a season, as its builder takes them
    """Two routes that both lie nearest to A; B is a little farther from the first and far from the second."""
    given: dict[str, Any] = {
        "rules": small.protocol(visits=1),
        "visits": [small.days(0, 3)],
        "length": 14,
        "routes": [small.route("R1", 1), small.route("R2", 1)],
        "volunteers": [small.volunteer("A", visits_limit=1), small.volunteer("B", visits_limit=1)],
        "homes": {"R1": [10.0, 12.0], "R2": [10.0, 40.0]},
    }
    return small.problem(**{**given, **more})


def test_that_the_list_gives_the_first_route_to_the_nearest_and_the_rest_to_whoever_is_left() -> None:
    hand = by_hand(_problem())
    assert [(str(one.key), one.lead, one.date, one.reserve) for one in hand] == [
        ("R1 visit 1", "A", small.day(0), small.day(1)),
        ("R2 visit 1", "B", small.day(0), small.day(1)),
    ]


def test_that_what_planning_saves_is_the_drives_out_and_back_of_the_visits_that_both_fill() -> None:
    better = Plan((small.planned("R1/1", "B", 0), small.planned("R2/1", "A", 0)))
    saved = driving_saved(_problem(), better)
    # By hand A drives 2 x 10 and B 2 x 40; planned B drives 2 x 12 and A 2 x 10.
    assert (saved.hand_minutes, saved.plan_minutes, saved.compared) == (100.0, 44.0, 2)
    assert saved.saved_share == pytest.approx(0.56)
    assert [(one.route, one.saved_minutes) for one in saved.routes] == [("R1", -4.0), ("R2", 60.0)]
    assert saved.whole_minutes == (44.0, 100.0)
    assert saved.said == (
        "By hand 2 of 2 visits would be filled and none left with nobody; the plan fills 2.",
        "On the 2 visits that both fill, the plan drives 44 min and the hand 100 min: 56 min less (56 %).",
    )


def test_that_a_plan_that_drives_more_says_so() -> None:
    worse = Plan((small.planned("R1/1", "B", 0),))
    saved = driving_saved(_problem(), worse)
    assert (saved.compared, saved.saved_minutes) == (1, -4.0)
    # What the hand drives to the visit that the plan leaves empty is in neither figure that is compared.
    assert saved.whole_minutes == (24.0, 100.0)
    assert saved.said[0].endswith("the plan fills 1.")
    assert saved.said[1].endswith("the plan drives 24 min and the hand 20 min: 4 min more (20 %).")
    assert [(one.what, one.plan, one.hand) for one in saved.beside][:2] == [
        ("visits filled", 1, 2),
        ("visits with a reserve date", 0, 2),
    ]


def test_that_nothing_is_compared_without_a_plan() -> None:
    saved = driving_saved(_problem(), Plan())
    assert (saved.compared, saved.saved_minutes, saved.saved_share) == (0, 0.0, None)
    assert saved.said == ()


def test_that_visits_that_by_hand_nobody_is_left_for_are_told() -> None:
    alone = _problem(volunteers=[small.volunteer("A", visits_limit=1)], homes={"R1": [9.0], "R2": [9.0]})
    saved = driving_saved(alone, Plan((small.planned("R1/1", "A", 0),)))
    assert saved.said[0] == "By hand 1 of 2 visits would be filled and 1 left with nobody; the plan fills 1."


def test_that_the_nearest_who_can_hold_a_reserve_date_goes_before_a_nearer_one_who_cannot() -> None:
    people = [small.volunteer("A", [1]), small.volunteer("B", [1, 2])]
    (first, *_) = by_hand(_problem(volunteers=people, routes=[small.route("R1", 1)]))
    assert (first.lead, first.reserve) == ("B", small.day(2))


def test_that_limits_vehicles_training_and_agreed_leads_are_kept() -> None:
    far = [small.volunteer("A", drive_limit_minutes=5.0), small.volunteer("B")]
    assert by_hand(_problem(volunteers=far)).visits[0].lead == "B"
    boat = small.route("R1", 1, needs=frozenset({"boat"}))
    assert len(by_hand(_problem(routes=[boat]))) == 0
    trained = small.protocol(visits=1, people=PeopleRule(lead_training=("calls",)))
    learnt = [small.volunteer("A"), small.volunteer("B", training=frozenset({"calls"}))]
    assert by_hand(_problem(rules=trained, volunteers=learnt)).visits[0].lead == "B"
    agreed = by_hand(_problem(routes=[small.route("R1", 1, lead="B")]))
    assert agreed.visits[0].lead == "B"


def test_that_two_go_where_two_must_and_the_gap_counts_from_the_reserve_date() -> None:
    pairs = small.protocol(visits=2, gap=Gap(4), people=PeopleRule(fewest=2, preferred=2))
    people = [small.volunteer(code) for code in "ABC"]
    hand = by_hand(
        _problem(
            rules=pairs,
            visits=[small.days(0, 3), small.days(2, 13)],
            routes=[small.route("R1", 1)],
            volunteers=people,
            homes={"R1": [10.0, 12.0, 11.0]},
        )
    )
    assert [(one.people, one.date, one.reserve) for one in hand] == [
        (("A", "C"), small.day(0), small.day(1)),
        (("A", "C"), small.day(5), small.day(6)),
    ]


def test_that_set_ups_are_on_the_date_or_the_last_day_given_before_and_count_on_a_day_of_their_own() -> None:
    before = small.protocol(visits=1, setup=small.setup_rule(3, same_day=False))
    problem = _problem(rules=before, visits=[small.days(2, 5)], routes=[small.route("R1", 1)])
    (visit,) = by_hand(problem)
    assert (visit.date, visit.setup) == (small.day(2), small.day(1))
    saved = driving_saved(problem, Plan((replace(visit, lead="A"),)))
    assert saved.plan_minutes == saved.hand_minutes == 40.0
    same_day = _problem(rules=small.protocol(visits=1, setup=small.setup_rule(3)), routes=[small.route("R1", 1)])
    assert by_hand(same_day).visits[0].setup == small.day(0)


def test_that_a_second_who_is_only_preferred_is_not_held_against_the_plan() -> None:
    saved = driving_saved(_problem(), Plan((small.planned("R1/1", "A", 0, second="B"),)))
    assert saved.saved_minutes == 0.0


def test_that_company_is_told_beside_the_driving_where_the_protocol_would_have_two_go() -> None:
    plan = Plan((small.planned("R1/1", "A", 0, second="B"),))
    pairs = small.protocol(visits=1, people=PeopleRule(fewest=1, preferred=2))
    beside = {one.what: (one.plan, one.hand) for one in driving_saved(_problem(rules=pairs), plan).beside}
    alone = {one.what for one in driving_saved(_problem(), plan).beside}
    assert "visits with two people" not in alone
    assert beside["visits with two people"] == (1, 0)


def test_that_where_there_is_little_room_only_what_is_gained_stands_beside_the_driving() -> None:
    plan = Plan((small.planned("R1/1", "A", 0, second="B"),))
    pairs = small.protocol(visits=1, people=PeopleRule(fewest=1, preferred=2))
    said = driving_saved(_problem(rules=pairs), plan)
    assert said.beside_said.startswith("Beside the driving: visits with a reserve date 0 (by hand 2); ")
    assert said.said_shortly == (
        "Driving on the 1 visits that both fill: 20 min, by hand (in list order, nearest free) 20."
        " For it: visits with two people 1 (0)."
    )


def test_that_the_hand_breaks_no_rule_on_the_demo(reported: Reported) -> None:
    _, found = reported
    network = roads_from_homes(found.season, road_network(found.path, found.season.roads))
    problem = season_problem(found.season, network)
    hand = by_hand(problem)
    assert len(hand) > 40
    assert [finding for finding in audit(problem, hand) if finding.severity is Severity.BROKEN] == []
