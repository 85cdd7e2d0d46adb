"""The numbers of a route's points, and the order they give: holes, and an order that drives too much."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy.sparse.csgraph import minimum_spanning_tree

from planner.domain.counting import Direction
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.route import Route
from planner.scheduling.outing.shortest import ShortestOrders
from planner.usecases.route_checks.facts import FloatArray
from planner.usecases.wording import runs

LEAST_SAVED_MINUTES = 3.0
LEAST_SAVED_SHARE = 0.15
"""An order is worth a word where a better one saves so many minutes and such a share of the drive: our choice."""


@dataclass(frozen=True, slots=True)
class BetterOrder:
    """An order of points, by place in the route, and the drive through all of them."""

    order: tuple[int, ...]
    minutes: float
    now_minutes: float
    """In the order of the numbers; from either end where the protocol leaves that open."""

    @property
    def saved_minutes(self) -> float:
        """What it takes less."""
        return self.now_minutes - self.minutes


def better_order(legs: FloatArray, direction: Direction) -> BetterOrder | None:
    """Return an order of points that saves much of the drive; None where there is none, or a leg has no road.

    Where the protocol fixes the direction, point 1 stays the first; where points may be counted in any order, the
    outing is timed in the best one anyway and their numbers cost nothing. Proven for up to 15 points.

    Args:
        legs: minutes from point to point, shape (points, points).
        direction: the protocol's order rule.
    """
    if direction is Direction.ANY or len(legs) < 4 or not np.isfinite(legs).all():
        return None
    forward = tuple(range(len(legs)))
    ways = [forward] if direction is Direction.FIXED else [forward, forward[::-1]]
    now = min(_minutes(legs, way) for way in ways)
    if not _much(now, _at_least(legs)):
        return None
    orders = [
        order for order in ShortestOrders(legs, Direction.ANY).whole if direction is Direction.EITHER or not order[0]
    ]
    best = min(orders, key=lambda order: _minutes(legs, order), default=forward)
    least = _minutes(legs, best)
    if not _much(now, least):
        return None
    if direction is Direction.EITHER and _minutes(legs, best[::-1]) <= least + _SAME_MINUTES:
        best = min(best, best[::-1], key=lambda order: order.index(0))
    return BetterOrder(best, least, now)


def order_finding(route: Route, better: BetterOrder) -> Finding:
    """Say that another order of a route's points drives less."""
    order = runs([route.points[place].number for place in better.order])
    what = (
        f"Points out of order: by their numbers they take {better.now_minutes:.0f} min of driving, in the order"
        f" {order} they take {better.minutes:.0f} min: {better.saved_minutes:.0f} min saved."
    )
    todo = "Number them in that order, unless they must be counted as they are; papers and markers get the new numbers."
    return Finding(Rule.ROUTE_ORDER, Severity.DOUBT, Subject(route=route.code), what, todo)


def number_findings(route: Route, said: AbstractSet[int]) -> Iterator[Finding]:
    """Yield a finding where numbers are missing.

    Args:
        route: the route.
        said: numbers of which another finding says already that they are missing.
    """
    numbers = sorted(point.number for point in route.points)
    missing = [number for number in missing_numbers(numbers) if number not in said]
    if not missing:
        return
    if missing[-1] < numbers[0]:
        what = f"The points of route {route.code} are numbered from {numbers[0]} on, not from 1."
    else:
        many = len(missing) > 1
        what = (
            f"Route {route.code} has no point{'s' if many else ''} {runs(missing)}:"
            f" its {len(numbers)} points are numbered up to {numbers[-1]}."
        )
    todo = "Look whether one was lost on the way; where it was left out on purpose, leave it or number the points anew."
    yield Finding(Rule.ROUTE_NUMBERS, Severity.NOTE, Subject(route=route.code), what, todo)


def missing_numbers(numbers: Sequence[int]) -> list[int]:
    """Return the numbers from 1 to the highest that no point has; none where they go up in even steps (1, 3, 5 …)."""
    ordered = sorted(numbers)
    steps = {after - before for before, after in pairwise(ordered)}
    if len(ordered) > 2 and len(steps) == 1 and steps != {1}:
        return []
    return sorted(set(range(1, max(ordered, default=0) + 1)) - set(ordered))


def _minutes(legs: FloatArray, order: Sequence[int]) -> float:
    return float(sum(legs[here, there] for here, there in pairwise(order)))


def _much(now: float, then: float) -> bool:
    return now - then >= max(LEAST_SAVED_MINUTES, LEAST_SAVED_SHARE * now)


def _at_least(legs: FloatArray) -> float:
    """Return what no order can take less than: the lightest tree that joins all points. It spares most searches."""
    either_way = np.minimum(legs, legs.T)
    # SciPy takes a cell of zero for no edge at all.
    return float(minimum_spanning_tree(np.maximum(either_way, _NO_ZERO)).sum()) - _NO_ZERO * len(legs)


_NO_ZERO = 1e-9
_SAME_MINUTES = 0.05
"""Three seconds: less is noise of the road map."""
