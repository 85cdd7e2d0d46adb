"""The search on seasons with more to do than hands: bounds, branching, neighbourhoods, and a solver in trouble."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

from planner.domain.finding import Severity
from planner.domain.plan import Plan
from planner.scheduling import Outcome, Progress, SeasonProblem, SeasonResult, after_rounds, audit, never, plan_season
from planner.scheduling.engine.branching import BranchAndPrice, Node
from planner.scheduling.engine.clock import Clock
from planner.scheduling.engine.column import column_of
from planner.scheduling.engine.compile import compile_season
from planner.scheduling.engine.costing import FREE, Prices
from planner.scheduling.engine.instance import GapRule, Instance, Room, RouteCase, Totals, VisitCase
from planner.scheduling.engine.master import NO_TOTALS, Master
from planner.scheduling.engine.relaxation import Ground, lagrange_bound, relax
from planner.scheduling.engine.search import SIZES, solve
from planner.scheduling.engine.season_pricing import SeasonPricer
from planner.scheduling.engine.solution import keeps_room
from tests.unit.scheduling.random_seasons import busy_season, tiny_season
from tests.unit.scheduling.whole_season import least_objective


def planned_with_events(season: SeasonProblem, rounds: int | None = None) -> tuple[SeasonResult, list[Progress]]:
    events: list[Progress] = []
    stop = never if rounds is None else after_rounds(rounds)
    result = plan_season(season, stop=stop, on_event=events.append)
    assert not [finding for finding in audit(season, result.plan) if finding.severity is Severity.BROKEN]
    assert result.bound is not None
    assert result.bound <= result.objective + 1e-6
    for event in events:
        assert event.objective is not None
        assert event.bound is None or event.bound <= event.objective + 1e-6
        # The best plan found is one that exists, so no event may claim a bound above it.
        assert event.bound is None or event.bound <= result.objective + 1e-6
    return result, events


@cache
def planned_whole(seed: int, routes: int, volunteers: int) -> tuple[SeasonResult, list[Progress]]:
    """What tests of one group share: the search to its end."""
    return planned_with_events(busy_season(seed, routes, volunteers))


TOGETHER = pytest.mark.xdist_group("busy season")


@TOGETHER
@pytest.mark.parametrize(("seed", "routes", "volunteers"), [(5, 5, 4), (3, 6, 6), (0, 10, 9), (2, 10, 7)])
def test_that_a_busy_season_is_proven_best(seed: int, routes: int, volunteers: int) -> None:
    result, events = planned_whole(seed, routes, volunteers)
    assert result.why == "the plan is proven best"
    assert result.objective == pytest.approx(result.bound, abs=0.02)
    last = events[-1]
    assert (last.filled, last.reserved) == (result.tiers[0].value, result.tiers[1].value)
    assert last.drive_minutes == pytest.approx(result.tiers[2].value)


@TOGETHER
def test_that_a_dive_stopped_half_way_is_completed_and_kept() -> None:
    _, events = planned_whole(2, 10, 7)
    first = next(event for event in events if event.stage == "dive")
    result, stopped = planned_with_events(busy_season(2, 10, 7), rounds=first.rounds)
    assert stopped[-1].stage == "dive"
    assert result.outcome is Outcome.STOPPED
    assert first.objective is not None
    assert result.objective <= first.objective


def test_that_what_stays_open_is_said_in_minutes_of_driving(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("planner.scheduling.engine.branching.WORK", 0)
    result, events = planned_with_events(busy_season(3, 8, 6))
    assert result.outcome is Outcome.FINISHED
    assert "still gain at most" in result.why
    assert {event.stage for event in events} == {
        "first plan",
        "bound",
        "dive",
        "whole columns",
        "aims",
        "neighbourhood",
    }
    assert result.explanations


def test_that_many_routes_are_bettered_by_neighbourhoods_before_the_proof() -> None:
    # One more than a neighbourhood holds of them, so that none is the whole season.
    result, events = planned_with_events(busy_season(1, SIZES[0] + 1, 13))
    stages = list(dict.fromkeys(event.stage for event in events))
    assert stages.index("neighbourhood") < stages.index("proof")
    assert result.why == "the plan is proven best"


def test_that_a_limit_of_rounds_ends_the_search_where_it_stands() -> None:
    # Between the bound and the proof, where the whole search takes seventy rounds.
    result, events = planned_with_events(busy_season(2, 8, 6), rounds=25)
    again, _ = planned_with_events(busy_season(2, 8, 6), rounds=25)
    assert result.outcome is Outcome.STOPPED
    assert len(events) == 25
    assert events[-1].stage == "whole columns"
    assert again.plan == result.plan
    assert again.bound == result.bound


def test_that_a_small_busy_season_is_as_good_as_the_independent_program_finds() -> None:
    season = busy_season(1, 2, 3)
    assert plan_season(season).objective == pytest.approx(least_objective(season), abs=0.02)


def branched_from_nothing(season: SeasonProblem) -> Clock:
    """Branch and price alone, without any plan to begin with."""
    instance = compile_season(season, Plan()).instance
    clock = Clock(instance, never, lambda _: None)
    clock.offer({})
    root = Node(-math.inf, 0, {}, NO_TOTALS, None)
    BranchAndPrice(clock, SeasonPricer(instance), Master(instance, instance.room), [root]).run(10_000)
    return clock


@pytest.mark.parametrize("season", [*map(tiny_season, (2, 8, 16, 75, 149, 391)), busy_season(1, 2, 3)])
def test_that_branch_and_price_alone_finds_and_proves_the_best_plan(season: SeasonProblem) -> None:
    clock = branched_from_nothing(season)
    assert clock.value == pytest.approx(least_objective(season), abs=0.02)
    assert clock.bound == pytest.approx(clock.value, abs=0.02)


@TOGETHER
@pytest.mark.parametrize(("seed", "routes", "volunteers"), [(0, 5, 4), (1, 6, 6), (0, 10, 9)])
def test_that_branch_and_price_alone_proves_what_the_whole_search_proves(
    seed: int, routes: int, volunteers: int
) -> None:
    clock = branched_from_nothing(busy_season(seed, routes, volunteers))
    result, _ = planned_whole(seed, routes, volunteers)
    assert clock.value == pytest.approx(result.objective, abs=0.02)


@pytest.mark.parametrize("seed", [2, 149, 181])
def test_that_each_column_is_allowed_by_one_part_of_a_split_by_days(seed: int) -> None:
    instance = compile_season(tiny_season(seed), Plan()).instance
    pricer, master = SeasonPricer(instance), Master(instance, instance.room)
    clock = Clock(instance, never, lambda _: None)
    clock.offer({})
    root = Node(-math.inf, 0, {}, NO_TOTALS, None)
    search = BranchAndPrice(clock, pricer, master, [root])
    ground = Ground(pricer, range(len(instance.routes)), instance.room, instance.weights.load)
    relax(master, ground, lambda *_: None)
    slot = master.columns[-1].slots[0]
    parts = [demands for demands, _ in search._by_day(root, master.columns[-1].route, slot)]
    assert len(parts) == 2
    assert all(demand.closed for demands in parts for demand in demands.values())
    for column in master.columns:
        assert any(part.get(column.route, FREE).allows(column) for part in parts)


def bare_case(drive: float = 10.0) -> RouteCase:
    """One visit of three days, one lead, no set-up."""
    every = np.ones(3, dtype=np.bool_)
    none = np.zeros(0, dtype=np.int64)
    visit = VisitCase(
        1, 0, np.ones((1, 1, 3), dtype=np.bool_), np.zeros((1, 0, 3), dtype=np.bool_), every, every, GapRule()
    )
    lead, pairs = np.array([0]), np.zeros((1, 0), dtype=np.bool_)
    return RouteCase(lead, np.array([drive]), none, np.zeros(0), pairs, (visit,), None)


def bare_room(limit: int = 2) -> Room:
    return Room(np.zeros((1, 3), dtype=np.bool_), np.array([limit]), np.zeros(1, dtype=np.int64))


def test_that_a_solver_in_trouble_keeps_the_best_plan_so_far_and_says_so() -> None:
    # No linear solver takes a cost of minus 10 to the 30th.
    instance = Instance(3, (bare_case(drive=-1e30),), bare_room())
    found = solve(instance, never, lambda _: None)
    assert found.outcome is Outcome.STOPPED
    assert "the solver gave up" in found.why
    assert found.solution[0].filled == 1


def test_that_columns_that_share_a_day_do_not_fit_together() -> None:
    instance = Instance(3, (bare_case(), bare_case()), bare_room())
    found = solve(instance, never, lambda _: None)
    assert sorted(column.filled for column in found.solution.values()) == [1, 1]
    assert keeps_room(instance.room, found.solution.values())
    one = found.solution[0]
    twin = column_of(1, instance.routes[1], one.choices, one.setup)
    assert not keeps_room(instance.room, [one, twin])


def test_that_bounds_on_totals_hold_in_the_relaxation_and_in_the_bound() -> None:
    instance = Instance(3, (bare_case(), bare_case()), bare_room())
    columns = list(solve(instance, never, lambda _: None).solution.values())
    free = Master(instance, instance.room)
    free.add(columns)
    most = Master(instance, instance.room, Totals(filled_most=1))
    most.add(columns)
    least = Master(instance, instance.room, Totals(filled_least=3))
    least.add(columns)
    assert free.solve().objective < most.solve().objective < 0 < least.solve().objective
    prices = most.solve().prices
    assert prices.filled > 0
    nothing = Prices(np.zeros((1, 3)), np.zeros(1), np.zeros(1), 50.0, -30.0)
    totals = Totals(filled_most=2, reserved_least=1)
    assert lagrange_bound([-100.0], nothing, instance.room, 4.0, totals) == pytest.approx(-100 - 2 * 50 + 30)


def test_that_the_bound_is_below_every_plan_for_any_prices() -> None:
    season = Instance(3, (bare_case(), bare_case(20.0)), bare_room())
    best = solve(season, never, lambda _: None)
    rng = np.random.default_rng(0)
    pricer = SeasonPricer(season)
    for _ in range(50):
        prices = Prices(rng.random((1, 3)) * 12_000, rng.random(1) * 12_000, rng.random(1) * 500)
        values = [priced.value for priced in pricer.price(range(2), prices, season.room.limit)]
        assert lagrange_bound(values, prices, season.room, 4.0) <= best.value + 1e-6
    assert math.isfinite(best.bound)
