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
from planner.scheduling.problem import FloatArray

CLOSE_ENOUGH = 0.01
"""Pricing ends when relaxation and bound are this close: a hundredth of a minute of driving."""

_GAIN = 1e-6
_STALLED = 0.1
"""A round that gains less than that share of what counts as close is followed by an exact one."""

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
    close: float = CLOSE_ENOUGH
    """Relaxation and bound this close end it."""
    centre: Prices | None = None
    """Prices that are likely good; None: those of the columns known so far."""
    smoothed: bool = True
    """Whether prices are smoothed. Where few of them change, unsmoothed ones spare most routes a new pricing."""


class Pricing(Protocol):
    """What prices routes."""

    def price(
        self, numbers: Sequence[int], prices: Prices, limit: IntArray, *, floors: FloatArray, exact: bool
    ) -> list[Priced]:
        """Return the best column of each route and a few more; exact where it is below its floor, if that is asked."""


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """The routes to be relaxed, and what is free for them."""

    pricer: Pricing
    numbers: Sequence[int]
    room: Room
    load_weight: float


def closed_prices(prices: Prices, room: Room) -> Prices:
    """Return the prices with what is taken closed."""
    days, visits = np.where(room.closed, np.inf, prices.days), np.where(room.limit <= 0, np.inf, prices.visits)
    return replace(prices, days=days, visits=visits)


def lagrange_bound(
    values: Sequence[float], prices: Prices, room: Room, load_weight: float, totals: Totals = NO_TOTALS
) -> float:
    """Return the bound that the routes' best values prove at prices.

    Args:
        values: of each route, 0 or less.
        prices: finite, 0 or more.
        room: limits and loads.
        load_weight: of the square of each load.
        totals: bounds on visits filled and reserved; a price above 0 is for the most, one below 0 for the least.
    """
    costs = step_costs(room, load_weight) - prices.visits[:, None]
    costs[:, 1::2] -= prices.twice[:, None]
    steps = float(np.minimum(costs, 0.0).sum())
    least = (prices.filled, totals.filled_least), (prices.reserved, totals.reserved_least)
    most = (prices.filled, totals.filled_most), (prices.reserved, totals.reserved_most)
    collected = sum(min(price, 0.0) * (bound or 0) for price, bound in least)
    collected += sum(max(price, 0.0) * (bound or 0) for price, bound in most)
    return sum(values) - float(prices.days[~room.closed].sum()) + steps - collected


@dataclass(frozen=True, slots=True, eq=False)
class _Tried:
    """Prices with those of the routes' places."""

    prices: Prices
    routes: FloatArray

    def towards(self, other: _Tried) -> _Tried:
        """Return prices between these and others."""
        share = _SMOOTHING
        mine, its = self.prices, other.prices
        return _Tried(
            Prices(
                share * mine.days + (1 - share) * its.days,
                share * mine.visits + (1 - share) * its.visits,
                share * mine.twice + (1 - share) * its.twice,
                share * mine.filled + (1 - share) * its.filled,
                share * mine.reserved + (1 - share) * its.reserved,
            ),
            share * self.routes + (1 - share) * other.routes,
        )


def relax(master: Master, ground: Ground, watch: Watch, limits: RelaxLimits | None = None) -> Relaxed:
    """Add columns until no route has a better one, or the rounds are used up.

    Args:
        master: with the columns known so far; grows.
        ground: the routes that are open.
        watch: told after each round.
        limits: when to end early; None: at the proof.
    """
    limits = limits or RelaxLimits()
    best = Relaxed(master.solve())
    latest = _Tried(best.result.prices, best.result.routes)
    centre = latest if limits.centre is None else _Tried(limits.centre, latest.routes)
    stalled = False
    for _ in range(limits.rounds):
        before = best.result.objective
        tried = centre.towards(latest) if limits.smoothed else latest
        bound, found = _price_all(ground, tried, master.totals, exact=stalled)
        added = master.add(one for one in found if best.result.reduced(one) < -_GAIN)
        if not added:
            # The smoothed prices may have misled, or the rough pricing: only the relaxation's own can end the search.
            tried = latest
            bound, found = _price_all(ground, tried, master.totals, exact=True)
            added = master.add(one for one in found if best.result.reduced(one) < -_GAIN)
        if bound + limits.offset > best.bound:
            best.bound, best.best_prices, centre = bound + limits.offset, tried.prices, tried
        if added:
            best.result = master.solve()
            latest = _Tried(best.result.prices, best.result.routes)
        # Where the relaxation hardly gains any more, only exact values can bring the bound up to it.
        stalled = before - best.result.objective < _STALLED * limits.close
        watch(best.result.objective, best.bound)
        if not added or best.result.objective - best.bound < limits.close or best.bound >= limits.cutoff:
            break
    return best


def _price_all(ground: Ground, tried: _Tried, totals: Totals, *, exact: bool) -> tuple[float, list[Column]]:
    """Return the bound at prices, and the good columns of every route."""
    closed = closed_prices(tried.prices, ground.room)
    floors = -tried.routes[list(ground.numbers)]
    priced = ground.pricer.price(ground.numbers, closed, ground.room.limit, floors=floors, exact=exact)
    bound = lagrange_bound([one.value for one in priced], tried.prices, ground.room, ground.load_weight, totals)
    return bound, [column for one in priced for column in one.columns]
