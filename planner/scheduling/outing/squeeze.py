"""What would be left for habitat if it were squeezed between the counts: why a habitat round of its own is needed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import numpy.typing as npt

from planner.domain.outing import Squeeze
from planner.scheduling.outing.orders import best_order
from planner.scheduling.outing.passes import PassSpan, string_of_pass, task_of_pass
from planner.scheduling.outing.runs import RunRule, run_orders
from planner.scheduling.outing.shortest import ShortestOrders
from planner.scheduling.outing.task import CountingTask

_HALVINGS = 30


def squeeze(task: CountingTask, span: PassSpan, habitat_minutes: float) -> tuple[float, tuple[int, ...]]:
    """Return the minutes left for habitat at each point between the counts of one pass, and the points then lost.

    Habitat at the first point can be done before the window opens, so n counts have n - 1 pieces of habitat
    between them. Minutes left are the most at which every count still fits, in the best order; 0 where the counts
    alone do not fit; the whole margin where there is only one point. The points lost are those without a count
    inside the window when each piece takes ``habitat_minutes``.
    """
    lost = sorted(set(range(task.points)) - set(order_between(task, span, habitat_minutes)))
    return _minutes_left(task_of_pass(task, span, _string(task, span))), tuple(lost)


def order_between(task: CountingTask, span: PassSpan, habitat_minutes: float) -> tuple[int, ...]:
    """Return the best counting order of one pass with habitat at every point but the first between its counts."""
    at = _string(task, span)
    own = task_of_pass(task, span, at)
    best = best_order(replace(own, legs_minutes=own.legs_minutes + habitat_minutes))
    return tuple(int(at[point]) for point in best.order)


def _string(task: CountingTask, span: PassSpan) -> npt.NDArray[np.int64]:
    """Return the places of all points in the order of the pass, which is the route's own where that is free."""
    string = string_of_pass(span.rule.direction, span.rule.direction, tuple(range(task.points)))
    return np.asarray(string, dtype=np.int64)


def _minutes_left(task: CountingTask) -> float:
    """Return the most minutes that can be put into every leg with all counts still inside, by halving."""
    orders = np.asarray(ShortestOrders(task.legs_s, task.direction).whole, dtype=np.int64)
    opens, closes = task.open_s[None, :], task.close_s[None, :]

    def slack(minutes: float) -> float:
        rule = RunRule(task.legs_s + minutes * 60.0, task.stay_s, task.start, task.within_minutes)
        return float(np.fmax.reduce(run_orders(rule, orders, opens, closes).slack_s, axis=None))

    if not orders.size or not slack(0.0) >= 0.0:
        return 0.0
    if task.points == 1:
        return slack(0.0) / 60.0
    low, high = 0.0, slack(0.0) / 60.0 + float(np.nanmax(task.open_s) - np.nanmin(task.open_s)) / 60.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if slack(middle) >= 0.0 else (low, middle)
    return low


def in_words_of(numbers: tuple[int, ...], left: float, lost: tuple[int, ...]) -> Squeeze:
    """Return the squeeze with the points' own numbers."""
    return Squeeze(left, tuple(numbers[point] for point in lost))
