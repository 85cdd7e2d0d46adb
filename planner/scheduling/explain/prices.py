"""What one more person would be worth, by the prices of the relaxation of the season's model.

A person who joins adds columns to every route they may lead or second. The most by which one of these would better the
relaxation, at its prices, is what that person is worth: no more than a guide, for only a few rounds of prices are
asked for, so nothing is said that was not verified by planning.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from planner.domain.plan import Plan
from planner.domain.route import Route
from planner.scheduling.engine.arrays import SeasonArrays
from planner.scheduling.engine.cases import route_case
from planner.scheduling.engine.compile import Compiled
from planner.scheduling.engine.costing import Prices
from planner.scheduling.engine.decode import columns_of
from planner.scheduling.engine.instance import Instance, Room
from planner.scheduling.engine.master import Master
from planner.scheduling.engine.relaxation import Ground, RelaxLimits, closed_prices, relax
from planner.scheduling.engine.season_pricing import SeasonPricer
from planner.scheduling.engine.weights import SEASON
from planner.scheduling.problem import BoolArray, FloatArray

_ROUTES = 24
"""Routes whose people and dates are priced; all others keep what they have."""

_ROUNDS = 25


@dataclass(frozen=True, slots=True, eq=False)
class Market:
    """The routes that lack visits and those that share most people with them, at the prices of the relaxation."""

    routes: tuple[Route, ...]
    room: Room
    prices: Prices
    places: FloatArray
    """What the place of each route costs."""

    @classmethod
    def of(cls, compiled: Compiled, plan: Plan, lacking: list[str], near: Mapping[str, frozenset[int]]) -> Market:
        """Return the market round routes that lack visits.

        Args:
            compiled: the season.
            plan: as it stands.
            lacking: codes of the routes.
            near: who lives near enough to each route with something to plan.
        """
        arrays = compiled.arrays
        wanted = frozenset[int]().union(*(near[code] for code in lacking))
        shared = {code: len(wanted & near[code]) / max(len(near[code]), 1) for code in near}
        order = sorted(near, key=lambda code: (code not in lacking, -shared[code], code))
        chosen = set(order[:_ROUTES])
        outside = [v for v in plan if v.key.route not in chosen or v.key in arrays.fixed.by_key]
        room = arrays.room_beside(Plan(tuple(outside)))
        routes = tuple(route for route in compiled.routes if route.code in chosen)
        cases = tuple(route_case(arrays, route, room) for route in routes)
        instance = Instance(len(arrays.problem.days), cases, room)
        master = Master(instance, room)
        master.add(columns_of(Compiled(instance, routes, arrays), plan).values())
        ground = Ground(SeasonPricer(instance), range(len(cases)), room, SEASON.load)
        relaxed = relax(master, ground, _watched, RelaxLimits(rounds=_ROUNDS))
        return cls(routes, room, relaxed.result.prices, relaxed.result.routes)


def _watched(_objective: float, _bound: float) -> None:
    """Let the relaxation go on."""


class Valuer:
    """Values somebody new in a market."""

    def __init__(self, market: Market, wider: SeasonArrays) -> None:
        """Prepare the routes with somebody new behind the volunteers.

        Args:
            market: routes and prices.
            wider: the season with somebody new.
        """
        self._market = market
        visits = len(wider.protocol.visits)
        room = market.room
        self._room = Room(
            np.concatenate([room.closed, np.zeros((1, room.closed.shape[1]), dtype=np.bool_)]),
            np.append(room.limit, visits),
            np.append(room.load, 0),
        )
        cases = tuple(route_case(wider, route, self._room) for route in market.routes)
        self._pricer = SeasonPricer(Instance(len(wider.problem.days), cases, self._room))

    def gains(self, days: BoolArray | None = None) -> FloatArray:
        """Return what somebody new could gain on each route, in minutes of driving, shape (routes,).

        Args:
            days: on which they come; None: on every day.
        """
        prices = self._market.prices
        own = np.zeros((1, prices.days.shape[1])) if days is None else np.where(days, 0.0, np.inf)[None]
        wider = Prices(
            np.concatenate([prices.days, own]),
            np.append(prices.visits, SEASON.load),
            np.append(prices.twice, 0.0),
            prices.filled,
            prices.reserved,
        )
        numbers = range(len(self._market.routes))
        priced = self._pricer.price(numbers, closed_prices(wider, self._room), self._room.limit, exact=False)
        best = [min((one.cost + wider.of(one) for one in found.columns), default=0.0) for found in priced]
        return np.asarray(np.maximum(-np.array(best) - self._market.places, 0.0))
