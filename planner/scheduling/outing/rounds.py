"""The round over all points in daylight, for habitat or for set-up: the best one for each point it may end at."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.scheduling.outing.strings import good_strings
from planner.scheduling.outing.subsets import MOST_POINTS, shortest_ways
from planner.scheduling.problem import FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Rounds:
    """The best round to each end: minutes from leaving home to the end of the work at the last point."""

    minutes: FloatArray
    """By last point, shape (points,); inf where no round ends there."""
    orders: tuple[tuple[int, ...], ...]
    """By last point; empty where no round ends there."""

    def lead_in(self, legs: FloatArray) -> FloatArray:
        """Return the least minutes from leaving home to standing at each point with the round done, shape (points,)."""
        return np.asarray((self.minutes[:, None] + _onward(legs)).min(axis=0), dtype=np.float64)

    def leading_to(self, point: int, legs: FloatArray) -> tuple[int, ...]:
        """Return the order of the round after which the given point is reached soonest."""
        return self.orders[int(np.argmin(self.minutes + _onward(legs)[:, point]))]


def rounds_from_home(legs: FloatArray, out: FloatArray, work_minutes: float) -> Rounds:
    """Return the best round over all points for each point it may end at.

    Exact up to 15 points; above that the rounds are the route's own order both ways and short ones mended from
    them, and most points end none of them.

    Args:
        legs: minutes from point (row) to point (column), shape (points, points).
        out: minutes from home to each point, shape (points,).
        work_minutes: minutes of work at each point.
    """
    points = len(out)
    if points > MOST_POINTS:
        return _few_rounds(legs, out, work_minutes)
    table = shortest_ways(out + work_minutes, legs, work_minutes)
    return Rounds(table.least(points), tuple(table.way(points, last) for last in range(points)))


def _few_rounds(legs: FloatArray, out: FloatArray, work_minutes: float) -> Rounds:
    points = len(out)
    minutes = np.full(points, np.inf)
    orders: list[tuple[int, ...]] = [()] * points
    for order in good_strings(legs, out, np.zeros(points)):
        at = np.asarray(order)
        took = out[at[0]] + legs[at[:-1], at[1:]].sum() + work_minutes * points
        if took < minutes[at[-1]]:
            minutes[at[-1]], orders[at[-1]] = took, order
    return Rounds(minutes, tuple(orders))


def _onward(legs: FloatArray) -> FloatArray:
    """Return the legs with nothing to drive for staying where one is."""
    onward = legs.copy()
    np.fill_diagonal(onward, 0.0)
    return onward
