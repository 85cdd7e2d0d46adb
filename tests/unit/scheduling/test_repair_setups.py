"""Weather takes a set-up day: the visit keeps its date and people where another set-up day can be had."""

from __future__ import annotations

import pytest

from planner.domain.disruption import SetupCancelled
from planner.domain.errors import ImpossibleError
from planner.domain.finding import Severity
from planner.domain.plan import Plan, VisitKey
from planner.scheduling import SeasonProblem, audit, repair
from tests.unit.scheduling.seasons import day, days, planned, problem, protocol, setup_rule, volunteer

R1 = VisitKey("R1", 1)
LOST = SetupCancelled(R1)


def one_route(*volunteers: object, **changes: object) -> SeasonProblem:
    rules = protocol(visits=1, setup=setup_rule(6, same_day=False))
    given = {"visits": (days(0, 6),), "length": 7, "volunteers": volunteers, "rules": rules, **changes}
    return problem(**given)  # type: ignore[arg-type]  # fields by name


def test_that_only_the_set_up_moves_where_another_day_is_free() -> None:
    season = one_route(volunteer("A", [1, 2, 4, 5]))
    plan = Plan((planned("R1/1", "A", 4, reserve=5, setup=1),))
    ways = repair(season, plan, LOST)
    assert ways[0].plan.visits == (planned("R1/1", "A", 4, reserve=5, setup=2),)
    assert ways[0].papers == ("A",)
    assert all(visit.setup != day(1) for way in ways for visit in way.plan)


def test_that_the_visit_moves_where_no_day_before_it_is_left() -> None:
    season = one_route(volunteer("A", [1, 4, 5]))
    plan = Plan((planned("R1/1", "A", 4, setup=1),))
    (way, *_) = repair(season, plan, LOST)
    assert way.plan.visits == (planned("R1/1", "A", 5, setup=4),)
    assert not [one for one in audit(season, way.plan) if one.severity is Severity.BROKEN]


def test_that_the_lost_day_stays_open_for_counts_and_for_set_ups_of_others() -> None:
    season = one_route(volunteer("A", [1, 2]))
    plan = Plan((planned("R1/1", "A", 2, setup=1),))
    way = repair(season, plan, LOST)[0]
    assert not way.full, "day 2 is the visit's own, and a set-up there is not allowed"
    assert way.unfilled[0].key == R1


@pytest.mark.parametrize(
    ("setup", "today", "words"),
    [(4, 0, "no set-up day of its own"), (None, 0, "no set-up day of its own"), (1, 2, "is past")],
)
def test_that_what_has_no_set_up_to_come_is_refused(setup: int | None, today: int, words: str) -> None:
    season = one_route(volunteer("A", [1, 4, 5]), today=day(today))
    visit = planned("R1/1", "A", 4) if setup is None else planned("R1/1", "A", 4, setup=setup)
    with pytest.raises(ImpossibleError, match=words):
        repair(season, Plan((visit,)), LOST)
