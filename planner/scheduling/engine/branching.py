"""Branch and price: split the problem until relaxation and whole plans meet, the most promising part first.

Three kinds of split, all of which pricing obeys exactly: at most, or at least, so many visits are filled or have a
reserve date; a person on a visit of a route is required or forbidden there; a day of a person is closed to one
route, or to all others.
"""

from __future__ import annotations

import heapq
import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from planner.scheduling.engine.clock import Clock
from planner.scheduling.engine.column import Column
from planner.scheduling.engine.costing import FREE, Demand, Prices
from planner.scheduling.engine.instance import IntArray, Totals
from planner.scheduling.engine.master import NO_TOTALS, Master, MasterResult
from planner.scheduling.engine.pricing import Priced, RoutePricer
from planner.scheduling.engine.relaxation import CLOSE_ENOUGH, RelaxLimits, relax
from planner.scheduling.engine.solution import keeps_room

WORK = 1_500
"""Nodes times routes after which the search is given up."""

_TRACE = 1e-6
_WHOLE = 1e-4
"""Shares this near to whole are whole."""
_ROUNDS = 60

Demands = Mapping[int, Demand]
"""By route; a route that is not here is free."""


@dataclass(frozen=True, slots=True)
class _Demanded:
    """A route's pricer under a demand."""

    pricer: RoutePricer
    demand: Demand

    @property
    def number(self) -> int:
        return self.pricer.number

    def price(self, prices: Prices, limit: IntArray) -> Priced:
        return self.pricer.price(prices, limit, self.demand)


@dataclass(order=True, slots=True)
class _Node:
    bound: float
    """In the objective's own terms."""
    number: int
    demands: Demands = field(compare=False)
    totals: Totals = field(compare=False)
    prices: Prices | None = field(compare=False)
    """Those of the node it was split from: likely good here too."""


class BranchAndPrice:
    """The search over all parts of one instance."""

    def __init__(
        self, clock: Clock, pricers: Sequence[RoutePricer], columns: Sequence[Column], prices: Prices | None
    ) -> None:
        """Begin with the whole.

        Args:
            clock: with the best plan and bound so far.
            pricers: of all routes.
            columns: worth beginning with.
            prices: likely good.
        """
        self._clock = clock
        self._pricers = pricers
        self._columns = dict.fromkeys(columns)
        self._open = [_Node(clock.bound, 0, {}, NO_TOTALS, prices)]
        self._made = 1
        self._left = float("inf")

    def run(self) -> None:
        """Search until the best plan is proven best, or the work is used up."""
        nodes = WORK // max(len(self._pricers), 1)
        while self._open and nodes:
            node = heapq.heappop(self._open)
            if node.bound > self._clock.value - CLOSE_ENOUGH:
                self._open.clear()
                break
            self._look_into(node)
            nodes -= 1
            self._clock.prove(min([self._clock.value, self._left, *(one.bound for one in self._open)]))
            self._clock.tick("proof")

    def _look_into(self, node: _Node) -> None:
        """Solve the relaxation of a node; keep a whole plan, drop the node, or split it."""
        clock, instance = self._clock, self._clock.instance
        master = Master(instance, instance.room, node.totals)
        for route, demand in sorted(node.demands.items()):
            if demand.required:
                master.require(route)
        master.add([one for one in self._columns if node.demands.get(one.route, FREE).allows(one)])
        pricers = [_Demanded(one, node.demands.get(one.number, FREE)) for one in self._pricers]
        cutoff = clock.value - instance.constant - CLOSE_ENOUGH
        limits = RelaxLimits(_ROUNDS, cutoff=cutoff, centre=_signed(node))
        relaxed = relax(master, pricers, instance.room, lambda *_: clock.tick("proof"), limits)
        self._columns |= dict.fromkeys(master.columns)
        bound = max(node.bound, instance.constant + relaxed.bound)
        if bound > clock.value - CLOSE_ENOUGH:
            return
        parts = list(self._split(master, relaxed.result, node))
        for demands, totals in parts:
            heapq.heappush(self._open, _Node(bound, self._made, demands, totals, relaxed.best_prices))
            self._made += 1
        if not parts and relaxed.result.objective - relaxed.bound > CLOSE_ENOUGH:
            # A whole plan whose relaxation is not priced out: the rest of the node is not proven worse.
            self._left = min(self._left, bound)

    def _split(self, master: Master, result: MasterResult, node: _Node) -> Iterator[tuple[Demands, Totals]]:
        """Yield the two parts of a node; none if its relaxation is a whole plan, which is then offered."""
        shares = _Shares.of(master, result)
        demands, totals = node.demands, node.totals
        best_use, best_slot = _most_open(shares.uses), _most_open(shares.slots)
        if _broken(shares.filled):
            yield demands, replace(totals, filled_least=math.ceil(shares.filled))
            yield demands, replace(totals, filled_most=math.floor(shares.filled))
        elif _broken(shares.reserved):
            yield demands, replace(totals, reserved_least=math.ceil(shares.reserved))
            yield demands, replace(totals, reserved_most=math.floor(shares.reserved))
        elif best_use is not None:
            route, use = best_use
            yield _with(demands, [route], Demand(required=frozenset({use}))), totals
            yield _with(demands, [route], Demand(forbidden=frozenset({use}))), totals
        elif best_slot is not None:
            route, slot = best_slot
            closed = Demand(closed=frozenset({slot}))
            others = [pricer.number for pricer in self._pricers if pricer.number != route]
            yield _with(demands, [route], closed), totals
            yield _with(demands, others, closed), totals
        elif keeps_room(self._clock.instance.room, shares.likeliest.values()):
            self._clock.offer(shares.likeliest)


