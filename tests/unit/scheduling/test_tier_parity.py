"""The engine's plans against other solvers: CP-SAT on small seasons of every kind, assignments and flows on larger."""

from __future__ import annotations

from itertools import product

import networkx as nx
import numpy as np
import numpy.typing as npt
import pytest
from scipy.optimize import linear_sum_assignment

from planner.domain.plan import Plan, Status
from planner.scheduling import Outcome, Progress, SeasonProblem, never, plan_season
from planner.scheduling.engine.compile import compile_season, fixed_part
from planner.scheduling.engine.search import solve
from planner.scheduling.problem import FloatArray
from tests.unit.scheduling.random_seasons import one_in, varied_season
from tests.unit.scheduling.seasons import days, planned, problem, protocol, route, volunteer
from tests.unit.scheduling.whole_season import Aims, WholeSeason

SEASONS, EVERY, CHUNK = 300, 5, 30
"""How many seasons there are; every which is tried each run; how many are one test, to spread over the cores."""

CLOSE = 0.02
"""Minutes: the engine proves a plan to within a hundredth."""

FILLED = -10_000
LOAD = 4


def check_season(seed: int) -> None:
    season, start = varied_season(seed)
    events: list[Progress] = []
    held = fixed_part(season, start)
    found = solve(compile_season(season, held).instance, never, events.append)
    end = found.clock.progress("end")
    whole = WholeSeason(season, held)
    best, in_order = whole.by_weights(), whole.tier_by_tier()
    assert best == in_order, f"season {seed}: the weights put the aims in another order"
    check_aims(seed, Aims(end.filled, end.reserved, found.value), in_order)
    assert found.outcome is Outcome.FINISHED, f"season {seed}"
    for event in events:
        assert event.objective is not None
        assert event.objective >= best.objective - 1e-6, f"season {seed}: {event.stage}"
        assert event.bound is None or event.bound <= best.objective + 1e-6, f"season {seed}: {event.stage}"


def check_aims(seed: int, reached: Aims, best: Aims) -> None:
    assert (reached.filled, reached.reserved) == (best.filled, best.reserved), f"season {seed}"
    assert reached.remainder == pytest.approx(best.remainder, abs=CLOSE), f"season {seed}"


@pytest.mark.parametrize("first", range(0, SEASONS, CHUNK))
def test_that_the_search_is_the_best_tier_by_tier_by_another_solver(first: int) -> None:
    for seed in range(first + 2, first + CHUNK, EVERY):
        check_season(seed)


@pytest.mark.fuzz
@pytest.mark.parametrize("first", range(0, SEASONS, CHUNK))
def test_that_the_search_is_the_best_of_every_season_by_another_solver(first: int) -> None:
    for seed in range(first, first + CHUNK):
        check_season(seed)


@pytest.mark.parametrize("seed", one_in(2, range(3, SEASONS, 10)))
def test_that_a_season_plan_is_the_best_tier_by_tier_by_another_solver(seed: int) -> None:
    season, start = varied_season(seed)
    best = WholeSeason(season, fixed_part(season, start)).tier_by_tier()
    result = plan_season(season, start=start)
    filled, reserved = (round(tier.value) for tier in result.tiers[:2])
    check_aims(seed, Aims(filled, reserved, result.objective), best)
    for tier in result.tiers[:2]:
        assert tier.bound is None or tier.bound >= tier.value - 1e-6


def test_that_the_reserve_date_of_a_visit_that_is_done_is_free_again() -> None:
    season = problem(
        rules=protocol(visits=1),
        visits=(days(0, 3),),
        routes=[route("R1"), route("R2")],
        volunteers=[volunteer("V1", [0, 3])],
    )
    done = Plan((planned("R1/1", "V1", 0, reserve=3, status=Status.DONE),))
    assert WholeSeason(season, done).tier_by_tier().filled == 2
    assert plan_season(season, start=done).tiers[0].value == 2


