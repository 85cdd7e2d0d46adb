"""Counting orders that are shortest whatever the date: the few that can be best when only the light differs."""

from __future__ import annotations

from functools import cached_property

import numpy as np

from planner.domain.counting import Direction
from planner.scheduling.outing.strings import good_strings
from planner.scheduling.outing.subsets import MOST_POINTS, EarliestEnds, shortest_ways
from planner.scheduling.problem import FloatArray

Order = tuple[int, ...]


class ShortestOrders:
    """The shortest orders of one route under its order rule, of all points and of fewer."""

    def __init__(self, legs: FloatArray, direction: Direction) -> None:
        """Keep what is needed; orders are found when asked for.

        Args:
            legs: time from point (row) to point (column), shape (n, n).
            direction: the protocol's order rule.
        """
        self._legs = legs
        self._direction = direction
        self.points = len(legs)

    @property
    def _by_subsets(self) -> bool:
        return self._direction is Direction.ANY and self.points <= MOST_POINTS

    @cached_property
    def _table(self) -> EarliestEnds:
        """The least driving to each last point."""
        return shortest_ways(np.zeros(self.points), self._legs, 0.0)

    @cached_property
    def whole(self) -> tuple[Order, ...]:
        """Orders of all points: the shortest to each last point and from each first one; at most 2n, or both ways."""
        if not self._by_subsets:
            return tuple(self._strings)
        turned = shortest_ways(np.zeros(self.points), self._legs.T, 0.0)
        to = [self._table.way(self.points, last) for last in range(self.points)]
        back = [turned.way(self.points, first)[::-1] for first in range(self.points)]
        return tuple(order for order in dict.fromkeys(to + back) if order)

    @cached_property
    def _strings(self) -> list[Order]:
        forward = tuple(range(self.points))
        if self._direction is Direction.FIXED:
            return [forward]
        if self._direction is Direction.EITHER:
            return [forward, forward[::-1]]
        none = np.zeros(self.points)
        return good_strings(self._legs, none, none)

    def of_size(self, size: int) -> tuple[Order, ...]:
        """Return the shortest orders of that many points."""
        if size == self.points:
            return self.whole
        if self._by_subsets:
            found = [self._table.way(size, int(np.argmin(self._table.least(size))))]
        else:
            found = [order for string in self._strings for order in self._along(string, size)]
        return tuple(order for order in dict.fromkeys(found) if order)

    def _along(self, string: Order, size: int) -> list[Order]:
        """Return the shortest way along a string that leaves all but ``size`` points out, if there is a way."""
        at = np.asarray(string)
        legs = self._legs[np.ix_(at, at)].copy()
        legs[np.tril_indices(self.points)] = np.inf
        lengths, before = np.zeros(self.points), []
        for _ in range(size - 1):
            through = lengths[:, None] + legs
            before.append(through.argmin(axis=0))
            lengths = through.min(axis=0)
        places = [int(np.argmin(lengths))]
        if not np.isfinite(lengths[places[0]]):
            return []
        for step in reversed(before):
            places.append(int(step[places[-1]]))
        return [tuple(int(at[place]) for place in reversed(places))]