@dataclass(slots=True)
class _Shares:
    """How far a relaxation is from a whole plan."""

    uses: Counter[tuple[int, tuple[int, int]]]
    """By route, and visit with person."""
    slots: Counter[tuple[int, tuple[int, int]]]
    """By route, and volunteer with day."""
    filled: float
    """Visits filled, and those with a reserve date."""
    reserved: float
    likeliest: dict[int, Column]
    """The column with the largest share of each route that is not left empty."""

    @classmethod
    def of(cls, master: Master, result: MasterResult) -> _Shares:
        found = cls(Counter(), Counter(), 0.0, 0.0, {})
        pairs = zip(result.shares.tolist(), master.columns, strict=True)
        for share, column in sorted(pairs, key=lambda pair: pair[0]):
            if share > _TRACE:
                found.likeliest[column.route] = column
                found.filled += share * column.filled
                found.reserved += share * column.reserved
                for k, choice in enumerate(column.choices):
                    for person in choice.people if choice else ():
                        found.uses[column.route, (k, person)] += share
                for slot in column.slots:
                    found.slots[column.route, slot] += share
        for route in [route for route in found.likeliest if found.total(route) < 0.5]:
            del found.likeliest[route]
        return found

    def total(self, route: int) -> float:
        """Return the largest share of one use of a route."""
        return max(share for (owner, _), share in self.uses.items() if owner == route)


def _broken(total: float) -> bool:
    return abs(total - round(total)) > _WHOLE


def _signed(node: _Node) -> Prices | None:
    """Return the prices a node begins with; those of totals only where it bounds them on that side."""
    prices, totals = node.prices, node.totals
    if prices is None:
        return None
    filled = _on_side(prices.filled, totals.filled_least, totals.filled_most)
    return replace(
        prices, filled=filled, reserved=_on_side(prices.reserved, totals.reserved_least, totals.reserved_most)
    )


def _on_side(price: float, least: int | None, most: int | None) -> float:
    bound = most if price > 0 else least
    return 0.0 if bound is None else price


def _most_open(shares: Counter[tuple[int, tuple[int, int]]]) -> tuple[int, tuple[int, int]] | None:
    """Return what is nearest to half used; None if everything is used wholly or not at all."""
    open_ones = [(abs(share - 0.5), key) for key, share in shares.items() if _WHOLE < share < 1 - _WHOLE]
    return min(open_ones)[1] if open_ones else None


def _with(demands: Demands, routes: Sequence[int], more: Demand) -> Demands:
    found = dict(demands)
    for route in routes:
        before = found.get(route, FREE)
        found[route] = Demand(
            before.forbidden | more.forbidden, before.required | more.required, before.closed | more.closed
        )
    return found
