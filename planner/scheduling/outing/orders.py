"""The best counting order of one pass: most points inside their own windows, then least time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

import numpy as np

from planner.domain.counting import Direction
from planner.scheduling.outing.along import best_along
from planner.scheduling.outing.firsts import FirstPoints
from planner.scheduling.outing.strings import good_strings
from planner.scheduling.outing.subsets import MOST_POINTS, EarliestEnds, earliest_ends
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


def _pick(task: CountingTask, orders: Iterable[tuple[int, ...]], *, proven: bool) -> CountOrder:
    best = min(orders, key=lambda order: _rank(task, order), default=())
    starts = task.starts_of(best) if best else None
    if starts is None:
        return replace(NO_COUNTS, proven=proven)
    return CountOrder(best, starts, starts[-1] + task.stay_s, proven)


def _rank(task: CountingTask, order: tuple[int, ...]) -> tuple[int, float, float]:
    """Return what orders are compared by, the best being least; an order that cannot be counted comes last."""
    starts = task.starts_of(order) if order else None
    if starts is None:
        return 0, 0.0, 0.0
    return -len(order), _apart(task.cost_s(order, starts)), _apart(task.driven_s(order))


def _apart(seconds: float) -> float:
    """To a tenth of a millisecond, so that rounding does not choose between equals: the first of them stays."""
    return float(round(seconds, 4))


def _over_subsets(task: CountingTask) -> Iterator[tuple[int, ...]]:
    """Yield orders of which the best is the best of all.

    One table over the sets of points is enough where the first point asks for nothing of its own (lead-in, time from
    its start).
    """
    # The route's own order first: among equals it is kept.
    yield tuple(range(task.points))
    if task.within_minutes is not None or (task.lead_in_s != task.lead_in_s[0]).any():
        yield from _by_first_point(task)
        return
    table = earliest_ends(task.first_starts + task.stay_s, task.legs_s, task.opens, task.closes, task.stay_s)
    yield _cheapest(table, task.lead_out_s)


def _by_first_point(task: CountingTask) -> Iterator[tuple[int, ...]]:
    """Yield the best orders from one first point after the other, while one may still be better than all before."""
    firsts = FirstPoints.of(task)
    best = _rank(task, ())
    for first in np.lexsort((firsts.least_s, -firsts.most)).tolist():
        most = int(firsts.most[first])
        bound = (-most, _apart(firsts.least_s[first]))
        if best[:2] <= bound:
            return
        # The shortest order may keep every window as it is: that saves a table.
        order = firsts.shortest_from(first)
        yield order
        best = min(best, _rank(task, order))
        if best[:2] > bound:
            order = _starting_at(task, first, most)
            yield order
            best = min(best, _rank(task, order))


def _starting_at(task: CountingTask, first: int, most: int) -> tuple[int, ...]:
    """Return the best order that begins at one point; none counts more than ``most`` points."""
    # The first point being settled, the table is over the others: half as large.
    others = np.delete(np.arange(task.points), first)
    opens, closes = task.opens[others], np.minimum(task.closes[others], task.latest_ends[first])
    leaves = task.first_starts[first] + task.stay_s
    ends = np.maximum(leaves + task.legs_s[first, others], opens) + task.stay_s
    ends[ends > closes] = np.inf
    table = earliest_ends(ends, task.legs_s[np.ix_(others, others)], opens, closes, task.stay_s, most=most - 1)
    return first, *others[list(_cheapest(table, task.lead_out_s[others]))].tolist()


def _cheapest(table: EarliestEnds, lead_out_s: FloatArray) -> tuple[int, ...]:
    """Return the order with most points, then least end and lead-out."""
    if not table.most:
        return ()
    ends = table.least(table.most)
    # Where no lead-out is finite, the earliest end.
    return table.way(table.most, int(np.lexsort((ends, ends + lead_out_s))[0]))
