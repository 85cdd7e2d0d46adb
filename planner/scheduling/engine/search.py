"""Planning an instance: a plan at once, the relaxation with its proven bound, a dive, then better neighbourhoods."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.scheduling.engine.branching import BranchAndPrice
from planner.scheduling.engine.clock import Clock, StopAsked
from planner.scheduling.engine.column import Column
from planner.scheduling.engine.dive import dive
from planner.scheduling.engine.greedy import fill_greedily, hardest_first
from planner.scheduling.engine.instance import Instance
from planner.scheduling.engine.master import Master, SolverTroubleError
from planner.scheduling.engine.neighbourhood import SIZES, Ground, neighbours, pool_of, replan
from planner.scheduling.engine.pricing import RoutePricer
from planner.scheduling.engine.relaxation import CLOSE_ENOUGH, Relaxed, relax
from planner.scheduling.engine.solution import keeps_room
from planner.scheduling.result import OnEvent, Outcome, Stop

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
        outcome, why = Outcome.FAILED, f"the solver gave up ({trouble}); this is the best plan so far"
    return Found(clock.best, clock.value, clock.bound, outcome, why, clock)


def _proven(clock: Clock) -> bool:
    return clock.value - clock.bound < CLOSE_ENOUGH


def _search(clock: Clock, pricers: list[RoutePricer], seed: int) -> None:
    instance = clock.instance
    master, relaxed = _bound(clock, pricers)
    if _proven(clock):
        return
    pool = pool_of(master.columns, relaxed.result)
    clock.offer(dive(master, pricers, instance.room, relaxed, lambda *_: clock.tick("dive")))
    if _proven(clock):
        return
    whole = Master(instance, instance.room)
    whole.add([*master.columns, *clock.best.values()])
    clock.offer({column.route: column for column in whole.whole(_NODES)})
    clock.tick("whole columns")
    ground = Ground(instance, pricers, pool, relaxed.best_prices)
    rng = np.random.default_rng(seed)
    for size in SIZES:
        _improve(clock, ground, size, rng)
    columns = [*master.columns, *(one for known in ground.pool.values() for one in known)]
    BranchAndPrice(clock, pricers, columns, relaxed.best_prices).run()


def _bound(clock: Clock, pricers: list[RoutePricer]) -> tuple[Master, Relaxed]:
    """Solve the relaxation of the whole, proving a bound from its first round on."""
    instance = clock.instance
    master = Master(instance, instance.room)
    master.add(list(clock.best.values()))

    def watch(_objective: float, bound: float) -> None:
        clock.prove(instance.constant + bound)
        clock.tick("bound")

    return master, relax(master, pricers, instance.room, watch)


def _improve(clock: Clock, ground: Ground, size: int, rng: np.random.Generator) -> None:
    """Replan neighbourhoods of one size until a run of tries brings nothing."""
    failed = 0
    patience = min(PATIENCE, len(ground.pricers))
    while failed < patience:
        for routes in neighbours(ground.instance, size, rng):
            if _proven(clock) or failed >= patience:
                return
            better = replan(ground, clock.best, routes, lambda *_: clock.tick("neighbourhood"))
            failed += 1
            if better is not None:
                chosen = set(routes)
                kept = {route: column for route, column in clock.best.items() if route not in chosen}
                if clock.offer(kept | better):
                    failed = 0
            clock.tick("neighbourhood")
        if size >= len(ground.pricers):
            return
