"""Points in any order: up to seven against all orders of all subsets, twelve against labels set one by one."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.window import StartRule
from planner.scheduling.outing import CountingTask, best_order
from planner.scheduling.outing.subsets import earliest_ends, shortest_ways

Floats = npt.NDArray[np.float64]

_DAWN_S = 1_800_000_000.0


def _costs_of_all(task: CountingTask, size: int) -> Floats:
    """Cost in seconds of every order of that many points; inf where a count does not fit, by the rules' own words."""
    orders = np.array(list(permutations(range(task.points), size)))
    stay = task.count_minutes * 60
    first, last = orders[:, 0], orders[:, -1]
    ready = np.full(task.points, -np.inf) if task.ready_s is None else task.ready_s
    begins = np.maximum(task.open_s, ready)
    if task.start is StartRule.EXACTLY:
        begins[ready > task.open_s] = np.inf
    now = begins[first]
    until = np.inf if task.within_minutes is None else now + task.within_minutes * 60
    fits = np.isfinite(now)
    for place in range(size):
        point = orders[:, place]
        if place:
            now = np.maximum(now + stay + task.legs_minutes[orders[:, place - 1], point] * 60, task.open_s[point])
        fits &= now + stay <= np.minimum(task.close_s[point], until) + 1e-6
    lead_in, lead_out = (
        minutes if len(minutes) else np.zeros(task.points) for minutes in (task.lead_in_minutes, task.lead_out_minutes)
    )
    return np.where(fits, now + stay + 60 * (lead_in[first] + lead_out[last]), np.inf)


@st.composite
def evenings(draw: st.DrawFn) -> CountingTask:
    """A task of five to seven points: on a plane, or with legs at random; light for all of them, or for fewer."""
    points = draw(st.integers(5, 7))
    dice = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    places = dice.random((points, 2)) * draw(st.sampled_from([2.0, 10.0, 30.0]))
    legs = np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1)).round(1)
    if draw(st.booleans()):
        legs = dice.integers(1, 15, (points, points)).astype(np.float64)
        legs[dice.random((points, points)) < 0.1] = np.inf
    opens = _DAWN_S + dice.integers(0, draw(st.sampled_from([1, 60, 900, 2_400])), points).astype(np.float64)
    light = draw(st.sampled_from([15.0, 30.0, 45.0, 60.0, 120.0])) * 60
    shares = dice.uniform(draw(st.sampled_from([0.4, 1.0])), 1.0, points)
    return CountingTask(
        legs,
        opens,
        opens + np.round(light * shares),
        count_minutes=5.0,
        start=draw(st.sampled_from(StartRule)),
        within_minutes=draw(st.sampled_from([None, None, 22.0, 40.0])),
        ready_s=draw(st.sampled_from([None, None, _DAWN_S + dice.integers(0, 900, points)])),
        lead_in_minutes=draw(st.sampled_from([np.zeros(0), dice.integers(0, 40, points).astype(np.float64)])),
        lead_out_minutes=draw(st.sampled_from([np.zeros(0), dice.integers(0, 40, points).astype(np.float64)])),
    )


@settings(max_examples=100, deadline=None)
@given(evenings())
def test_that_up_to_seven_points_are_ordered_as_all_orders_of_all_subsets_say(task: CountingTask) -> None:
    best = best_order(task)
    assert best.proven
    for size in range(task.points, 0, -1):
        costs = _costs_of_all(task, size)
        if np.isfinite(costs).any():
            assert len(best.order) == size
            assert task.cost_s(best.order, best.starts_s) == pytest.approx(costs.min(), abs=1e-3)
            return
    assert best.order == ()


