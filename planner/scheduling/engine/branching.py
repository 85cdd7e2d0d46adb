"""Branch and price: split the problem until relaxation and whole plans meet, the most promising part first.

Three kinds of split, all of which pricing obeys exactly: at most, or at least, so many visits are filled or have a
reserve date; a person on a visit of a route is required or forbidden there; a day of a person is closed to one
route, or to all others.
"""

from __future__ import annotations

import heapq
import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from planner.scheduling.engine.clock import Clock
from planner.scheduling.engine.column import Column
from planner.scheduling.engine.costing import FREE, Demand, Demands, Prices
from planner.scheduling.engine.instance import IntArray, Totals
from planner.scheduling.engine.master import Master, MasterResult
from planner.scheduling.engine.pricing import Priced
from planner.scheduling.engine.relaxation import CLOSE_ENOUGH, Ground, Relaxed, RelaxLimits, relax
from planner.scheduling.engine.remembering import RememberingPricer
from planner.scheduling.engine.season_pricing import SeasonPricer
from planner.scheduling.engine.solution import keeps_room
from planner.scheduling.problem import FloatArray

WORK = 20_000
"""Nodes times routes after which the search is given up."""

TRIED = 6
"""Splits that are tried on the columns known so far before one is chosen (strong branching)."""

_TRACE = 1e-6
_WHOLE = 1e-4
"""Shares this near to whole are whole."""
_ROUNDS = 60
_CLOSE_SHARE = 0.02
"""A node is solved to within that share of what is still open."""


@dataclass(frozen=True, slots=True, eq=False)
class _Demanding:
    """The season's pricer under demands."""

    pricer: SeasonPricer
    remembering: RememberingPricer
    demands: Demands

    def price(
        self, numbers: Sequence[int], prices: Prices, limit: IntArray, *, floors: FloatArray, exact: bool
    ) -> list[Priced]:
        found: dict[int, Priced] = {}
        for obliged in (False, True):
            places = [place for place, number in enumerate(numbers) if (number in self.demands) is obliged]
            asked = [numbers[place] for place in places]
            if obliged:
                priced = self.pricer.price(
                    asked, prices, limit, demands=self.demands, floors=floors[places], exact=exact
                )
            else:
                priced = self.remembering.price(asked, prices, limit, floors=floors[places], exact=exact)
            found |= zip(asked, priced, strict=True)
        return [found[number] for number in numbers]


@dataclass(order=True, slots=True)
class Node:
    """A part of the problem."""

    bound: float
    """In the objective's own terms."""
    number: int
    demands: Demands = field(compare=False)
    totals: Totals = field(compare=False)
    prices: Prices | None = field(compare=False)
    """Those of the node it was split from: likely good here too."""


class BranchAndPrice:
    """The search over all parts of one instance."""

    def __init__(self, clock: Clock, pricer: SeasonPricer, master: Master, roots: Sequence[Node]) -> None:
        """Begin with the parts that are left.

        Args:
            clock: with the best plan and bound so far.
            pricer: of all routes.
            master: with columns worth beginning with; grows.
            roots: parts of the problem; a plan better than the clock's lies in one of them.
        """
        self._clock = clock
        self._pricer = pricer
        self._remembering = RememberingPricer(pricer)
        self._master = master
        self._open = list(roots)
        heapq.heapify(self._open)
        self._made = len(roots)
        self._left = float("inf")
        self._looked = 0

    @property
    def used_up(self) -> bool:
        """Whether the work is used up."""
        return self._looked * max(len(self._pricer.routes), 1) >= WORK

    @property
    def done(self) -> bool:
        """Whether nothing better can be left in any part."""
        return not self._open or self._open[0].bound > self._clock.value - CLOSE_ENOUGH

    def run(self, nodes: int) -> None:
        """Search until the best plan is proven best, or the work is used up.

        Args:
            nodes: parts to look into at most this time.
        """
        while not self.done and not self.used_up and nodes:
            self._look_into(heapq.heappop(self._open))
            self._looked += 1
            nodes -= 1
            self._clock.prove(self._bound())
            self._clock.tick("proof")
        if self.done:
            self._clock.prove(min(self._clock.value, self._left))

    def _bound(self) -> float:
        return min([self._clock.value, self._left, *(one.bound for one in self._open[:1])])

    def _look_into(self, node: Node) -> None:
        """Solve the relaxation of a node; keep a whole plan, drop the node, or split it."""
        relaxed = self._relax(node, self._close(node))
        parts = self._parts(node, relaxed)
        if parts == [] and not _priced_out(relaxed):
            relaxed = self._relax(node, CLOSE_ENOUGH)
            parts = self._parts(node, relaxed)
        if parts is None:
            return
        bound = max(node.bound, self._clock.instance.constant + relaxed.bound)
        for demands, totals in parts:
            heapq.heappush(self._open, Node(bound, self._made, demands, totals, relaxed.best_prices))
            self._made += 1
        if not parts and not _priced_out(relaxed):
            # A whole plan whose relaxation is not priced out: the rest of the node is not proven worse.
            self._left = min(self._left, bound)

    def _parts(self, node: Node, relaxed: Relaxed) -> list[tuple[Demands, Totals]] | None:
        """Return the parts of a node, none if its relaxation is a whole plan; None if nothing better is in it."""
        clock = self._clock
        if max(node.bound, clock.instance.constant + relaxed.bound) > clock.value - CLOSE_ENOUGH:
            return None
        return self._split(relaxed, node)

    def _close(self, node: Node) -> float:
        """Return how near relaxation and bound of a node are brought before it is split."""
        still_open = self._clock.value - max(node.bound, self._clock.bound)
        return max(CLOSE_ENOUGH, _CLOSE_SHARE * still_open) if math.isfinite(still_open) else CLOSE_ENOUGH

    def _relax(self, node: Node, close: float) -> Relaxed:
        clock, instance = self._clock, self._clock.instance
        self._master.restrict(node.totals, node.demands)
        pricing = _Demanding(self._pricer, self._remembering, node.demands)
        ground = Ground(pricing, range(len(self._pricer.routes)), instance.room, instance.weights.load)
        cutoff = clock.value - instance.constant - CLOSE_ENOUGH
        limits = RelaxLimits(_ROUNDS, cutoff=cutoff, close=close, smoothed=False)
        return relax(self._master, ground, lambda *_: clock.tick("proof"), limits)

    def _split(self, relaxed: Relaxed, node: Node) -> list[tuple[Demands, Totals]]:
        """Return the parts of a node; none if its relaxation is a whole plan, which is then offered."""
        shares = Shares.of(self._master, relaxed.result)
        by_totals = list(split_totals(shares, node.totals))
        if by_totals:
            return [(node.demands, totals) for totals in by_totals]
        splits = [self._by_use(node, route, use) for route, use in _most_open(shares.uses, TRIED)]
        splits += [
            self._by_day(node, route, slot) for route, slot in _most_open(shares.slots, TRIED if not splits else 2)
        ]
        if not splits:
            if keeps_room(self._clock.instance.room, shares.likeliest.values()):
                self._clock.offer(shares.likeliest)
            return []
        return max(splits, key=lambda split: self._rise(node, split)) if len(splits) > 1 else splits[0]

    def _rise(self, node: Node, split: Sequence[tuple[Demands, Totals]]) -> float:
        """Return how far a split lifts the relaxation over the columns known: the lesser side counts most."""
        found = []
        for demands, totals in split:
            self._master.restrict(totals, demands)
            found.append(self._master.solve().objective)
        self._master.restrict(node.totals, node.demands)
        return min(found) + 0.1 * max(min(one, self._clock.value - self._clock.instance.constant) for one in found)

    def _by_use(self, node: Node, route: int, use: tuple[int, int]) -> list[tuple[Demands, Totals]]:
        asked = Demand(required=frozenset({use})), Demand(forbidden=frozenset({use}))
        return [(_with(node.demands, [route], demand), node.totals) for demand in asked]

    def _by_day(self, node: Node, route: int, slot: tuple[int, int]) -> list[tuple[Demands, Totals]]:
        people = np.zeros(len(self._clock.instance.room.limit), dtype=np.bool_)
        people[slot[0]] = True
        others = [one for one in np.flatnonzero(self._pricer.touching(people)).tolist() if one != route]
        closed = Demand(closed=frozenset({slot}))
        return [(_with(node.demands, routes, closed), node.totals) for routes in ([route], others)]


