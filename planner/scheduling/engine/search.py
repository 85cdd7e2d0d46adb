"""Planning an instance: a plan at once, the relaxation with its proven bound, a dive, then better neighbourhoods."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from planner.scheduling.engine.branching import BranchAndPrice, Node, Shares, split_totals
from planner.scheduling.engine.clock import Clock, StopAsked
from planner.scheduling.engine.column import Column
from planner.scheduling.engine.dive import Dive
from planner.scheduling.engine.greedy import fill_greedily, hardest_first
from planner.scheduling.engine.instance import Instance
from planner.scheduling.engine.master import NO_TOTALS, Effort, Master, SolverTroubleError
from planner.scheduling.engine.neighbourhood import Known, Losses, neighbours, pool_of, replan
from planner.scheduling.engine.relaxation import CLOSE_ENOUGH, Ground, Relaxed, RelaxLimits, closed_prices, relax
from planner.scheduling.engine.season_pricing import SeasonPricer
from planner.scheduling.engine.solution import keeps_room
from planner.scheduling.engine.tier_bounds import Bounding, TierBounds
from planner.scheduling.result import OnEvent, Outcome, Stop

SIZES = (20, 30, 50)
"""Routes replanned at once: drawn anew each time."""

PATIENCE = 8
"""Neighbourhoods are given up after so many tries in a row without gain, or one in so many routes, for a while."""

_CLOSE_SHARE = 1e-6
"""The relaxation is solved to within that share of its value, or a hundredth of a minute if that is more; …"""

_VERY_MANY, _CLOSE_SHARE_THEN = 1_500, 1e-3
"""… to within this share where there are so many routes: the last of it takes most time and helps the plan least."""

SMALL = 40
"""With no more routes than that every aim gets a bound of its own."""

FEW = 150
"""With no more routes than that a first choice from the columns of the relaxation takes a moment."""

MANY = 600
"""With more routes than that a choice from all columns takes too long."""

_TIMES = 12
_RAISED = 20.0
"""Minutes of driving by which prices are raised at random, and how often, to find columns nearly as good."""

_SHARE_OF_MANY = 5e-5
"""With more routes than a few, a choice that near to the best is left to the neighbourhoods to better."""

_SIDES = 4
"""Broken numbers of visits are split so often at the root."""

_NODES = 200
_NODES_BETWEEN = 60
_OUT_OF_IDEAS = "no better plan was found by replanning any group of neighbouring routes"


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """The best plan of an instance, and how the search ended."""

    solution: dict[int, Column]
    value: float
    bound: float
    """No plan has a lower value; -inf if nothing is proven."""
    outcome: Outcome
    why: str
    clock: Clock

    @property
    def aims(self) -> TierBounds:
        """What each aim could reach at best."""
        return self.clock.aims


def solve(
    instance: Instance, stop: Stop, on_event: OnEvent, *, seed: int = 0, start: dict[int, Column] | None = None
) -> Found:
    """Plan an instance; the same answer for the same seed unless stopped by wall time.

    Args:
        instance: the problem.
        stop: asked after each round; once it holds, the best plan so far is returned.
        on_event: told after each round.
        seed: of the order in which neighbourhoods are tried.
        start: columns to begin with, if they fit together.
    """
    clock = Clock(instance, stop, on_event)
    pricer = SeasonPricer(instance)
    outcome, why = Outcome.FINISHED, "the plan is proven best"
    try:
        clock.offer({})
        if start and keeps_room(instance.room, start.values()):
            clock.offer(start)
        numbers = hardest_first(pricer, range(len(instance.routes)))
        clock.offer(fill_greedily(pricer, numbers, instance.room, instance.weights.load))
        clock.tick("first plan")
        _Search(clock, pricer, seed).run()
        if not clock.proven:
            gap = clock.value - clock.bound
            why = f"{_OUT_OF_IDEAS}; the best could still gain at most {math.ceil(gap)} minutes of driving"
    except StopAsked:
        outcome, why = Outcome.STOPPED, "stopped as asked; this is the best plan so far"
    except SolverTroubleError as trouble:
        outcome = Outcome.STOPPED if clock.best else Outcome.FAILED
        why = f"the solver gave up ({trouble}); this is the best plan so far, and not proven"
    return Found(clock.best, clock.value, clock.bound, outcome, why, clock)


class _Search:
    """One search under way."""

    def __init__(self, clock: Clock, pricer: SeasonPricer, seed: int) -> None:
        self._clock = clock
        self._instance = clock.instance
        self._pricer = pricer
        self._rng = np.random.default_rng(seed)
        self._patience = min(max(PATIENCE, len(pricer.routes) // PATIENCE), len(pricer.routes))
        self._judged = (-1, -1)
        self._master = Master(self._instance, self._instance.room)
        self._ground = Ground(pricer, range(len(pricer.routes)), self._instance.room, self._instance.weights.load)

    def run(self) -> None:
        """Search until the plan is proven best, or nothing is left to try."""
        clock, master = self._clock, self._master
        master.add(clock.best.values())
        relaxed, roots = self._bound()
        if clock.proven:
            self._bound_sums(self._bound_numbers())
            return
        if len(self._pricer.routes) <= FEW:
            self._choose_whole(master.columns)
        if len(self._pricer.routes) > MANY:
            self._fill_by_prices(relaxed)
        self._dive(relaxed)
        self._choose_whole([*master.columns, *clock.best.values()])
        if len(self._pricer.routes) <= MANY:
            self._choose_whole([*master.columns, *clock.best.values(), *self._nearly_best(relaxed)])
        bounding = self._bound_numbers()
        known = Known(self._instance, self._pricer, pool_of(master.columns, relaxed.result), relaxed.best_prices)
        proof = BranchAndPrice(clock, self._pricer, master, roots)
        losses = Losses(self._instance, relaxed)
        while not clock.proven:
            gained = self._improve(known, losses)
            if (clock.filled, clock.reserved) != self._judged:
                bounding = self._bound_numbers()
            master.add(clock.best.values())
            proof.run(_NODES_BETWEEN)
            if proof.done or (proof.used_up and not gained):
                break
        self._bound_sums(bounding)

    def _bound(self) -> tuple[Relaxed, list[Node]]:
        """Solve the relaxation of the whole, proving a bound from its first round on.

        Where it fills or reserves a broken number of visits the two sides of it are parts of their own.

        Returns:
            The relaxation of the part with the lowest bound, and all parts.
        """
        clock, constant = self._clock, self._instance.constant

        def watch(_objective: float, bound: float) -> None:
            clock.prove(constant + bound)
            clock.tick("bound")

        share = _CLOSE_SHARE_THEN if len(self._pricer.routes) > _VERY_MANY else _CLOSE_SHARE
        close = max(CLOSE_ENOUGH, share * abs(clock.value))
        best = relax(self._master, self._ground, watch, RelaxLimits(close=close, smoothed=False))
        node = Node(constant + best.bound, 0, {}, NO_TOTALS, best.best_prices)
        others: list[Node] = []
        for _ in range(_SIDES):
            sides = [
                (totals, self._side(replace(node, totals=totals), close))
                for totals in split_totals(Shares.of(self._master, best.result), node.totals)
            ]
            if not sides:
                break
            parts = [
                (Node(max(node.bound, constant + side.bound), len(others) + at, {}, totals, side.best_prices), side)
                for at, (totals, side) in enumerate(sides, start=1)
            ]
            parts.sort(key=lambda part: part[0].bound)
            node, best = parts[0]
            others += [one for one, _ in parts[1:] if one.bound < clock.value - CLOSE_ENOUGH]
            clock.prove(min([node.bound, *(one.bound for one in others)]))
            clock.tick("bound")
        self._master.restrict(node.totals, {})
        return best, [node, *others]

    def _side(self, node: Node, close: float) -> Relaxed:
        clock = self._clock
        self._master.restrict(node.totals, {})
        cutoff = clock.value - self._instance.constant
        limits = RelaxLimits(close=close, cutoff=cutoff, smoothed=False)
        return relax(self._master, self._ground, lambda *_: clock.tick("bound"), limits)

    def _choose_whole(self, columns: Sequence[Column]) -> None:
        """Choose from columns as they are, with the numbers of visits of the part that is searched."""
        clock, many = self._clock, len(self._pricer.routes) > FEW
        whole = Master(self._instance, self._instance.room, self._master.totals)
        whole.add(columns)
        effort = Effort(
            _NODES, clock.value - self._instance.constant, _SHARE_OF_MANY if many else 0.0, lambda: clock.stops
        )
        clock.offer({column.route: column for column in whole.whole(effort)})
        clock.tick("whole columns")

    def _bound_numbers(self) -> Bounding:
        """Prove how many visits any plan could fill and reserve."""
        clock, master = self._clock, self._master
        master.add(clock.best.values())
        totals = master.totals
        self._judged = clock.filled, clock.reserved
        bounding = Bounding(self._instance, master, self._ground, lambda: clock.tick("aims"))
        thorough = len(self._pricer.routes) <= FEW
        clock.aims = bounding.numbers(clock.filled, clock.reserved, thorough=thorough)
        master.restrict(totals, {})
        return bounding

    def _bound_sums(self, bounding: Bounding) -> None:
        """Prove the other aims too, in a small season whose plan is done."""
        clock = self._clock
        if len(self._pricer.routes) <= SMALL:
            clock.aims = bounding.sums(clock.aims, clock.filled, clock.reserved)

    def _fill_by_prices(self, relaxed: Relaxed) -> None:
        """Fill greedily once more, with days and visits at what they are worth: a good plan before a long dive."""
        clock, instance, pricer = self._clock, self._instance, self._pricer
        numbers = hardest_first(pricer, range(len(pricer.routes)))
        prices = relaxed.best_prices
        clock.offer(fill_greedily(pricer, numbers, instance.room, instance.weights.load, prices))
        clock.tick("filled by prices")

    def _nearly_best(self, relaxed: Relaxed) -> list[Column]:
        """Return columns that cost little more than the best, found at prices a little higher here and there."""
        clock, room, prices = self._clock, self._instance.room, relaxed.best_prices or relaxed.result.prices
        found: dict[Column, None] = {}
        for _ in range(_TIMES):
            days, visits = (table + _RAISED * self._rng.random(table.shape) for table in (prices.days, prices.visits))
            raised = closed_prices(replace(prices, days=days, visits=visits), room)
            for priced in self._pricer.price(range(len(self._pricer.routes)), raised, room.limit, exact=False):
                found |= dict.fromkeys(priced.columns)
            clock.tick("whole columns")
        gap = clock.value - clock.bound
        return [column for column in found if relaxed.result.reduced(column) < gap]

    def _dive(self, relaxed: Relaxed) -> None:
        """Dive for a plan; one that is stopped half way is completed greedily."""
        clock, instance = self._clock, self._instance
        every = set(range(len(self._pricer.routes)))
        under_way = Dive(
            instance, self._master, self._pricer, every, instance.room, lambda *_: clock.tick("dive"), relaxed
        )
        try:
            clock.offer(under_way.run())
        except StopAsked:
            clock.offer(under_way.completed())
            raise
        self._master.release()

    def _improve(self, known: Known, losses: Losses) -> bool:
        """Replan neighbourhoods until a run of tries brings nothing; says whether any did."""
        clock, failed, gained = self._clock, 0, False
        for routes in neighbours(self._instance, SIZES, self._rng, lambda: losses.of(clock.best)):
            if failed >= self._patience or clock.proven:
                break
            better = replan(known, clock.best, routes, lambda *_: clock.tick("neighbourhood"))
            clock.tick("neighbourhood")
            failed += 1
            if better is not None:
                chosen = set(routes)
                kept = {route: column for route, column in clock.best.items() if route not in chosen}
                failed, gained = (0, True) if clock.offer(kept | better) else (failed, gained)
            if len(routes) == len(self._pricer.routes) and failed:
                break
        return gained