def _by_labels(task: CountingTask) -> tuple[int, float]:
    """Most points and least cost in seconds: label setting, by set and last point the pairs of end and lead-in.

    Desrochers and Soumis, A generalized permanent labelling algorithm (INFOR 26, 1988): of two labels, one that is
    no better in either figure is dropped. Without ``ready_s`` and ``within_minutes``.
    """
    stay, legs = task.count_minutes * 60, (task.legs_minutes * 60).tolist()
    opens, closes = task.open_s.tolist(), task.close_s.tolist()
    lead_out = (task.lead_out_minutes * 60).tolist()
    labels = {
        (frozenset([p]), p): [(opens[p] + stay, float(task.lead_in_minutes[p] * 60))]
        for p in range(task.points)
        if opens[p] + stay <= closes[p]
    }
    best = (0, np.inf)
    while labels:
        size = len(next(iter(labels))[0])
        best = size, min(end + led + lead_out[last] for (_, last), ways in labels.items() for end, led in ways)
        longer: dict[tuple[frozenset[int], int], list[tuple[float, float]]] = {}
        for (done, last), ways in labels.items():
            for point in set(range(task.points)) - done:
                ends = [(max(end + legs[last][point], opens[point]) + stay, led) for end, led in ways]
                new = [(end, led) for end, led in ends if end <= closes[point] + 1e-6]
                if new:
                    longer.setdefault((done | {point}, point), []).extend(new)
        labels = {state: _undominated(ways) for state, ways in longer.items()}
    return best


def _undominated(ways: list[tuple[float, float]]) -> list[tuple[float, float]]:
    kept: list[tuple[float, float]] = []
    for way in sorted(ways):
        if not kept or way[1] < kept[-1][1]:
            kept.append(way)
    return kept


@pytest.mark.parametrize(("share", "spread_s"), [(0.45, 60), (0.7, 60), (0.7, 1_800), (1.5, 60)])
def test_that_twelve_points_with_lead_in_and_lead_out_are_ordered_as_labels_say(share: float, spread_s: int) -> None:
    for seed in range(3):
        dice = np.random.default_rng(seed)
        places = np.column_stack([np.sort(dice.random(12)) * 30, dice.random(12) * 4])
        legs = 1.0 + np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1))
        opens = _DAWN_S + dice.integers(0, spread_s, 12).astype(np.float64)
        light = share * 12 * 8 * 60 * dice.uniform(0.7, 1.0, 12)
        lead_in, lead_out = dice.uniform(5, 40, 12), dice.uniform(5, 40, 12)
        task = CountingTask(legs, opens, opens + light, 5.0, lead_in_minutes=lead_in, lead_out_minutes=lead_out)
        best = best_order(task)
        most, least = _by_labels(task)
        assert best.proven
        assert len(best.order) == most
        assert task.cost_s(best.order, best.starts_s) == pytest.approx(least, abs=1e-3)


@pytest.mark.parametrize("lead_in", [[3.0, 3.0, 3.0], [3.0, 4.0, 5.0]])
def test_that_most_points_are_counted_even_where_no_road_leads_home_from_the_last(lead_in: list[float]) -> None:
    legs = np.full((3, 3), np.inf)
    legs[2, 0] = legs[0, 1] = 2.0
    task = CountingTask(
        legs,
        np.zeros(3),
        np.full(3, 3_600.0),
        5.0,
        lead_in_minutes=np.array(lead_in),
        lead_out_minutes=np.array([1.0, np.inf, 1.0]),
    )
    assert best_order(task).order == (2, 0, 1)


def test_that_the_table_holds_the_earliest_end_of_every_set_size_by_brute_force() -> None:
    dice = np.random.default_rng(4)
    legs = dice.integers(1, 20, (6, 6)).astype(np.float64)
    opens = dice.integers(0, 30, 6).astype(np.float64)
    task = CountingTask(legs, opens * 60, (opens + 45) * 60, 5.0)
    table = earliest_ends(opens + 5, legs, opens, opens + 45, 5.0)
    for size in range(1, 7):
        orders = np.array(list(permutations(range(6), size)))
        ends = _costs_of_all(task, size) / 60
        by_last = [ends[orders[:, -1] == last].min() for last in range(6)]
        np.testing.assert_allclose(table.least(size), by_last)
        for last in np.flatnonzero(np.isfinite(by_last)).tolist():
            way = table.way(size, last)
            assert ends[(orders == way).all(axis=1)] == pytest.approx(by_last[last])
    assert np.isinf(table.least(7)).all()
    assert table.way(7, 0) == ()


def test_that_the_table_stops_at_the_most_points_asked_for() -> None:
    table = shortest_ways(np.zeros(5), np.ones((5, 5)), 1.0, most=3)
    assert table.most == 3
    assert table.least(3).tolist() == [4.0] * 5
