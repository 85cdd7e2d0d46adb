"""The routes round one that lacks something, planned anew together, everything else as it stands."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from planner.domain.plan import Plan, PlannedVisit
from planner.domain.route import Route
from planner.scheduling.engine.arrays import SeasonArrays, person_days
from planner.scheduling.engine.cases import Ease, route_case
from planner.scheduling.engine.compile import Compiled
from planner.scheduling.engine.decode import columns_of, plan_of
from planner.scheduling.engine.instance import Instance, Room
from planner.scheduling.engine.search import solve
from planner.scheduling.engine.solution import value_of
from planner.scheduling.engine.weights import SEASON
from planner.scheduling.explain.case import FOR_RESERVES, MENDED, Lack, wanted
from planner.scheduling.result import Progress, Stop, after_rounds, any_of

SIZE = 10
"""Routes planned anew together."""

_ROUNDS = 40
"""Of work on one ring: the same answer on every machine."""

_DEARER = 5_000.0
"""By so much, in minutes of driving, may a ring be worse off in all but visits for one more: no ring comes near it."""


@dataclass(frozen=True, slots=True, eq=False)
class Ring:
    """A route that lacks something, and those that share most people with it."""

    lack: Lack
    routes: tuple[Route, ...]
    inside: Plan
    """Their visits that may change, as they stand."""
    room: Room
    """What all else leaves."""
    near: Mapping[str, frozenset[int]]
    """Who lives near enough to each of the routes."""

    @classmethod
    def round(cls, lack: Lack, plan: Plan, near: Mapping[str, frozenset[int]]) -> Ring:
        """Return the ring round a route.

        Args:
            lack: the visit in question.
            plan: the plan as it stands.
            near: who lives near enough to each route that has something to plan.
        """
        middle, stands = lack.key.route, lack.arrays.fixed.by_key
        busy = {visit.key.route for visit in plan if visit.key not in stands}
        shared = {code: len(near[middle] & near[code]) / max(len(near[code]), 1) for code in near if code in busy}
        chosen = {middle, *sorted(shared, key=lambda code: (-shared[code], code))[: SIZE - 1]}
        inside = Plan(tuple(v for v in plan if v.key.route in chosen and v.key not in stands))
        mine = inside.by_key
        room = lack.arrays.room_beside(Plan(tuple(visit for visit in plan if visit.key not in mine)))
        return cls(
            lack,
            tuple(one for one in lack.arrays.season.routes if one.code in chosen),
            inside,
            room,
            {code: near[code] for code in sorted(chosen)},
        )

    @property
    def near_the_middle(self) -> frozenset[int]:
        """Who lives near enough to the route that lacks something."""
        return self.near[self.lack.key.route]

    @property
    def visits_left(self) -> int:
        """How many visits those who are near offer beyond what they do."""
        people = sorted(frozenset[int]().union(*self.near.values()))
        return int(self.room.limit[people].sum()) - sum(len(visit.people) for visit in self.inside)

    def mended(self, ease: Ease, room: Room) -> tuple[PlannedVisit, ...] | None:
        """Return the visits of the routes that change, if the ring planned anew mends the visit and loses none.

        Args:
            ease: rules taken less strictly.
            room: days and visits that are free for the ring.
        """
        after = Plan(tuple(v for v in self._planned(ease, room) if v.key not in self.lack.arrays.fixed.by_key))
        changed = self._must_change(after, room)
        kept = Plan(
            (
                *(visit for visit in after if visit.key.route in changed),
                *(visit for visit in self.inside if visit.key.route not in changed),
            )
        )
        if not self._mends(kept):
            return None
        changed = {code for code in changed if kept.of_route(code) != self.inside.of_route(code)}
        return tuple(visit for visit in kept if visit.key.route in changed)

    def _planned(self, ease: Ease, room: Room) -> Plan:
        lack = self.lack
        cases = [route_case(lack.arrays, one, room, ease) for one in self.routes]
        cases = [
            wanted(case, lack.key.number - 1, reserve=lack.reserve_only) if one.code == lack.key.route else case
            for one, case in zip(self.routes, cases, strict=True)
        ]
        instance = Instance(len(lack.arrays.problem.days), tuple(cases), room)
        compiled = Compiled(instance, self.routes, lack.arrays)
        begin = columns_of(compiled, self.inside)
        stop = any_of(after_rounds(_ROUNDS), self._settled(value_of(instance, begin)))
        return plan_of(compiled, solve(instance, stop, _heard, start=begin).solution)

    def _settled(self, value: float) -> Stop:
        """Return a stop for when the visit is mended, or the bound proves that it cannot be without losing another.

        Args:
            value: of the ring as it stands.
        """
        filled, reserved = len(self.inside), _reserved(self.inside)
        gain = -FOR_RESERVES.reserved if self.lack.reserve_only else MENDED - SEASON.filled

        def settled(now: Progress) -> bool:
            mended = now.reserved > reserved if self.lack.reserve_only else now.filled > filled
            better = now.objective is not None and now.objective < value - gain / 2
            hopeless = now.bound is not None and now.bound > value - gain + _DEARER
            return (mended and better) or hopeless

        return settled

    def _must_change(self, after: Plan, room: Room) -> set[str]:
        """Return the routes that must change for the middle one to: all others had better stay as they are."""
        changed = {self.lack.key.route}
        while True:
            new = [visit for visit in after if visit.key.route in changed]
            taken = {use for visit in new for use in person_days(visit)}
            loads = Counter(code for visit in new for code in visit.people)
            loads.update(code for visit in self.inside if visit.key.route not in changed for code in visit.people)
            full = {code for code, load in loads.items() if load > room.limit[self.lack.arrays.number[code]]}
            more = {
                visit.key.route
                for visit in self.inside
                if visit.key.route not in changed and (taken & set(person_days(visit)) or full & set(visit.people))
            }
            if not more:
                return changed
            changed |= more

    def _mends(self, after: Plan) -> bool:
        visit = after.by_key.get(self.lack.key)
        if visit is None or not set(self.inside.by_key) <= set(after.by_key):
            return False
        if not self.lack.reserve_only:
            return len(after) > len(self.inside)
        return visit.reserve is not None and _reserved(after) > _reserved(self.inside)


def _reserved(plan: Plan) -> int:
    return sum(visit.reserve is not None for visit in plan)


def _heard(_progress: Progress) -> None:
    """Listen to no event."""


def near_to(arrays: SeasonArrays, routes: Iterable[Route]) -> dict[str, frozenset[int]]:
    """Return who lives near enough to each route."""
    limits = np.array([one.drive_limit_minutes for one in arrays.season.volunteers])
    return {route.code: frozenset(np.flatnonzero(arrays.drive(route) <= limits).tolist()) for route in routes}


def with_room(room: Room, more_visits: Iterable[int]) -> Room:
    """Return the room with one visit more for some people."""
    limit = room.limit.copy()
    limit[list(more_visits)] += 1
    return replace(room, limit=limit)
