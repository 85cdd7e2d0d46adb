"""Pricing that remembers: a route is priced anew only when prices or limits of its own people have changed."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from planner.scheduling.engine.costing import Prices
from planner.scheduling.engine.instance import IntArray
from planner.scheduling.engine.pricing import Priced
from planner.scheduling.engine.season_pricing import SeasonPricer
from planner.scheduling.problem import BoolArray, FloatArray


class RememberingPricer:
    """Prices routes as the season's pricer does, without demands."""

    def __init__(self, pricer: SeasonPricer) -> None:
        """Begin with nothing known.

        Args:
            pricer: of the season.
        """
        self._pricer = pricer
        self._known: dict[int, Priced] = {}
        self._asked: tuple[Prices, IntArray] | None = None

    def price(
        self, numbers: Sequence[int], prices: Prices, limit: IntArray, *, floors: FloatArray, exact: bool
    ) -> list[Priced]:
        """Return the best column of each route; arguments as of the season's pricer."""
        stale = self._stale(prices, limit)
        self._asked = prices, limit
        self._known = {number: priced for number, priced in self._known.items() if not stale[number]}
        anew = [place for place, number in enumerate(numbers) if not self._holds(number, float(floors[place]), exact)]
        asked = [numbers[place] for place in anew]
        priced = self._pricer.price(asked, prices, limit, floors=floors[anew], exact=exact)
        self._known |= zip(asked, priced, strict=True)
        return [self._known[number] for number in numbers]

    def _holds(self, number: int, floor: float, exact: bool) -> bool:
        known = self._known.get(number)
        return known is not None and (known.exact or known.value >= floor or not exact)

    def _stale(self, prices: Prices, limit: IntArray) -> BoolArray:
        """Return the routes with somebody whose prices or limit have changed, shape (routes,)."""
        if self._asked is None:
            return np.ones(len(self._pricer.routes), dtype=np.bool_)
        before, limit_before = self._asked
        if (before.filled, before.reserved) != (prices.filled, prices.reserved):
            return np.ones(len(self._pricer.routes), dtype=np.bool_)
        changed = (before.days != prices.days).any(axis=1)
        changed |= (before.visits != prices.visits) | (before.twice != prices.twice) | (limit_before != limit)
        return self._pricer.touching(changed)
