"""One route that lacks something, looked at with everything else in the plan as it stands."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.domain.plan import Plan, VisitKey
from planner.domain.route import Route
from planner.scheduling.engine.arrays import SeasonArrays
from planner.scheduling.engine.cases import STRICT, Ease, given_to, route_case
from planner.scheduling.engine.column import Column
from planner.scheduling.engine.costing import Prices
from planner.scheduling.engine.instance import Room, RouteCase
from planner.scheduling.engine.pricing import RoutePricer

_OPENED_FOR_VISIT, _OPENED_FOR_RESERVE = 5_000.0, 300.0
"""Price of a day that was not given: less than what it is opened for is worth, more than any saving."""


@dataclass(frozen=True, slots=True, eq=False)
class Lack:
    """A visit that is unfilled, or without a reserve date, in a plan."""

    arrays: SeasonArrays
    route: Route
    key: VisitKey
    room: Room
    """What all other routes leave."""
    filled: int
    """Open visits of the route that the plan fills."""
    reserved: int
    reserve_only: bool

    @classmethod
    def of(cls, arrays: SeasonArrays, plan: Plan, key: VisitKey) -> Lack:
        """Return what a visit lacks in a plan."""
        stands = arrays.fixed.by_key
        own = [visit for visit in plan.of_route(key.route) if visit.key not in stands]
        others = Plan(tuple(visit for visit in plan if visit not in own))
        return cls(
            arrays=arrays,
            route=arrays.season.route(key.route),
            key=key,
            room=arrays.room_beside(others),
            filled=len(own),
            reserved=sum(visit.reserve is not None for visit in own),
            reserve_only=any(visit.key == key for visit in own),
        )

    def case(self, ease: Ease = STRICT) -> RouteCase:
        """Return the route in arrays, some rules eased."""
        return route_case(self.arrays, self.route, self.room, ease)

    def mended(self, ease: Ease = STRICT) -> Column | None:
        """Return the best plan of the route with rules eased, if it mends the visit and costs no other."""
        return self.mended_in(self.case(ease), ease)

    def mended_in(self, case: RouteCase, ease: Ease = STRICT) -> Column | None:
        """Return the best plan of a route in arrays, if it mends the visit and costs no other."""
        limit = self.room.limit.copy()
        limit[list(ease.another_visit)] += 1
        opened = np.zeros(self.room.closed.shape, dtype=np.bool_)
        for volunteer in ease.any_day:
            opened[volunteer] = True
            for part in {window.part for window in self.arrays.protocol.windows}:
                opened[volunteer] &= ~self.arrays.given[part][volunteer]
        price = _OPENED_FOR_RESERVE if self.reserve_only else _OPENED_FOR_VISIT
        days = np.where(self.room.closed, np.inf, np.where(opened, price, 0.0))
        prices = Prices(days, np.where(limit <= 0, np.inf, 0.0), np.zeros(len(limit)))
        found = RoutePricer(0, case, len(self.arrays.problem.days)).price(prices, limit).columns
        return next((column for column in found[:1] if self._mends(column)), None)

    def _mends(self, column: Column) -> bool:
        choice = column.choices[self.key.number - 1]
        if choice is None or column.filled < self.filled + (not self.reserve_only):
            return False
        return not self.reserve_only or (choice.reserved and column.reserved > self.reserved)

    def opened_days(self, column: Column, volunteer: int) -> list[tuple[int, str]]:
        """Return the days of a plan of the route that a volunteer has not given, each with its part of the day."""
        windows, setup = self.arrays.protocol.windows, self.arrays.protocol.setup
        needed = [
            (day, windows[choice.window].part)
            for choice in column.choices
            if choice is not None and volunteer in choice.people
            for day in sorted({choice.date, choice.last})
        ]
        first = column.choices[0]
        if first is not None and first.lead == volunteer and column.setup >= 0 and setup is not None:
            needed.append((column.setup, setup.part))
        return [(day, part.value) for day, part in needed if not given_to(self.arrays, part, STRICT)[volunteer, day]]
