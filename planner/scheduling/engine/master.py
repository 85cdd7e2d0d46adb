"""The master problem: choose columns so that nobody does two things a day or more than their limit.

Rows: each route at most one column; each volunteer and day at most once; the visits of each volunteer at most the
sum of unit steps whose cost rises, which is the square of the load. The pairs of visits that a volunteer has on one
route are at most the even ones of those steps: else half a plan with two visits would cost no more than one visit.
The linear relaxation gives the prices. A row comes with the first column that needs it, so a master of a few routes
of a large season is small.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

import highspy
import numpy as np

from planner.scheduling.engine.column import Column
from planner.scheduling.engine.costing import FREE, Demands, Prices
from planner.scheduling.engine.instance import Instance, IntArray, Room, Totals
from planner.scheduling.problem import FloatArray

NO_TOTALS = Totals()
"""Nothing is bounded."""

_NEVER = 1e6
"""Cost of leaving a route empty that must not be: more than any plan of one route saves."""

_INF = highspy.kHighsInf


class SolverTroubleError(RuntimeError):
    """The linear solver did not solve what can always be solved: leaving every route empty."""


@dataclass(frozen=True, slots=True, eq=False)
class MasterResult:
    """The solved relaxation."""

    objective: float
    shares: FloatArray
    """Share of each column, in the order they were added."""
    prices: Prices
    routes: FloatArray
    """What the place of each route costs, 0 or more."""

    def reduced(self, column: Column) -> float:
        """Return the reduced cost of a column: below 0, it may better the relaxation."""
        return column.cost + self.prices.of(column) + float(self.routes[column.route])


def step_costs(room: Room, load_weight: float) -> FloatArray:
    """Return the rising cost of one more visit of each volunteer, inf beyond their limit, shape (volunteers, steps)."""
    steps = np.arange(max(int(room.limit.max(initial=0)), 1))
    costs = load_weight * (2.0 * (room.load[:, None] + steps) + 1.0)
    return np.where(steps < room.limit[:, None], costs, np.inf)


@dataclass(frozen=True, slots=True)
class Effort:
    """How long whole columns are chosen from."""

    nodes: int
    """Of the search, at most."""
    cutoff: float = _INF
    """Choices that cost no less are not looked for."""
    share: float = 0.0
    """A choice so near to the best, as a share of its value, is good enough."""
    interrupted: Callable[[], bool] = lambda: False
    """Asked now and then: whether to end with the best so far."""


class Master:
    """The relaxation over the columns known so far; grows by columns, shrinks by bounds."""

    def __init__(self, instance: Instance, room: Room, totals: Totals = NO_TOTALS) -> None:
        """Begin without columns.

        Args:
            instance: the problem.
            room: days and visits still free.
            totals: bounds on the visits filled and reserved; least ones may be missed at a price nobody pays.
        """
        self.totals = totals
        self.columns: list[Column] = []
        self.of_route: dict[int, list[int]] = {}
        """Places of the columns of each route."""
        self._places: list[int] = []
        self._known: dict[Column, int] = {}
        self._demands: Demands = {}
        self._stand_ins: set[int] = set()
        self._shape = room.closed.shape
        self._routes = len(instance.routes)
        self._steps = step_costs(room, instance.weights.load)
        self._rows = _Rows()
        self._lp = _quiet()
        for row in range(2):
            self._lp.addRow(-_INF, _INF, 0, [], [])
            self._lp.addCol(_NEVER, 0.0, _INF, 1, [row], [1.0])
        self.restrict(totals, {})

    def restrict(self, totals: Totals, demands: Demands) -> None:
        """Ask for totals and demands, in the place of those asked for before.

        Where a use is required its route has exactly one column; leaving it empty is still possible, at a price
        nobody pays.
        """
        self.totals = totals
        bounds = ((totals.filled_least, totals.filled_most), (totals.reserved_least, totals.reserved_most))
        for row, (least, most) in enumerate(bounds):
            self._lp.changeRowBounds(row, -_INF if least is None else least, _INF if most is None else most)
        for route in sorted({*self._demands, *demands}):
            demand = demands.get(route, FREE)
            self._require(route, bool(demand.required))
            for place in self.of_route.get(route, ()):
                self.bound(place, 0.0, _INF if demand.allows(self.columns[place]) else 0.0)
        self._demands = demands

    def _require(self, route: int, required: bool) -> None:
        row = self._rows.of_route(route)
        self._new_rows()
        self._lp.changeRowBounds(row, 1.0 if required else -_INF, 1.0)
        if required and route not in self._stand_ins:
            self._stand_ins.add(route)
            self._lp.addCol(_NEVER, 0.0, _INF, 1, [row], [1.0])

    def release(self) -> None:
        """Take back every bound on the share of a column, and every demand."""
        for place in range(len(self.columns)):
            self.bound(place, 0.0, _INF)
        self._demands = {}

    def add(self, columns: Iterable[Column]) -> int:
        """Add columns; returns how many were new."""
        new = [column for column in dict.fromkeys(columns) if column not in self._known]
        if not new:
            return 0
        entries = [(column.cost, list(self._entries(column))) for column in new]
        self._new_rows()
        first = self._add_columns(entries)
        for place, column in enumerate(new, start=first):
            self._known[column] = len(self.columns)
            self.of_route.setdefault(column.route, []).append(len(self.columns))
            self.columns.append(column)
            self._places.append(place)
        return len(new)

    def _entries(self, column: Column) -> Iterator[tuple[int, float]]:
        """Yield the rows that a column stands in, with its factors."""
        yield 0, float(column.filled)
        yield 1, float(column.reserved)
        yield self._rows.of_route(column.route), 1.0
        for volunteer, visits in column.loads:
            yield self._rows.of_load(volunteer), float(visits)
            if visits > 1:
                yield self._rows.of_twice(volunteer), float(visits // 2)
        for slot in column.slots:
            yield self._rows.of_slot(slot), 1.0

    def _new_rows(self) -> None:
        upper = np.array(self._rows.new_bounds)
        none = np.zeros(0, dtype=np.int32)
        lower, starts = np.full(len(upper), -_INF), np.zeros(len(upper), dtype=np.int32)
        self._lp.addRows(len(upper), lower, upper, 0, starts, none, np.zeros(0))
        steps = [
            (float(cost), [(row, -1.0) for row in self._rows.of_step(volunteer, step)])
            for volunteer in self._rows.new_loads
            for step, cost in enumerate(self._steps[volunteer], start=1)
            if np.isfinite(cost)
        ]
        self._rows.settle()
        if steps:
            self._add_columns(steps, most=1.0)

    def _add_columns(self, entries: list[tuple[float, list[tuple[int, float]]]], most: float = _INF) -> int:
        """Add columns of the linear program; returns the place of the first."""
        first, count = int(self._lp.getNumCol()), len(entries)
        sizes = np.array([len(rows) for _, rows in entries], dtype=np.int32)
        flat = [entry for _, rows in entries for entry in rows]
        self._lp.addCols(
            count,
            np.array([cost for cost, _ in entries]),
            np.zeros(count),
            np.full(count, most),
            len(flat),
            (np.cumsum(sizes) - sizes).astype(np.int32),
            np.array([row for row, _ in flat], dtype=np.int32),
            np.array([value for _, value in flat]),
        )
        return first

    def bound(self, place: int, low: float, high: float) -> None:
        """Bound the share of one column."""
        self._lp.changeColBounds(self._places[place], low, high)

    def solve(self) -> MasterResult:
        """Solve the relaxation."""
        self._lp.run()
        status = self._lp.getModelStatus()
        if status not in (highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kModelEmpty):
            raise SolverTroubleError(self._lp.modelStatusToString(status))
        solution = self._lp.getSolution()
        duals, values = -np.asarray(solution.row_dual), np.asarray(solution.col_value)
        return MasterResult(
            objective=float(self._lp.getInfo().objective_function_value),
            shares=values[self._places] if self._places else np.zeros(0),
            prices=self._prices(duals),
            routes=self._rows.spread(self._rows.routes, duals, np.zeros(self._routes)),
        )

    def _prices(self, duals: FloatArray) -> Prices:
        days = np.zeros(self._shape)
        if self._rows.slots:
            at = np.array(list(self._rows.slots), dtype=np.int64)
            days[at[:, 0], at[:, 1]] = np.maximum(duals[list(self._rows.slots.values())], 0.0)
        # Nobody in the master has asked for these people yet: their first visit costs what their load then does.
        first = np.where(np.isfinite(self._steps[:, 0]), self._steps[:, 0], 0.0)
        visits = np.maximum(self._rows.spread(self._rows.loads, duals, first), 0.0)
        twice = np.maximum(self._rows.spread(self._rows.twice, duals, np.zeros(len(first))), 0.0)
        filled, reserved = duals[:2].tolist() if len(duals) else (0.0, 0.0)
        return Prices(days, visits, twice, filled, reserved)

    def whole(self, effort: Effort) -> list[Column]:
        """Choose whole columns, as well as an effort allows; empty where none was found.

        The master cannot be relaxed afterwards.
        """
        count = int(self._lp.getNumCol())
        kinds = np.full(count, highspy.HighsVarType.kContinuous)
        kinds[self._places] = highspy.HighsVarType.kInteger
        self._lp.changeColsIntegrality(count, np.arange(count, dtype=np.int32), kinds)
        self._lp.setOptionValue("mip_max_nodes", effort.nodes)
        self._lp.setOptionValue("mip_rel_gap", effort.share)
        if np.isfinite(effort.cutoff):
            self._lp.setOptionValue("objective_bound", effort.cutoff)

        def interrupt(event: highspy.HighsCallbackEvent) -> None:
            if effort.interrupted():
                event.interrupt()

        self._lp.cbMipInterrupt += interrupt
        self._lp.run()
        values = np.asarray(self._lp.getSolution().col_value)
        if len(values) != count:
            return []
        return [one for one, share in zip(self.columns, values[self._places], strict=True) if share > 0.5]


class _Rows:
    """The rows of a master: which there are, and which were asked for and are still to be added."""

    def __init__(self) -> None:
        self.routes: dict[int, int] = {}
        self.loads: dict[int, int] = {}
        self.twice: dict[int, int] = {}
        self.slots: dict[tuple[int, int], int] = {}
        self.new_bounds: list[float] = []
        self.new_loads: list[int] = []
        self._settled = 2

    def _new(self, bound: float) -> int:
        self.new_bounds.append(bound)
        return self._settled + len(self.new_bounds) - 1

    def of_route(self, route: int) -> int:
        """Return the row of a route."""
        if route not in self.routes:
            self.routes[route] = self._new(1.0)
        return self.routes[route]

    def of_load(self, volunteer: int) -> int:
        """Return the row of a volunteer's visits."""
        if volunteer not in self.loads:
            self.loads[volunteer] = self._new(0.0)
            self.twice[volunteer] = self._new(0.0)
            self.new_loads.append(volunteer)
        return self.loads[volunteer]

    def of_twice(self, volunteer: int) -> int:
        """Return the row of the pairs of visits that a volunteer has on one route."""
        self.of_load(volunteer)
        return self.twice[volunteer]

    def of_step(self, volunteer: int, step: int) -> list[int]:
        """Return the rows that a volunteer's step stands in, counted from 1."""
        rows = [self.of_load(volunteer)]
        return [*rows, self.of_twice(volunteer)] if step % 2 == 0 else rows

    def of_slot(self, slot: tuple[int, int]) -> int:
        """Return the row of a volunteer's day."""
        if slot not in self.slots:
            self.slots[slot] = self._new(1.0)
        return self.slots[slot]

    def settle(self) -> None:
        """Take the new rows as added."""
        self._settled += len(self.new_bounds)
        self.new_bounds, self.new_loads = [], []

    @staticmethod
    def spread(rows: dict[int, int], duals: FloatArray, others: FloatArray) -> FloatArray:
        """Return the dual of each row by its number, and what stands for those without a row."""
        found = others.copy()
        if rows:
            at: IntArray = np.array(list(rows), dtype=np.int64)
            found[at] = duals[list(rows.values())]
        return found


class _Quiet(highspy.Highs):
    """A solver that never prints: its constructor would greet on standard output."""

    def enableCallbacks(self) -> None:  # noqa: N802 - the library's name; its constructor calls it first of all
        """Turn the output off before anything is said."""
        self.silent()
        super().enableCallbacks()  # type: ignore[no-untyped-call]  # the library has no annotations here


def _quiet() -> highspy.Highs:
    """Return a solver that gives the same answer every time: one thread, one seed."""
    lp = _Quiet()  # type: ignore[no-untyped-call]  # the library has no annotations here
    lp.setOptionValue("threads", 1)
    lp.setOptionValue("random_seed", 0)
    return lp