def one_date_each(minutes: FloatArray, date_of: list[int], limit: list[int]) -> SeasonProblem:
    """Routes by volunteers: one visit by one person on the one date of each route, within 45 minutes of driving."""
    routes, volunteers = minutes.shape
    length = max(date_of) + 1
    return problem(
        rules=protocol(visits=1),
        visits=(days(0, length - 1),),
        length=length,
        routes=[route(f"R{r}", points=1, visit_dates=((1, days(date_of[r], date_of[r])),)) for r in range(routes)],
        volunteers=[volunteer(f"V{v}", visits_limit=limit[v]) for v in range(volunteers)],
        homes={f"R{r}": minutes[r].tolist() for r in range(routes)},
    )


def random_minutes(seed: int, routes: int, volunteers: int) -> FloatArray:
    return np.random.default_rng(seed).integers(5, 60, size=(routes, volunteers)).astype(np.float64)


def cheapest_assignment(minutes: FloatArray) -> float:
    """The least objective by SciPy's assignment; a column of nothing for each route lets it stay unfilled."""
    worth: npt.NDArray[np.float64] = np.where(minutes <= 45, FILLED + 2 * minutes + LOAD, 0.0)
    costs = np.hstack([worth, np.zeros((len(minutes), len(minutes)))])
    rows, columns = linear_sum_assignment(costs)
    return float(costs[rows, columns].sum())


def cheapest_flow(minutes: FloatArray, date_of: list[int], limit: list[int]) -> float:
    """The least objective by networkx: from route to person and date to person, then by arcs that rise in cost."""
    graph: nx.MultiDiGraph[object] = nx.MultiDiGraph()
    routes, volunteers = minutes.shape
    graph.add_node("end", demand=routes)
    for r in range(routes):
        graph.add_node(("route", r), demand=-1)
        graph.add_edge(("route", r), "end", capacity=1, weight=0)
        for v in np.flatnonzero(minutes[r] <= 45).tolist():
            cost = FILLED + 2 * int(minutes[r, v])
            graph.add_edge(("route", r), ("day", v, date_of[r]), capacity=1, weight=cost)
    for v, date in product(range(volunteers), set(date_of)):
        graph.add_edge(("day", v, date), ("person", v), capacity=1, weight=0)
    for v, most in enumerate(limit):
        for step in range(most):
            graph.add_edge(("person", v), "end", capacity=1, weight=LOAD * (2 * step + 1))
    cost, _ = nx.network_simplex(graph)
    return float(cost)


@pytest.mark.parametrize(("routes", "volunteers"), [(1, 1), (5, 5), (12, 8), (9, 20), (30, 40), (40, 30)])
def test_that_one_visit_a_route_on_one_date_is_the_cheapest_assignment(routes: int, volunteers: int) -> None:
    minutes = random_minutes(routes, routes, volunteers)
    result = plan_season(one_date_each(minutes, [0] * routes, [1] * volunteers))
    assert result.objective == pytest.approx(cheapest_assignment(minutes), abs=CLOSE)
    assert result.objective == pytest.approx(cheapest_flow(minutes, [0] * routes, [1] * volunteers), abs=CLOSE)


@pytest.mark.parametrize(("routes", "volunteers"), [(6, 3), (15, 6), (20, 25), (30, 40), (40, 9)])
def test_that_one_date_a_route_under_workload_limits_is_the_cheapest_flow(routes: int, volunteers: int) -> None:
    rng = np.random.default_rng(volunteers)
    minutes = random_minutes(routes, routes, volunteers)
    date_of, limit = rng.integers(0, 7, size=routes).tolist(), rng.integers(0, 6, size=volunteers).tolist()
    result = plan_season(one_date_each(minutes, date_of, limit))
    assert result.objective == pytest.approx(cheapest_flow(minutes, date_of, limit), abs=CLOSE)
