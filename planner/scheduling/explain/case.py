"""One route that lacks something, looked at with everything else in the plan as it stands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.route import Route
from planner.domain.volunteer import Volunteer
from planner.scheduling.engine.arrays import SeasonArrays
from planner.scheduling.engine.cases import STRICT, Ease, given_to, route_case
from planner.scheduling.engine.column import Choice, Column, column_of
from planner.scheduling.engine.compile import Compiled
from planner.scheduling.engine.costing import Prices
from planner.scheduling.engine.decode import visits_of
from planner.scheduling.engine.instance import Instance, IntArray, Room, RouteCase
from planner.scheduling.engine.pricing import RoutePricer
from planner.scheduling.engine.weights import SEASON
from planner.scheduling.problem import BoolArray, FloatArray

ASKED = 2_500.0
"""Price of a day or a visit that was not offered: so little that three are asked for if nothing less will do."""

MENDED = 200_000.0
"""What filling the visit in question is worth: more than all else about its route."""

FOR_RESERVES = replace(SEASON, filled=-40_000.0, reserved=-9_000.0)
"""Where only a reserve date is lacking it is worth asking for, and no visit is given up for it."""


@dataclass(frozen=True, slots=True, eq=False)
class Lack:
    """A visit that is unfilled, or without a reserve date, in a plan."""

    arrays: SeasonArrays
    """Of the season with somebody new behind its volunteers, who offers no visit."""
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
        """Return what a visit lacks in a plan.

        Args:
            arrays: of the season with somebody new.
            plan: the plan.
            key: the visit.
        """
        stands = arrays.fixed.by_key
        own = [visit for visit in plan.of_route(key.route) if visit.key not in stands]
        mine = {visit.key for visit in own}
        return cls(
            arrays=arrays,
            route=arrays.season.route(key.route),
            key=key,
            room=arrays.room_beside(Plan(tuple(visit for visit in plan if visit.key not in mine))),
            filled=len(own),
            reserved=sum(visit.reserve is not None for visit in own),
            reserve_only=key in mine,
        )

    @property
    def people(self) -> tuple[Volunteer, ...]:
        """The season's volunteers."""
        return self.arrays.season.volunteers[:-1]

    @property
    def going(self) -> int:
        """How many people must go."""
        return self.arrays.season.people_for(self.route)

    @property
    def newcomer(self) -> int:
        """The number of somebody new."""
        return len(self.people)

    def case(self, ease: Ease = STRICT) -> RouteCase:
        """Return the route in arrays, some rules eased, the visit in question worth more than all else."""
        case = route_case(self.arrays, self.route, self._room(ease), ease)
        return wanted(case, self.key.number - 1, reserve=self.reserve_only)

    def _room(self, ease: Ease) -> Room:
        """Return the room with a visit more for those who take one; somebody new takes as many as there are."""
        limit = self.room.limit.copy()
        limit[list(ease.another_visit)] += 1
        if self.newcomer in ease.another_visit:
            limit[self.newcomer] = len(self.arrays.protocol.visits)
        return replace(self.room, limit=limit)

    def mended(self, ease: Ease = STRICT) -> Column | None:
        """Return the plan of the route that asks for least with rules eased, if it mends the visit and costs no other.

        What somebody does not offer has a price; the rest of the plan is what it is without.
        """
        return self.mended_in(self.case(ease), ease)

    def mended_in(self, case: RouteCase, ease: Ease = STRICT) -> Column | None:
        """Return the plan of a route in arrays that asks for least, if it mends the visit and costs no other."""
        limit = self._room(ease).limit
        prices = Prices(self._day_prices(ease), self._visit_prices(ease, limit), np.zeros(len(limit)))
        found = RoutePricer(0, case, len(self.arrays.problem.days)).price(prices, limit).columns
        if not found or not self._mends(found[0]):
            return None
        return self._trimmed(case, found[0], prices)

    def _day_prices(self, ease: Ease) -> FloatArray:
        asked = np.zeros(self.room.closed.shape, dtype=np.bool_)
        people = list(ease.any_day)
        asked[people] = ~self._given_somehow()[people]
        return np.where(self.room.closed, np.inf, np.where(asked, ASKED, 0.0))

    def _given_somehow(self) -> BoolArray:
        parts = {window.part for window in self.arrays.protocol.windows}
        return np.asarray(np.any([self.arrays.given[part] for part in parts], axis=0))

    def _visit_prices(self, ease: Ease, limit: IntArray) -> FloatArray:
        prices = np.where(limit <= 0, np.inf, 0.0)
        for asked in (ease.drive, ease.trained, ease.equipped):
            prices[list(asked)] += ASKED
        prices[[v for v in ease.another_visit if self.room.limit[v] <= 0]] += ASKED
        return prices

    def _mends(self, column: Column) -> bool:
        choice = column.choices[self.key.number - 1]
        if choice is None or column.filled < self.filled + (not self.reserve_only):
            return False
        return not self.reserve_only or (choice.reserved and column.reserved > self.reserved)

    def _trimmed(self, case: RouteCase, column: Column, prices: Prices) -> Column:
        """Return a column without what else it asks for beside the visit in question, if that can be left out."""
        for k in case.open_visits:
            if k == self.key.number - 1:
                continue
            for less in _less(column.choices[k]):
                choices = (*column.choices[:k], less, *column.choices[k + 1 :])
                setup = column.setup if choices[0] is not None else -1
                leaner = column_of(0, case, choices, setup)
                if prices.of(leaner) < prices.of(column) and self._mends(leaner):
                    column = leaner
                    break
        return column

    def planned(self, column: Column) -> tuple[PlannedVisit, ...]:
        """Return the visits of a plan of the route."""
        instance = Instance(len(self.arrays.problem.days), (), self.room)
        return tuple(visits_of(Compiled(instance, (self.route,), self.arrays), column))

    def days_not_given(self, column: Column, volunteer: int) -> list[tuple[int, str]]:
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


def _less(choice: Choice | None) -> Iterator[Choice | None]:
    """Yield what is less than a visit as it is filled: unfilled, or without its reserve date."""
    if choice is not None:
        yield None
        if choice.reserved:
            yield choice._replace(last=choice.date)


def wanted(case: RouteCase, k: int, *, reserve: bool) -> RouteCase:
    """Return a route in arrays with one visit that is worth more than all else about it.

    Args:
        case: the route.
        k: place of the visit.
        reserve: whether the visit lacks its reserve date alone.
    """
    visit = case.visits[k]
    cost = np.zeros((len(visit.lead_days), len(visit.dates))) if visit.day_cost is None else visit.day_cost
    visits = (*case.visits[:k], replace(visit, day_cost=cost - MENDED), *case.visits[k + 1 :])
    return replace(case, visits=visits, weights=FOR_RESERVES if reserve else SEASON)
