"""What the chain for gaps with a maximum charges for moving a visit, entry by entry against the rule in words."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from planner.domain.plan import Plan
from planner.scheduling.engine.blocks import visit_block
from planner.scheduling.engine.compile import compile_season
from planner.scheduling.engine.costing import FREE, Costing, Prices
from planner.scheduling.engine.instance import Present, RouteCase
from planner.scheduling.engine.weights import SEASON
from tests.unit.scheduling.seasons import days, problem, route, volunteer

MOVING = replace(SEASON, moved=300.0, kept_otherwise=30.0)


def one_visit(people: int, present: Present | None) -> tuple[RouteCase, int]:
    """A route with one visit over seven days that three people could do."""
    season = problem(
        visits=(days(0, 6),), length=7, routes=(route(people=people),), volunteers=[volunteer(one) for one in "ABC"]
    )
    case = compile_season(season, Plan()).instance.routes[0]
    return replace(case, weights=MOVING, visits=(replace(case.visits[0], present=present),)), len(season.days)


def charged(people: int, present: Present | None) -> tuple[np.ndarray, Costing]:
    """The table of the visit at no prices."""
    case, length = one_visit(people, present)
    costing = Costing(case, length)
    table = costing.tables(Prices(np.zeros((3, length)), np.zeros(3), np.zeros(3)), FREE)[0]
    assert table is not None
    return table.costs, costing


@pytest.mark.parametrize("present", [Present(1, -1, 2, 4), Present(1, -1, 2, 2)])
def test_that_moving_and_keeping_otherwise_are_charged_where_one_goes(present: Present) -> None:
    plain, _ = charged(1, None)
    costs, costing = charged(1, present)
    for lead in range(3):
        for place in range(costs.shape[1]):
            date, last = costing.pair(0, place)
            moved = 0.0 if (lead, date) == (1, 2) else 300.0
            kept = 30.0 if present.last != present.date and last not in (date, present.last) else 0.0
            assert costs[lead, place] - plain[lead, place] == pytest.approx(moved + kept)


def test_that_both_people_have_to_be_the_same_where_two_go() -> None:
    plain, _ = charged(2, None)
    costs, costing = charged(2, Present(1, 0, 2, 2))
    for lead in range(3):
        for place in range(costs.shape[1]):
            date, _ = costing.pair(0, place)
            assert costs[lead, place] - plain[lead, place] == (0.0 if (lead, date) == (1, 2) else 300.0)


def test_that_the_chain_and_the_tables_side_by_side_charge_the_same() -> None:
    case, _ = one_visit(1, Present(1, -1, 2, 4))
    block = visit_block(case, case.visits[0])
    assert block is not None
    costs, costing = charged(1, Present(1, -1, 2, 4))
    for place in range(costs.shape[1]):
        date, last = costing.pair(0, place)
        kept = block.last_cost[0, last] if last != date else 0.0
        assert costs[:, place] == pytest.approx(block.date_cost[0, date] + kept)
