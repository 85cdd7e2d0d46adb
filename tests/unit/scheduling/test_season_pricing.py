"""The best columns of routes valued side by side against every column there is."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.scheduling.engine.costing import FREE, Demand, Prices
from planner.scheduling.engine.decode import keeps_gaps
from planner.scheduling.engine.instance import Instance, Present, Room, RouteCase, VisitCase
from planner.scheduling.engine.remembering import RememberingPricer
from planner.scheduling.engine.season_pricing import SeasonPricer
from planner.scheduling.engine.weights import SEASON
from tests.unit.scheduling.test_route_pricing import DAYS, PEOPLE, least_by_hand, random_case, random_prices

UNMOVED = replace(SEASON, moved=300.0, kept_otherwise=30.0)


def standing(rng: np.random.Generator, visit: VisitCase) -> VisitCase:
    """The visit as if it stood somewhere in a plan, now and then."""
    if visit.fixed is not None or rng.random() < 0.6:
        return visit
    second = int(rng.integers(1, 4)) if visit.people == 2 else -1
    date = visit.first_day + int(rng.integers(0, 3))
    return replace(visit, present=Present(int(rng.integers(0, 2)), second, date, date + int(rng.integers(0, 2))))


def random_routes(rng: np.random.Generator) -> list[RouteCase]:
    """Up to three routes of one protocol: the same windows."""
    cases = [random_case(rng, fixed=bool(rng.integers(0, 2))) for _ in range(3)]
    windows = len(cases[0].visits[0].lead_days)
    return [
        replace(case, weights=UNMOVED, visits=tuple(standing(rng, visit) for visit in case.visits))
        for case in cases
        if len(case.visits[0].lead_days) == windows
    ]


def random_demand(rng: np.random.Generator, case: RouteCase) -> Demand:
    uses = [(int(rng.integers(len(case.visits))), int(rng.integers(PEOPLE))) for _ in range(2)]
    required = [use for use in uses[1:] if use[0] in case.open_visits and rng.random() < 0.6]
    slot = int(rng.integers(PEOPLE)), int(rng.integers(DAYS))
    return Demand(frozenset(uses[:1]) if rng.random() < 0.5 else frozenset(), frozenset(required), frozenset({slot}))


def asked(rng: np.random.Generator) -> tuple[Prices, np.ndarray]:
    prices, limit = random_prices(rng), rng.integers(0, 4, size=PEOPLE)
    twice = rng.choice([0.0, 0.0, 3.0, 22.0, 900.0], size=PEOPLE)
    return Prices(prices.days, np.where(limit <= 0, np.inf, prices.visits), twice), limit


def pricer_of(cases: list[RouteCase], limit: np.ndarray) -> SeasonPricer:
    room = Room(np.zeros((PEOPLE, DAYS), dtype=np.bool_), limit, np.zeros(PEOPLE, dtype=np.int64))
    return SeasonPricer(Instance(DAYS, tuple(cases), room, weights=UNMOVED))


@settings(max_examples=50, deadline=None)
@given(st.integers(0, 1_000_000))
def test_that_the_best_of_all_columns_is_found_for_every_route(seed: int) -> None:
    rng = np.random.default_rng(seed)
    cases = random_routes(rng)
    prices, limit = asked(rng)
    demands = {number: random_demand(rng, case) for number, case in enumerate(cases) if rng.random() < 0.5}
    for number, priced in enumerate(pricer_of(cases, limit).price(range(len(cases)), prices, limit, demands=demands)):
        demand = demands.get(number, FREE)
        assert priced.exact
        assert priced.value == pytest.approx(least_by_hand(cases[number], prices, limit, demand))
        for column in priced.columns:
            assert keeps_gaps(cases[number], column.choices)
            assert all(visits <= limit[volunteer] for volunteer, visits in column.loads)
            assert demand.allows(column)


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 1_000_000))
def test_that_a_rough_value_is_never_above_the_best_column(seed: int) -> None:
    rng = np.random.default_rng(seed)
    cases = random_routes(rng)
    prices, limit = asked(rng)
    pricer, floors = pricer_of(cases, limit), rng.choice([-30_000.0, -9_000.0, 0.0], size=len(cases))
    numbers = range(len(cases))
    exact = [priced.value for priced in pricer.price(numbers, prices, limit)]
    for rough in (False, True):
        priced = pricer.price(numbers, prices, limit, floors=floors, exact=not rough)
        for one, value, floor in zip(priced, exact, floors, strict=True):
            assert one.value <= value + 1e-6
            assert rough or one.value == pytest.approx(value) or one.value >= floor - 1e-6


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 1_000_000))
def test_that_what_is_remembered_is_what_would_be_found_anew(seed: int) -> None:
    rng = np.random.default_rng(seed)
    cases = random_routes(rng)
    prices, limit = asked(rng)
    pricer, numbers = pricer_of(cases, limit), range(len(cases))
    remembering = RememberingPricer(pricer)
    for _ in range(4):
        floors = rng.choice([-9_000.0, 0.0], size=len(cases))
        known = remembering.price(numbers, prices, limit, floors=floors, exact=True)
        for one, anew, floor in zip(known, pricer.price(numbers, prices, limit), floors, strict=True):
            assert one.value == pytest.approx(anew.value) or floor - 1e-6 <= one.value <= anew.value
        days = prices.days.copy()
        days[int(rng.integers(PEOPLE))] *= 0.5
        prices = replace(prices, days=days)
