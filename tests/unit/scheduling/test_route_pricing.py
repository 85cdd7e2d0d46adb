"""The best column of one route against every column there is."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.scheduling.engine.column import Choice, Column, column_of
from planner.scheduling.engine.costing import FREE, Demand, Prices
from planner.scheduling.engine.decode import keeps_gaps
from planner.scheduling.engine.instance import (
    FixedVisit,
    GapRule,
    RouteCase,
    SetupCase,
    VisitCase,
    date_pairs,
    day_range,
)
from planner.scheduling.engine.pricing import RoutePricer

DAYS, PEOPLE = 9, 4


def random_case(rng: np.random.Generator, *, fixed: bool = False) -> RouteCase:
    """A route of up to three visits with a few days each; the last may be fixed."""
    leads, seconds = np.array([0, 1]), np.array([1, 2, 3])
    two, windows = int(rng.integers(1, 3)), int(rng.integers(1, 3))
    gaps = [GapRule(1, None, 1), GapRule(2, None, 2), GapRule(1, None, 3), GapRule(1, 4, 1), GapRule(2, 5, 3)]
    visits = []
    for k in range(int(rng.integers(1, 4))):
        first = int(rng.integers(0, 2)) + 2 * k
        dates = day_range(first, min(first + 2, DAYS - 1), DAYS)
        visits.append(
            VisitCase(
                two,
                first,
                rng.random((windows, len(leads), DAYS)) < 0.8,
                rng.random((windows, len(seconds), DAYS)) < 0.8,
                dates,
                dates & (rng.random(DAYS) < 0.9),
                gaps[int(rng.integers(len(gaps)))],
                rng.choice([0.0, 15.0], size=(windows, DAYS)) if rng.random() < 0.3 else None,
            )
        )
    if fixed:
        empty = np.zeros(DAYS, dtype=np.bool_)
        stands = FixedVisit(int(rng.integers(0, 2)), DAYS - 1, DAYS - 1)
        last = visits[-1]
        visits.append(VisitCase(two, 0, last.lead_days, last.second_days, empty, empty, GapRule(), None, stands))
    daylight = rng.random((len(leads), DAYS)) < 0.6
    setup = SetupCase(2, daylight, np.repeat(daylight[None], windows, axis=0) & bool(rng.integers(0, 2)))
    return RouteCase(
        leads=leads,
        lead_drive=rng.integers(5, 40, size=2).astype(np.float64),
        seconds=seconds if two == 2 else np.zeros(0, dtype=np.int64),
        second_drive=rng.integers(5, 40, size=3).astype(np.float64)[: 3 if two == 2 else 0],
        pairs=(leads[:, None] != seconds[None, :])[:, : 3 if two == 2 else 0],
        visits=tuple(visits),
        setup=setup if rng.random() < 0.5 else None,
        same_lead=bool(rng.integers(0, 2)),
    )


def choices_of(case: RouteCase, k: int) -> Iterator[Choice | None]:
    yield None
    visit = case.visits[k]
    teams = [(lead, -1) for lead in range(len(case.leads))]
    if visit.people == 2:
        teams = [(a, b) for a, b in product(range(len(case.leads)), range(len(case.seconds))) if case.pairs[a, b]]
    for (lead, second), w in product(teams, range(len(visit.lead_days))):
        for date, last in zip(*(days.tolist() for days in date_pairs(visit)), strict=True):
            free = visit.lead_days[w, lead, [date, last]].all()
            if free and (second < 0 or visit.second_days[w, second, [date, last]].all()):
                who = int(case.seconds[second]) if second >= 0 else -1
                yield Choice(int(case.leads[lead]), who, w, date, last)


def setups_of(case: RouteCase, first: Choice | None) -> list[int]:
    if case.setup is None or first is None:
        return [-1]
    lead = case.leads.tolist().index(first.lead)
    before = range(max(first.date - case.setup.days_before, 0), first.date)
    found = [day for day in before if case.setup.lead_days[lead, day]]
    return found + ([first.date] if case.setup.same_day[first.window, lead, first.date] else [])


def columns_of(case: RouteCase) -> Iterator[Column]:
    """Every column that keeps the rules inside the route."""
    for choices in product(*(list(choices_of(case, k)) for k in range(len(case.visits)))):
        if keeps_gaps(case, choices):
            for setup in setups_of(case, choices[0]):
                yield column_of(0, case, choices, setup)


def least_by_hand(case: RouteCase, prices: Prices, limit: np.ndarray, demand: Demand) -> float:
    return min(
        (
            column.cost + prices.of(column)
            for column in columns_of(case)
            if all(n <= limit[v] for v, n in column.loads) and demand.allows(column)
            if any(column.choices) or not demand.required
        ),
        default=math.inf,
    )


def random_prices(rng: np.random.Generator) -> Prices:
    """Prices of about a visit's worth, so that leaving visits out pays now and then."""
    days = rng.choice([0.0, 10.0, 500.0, 4_000.0, 11_000.0, math.inf], size=(PEOPLE, DAYS))
    return Prices(days, rng.choice([0.0, 5.0, 2_000.0], size=PEOPLE), np.zeros(PEOPLE))


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 100_000), st.booleans())
def test_that_pricing_finds_the_best_of_all_columns(seed: int, fixed: bool) -> None:
    rng = np.random.default_rng(seed)
    case, prices = random_case(rng, fixed=fixed), random_prices(rng)
    limit = rng.integers(0, 4, size=PEOPLE)
    closed = Prices(prices.days, np.where(limit <= 0, np.inf, prices.visits), np.zeros(PEOPLE))
    priced = RoutePricer(0, case, DAYS).price(closed, limit)
    assert priced.value == pytest.approx(least_by_hand(case, closed, limit, FREE))
    for column in priced.columns:
        assert keeps_gaps(case, column.choices)
        assert all(n <= limit[v] for v, n in column.loads)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 100_000))
def test_that_pricing_obeys_what_a_branch_demands(seed: int) -> None:
    rng = np.random.default_rng(seed)
    case, prices, limit = random_case(rng), random_prices(rng), np.full(PEOPLE, 3)
    uses = [(int(rng.integers(len(case.visits))), int(rng.integers(PEOPLE))) for _ in range(2)]
    demand = Demand(
        forbidden=frozenset(uses[:1]) if rng.random() < 0.5 else frozenset(),
        required=frozenset(uses[1:]) if rng.random() < 0.6 else frozenset(),
        closed=frozenset({(int(rng.integers(PEOPLE)), int(rng.integers(DAYS)))}),
    )
    priced = RoutePricer(0, case, DAYS).price(prices, limit, demand)
    assert priced.value == pytest.approx(least_by_hand(case, prices, limit, demand))
    assert all(demand.allows(column) for column in priced.columns if math.isfinite(column.cost + prices.of(column)))


def test_that_a_route_without_leads_stays_empty_or_cannot_be_filled() -> None:
    rng = np.random.default_rng(1)
    case = random_case(rng)
    none = np.zeros(0, dtype=np.int64)
    bare = RouteCase(none, np.zeros(0), none, np.zeros(0), np.zeros((0, 0), dtype=np.bool_), case.visits, None)
    pricer, limit = RoutePricer(0, bare, DAYS), np.full(PEOPLE, 3)
    prices = Prices(np.zeros((PEOPLE, DAYS)), np.zeros(PEOPLE), np.zeros(PEOPLE))
    assert pricer.price(prices, limit).value == 0.0
    assert pricer.price(prices, limit, Demand(required=frozenset({(0, 0)}))).value == math.inf
