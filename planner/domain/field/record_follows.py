"""What the protocol says follows from the records of a visit: nothing, the rest, or the whole visit again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planner.domain.counting import OrderRule
from planner.domain.disruption import Remains, remains


@dataclass(frozen=True, slots=True)
class Follows:
    """What is left of a visit after its records."""

    asked: Remains
    standing: tuple[int, ...]
    """Points that count, in the route's order."""
    left: tuple[int, ...]
    """Points that are still to be counted: the others, or all where the whole visit is made again; none where the
    visit stands."""


def follows(rule: OrderRule, points: Sequence[int], evenings: Sequence[Sequence[int]]) -> Follows:
    """Return what the protocol asks after some evenings of one visit.

    Where a route may be finished on another day, evenings are put together from the first on that by itself had
    points enough for that; else, and where none had, the evening with most points stands alone.

    Args:
        rule: whether a route may be finished on another day, and how many points are enough.
        points: all points of the route.
        evenings: the points that count of each evening, the earliest first.
    """
    standing = _standing(rule, evenings)
    counted = tuple(point for point in points if point in standing)
    asked = Remains.NOTHING if points and len(counted) == len(points) else remains(rule, len(counted))
    rest = tuple(point for point in points if point not in standing)
    left = {Remains.NOTHING: (), Remains.REST: rest, Remains.WHOLE: tuple(points)}[asked]
    return Follows(asked, counted, left)


def _standing(rule: OrderRule, evenings: Sequence[Sequence[int]]) -> frozenset[int]:
    if rule.finish_another_day:
        for number, evening in enumerate(evenings):
            if len(evening) >= max(rule.least_points, 1):
                return frozenset(point for one in evenings[number:] for point in one)
    return max(map(frozenset, evenings), key=len, default=frozenset())
