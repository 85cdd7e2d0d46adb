"""From the relaxation to a whole plan: settle the surest columns, price again, and take back what costs too much."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from planner.scheduling.engine.column import Column
from planner.scheduling.engine.greedy import fill_greedily, hardest_first
from planner.scheduling.engine.instance import Room
from planner.scheduling.engine.master import Master
from planner.scheduling.engine.pricing import RoutePricer
from planner.scheduling.engine.relaxation import Relaxed, RelaxLimits, Watch, relax
from planner.scheduling.engine.solution import value_in

SURE = 0.6
"""Columns with at least this share are settled together."""

DEAR = 400.0
"""A step that worsens the relaxation by more is taken back."""

_ROUNDS = 4
_TRACE = 1e-6


@dataclass(slots=True)
class Dive:
    """A dive under way."""

    master: Master
    pricers: dict[int, RoutePricer]
    """Routes not settled yet."""
    start: Room
    room: Room
    watch: Watch
    relaxed: Relaxed
    settled: dict[int, Column] = field(default_factory=dict)
    banned: set[int] = field(default_factory=set)
    """Places of columns that no longer fit, or were tried and given up."""

    def run(self) -> dict[int, Column]:
        """Return a plan: columns by route, fitting together."""
        while self.pricers:
            sure = self._surest()
            if not sure:
                break
            self._step(sure)
        return self.completed()

    def completed(self) -> dict[int, Column]:
        """Return what is settled, the other routes filled greedily in the room that is left."""
        left = hardest_first(list(self.pricers.values()))
        return self.settled | fill_greedily(left, self.room, self.relaxed.result.prices)

    def _surest(self) -> list[int]:
        """Return the places of the columns to settle next: all that are sure, else the likeliest."""
        shares = self.relaxed.result.shares
        places = [
            place
            for place in range(len(shares))
            if shares[place] > _TRACE and self.master.columns[place].route in self.pricers and place not in self.banned
        ]
        places.sort(key=lambda place: (-round(float(shares[place]), 6), self.master.columns[place].cost, place))
        sure = [place for place in places if shares[place] >= SURE]
        return sure or places[:1]

    def _step(self, places: list[int]) -> None:
        before = self.relaxed
        taken = self._settle(places)
        if self.relaxed.result.objective - before.result.objective <= DEAR:
            return
        self._take_back(taken, before)
        taken = self._settle(places[:1])
        if self.relaxed.result.objective - before.result.objective <= DEAR:
            return
        self._take_back(taken, before)
        self._ban(places[0])
        self._relax()

    def _settle(self, places: list[int]) -> _Taken:
        """Settle columns as far as they fit together, ban what then no longer fits, and price again."""
        taken = _Taken(self.room, [], [])
        for place in places:
            column = self.master.columns[place]
            if column.route in self.pricers and self.room.holds(column.slots, column.loads):
                self.room = self.room.taking(column.slots, column.loads)
                self.settled[column.route] = column
                taken.settled.append((place, self.pricers.pop(column.route)))
                self.master.bound(place, 1.0, 1.0)
        for place, column in enumerate(self.master.columns):
            fits = column.route in self.pricers and self.room.holds(column.slots, column.loads)
            if place not in self.banned and self.settled.get(column.route) != column and not fits:
                self._ban(place)
                taken.banned.append(place)
        self._relax()
        return taken

    def _take_back(self, taken: _Taken, before: Relaxed) -> None:
        for place, pricer in taken.settled:
            self.master.bound(place, 0.0, float("inf"))
            del self.settled[pricer.number]
            self.pricers[pricer.number] = pricer
        for place in taken.banned:
            self.master.bound(place, 0.0, float("inf"))
            self.banned.discard(place)
        self.room, self.relaxed = taken.room, before

    def _ban(self, place: int) -> None:
        self.master.bound(place, 0.0, 0.0)
        self.banned.add(place)

    def _relax(self) -> None:
        offset = value_in(self.start, self.settled.values())
        open_routes = [self.pricers[number] for number in sorted(self.pricers)]
        self.relaxed = relax(
            self.master, open_routes, self.room, self.watch, RelaxLimits(_ROUNDS, offset, smoothed=False)
        )


@dataclass(frozen=True, slots=True)
class _Taken:
    """What one step changed, to take it back."""

    room: Room
    settled: list[tuple[int, RoutePricer]]
    banned: list[int]


def begin_dive(master: Master, pricers: Sequence[RoutePricer], room: Room, relaxed: Relaxed, watch: Watch) -> Dive:
    """Return a dive about to begin; the master's bounds are left as it ends.

    Args:
        master: relaxed over the routes of the pricers.
        pricers: the routes.
        room: days and visits free for them.
        relaxed: the relaxation.
        watch: told after each round of pricing; raises to stop.
    """
    return Dive(master, {one.number: one for one in pricers}, room, room, watch, relaxed)
