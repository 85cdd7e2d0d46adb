"""The best counting order against brute force over every order of every subset of the points."""

from __future__ import annotations

import math
from itertools import pairwise, permutations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.counting import Direction
from planner.domain.window import StartRule
from planner.scheduling.outing import CountingTask, best_order
from planner.scheduling.outing.shortest import ShortestOrders
from planner.scheduling.outing.strings import good_strings
from tests.unit.scheduling.seasons import line_legs


def allowed_orders(task: CountingTask) -> list[tuple[int, ...]]:
    """Every order of every subset that the order rule allows."""
    forward = tuple(range(task.points))
    if task.direction is Direction.ANY:
        return [order for size in range(1, task.points + 1) for order in permutations(forward, size)]
    subsets = [
        tuple(p for p, kept in zip(forward, mask, strict=True) if kept)
        for mask in product((False, True), repeat=task.points)
    ]
    ways = [one for one in subsets if one]
    return ways if task.direction is Direction.FIXED else ways + [one[::-1] for one in ways]


def cost_by_hand(task: CountingTask, order: tuple[int, ...]) -> float:
    """End of the last count with lead-in and lead-out in minutes; inf where a count does not fit."""
    count = task.count_minutes
    opens, closes = task.open_s / 60, task.close_s / 60
    ready = -math.inf if task.ready_s is None else task.ready_s[order[0]] / 60
    now = max(opens[order[0]], ready)
    if not math.isfinite(now) or (task.start is StartRule.EXACTLY and ready > opens[order[0]]):
        return math.inf
    until = math.inf if task.within_minutes is None else now + task.within_minutes
    for place, point in enumerate(order):
        if place:
            now = max(now + count + task.legs_minutes[order[place - 1], point], opens[point])
        if not now + count <= min(closes[point], until) + 1e-9:
            return math.inf
    lead_in = task.lead_in_minutes[order[0]] if len(task.lead_in_minutes) else 0.0
    lead_out = task.lead_out_minutes[order[-1]] if len(task.lead_out_minutes) else 0.0
    return float(now + count + lead_in + lead_out)


minutes = st.integers(0, 40).map(float)


@st.composite
def tasks(draw: st.DrawFn, most_points: int = 5) -> CountingTask:
    points = draw(st.integers(1, most_points))

    def several(values: st.SearchStrategy[float]) -> np.ndarray:
        return np.array(draw(st.lists(values, min_size=points, max_size=points)), dtype=np.float64)

    legs = np.array([several(st.sampled_from([1.0, 2.0, 3.0, 5.0, 8.0, 13.0, math.inf])) for _ in range(points)])
    opens = 1000.0 * 60 + several(st.sampled_from([0.0, 0.0, 20.0, 60.0, 300.0, 900.0, math.nan]))
    close = opens + 60 * several(st.sampled_from([4.0, 12.0, 20.0, 31.0, 60.0]))
    return CountingTask(
        legs,
        opens,
        close,
        count_minutes=draw(st.sampled_from([2.0, 4.0, 5.0])),
        direction=draw(st.sampled_from(Direction)),
        start=draw(st.sampled_from(StartRule)),
        within_minutes=draw(st.sampled_from([None, None, 3.0, 15.0, 38.0])),
        ready_s=draw(st.sampled_from([None, None, 60 * (995 + several(minutes))])),
        lead_in_minutes=draw(st.sampled_from([np.zeros(0), several(minutes)])),
        lead_out_minutes=draw(st.sampled_from([np.zeros(0), several(minutes)])),
    )


@settings(max_examples=150, deadline=None)
@given(tasks())
def test_that_the_order_counts_most_points_in_least_time_by_brute_force(task: CountingTask) -> None:
    costs = {order: cost_by_hand(task, order) for order in allowed_orders(task)}
    fitting = {order: cost for order, cost in costs.items() if math.isfinite(cost)}
    best = best_order(task)
    assert best.proven
    assert len(best.order) == max(map(len, fitting), default=0)
    if best.order:
        least = min(cost for order, cost in fitting.items() if len(order) == len(best.order))
        assert fitting[best.order] == pytest.approx(least, abs=1e-6)
        assert best.end_s == pytest.approx(best.starts_s[-1] + task.count_minutes * 60)


