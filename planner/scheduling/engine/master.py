"""The master problem: choose columns so that nobody does two things a day or more than their limit.

Rows: each route at most one column; each volunteer and day at most once; the visits of each volunteer at most the
sum of unit steps whose cost rises, which is the square of the load. Its linear relaxation gives the prices.
"""

from __future__ import annotations

from dataclasses import dataclass

import highspy
import numpy as np

from planner.scheduling.engine import weights
from planner.scheduling.engine.column import Column
from planner.scheduling.engine.costing import Prices
from planner.scheduling.engine.instance import Instance, Room, Totals
from planner.scheduling.problem import FloatArray

NO_TOTALS = Totals()
"""Nothing is bounded."""

_NEVER = 1e6
"""Cost of leaving a route empty that must not be: more than any plan of one route saves."""


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


def step_costs(room: Room) -> list[FloatArray]:
    """Return, for each volunteer, the rising cost of one more visit, as many as they may still take."""
    found = []
    for load, limit in zip(room.load.tolist(), room.limit.tolist(), strict=True):
        steps = np.arange(load, load + max(limit, 0), dtype=np.float64)
        found.append(weights.LOAD * (2 * steps + 1))
    return found


class Master:
    """The relaxation over the columns known so far; grows by columns, shrinks by bounds."""

    def __init__(self, instance: Instance, room: Room, totals: Totals = NO_TOTALS) -> None:
        """Build the rows of routes and loads, and the steps of the loads.

        Args:
            instance: the problem.
            room: days and visits still free.
            totals: bounds on the visits filled and reserved; least ones may be missed at a price nobody pays.
        """
        self.totals = totals
        self.columns: list[Column] = []
        self._known: dict[Column, int] = {}
        self._shape = room.closed.shape
        self._routes = len(instance.routes)
        self._days_from = self._routes + self._shape[0] + 2
        self._day_rows: dict[tuple[int, int], int] = {}
        self._lp = _quiet()
        inf = highspy.kHighsInf
        for _ in range(self._routes):
            self._lp.addRow(-inf, 1.0, 0, [], [])
        for _ in range(self._shape[0]):
            self._lp.addRow(-inf, 0.0, 0, [], [])
        self._steps = 0
        self._total_rows(totals)
        for volunteer, costs in enumerate(step_costs(room)):
            for cost in costs:
                self._lp.addCol(float(cost), 0.0, 1.0, 1, [self._routes + volunteer], [-1.0])
                self._steps += 1

    def _total_rows(self, totals: Totals) -> None:
        """Add the rows of visits filled and reserved, and what may stand in for the least of them."""
        inf = highspy.kHighsInf
        bounds = ((totals.filled_least, totals.filled_most), (totals.reserved_least, totals.reserved_most))
        for row, (least, most) in enumerate(bounds, start=self._routes + self._shape[0]):
            self._lp.addRow(-inf if least is None else least, inf if most is None else most, 0, [], [])
            if least is not None:
                self._lp.addCol(_NEVER, 0.0, inf, 1, [row], [1.0])
                self._steps += 1

    def add(self, columns: list[Column]) -> int:
        """Add columns; returns how many were new."""
        new = [column for column in columns if column not in self._known]
        for column in new:
            self._known[column] = len(self.columns)
            self.columns.append(column)
            rows = [
                column.route,
                *(self._routes + v for v, _ in column.loads),
                self._days_from - 2,
                self._days_from - 1,
            ]
            values = [1.0, *(float(n) for _, n in column.loads), float(column.filled), float(column.reserved)]
            rows += [self._day_row(slot) for slot in column.slots]
            values += [1.0] * len(column.slots)
            self._lp.addCol(column.cost, 0.0, highspy.kHighsInf, len(rows), rows, values)
        return len(new)

    def _day_row(self, slot: tuple[int, int]) -> int:
        if slot not in self._day_rows:
            self._day_rows[slot] = self._days_from + len(self._day_rows)
            self._lp.addRow(-highspy.kHighsInf, 1.0, 0, [], [])
        return self._day_rows[slot]

    def require(self, route: int) -> None:
        """Ask for exactly one column of a route; leaving it empty is still possible, at a price nobody pays."""
        self._lp.changeRowBounds(route, 1.0, 1.0)
        self._lp.addCol(_NEVER, 0.0, 1.0, 1, [route], [1.0])
        self._steps += 1

    def bound(self, place: int, low: float, high: float) -> None:
        """Bound the share of one column."""
        self._lp.changeColBounds(self._steps + place, low, high)

    def solve(self) -> MasterResult:
        """Solve the relaxation."""
        self._run()
        solution = self._lp.getSolution()
        duals = -np.asarray(solution.row_dual)
        days = np.zeros(self._shape)
        if self._day_rows:
            at = np.array(list(self._day_rows), dtype=np.int64)
            days[at[:, 0], at[:, 1]] = np.maximum(duals[self._days_from :], 0.0)
        visits = np.maximum(duals[self._routes : self._routes + self._shape[0]], 0.0)
        shares = np.asarray(solution.col_value)[self._steps :]
        filled, reserved = duals[self._days_from - 2 : self._days_from].tolist()
        prices = Prices(days, visits, filled, reserved)
        return MasterResult(self._lp.getInfo().objective_function_value, shares, prices, duals[: self._routes])

    def _run(self) -> None:
        self._lp.run()
        status = self._lp.getModelStatus()
        solved = status in (highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kModelEmpty)
        if not solved or self._lp.getNumCol() != self._steps + len(self.columns):
            raise SolverTroubleError(self._lp.modelStatusToString(status))

    def whole(self, most_nodes: int) -> list[Column]:
        """Choose whole columns, as well as a number of search nodes allows; empty where none was found.

        The master cannot be relaxed afterwards.
        """
        count = self._steps + len(self.columns)
        kinds = np.full(count, highspy.HighsVarType.kContinuous)
        kinds[self._steps :] = highspy.HighsVarType.kInteger
        self._lp.changeColsIntegrality(count, np.arange(count, dtype=np.int32), kinds)
        self._lp.setOptionValue("mip_max_nodes", most_nodes)
        self._lp.setOptionValue("mip_rel_gap", 0.0)
        self._lp.run()
        values = np.asarray(self._lp.getSolution().col_value)
        if len(values) != count:
            return []
        return [one for one, share in zip(self.columns, values[self._steps :], strict=True) if share > 0.5]


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
