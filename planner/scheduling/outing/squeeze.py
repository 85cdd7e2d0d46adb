"""What would be left for habitat if it were squeezed between the counts: why a habitat round of its own is needed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import numpy.typing as npt

from planner.domain.outing import Squeeze
from planner.scheduling.outing.orders import best_order
from planner.scheduling.outing.passes import PassSpan, string_of_pass, task_of_pass
from planner.scheduling.outing.runs import IntArray
from planner.scheduling.outing.shortest import ShortestOrders
from planner.scheduling.outing.task import CountingTask
from planner.scheduling.problem import FloatArray


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
    """Return the most minutes that can be put into every leg with all counts still inside.

    In a given order the count at place i ends when the latest of the openings at places j up to i is past, with the
    legs and counts between: each pair of places bounds the minutes put into the i - j legs between them.
    """
    orders = np.asarray(ShortestOrders(task.legs_s, task.direction).whole, dtype=np.int64)
    if not orders.size:
        return 0.0
    room_s = _room_s(task, orders)
    slack_s = room_s.min(axis=(1, 2))
    if task.points > 1:
        places = np.arange(task.points)
        legs_between = places[:, None] - places
        apart = legs_between > 0
        most_s = (room_s[:, apart] / legs_between[apart]).min(axis=1)
    else:
        most_s = slack_s
    return max(0.0, float(np.fmax.reduce(np.where(slack_s >= 0.0, most_s, 0.0))) / 60.0)


def _room_s(task: CountingTask, orders: IntArray) -> FloatArray:
    """Return the time to spare at place i if counting had to wait at place j: shape (orders, places i, places j).

    Infinite where j comes after i; NaN on an order with a point that has no window.
    """
    opens, closes = task.open_s[orders], task.close_s[orders]
    if task.within_minutes is not None:
        closes = np.minimum(closes, opens[:, :1] + task.within_minutes * 60.0)
    on_the_way = np.zeros(orders.shape)
    on_the_way[:, 1:] = np.cumsum(task.legs_s[orders[:, :-1], orders[:, 1:]] + task.stay_s, axis=1)
    room_s = (closes - task.stay_s - on_the_way)[:, :, None] - (opens - on_the_way)[:, None, :]
    places = np.arange(task.points)
    return np.where(places[:, None] >= places, room_s, np.inf)


def in_words_of(numbers: tuple[int, ...], left: float, lost: tuple[int, ...]) -> Squeeze:
    """Return the squeeze with the points' own numbers."""
    return Squeeze(left, tuple(numbers[point] for point in lost))
