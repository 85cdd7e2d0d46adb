"""The best counting order of one pass: most points inside their own windows, then least time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from planner.domain.counting import Direction
from planner.scheduling.outing.along import best_along
from planner.scheduling.outing.strings import good_strings
from planner.scheduling.outing.subsets import MOST_POINTS, earliest_ends, set_sizes, way_to
from planner.scheduling.outing.task import NO_COUNTS, CountingTask, CountOrder
from planner.scheduling.problem import FloatArray


def best_order(task: CountingTask) -> CountOrder:
    """Return the best counting order under the task's order rule.

    Best is: most points counted, each count whole inside the window of its own point; then the earliest end of
    the last count, lead-in and lead-out added; then less driving. Proven for up to 15 points in any order and
    for any number in a fixed order or either direction, points left out anywhere. Above 15 points in any order
    it is a heuristic, and the result says so: the route's own order both ways and short round trips, each with
    points left out as is best for it.
    """
    if not np.isfinite(task.first_starts).any():
        return NO_COUNTS
    if task.direction is not Direction.ANY:
        return _pick(task, (best_along(task, string) for string in _strings(task)), proven=True)
    if task.points > MOST_POINTS:
        strings = good_strings(task.legs_s, task.lead_in_s, task.lead_out_s)
        return _pick(task, (best_along(task, string) for string in strings), proven=False)
    return _pick(task, _over_subsets(task), proven=True)


def _strings(task: CountingTask) -> list[tuple[int, ...]]:
    forward = tuple(range(task.points))
    return [forward] if task.direction is Direction.FIXED else [forward, forward[::-1]]


def _pick(task: CountingTask, orders: Iterator[tuple[int, ...]], *, proven: bool) -> CountOrder:
    best, best_rank = NO_COUNTS, (0, 0.0, 0.0)
    for order in orders:
        starts = task.starts_of(order) if order else None
        if starts is None:
            continue
        # To a tenth of a millisecond, so that rounding does not choose between equals: the first of them stays.
        rank = (-len(order), round(task.cost_s(order, starts), 4), round(task.driven_s(order), 4))
        if rank < best_rank:
            best, best_rank = CountOrder(order, starts, starts[-1] + task.stay_s, proven), rank
    return replace(best, proven=proven)


def _over_subsets(task: CountingTask) -> Iterator[tuple[int, ...]]:
    """Yield orders of which the best is the best of all; the table is built once where that suffices.

    Without windows the table gives the least time of all; if that order meets every window without a wait, it
    is the answer. Otherwise what the first point asks for (lead-in, time from the start) makes a table for each
    first point necessary that may still be the best one.
    """
    # The route's own order first: among equals it is kept.
    yield tuple(range(task.points))
    whole = _ignoring_windows(task)
    if whole is not None:
        yield whole
        return
    firsts = task.first_starts
    if task.within_minutes is None:
        order = _best_way(task, firsts + task.stay_s, task.closes)
        yield order
        if task.lead_in_s.any() and order:
            yield from _by_first_point(task, order)
        return
    for first in np.flatnonzero(np.isfinite(firsts)):
        yield _starting_at(task, int(first))


def _by_first_point(task: CountingTask, known: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
    """Yield orders with as many points as a known one, first point by first point while one may still be better.

    Whether one may be is judged by the least time from each first point with windows left aside.
    """
    free = np.full(task.points, np.inf)
    turned = earliest_ends(task.lead_out_s + task.stay_s, task.legs_s.T, -free, free, task.stay_s)
    onward = turned[:, set_sizes(task.points) == len(known)].min(axis=1)
    least = task.first_starts + task.lead_in_s + onward
    starts = task.starts_of(known)
    best = np.inf if starts is None else task.cost_s(known, starts)
    for first in np.argsort(least, kind="stable").tolist():
        if not least[first] < best:
            return
        order = _starting_at(task, first)
        yield order
        starts = task.starts_of(order) if len(order) == len(known) else None
        best = best if starts is None else min(best, task.cost_s(order, starts))


def _starting_at(task: CountingTask, first: int) -> tuple[int, ...]:
    """Return the best order that begins at one point."""
    ends = np.full(task.points, np.inf)
    ends[first] = task.first_starts[first] + task.stay_s
    return _best_way(task, ends, np.minimum(task.closes, task.latest_ends[first]))


def _ignoring_windows(task: CountingTask) -> tuple[int, ...] | None:
    """Return the least-time order of all points if it keeps every window without waiting anywhere; else None."""
    points = task.points
    free = np.full(points, np.inf)
    table = earliest_ends(task.first_starts + task.stay_s + task.lead_in_s, task.legs_s, -free, free, task.stay_s)
    done = (1 << points) - 1
    costs = table[:, done] + task.lead_out_s
    last = int(np.argmin(costs))
    if not np.isfinite(costs[last]):
        return None
    order = way_to(table, task.legs_s, done, last)
    starts = task.starts_of(order)
    if starts is None or task.cost_s(order, starts) > costs[last] + 1e-6:
        return None
    return order


def _best_way(task: CountingTask, first_ends: FloatArray, closes: FloatArray) -> tuple[int, ...]:
    """Return the order with most points, then least end and lead-out, for given ends of the first count."""
    table = earliest_ends(first_ends, task.legs_s, task.opens, closes, task.stay_s)
    costs = table + task.lead_out_s[:, None]
    sizes = set_sizes(task.points)
    most = int(sizes[np.isfinite(table).any(axis=0)].max(initial=0))
    if most == 0:
        return ()
    candidates = np.flatnonzero(sizes == most)
    cells = costs[:, candidates]
    last, place = (int(index) for index in np.unravel_index(int(np.argmin(cells)), cells.shape))
    return way_to(table, task.legs_s, int(candidates[place]), last)
