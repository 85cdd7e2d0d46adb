"""Planning an instance: a plan at once, the relaxation with its proven bound, a dive, then better neighbourhoods."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from planner.scheduling.engine.branching import BranchAndPrice
from planner.scheduling.engine.clock import Clock, StopAsked
from planner.scheduling.engine.column import Column
from planner.scheduling.engine.dive import begin_dive
from planner.scheduling.engine.greedy import fill_greedily, hardest_first
from planner.scheduling.engine.instance import Instance
from planner.scheduling.engine.master import Master, SolverTroubleError
from planner.scheduling.engine.neighbourhood import SIZES, Ground, neighbours, pool_of, replan
from planner.scheduling.engine.pricing import RoutePricer
from planner.scheduling.engine.relaxation import CLOSE_ENOUGH, Relaxed, relax
from planner.scheduling.engine.solution import keeps_room
from planner.scheduling.result import OnEvent, Outcome, Stop

FEW_ROUTES = 30
"""Up to so many, the proof comes before the neighbourhoods: it finds better plans too, and may end the search."""

PATIENCE = 20
"""A size of neighbourhood is given up after so many tries in a row without gain."""

_NODES = 400
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
    pricers = [RoutePricer(number, route, instance.days) for number, route in enumerate(instance.routes)]
    outcome, why = Outcome.FINISHED, "the plan is proven best"
    try:
        clock.offer({})
        if start and keeps_room(instance.room, start.values()):
            clock.offer(start)
        clock.offer(fill_greedily(hardest_first(pricers), instance.room))
        clock.tick("first plan")
        _search(clock, pricers, seed)
        if not _proven(clock):
            gap = clock.value - clock.bound
            why = f"{_OUT_OF_IDEAS}; what the best could still gain is worth at most {gap:.0f} minutes of driving"
    except StopAsked:
        outcome, why = Outcome.STOPPED, "stopped as asked; this is the best plan so far"
    except SolverTroubleError as trouble:
        outcome = Outcome.STOPPED if clock.best else Outcome.FAILED
        why = f"the solver gave up ({trouble}); this is the best plan so far, and not proven"
    return Found(clock.best, clock.value, clock.bound, outcome, why, clock)


def _proven(clock: Clock) -> bool:
    return clock.value - clock.bound < CLOSE_ENOUGH


def _search(clock: Clock, pricers: list[RoutePricer], seed: int) -> None:
    instance = clock.instance
    master, relaxed = _bound(clock, pricers)
    if _proven(clock):
        return
    pool = pool_of(master.columns, relaxed.result)
    _dive(clock, master, relaxed, pricers)
    if _proven(clock):
        return
    whole = Master(instance, instance.room)
    whole.add([*master.columns, *clock.best.values()])
    clock.offer({column.route: column for column in whole.whole(_NODES)})
    clock.tick("whole columns")
    ground = Ground(instance, pricers, pool, relaxed.best_prices)
    if len(pricers) <= FEW_ROUTES:
        _prove(clock, ground, master.columns)
        _improve(clock, ground, np.random.default_rng(seed))
    else:
        _improve(clock, ground, np.random.default_rng(seed))
        _prove(clock, ground, master.columns)


def _dive(clock: Clock, master: Master, relaxed: Relaxed, pricers: Sequence[RoutePricer]) -> None:
    """Dive for a plan; one that is stopped half way is completed greedily."""
    under_way = begin_dive(master, pricers, clock.instance.room, relaxed, lambda *_: clock.tick("dive"))
    try:
        clock.offer(under_way.run())
    except StopAsked:
        clock.offer(under_way.completed())
        raise


def _prove(clock: Clock, ground: Ground, columns: Sequence[Column]) -> None:
    known = (one for route in sorted(ground.pool) for one in ground.pool[route])
    BranchAndPrice(clock, ground.pricers, [*columns, *known], ground.prices).run()


def _bound(clock: Clock, pricers: list[RoutePricer]) -> tuple[Master, Relaxed]:
    """Solve the relaxation of the whole, proving a bound from its first round on."""
    instance = clock.instance
    master = Master(instance, instance.room)
    master.add(list(clock.best.values()))

    def watch(_objective: float, bound: float) -> None:
        clock.prove(instance.constant + bound)
        clock.tick("bound")

    return master, relax(master, pricers, instance.room, watch)


def _improve(clock: Clock, ground: Ground, rng: np.random.Generator) -> None:
    """Replan neighbourhoods, small ones first, until a run of tries brings nothing."""
    for size in SIZES:
        failed, patience = 0, min(PATIENCE, len(ground.pricers))
        while failed < patience and not _proven(clock):
            for routes in neighbours(ground.instance, size, rng):
                failed = 0 if _try(clock, ground, routes) else failed + 1
                if failed >= patience or _proven(clock):
                    break
        if size >= len(ground.pricers):
            return


def _try(clock: Clock, ground: Ground, routes: Sequence[int]) -> bool:
    """Replan some routes; says whether that bettered the plan."""
    better = replan(ground, clock.best, routes, lambda *_: clock.tick("neighbourhood"))
    clock.tick("neighbourhood")
    if better is None:
        return False
    chosen = set(routes)
    return clock.offer({route: column for route, column in clock.best.items() if route not in chosen} | better)