@settings(max_examples=15, deadline=None)
@given(tasks(most_points=6))
def test_that_six_points_are_ordered_as_brute_force_orders_them(task: CountingTask) -> None:
    costs = {order: cost_by_hand(task, order) for order in allowed_orders(task)}
    fitting = {order: cost for order, cost in costs.items() if math.isfinite(cost)}
    best = best_order(task)
    assert len(best.order) == max(map(len, fitting), default=0)


def test_that_fifteen_points_in_any_order_are_proven_and_sixteen_are_not() -> None:
    for points, proven in ((15, True), (16, False)):
        opens = np.zeros(points)
        task = CountingTask(line_legs(points, 2.0), opens, opens + 36_000.0, 5.0)
        best = best_order(task)
        assert best.proven is proven
        assert sorted(best.order) == list(range(points))
        assert best.end_s == pytest.approx(60 * (points * 5 + (points - 1) * 2))


def test_that_many_points_in_any_order_lose_no_more_than_their_own_order_does() -> None:
    rng = np.random.default_rng(5)
    places = rng.random((25, 2)) * 20
    legs = np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1))
    opens = np.zeros(25)
    anyhow = best_order(CountingTask(legs, opens, opens + 7_200.0, 5.0))
    along = best_order(CountingTask(legs, opens, opens + 7_200.0, 5.0, Direction.EITHER))
    assert not anyhow.proven
    assert len(anyhow.order) >= len(along.order)


def test_that_sixty_points_in_a_fixed_order_leave_out_the_dear_detour() -> None:
    legs = line_legs(60, 1.0)
    legs[29, 30] = legs[30, 31] = 500.0
    opens = np.zeros(60)
    best = best_order(CountingTask(legs, opens, opens + 60 * (59 * 3 + 60.0), 3.0, Direction.FIXED))
    assert best.order == tuple(point for point in range(60) if point != 30)


def test_that_counting_starts_at_the_opening_or_not_at_all_where_the_rule_says_exactly() -> None:
    opens = np.array([600.0, 600.0])
    late = CountingTask(
        line_legs(2, 2.0), opens, opens + 3_600.0, 5.0, start=StartRule.EXACTLY, ready_s=np.array([700.0, 700.0])
    )
    assert best_order(late).order == ()
    soon = CountingTask(line_legs(2, 2.0), opens, opens + 3_600.0, 5.0, start=StartRule.EXACTLY)
    assert best_order(soon).starts_s[0] == 600.0


def test_that_the_shortest_orders_hold_the_shortest_of_all_by_brute_force() -> None:
    rng = np.random.default_rng(3)
    legs = rng.integers(1, 20, size=(5, 5)).astype(np.float64)

    def length(order: tuple[int, ...]) -> float:
        return float(sum(legs[a, b] for a, b in pairwise(order)))

    for direction in Direction:
        task = CountingTask(legs, np.zeros(5), np.full(5, 1e9), 1.0, direction)
        orders = ShortestOrders(legs, direction)
        for size in range(1, 6):
            least = min(length(order) for order in allowed_orders(task) if len(order) == size)
            assert min(map(length, orders.of_size(size))) == least


def test_that_no_order_is_named_where_no_road_joins_enough_points() -> None:
    legs = np.full((3, 3), np.inf)
    for direction in Direction:
        orders = ShortestOrders(legs, direction)
        assert orders.of_size(2) == ()


def test_that_good_strings_are_orders_of_all_points_and_the_shortest_comes_first() -> None:
    rng = np.random.default_rng(8)
    places = rng.random((18, 2))
    legs = np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1))
    strings = good_strings(legs, np.zeros(18), np.zeros(18))
    lengths = [sum(legs[a, b] for a, b in pairwise(one)) for one in strings]
    assert all(sorted(one) == list(range(18)) for one in strings)
    assert lengths == sorted(lengths)
    assert lengths[0] < 0.6 * sum(legs[a, a + 1] for a in range(17))
