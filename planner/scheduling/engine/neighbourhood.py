"""Improving a plan: take a few routes that share people out of it, and plan them anew round the rest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from planner.scheduling.engine.column import Column
from planner.scheduling.engine.costing import Prices
from planner.scheduling.engine.instance import Instance, RouteCase
from planner.scheduling.engine.master import Master, MasterResult
from planner.scheduling.engine.pricing import RoutePricer
from planner.scheduling.engine.relaxation import RelaxLimits, Watch, relax
from planner.scheduling.engine.solution import room_after, value_in

SIZES = (8, 14)
"""Routes taken out at once; larger when smaller ones no longer help."""

_COLUMNS_A_ROUTE = 40
_ROUNDS = 12
_NODES = 20
_GAIN = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """What all neighbourhoods of one search share."""

    instance: Instance
    pricers: Sequence[RoutePricer]
    pool: dict[int, list[Column]]
    """Good columns of each route, best first; each neighbourhood adds those it finds."""
    prices: Prices | None
    """The prices that prove the bound of the whole."""


def pool_of(columns: Sequence[Column], result: MasterResult) -> dict[int, list[Column]]:
    """Return the columns of each route, those that cost least at the relaxation's prices first."""
    pool: dict[int, list[Column]] = {}
    for column in sorted(columns, key=lambda one: (result.reduced(one), one.slots)):
        pool.setdefault(column.route, []).append(column)
    return pool


def neighbours(instance: Instance, size: int, rng: np.random.Generator) -> Iterator[list[int]]:
    """Yield sets of routes that share people: each route once as the middle of a set, in random order."""
    shared = _shared_people(instance.routes)
    for middle in rng.permutation(len(instance.routes)):
        likeness = shared[middle] + rng.random(len(shared)) * 0.9
        likeness[middle] = np.inf
        yield sorted(int(route) for route in np.argsort(-likeness, kind="stable")[:size])


def _shared_people(routes: Sequence[RouteCase]) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    people = [frozenset(route.leads.tolist()) | frozenset(route.seconds.tolist()) for route in routes]
    return np.array([[float(len(a & b)) for b in people] for a in people]).reshape(len(people), len(people))


def replan(
    ground: Ground, solution: dict[int, Column], routes: Sequence[int], watch: Watch
) -> dict[int, Column] | None:
    """Plan some routes anew; returns their columns if that is better, else None.

    Args:
        ground: the search.
        solution: the plan that stands.
        routes: to be planned anew.
        watch: told after each round of pricing; raises to stop.
    """
    chosen = set(routes)
    room = room_after(ground.instance.room, (c for route, c in solution.items() if route not in chosen))
    present = [solution[route] for route in routes if route in solution]
    now = value_in(room, present)
    master = Master(ground.instance, room)
    known = [one for route in routes for one in ground.pool.get(route, ())[:_COLUMNS_A_ROUTE]]
    master.add([*present, *(one for one in known if room.holds(one.slots, one.loads))])
    pricers = [ground.pricers[route] for route in routes]
    relaxed = relax(master, pricers, room, watch, RelaxLimits(_ROUNDS, cutoff=now - _GAIN, centre=ground.prices))
    if relaxed.result.objective > now - _GAIN or relaxed.bound > now - _GAIN:
        return None
    _remember(ground, master, relaxed.result)
    whole = Master(ground.instance, room)
    whole.add(master.columns)
    found = {column.route: column for column in whole.whole(_NODES)}
    return found if value_in(room, found.values()) < now - _GAIN else None


def _remember(ground: Ground, master: Master, result: MasterResult) -> None:
    for column in sorted(master.columns, key=result.reduced):
        known = ground.pool.setdefault(column.route, [])
        if column not in known:
            known.insert(min(len(known), _COLUMNS_A_ROUTE // 2), column)
            del known[4 * _COLUMNS_A_ROUTE :]
