"""Other orders of a route's points: turned round, shortest, numbered anew."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from planner.domain.counting import Direction
from planner.domain.route import Point, Route
from planner.scheduling.outing.shortest import ShortestOrders
from planner.usecases.route_checks.facts import FloatArray
from planner.usecases.route_checks.numbering import better_order
from planner.usecases.route_fixes.fixes import Fix, FixKind
from planner.usecases.route_fixes.weighing import WeighedRoute

_LEAST_SAVED_MINUTES = 0.05
"""Three seconds: less is noise of the road map."""


def order_fixes(weighed: WeighedRoute) -> tuple[Fix, ...]:
    """Return what can be done to the order and the numbers of a route's points: only what would change them."""
    fixes = (reversed_order(weighed.route), shortest_order(weighed), renumbered(weighed.route))
    return tuple(fix for fix in fixes if fix is not None)


def reversed_order(route: Route) -> Fix | None:
    """Return the route counted from its other end; None below two points."""
    if len(route.points) < 2:
        return None
    return Fix(FixKind.REVERSE, route, _numbered(route, route.points[::-1]))


def renumbered(route: Route) -> Fix | None:
    """Return the route with points numbered 1, 2, 3 … in their order; None where they are already."""
    after = _numbered(route, route.points)
    return Fix(FixKind.RENUMBER, route, after) if after != route else None


def shortest_order(weighed: WeighedRoute) -> Fix | None:
    """Return the route in the order of the least driving; None where it is already, or roads do not join the points.

    Proven for up to 15 points; above, the best of a few good round trips.
    """
    route, facts = weighed.route, weighed.facts
    if facts is None or len(route.points) < 3 or not np.isfinite(facts.legs_minutes).all():
        return None
    legs = facts.legs_minutes
    as_it_is = tuple(range(len(route.points)))
    best = min(ShortestOrders(legs, Direction.ANY).whole, key=lambda order: _minutes(legs, order))
    if _minutes(legs, best) > _minutes(legs, as_it_is) - _LEAST_SAVED_MINUTES:
        return None
    best = _nearer(legs, best, as_it_is)
    return Fix(FixKind.REORDER, route, _numbered(route, [route.points[index] for index in best]))


def better_ordered(weighed: WeighedRoute) -> Fix | None:
    """Return the route in the order that the checks call better; None where there is none that is much better."""
    route, facts = weighed.route, weighed.facts
    direction = weighed.problem.season.protocol.order.direction
    better = better_order(facts.legs_minutes, direction) if facts is not None else None
    if better is None:
        return None
    return Fix(FixKind.REORDER, route, _numbered(route, [route.points[place] for place in better.order]))


def _nearer(legs: FloatArray, order: tuple[int, ...], as_it_is: tuple[int, ...]) -> tuple[int, ...]:
    """Return the order or its reverse, whichever begins nearer to where the route begins, if both take the same."""
    turned = order[::-1]
    if abs(_minutes(legs, turned) - _minutes(legs, order)) > _LEAST_SAVED_MINUTES:
        return order
    return min(order, turned, key=lambda one: one.index(as_it_is[0]))


def _minutes(legs: FloatArray, order: Sequence[int]) -> float:
    return float(sum(legs[here, there] for here, there in pairwise(order)))


def _numbered(route: Route, points: Sequence[Point]) -> Route:
    return replace(route, points=tuple(replace(point, number=number) for number, point in enumerate(points, start=1)))