@dataclass(slots=True)
class Shares:
    """How far a relaxation is from a whole plan."""

    uses: defaultdict[tuple[int, tuple[int, int]], float]
    """By route, and visit with person."""
    slots: defaultdict[tuple[int, tuple[int, int]], float]
    """By route, and volunteer with day."""
    filled: float
    """Visits filled, and those with a reserve date."""
    reserved: float
    likeliest: dict[int, Column]
    """The column with the largest share of each route that is not left empty."""

    @classmethod
    def of(cls, master: Master, result: MasterResult) -> Shares:
        """Add up the shares of a relaxation."""
        found = cls(defaultdict(float), defaultdict(float), 0.0, 0.0, {})
        places = np.flatnonzero(result.shares > _TRACE)
        for place in places[np.argsort(result.shares[places], kind="stable")].tolist():
            share, column = float(result.shares[place]), master.columns[place]
            found.likeliest[column.route] = column
            found.filled += share * column.filled
            found.reserved += share * column.reserved
            for k, choice in enumerate(column.choices):
                for person in choice.people if choice else ():
                    found.uses[column.route, (k, person)] += share
            for slot in column.slots:
                found.slots[column.route, slot] += share
        totals: dict[int, float] = {}
        for (route, _), share in found.uses.items():
            totals[route] = max(totals.get(route, 0.0), share)
        for route in [route for route in found.likeliest if totals[route] < 0.5]:
            del found.likeliest[route]
        return found


def _priced_out(relaxed: Relaxed) -> bool:
    return relaxed.result.objective - relaxed.bound <= CLOSE_ENOUGH


def split_totals(shares: Shares, totals: Totals) -> Iterator[Totals]:
    """Yield the two parts of a problem whose relaxation fills or reserves a broken number of visits; else none."""
    if _broken(shares.filled):
        yield replace(totals, filled_least=math.ceil(shares.filled))
        yield replace(totals, filled_most=math.floor(shares.filled))
    elif _broken(shares.reserved):
        yield replace(totals, reserved_least=math.ceil(shares.reserved))
        yield replace(totals, reserved_most=math.floor(shares.reserved))


def _broken(total: float) -> bool:
    return abs(total - round(total)) > _WHOLE


def _most_open(shares: Mapping[tuple[int, tuple[int, int]], float], count: int) -> list[tuple[int, tuple[int, int]]]:
    """Return what is nearest to half used; nothing if everything is used wholly or not at all."""
    open_ones = [(abs(share - 0.5), key) for key, share in shares.items() if _WHOLE < share < 1 - _WHOLE]
    return [key for _, key in sorted(open_ones)[:count]]


def _with(demands: Demands, routes: Sequence[int], more: Demand) -> Demands:
    found = dict(demands)
    for route in routes:
        before = found.get(route, FREE)
        found[route] = Demand(
            before.forbidden | more.forbidden, before.required | more.required, before.closed | more.closed
        )
    return found
