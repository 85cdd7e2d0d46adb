"""Column generation: solve the master's relaxation over all columns there are, and prove a bound on the way.

The bound is Lagrange's: the best columns of all routes at given prices, less what the prices would collect. It
holds for any prices of 0 or more, so the tolerances of the linear solver cannot harm it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from planner.scheduling.engine.column import Column
from planner.scheduling.engine.costing import Prices
from planner.scheduling.engine.instance import IntArray, Room, Totals
from planner.scheduling.engine.master import NO_TOTALS, Master, MasterResult, step_costs
from planner.scheduling.engine.pricing import Priced

CLOSE_ENOUGH = 0.01
"""Pricing ends when relaxation and bound are this close: a hundredth of a minute of driving."""

_GAIN = 1e-6
_SMOOTHING = 0.5
"""Share of the best prices so far in the prices that are tried (Wentges 1997): it damps their swinging."""

Watch = Callable[[float, float], None]
"""Told objective and bound after each round; raises to stop."""


@dataclass(slots=True)
class Relaxed:
    """The relaxation as far as it was solved."""

    result: MasterResult
    bound: float = -np.inf
    """No choice of whole columns costs less; -inf until it is known."""
    best_prices: Prices | None = None
    """The prices that prove the bound."""


@dataclass(frozen=True, slots=True, eq=False)
class RelaxLimits:
    """When to end, and where to begin."""

    rounds: int = 500
    offset: float = 0.0
    """What columns that are settled already add to the objective, loads included."""
    cutoff: float = np.inf
    """A bound this high ends it: nothing better than what is known can be found."""
    centre: Prices | None = None
    """Prices that are likely good; None: those of the columns known so far."""
    smoothed: bool = True
    """Whether prices are smoothed. Where few of them change, unsmoothed ones spare most routes a new pricing."""


class Pricer(Protocol):
    """What prices the columns of one route."""

    @property
    def number(self) -> int:
        """Which route."""

    def price(self, prices: Prices, limit: IntArray) -> Priced:
        """Return the best column, exactly, and a few more."""


def closed_prices(prices: Prices, room: Room) -> Prices:
    """Return the prices with what is taken closed."""
    days, visits = np.where(room.closed, np.inf, prices.days), np.where(room.limit <= 0, np.inf, prices.visits)
    return replace(prices, days=days, visits=visits)


def lagrange_bound(values: Sequence[float], prices: Prices, room: Room, totals: Totals = NO_TOTALS) -> float:
    """Return the bound that the routes' best values prove at prices.

    Args:
        values: of each route, 0 or less.
        prices: finite, 0 or more.
        room: limits and loads.
        totals: bounds on visits filled and reserved; a price above 0 is for the most, one below 0 for the least.
    """
    pairs = zip(step_costs(room), prices.visits, strict=True)
    steps = sum(float(np.minimum(costs - price, 0.0).sum()) for costs, price in pairs)
    least = (prices.filled, totals.filled_least), (prices.reserved, totals.reserved_least)
    most = (prices.filled, totals.filled_most), (prices.reserved, totals.reserved_most)
    collected = sum(min(price, 0.0) * (bound or 0) for price, bound in least)
    collected += sum(max(price, 0.0) * (bound or 0) for price, bound in most)
    return sum(values) - float(prices.days[~room.closed].sum()) + steps - collected


def relax(
    master: Master,
    pricers: Sequence[Pricer],
    room: Room,
    watch: Watch,
    limits: RelaxLimits | None = None,
) -> Relaxed:
    """Add columns until no route has a better one, or the rounds are used up.

    Args:
        master: with the columns known so far; grows.
        pricers: of the routes that are open.
        room: days and visits still free for them.
        watch: told after each round.
        limits: when to end early; None: at the proof.
    """
    limits = limits or RelaxLimits()
    best = Relaxed(master.solve())
    centre = limits.centre or best.result.prices
    for _ in range(limits.rounds):
        tried = _between(centre, best.result.prices) if limits.smoothed else best.result.prices
        bound, found = _price_all(pricers, tried, room, master.totals)
        added = master.add([one for one in found if best.result.reduced(one) < -_GAIN])
        if not added and limits.smoothed:
            # The smoothed prices may have misled: only the relaxation's own can end the search.
            tried = best.result.prices
            bound, found = _price_all(pricers, tried, room, master.totals)
            added = master.add([one for one in found if best.result.reduced(one) < -_GAIN])
        if bound + limits.offset > best.bound:
            best.bound, best.best_prices, centre = bound + limits.offset, tried, tried
        if added:
            best.result = master.solve()
        watch(best.result.objective, best.bound)
        if not added or best.result.objective - best.bound < CLOSE_ENOUGH or best.bound >= limits.cutoff:
            break
    return best


def _price_all(pricers: Sequence[Pricer], prices: Prices, room: Room, totals: Totals) -> tuple[float, list[Column]]:
    """Return the bound at prices, and the good columns of every route."""
    closed = closed_prices(prices, room)
    priced = [pricer.price(closed, room.limit) for pricer in pricers]
    bound = lagrange_bound([one.value for one in priced], prices, room, totals)
    return bound, [column for one in priced for column in one.columns]


def _between(centre: Prices, latest: Prices) -> Prices:
    share = _SMOOTHING
    return Prices(
        share * centre.days + (1 - share) * latest.days,
        share * centre.visits + (1 - share) * latest.visits,
        share * centre.filled + (1 - share) * latest.filled,
        share * centre.reserved + (1 - share) * latest.reserved,
    )
