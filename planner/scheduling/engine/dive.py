"""From the relaxation to a whole plan: settle the surest columns, price again, and take back what costs too much."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from planner.scheduling.engine.column import Column
from planner.scheduling.engine.greedy import fill_greedily, hardest_first
from planner.scheduling.engine.instance import Instance, Room
from planner.scheduling.engine.master import Master
from planner.scheduling.engine.relaxation import Ground, Relaxed, RelaxLimits, Watch, relax
from planner.scheduling.engine.remembering import RememberingPricer
from planner.scheduling.engine.season_pricing import SeasonPricer
from planner.scheduling.engine.solution import Fitting, value_in

SURE = 0.6
"""Columns with at least this share are settled together."""

CERTAIN = 0.98
"""Columns with at least this share are settled whatever else is."""

DEAR = 400.0
"""A step that worsens the relaxation by more is taken back, …"""

_ROUTES_AT_THAT = 300
"""… of so many routes; by more in proportion where more are planned."""

LIKELY = 0.45
"""With none sure, some with at least this share are settled together: …"""

_SHARE_AT_ONCE = 40
"""… one in so many of the routes that are open."""

_SHARE_OF_MANY = 10
"""… or in so many, where there are more routes than that."""

_ROUNDS = 4
_FEWER_ROUNDS = 2
"""Of pricing after each step; fewer where many routes are planned, for what is lost is found again afterwards."""

_TRACE = 1e-6


@dataclass
class Dive:
    """A dive under way."""

    instance: Instance
    master: Master
    pricer: SeasonPricer
    open_routes: set[int]
    """Not settled yet."""
    room: Room
    watch: Watch
    relaxed: Relaxed
    settled: dict[int, Column] = field(default_factory=dict)
    banned: set[int] = field(default_factory=set)
    """Places of columns that no longer fit, or were tried and given up."""

    def __post_init__(self) -> None:
        self._remembering = RememberingPricer(self.pricer)
        self._fitting = Fitting()
        self._start = self.room
        many = len(self.open_routes) > _ROUTES_AT_THAT
        self._rounds = _FEWER_ROUNDS if many else _ROUNDS
        self._at_once = len(self.open_routes) // (_SHARE_OF_MANY if many else _SHARE_AT_ONCE)
        self._dear = DEAR * max(1.0, len(self.open_routes) / _ROUTES_AT_THAT)

    def run(self) -> dict[int, Column]:
        """Return a plan: columns by route, fitting together."""
        while self.open_routes:
            sure = self._surest()
            if not sure:
                break
            self._step(sure)
        return self.completed()

    def completed(self) -> dict[int, Column]:
        """Return what is settled, the other routes filled greedily in the room that is left."""
        left = hardest_first(self.pricer, sorted(self.open_routes))
        load_weight = self.instance.weights.load
        return self.settled | fill_greedily(self.pricer, left, self.room, load_weight, self.relaxed.result.prices)

    def _surest(self) -> list[int]:
        """Return the places of the columns to settle next: all that are sure, else the likeliest."""
        shares = self.relaxed.result.shares
        places = [
            place
            for place in np.flatnonzero(shares > _TRACE).tolist()
            if self.master.columns[place].route in self.open_routes and place not in self.banned
        ]
        places.sort(key=lambda place: (-round(float(shares[place]), 6), self.master.columns[place].cost, place))
        sure = [place for place in places if shares[place] >= SURE]
        likely = [place for place in places if shares[place] >= LIKELY]
        return sure or likely[: max(1, len(self.open_routes) // _SHARE_AT_ONCE)] or places[:1]

    def _step(self, places: list[int]) -> None:
        """Settle the surest columns; fewer of them if that is dear, and at last another than the surest."""
        before = self.relaxed
        while True:
            chosen = places[: self._certain(before, places) + self._at_once] if self._at_once else places[:1]
            taken = self._settle(chosen)
            if self.relaxed.result.objective - before.result.objective <= self._dear:
                self._at_once = max(2 * self._at_once, 2)
                return
            self._take_back(taken, before)
            if len(chosen) == 1:
                break
            self._at_once = self._at_once // 4
        self._ban(places[0])
        self._relax()

    def _certain(self, relaxed: Relaxed, places: list[int]) -> int:
        """Return how many of the surest columns the relaxation takes whole: at least one is settled in any case."""
        return max(int((relaxed.result.shares[places] >= CERTAIN).sum()), 1)

    def _settle(self, places: list[int]) -> _Taken:
        """Settle columns as far as they fit together, ban what then no longer fits, and price again."""
        taken, settled = _Taken(self.room, [], []), list[int]()
        for place in places:
            column = self.master.columns[place]
            if column.route in self.open_routes and self.room.holds(column.slots, column.loads):
                self.room = self.room.taking(column.slots, column.loads)
                self.settled[column.route] = column
                self.open_routes.discard(column.route)
                taken.settled.append((place, column.route))
                settled.append(column.route)
                self.master.bound(place, 1.0, 1.0)
        fits = self._fitting.fits(self.master.columns, self.room)
        gone = [place for route in settled for place in self.master.of_route[route]]
        for place in dict.fromkeys([*gone, *np.flatnonzero(~fits).tolist()]):
            column = self.master.columns[place]
            if place not in self.banned and self.settled.get(column.route) != column:
                self._ban(place)
                taken.banned.append(place)
        self._relax()
        return taken

    def _take_back(self, taken: _Taken, before: Relaxed) -> None:
        for place, route in taken.settled:
            self.master.bound(place, 0.0, float("inf"))
            del self.settled[route]
            self.open_routes.add(route)
        for place in taken.banned:
            self.master.bound(place, 0.0, float("inf"))
            self.banned.discard(place)
        self.room, self.relaxed = taken.room, before

    def _ban(self, place: int) -> None:
        self.master.bound(place, 0.0, 0.0)
        self.banned.add(place)

    def _relax(self) -> None:
        load_weight = self.instance.weights.load
        offset = value_in(self._start, self.settled.values(), load_weight)
        ground = Ground(self._remembering, sorted(self.open_routes), self.room, load_weight)
        self.relaxed = relax(self.master, ground, self.watch, RelaxLimits(self._rounds, offset, smoothed=False))


@dataclass(frozen=True, slots=True)
class _Taken:
    """What one step changed, to take it back."""

    room: Room
    settled: list[tuple[int, int]]
    """Places of columns, and their routes."""
    banned: list[int]
