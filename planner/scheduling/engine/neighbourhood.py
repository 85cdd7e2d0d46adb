"""Improving a plan: take a few routes that share people out of it, and plan them anew round the rest."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_array

from planner.scheduling.engine.column import Column
from planner.scheduling.engine.costing import Prices
from planner.scheduling.engine.instance import Instance, IntArray
from planner.scheduling.engine.master import Effort, Master, MasterResult, step_costs
from planner.scheduling.engine.relaxation import Ground, Relaxed, RelaxLimits, Watch, relax
from planner.scheduling.engine.season_pricing import SeasonPricer
from planner.scheduling.engine.solution import Solution, room_after, value_in
from planner.scheduling.problem import BoolArray, FloatArray

_COLUMNS_A_ROUTE = 40
_ROUNDS = 12
_NODES = 50
_GAIN = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Known:
    """What all neighbourhoods of one search share."""

    instance: Instance
    pricer: SeasonPricer
    pool: dict[int, list[Column]]
    """Good columns of each route, best first; each neighbourhood adds those it finds."""
    prices: Prices | None
    """The prices that prove the bound of the whole."""


class Losses:
    """Where a plan loses against the bound: at prices that prove it, every minute of the gap has its place.

    A route loses what its column costs beyond the best; a volunteer what their free days and visits would have been
    paid for.
    """

    def __init__(self, instance: Instance, relaxed: Relaxed) -> None:
        """Prepare what does not depend on the plan.

        Args:
            instance: the season.
            relaxed: its relaxation.
        """
        self._prices = relaxed.best_prices or relaxed.result.prices
        self._places = relaxed.result.routes
        self._steps = step_costs(instance.room, instance.weights.load)
        self._paid = np.where(instance.room.closed, 0.0, self._prices.days)
        self._people = [np.union1d(route.leads, route.seconds) for route in instance.routes]
        self._asked_by = np.bincount(np.concatenate(self._people), minlength=len(instance.room.limit))

    def of(self, solution: Solution) -> FloatArray:
        """Return what each route of a plan loses, that of its people shared among their routes, shape (routes,)."""
        prices = self._prices
        used = np.zeros(self._paid.shape, dtype=np.bool_)
        loads, twice = np.zeros(len(used), dtype=np.int64), np.zeros(len(used), dtype=np.int64)
        found = self._places.copy()
        for route, column in solution.items():
            found[route] += column.cost + prices.of(column)
            for slot in column.slots:
                used[slot] = True
            for volunteer, visits in column.loads:
                loads[volunteer] += visits
                twice[volunteer] += visits // 2
        people = self._of_people(used, loads, twice) / np.maximum(self._asked_by, 1)
        return np.asarray(found + np.array([float(people[who].sum()) for who in self._people]))

    def _of_people(self, used: BoolArray, loads: IntArray, twice: IntArray) -> FloatArray:
        prices = self._prices
        reduced = self._steps - prices.visits[:, None]
        reduced[:, 1::2] -= prices.twice[:, None]
        taken = np.arange(self._steps.shape[1]) < loads[:, None]
        now = np.where(taken, self._steps, 0.0).sum(axis=1) - prices.visits * loads - prices.twice * twice
        idle: FloatArray = np.where(used, 0.0, self._paid).sum(axis=1)
        return np.asarray(idle + now - np.minimum(reduced, 0.0).sum(axis=1))


def pool_of(columns: Sequence[Column], result: MasterResult) -> dict[int, list[Column]]:
    """Return the columns of each route, those that cost least at the relaxation's prices first."""
    pool: dict[int, list[Column]] = {}
    for column in sorted(columns, key=lambda one: (result.reduced(one), one.slots)):
        pool.setdefault(column.route, []).append(column)
    return pool


def neighbours(
    instance: Instance, sizes: Sequence[int], rng: np.random.Generator, losses: Callable[[], FloatArray]
) -> Iterator[list[int]]:
    """Yield sets of routes that share people, without end.

    The middle of a set is drawn by what the routes lose, those that were a middle of late less often.

    Args:
        instance: the season.
        sizes: routes of a set; one of them is drawn each time.
        rng: for the draw.
        losses: what each route of the plan that stands loses, 0 or more.
    """
    people = csr_array(_incidence(instance))
    tired = np.zeros(len(instance.routes))
    while len(tired):
        chances = (np.maximum(losses(), 0.0) + 1.0) * np.exp(-tired)
        middle = int(rng.choice(len(tired), p=chances / chances.sum()))
        tired *= 0.98
        tired[middle] += 1.0
        shared = (people @ people[[middle]].T).toarray().ravel()
        likeness = shared * (1.0 + rng.random(len(shared)))
        likeness[middle] = np.inf
        yield sorted(int(route) for route in np.argsort(-likeness, kind="stable")[: rng.choice(sizes)])


def _incidence(instance: Instance) -> FloatArray:
    found = np.zeros((len(instance.routes), len(instance.room.limit)))
    for number, route in enumerate(instance.routes):
        found[number, route.leads] = 1.0
        found[number, route.seconds] = 1.0
    return found


def replan(known: Known, solution: dict[int, Column], routes: Sequence[int], watch: Watch) -> dict[int, Column] | None:
    """Plan some routes anew; returns their columns if that is better, else None.

    Args:
        known: the search.
        solution: the plan that stands.
        routes: to be planned anew.
        watch: told after each round of pricing; raises to stop.
    """
    chosen, load_weight = set(routes), known.instance.weights.load
    room = room_after(known.instance.room, (c for route, c in solution.items() if route not in chosen))
    present = [solution[route] for route in routes if route in solution]
    now = value_in(room, present, load_weight)
    master = Master(known.instance, room)
    pool = [one for route in routes for one in known.pool.get(route, ())[:_COLUMNS_A_ROUTE]]
    master.add([*present, *(one for one in pool if room.holds(one.slots, one.loads))])
    ground = Ground(known.pricer, routes, room, load_weight)
    limits = RelaxLimits(_ROUNDS, cutoff=now - _GAIN, centre=known.prices)
    relaxed = relax(master, ground, watch, limits)
    if relaxed.result.objective > now - _GAIN or relaxed.bound > now - _GAIN:
        return None
    _remember(known, master, relaxed.result)
    whole = Master(known.instance, room)
    whole.add(master.columns)
    found = {column.route: column for column in whole.whole(Effort(_NODES, now - _GAIN))}
    return found if value_in(room, found.values(), load_weight) < now - _GAIN else None


def _remember(known: Known, master: Master, result: MasterResult) -> None:
    for column in sorted(master.columns, key=result.reduced):
        pool = known.pool.setdefault(column.route, [])
        if column not in pool:
            pool.insert(min(len(pool), _COLUMNS_A_ROUTE // 2), column)
            del pool[4 * _COLUMNS_A_ROUTE :]
