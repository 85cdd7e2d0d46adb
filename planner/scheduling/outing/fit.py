"""For every date of a season: do all points of a route fit in the light window, and by how many minutes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from planner.domain.protocol import Protocol
from planner.domain.route import Route
from planner.domain.window import PassDirection, Window
from planner.scheduling.outing.orders import best_order
from planner.scheduling.outing.passes import order_of_pass, string_of_pass
from planner.scheduling.outing.runs import IntArray, RunRule, run_orders
from planner.scheduling.outing.shortest import Order, ShortestOrders
from planner.scheduling.outing.subsets import MOST_POINTS
from planner.scheduling.outing.task import FIT_TOLERANCE_S, CountingTask
from planner.scheduling.problem import FloatArray, PassLight, SeasonProblem

BORDERLINE_S = 120.0
"""A date that misses by less is looked at exactly: openings along one route differ by a minute or so."""


@dataclass(frozen=True, slots=True, eq=False)
class FitTable:
    """How one route's counts lie in the light of every window on every date, shape (windows, days)."""

    windows: tuple[str, ...]
    margin_minutes: FloatArray
    """From the end of the last count to the closing in the best order; below 0: so many minutes too long in the
    best case; NaN: no window on that date."""
    points_lost: IntArray
    """Points that do not fit; all of them where there is no window."""

    @property
    def fits(self) -> npt.NDArray[np.bool_]:
        """Whether every point fits, shape (windows, days)."""
        return self.margin_minutes * 60.0 >= -FIT_TOLERANCE_S


def count_minutes(protocol: Protocol) -> float:
    """Return the minutes of one stop: settling and counting; none on a driven line, where nobody stops."""
    return protocol.count.minutes if protocol.points.most else 0.0


def fit_table(problem: SeasonProblem, route: Route) -> FitTable:
    """Return how all points of a route fit in each window on each date, by cautious drives in the best order.

    Exact for one pass in a fixed order or either direction, and in any order up to 15 points. For windows of two
    passes, and above 15 points in any order, a date said to fit does fit; one that misses narrowly might fit yet.
    """
    protocol, light = problem.season.protocol, problem.light[route.code]
    legs_s = problem.drives[route.code].legs.cautious * 60.0
    days, points = len(problem.days), len(route.points)
    margin = np.full((len(protocol.windows), days), np.nan)
    lost = np.full(margin.shape, points, dtype=np.int64)
    if points:
        orders = ShortestOrders(legs_s, protocol.order.direction)
        for index, window in enumerate(protocol.windows):
            one = _WindowFit(protocol, window, light.windows[index].passes, orders, legs_s)
            margin[index], lost[index] = one.over_days()
    return FitTable(tuple(window.name for window in protocol.windows), margin, lost)


@dataclass(frozen=True, slots=True, eq=False)
class _WindowFit:
    protocol: Protocol
    window: Window
    light: tuple[PassLight, ...]
    orders: ShortestOrders
    legs_s: FloatArray

    def over_days(self) -> tuple[FloatArray, IntArray]:
        """Return margin in minutes and points lost, shape (days,)."""
        points = self.orders.points
        margin = self._margin(self.orders.whole)
        margin = self._exactly_where_narrow(margin)
        lost = np.where(margin >= -FIT_TOLERANCE_S, 0, points)
        for size in range(points - 1, 0, -1):
            open_days = lost == points
            if not (open_days & ~np.isnan(margin)).any():
                break
            some = self._margin(self.orders.of_size(size))
            lost[open_days & (some >= -FIT_TOLERANCE_S)] = points - size
        return margin / 60.0, lost

    def _margin(self, orders: tuple[Order, ...]) -> FloatArray:
        """Return the best margin in seconds over the orders, shape (days,); below 0 where none of them fits."""
        best = np.full(len(self.light[0].open_utc), -np.inf)
        no_light = np.isnan(self.light[0].open_utc).any(axis=1)
        for option in self._options(orders):
            best = np.fmax(best, self._of_option(option))
        best[no_light] = np.nan
        return best

    def _options(self, orders: tuple[Order, ...]) -> Iterator[tuple[IntArray, ...]]:
        """Yield the orders of every pass, one array of orders for each pass, rows belonging together."""
        if not orders:
            return
        first = self.window.passes[0].direction
        if first is not PassDirection.ORDER_RULE:
            orders = tuple(dict.fromkeys(string_of_pass(first, first, order) for order in orders))
        rows = np.asarray(orders, dtype=np.int64)
        choices: list[tuple[IntArray, ...]] = [(rows,)]
        for run in self.window.passes[1:]:
            if run.direction is PassDirection.ORDER_RULE:
                same = [np.broadcast_to(row, rows.shape) for row in rows]
                choices = [(*option, other) for option in choices for other in same]
            else:
                strings = [string_of_pass(run.direction, first, order) for order in orders]
                choices = [(*option, np.asarray(strings, dtype=np.int64)) for option in choices]
        yield from choices

    def _of_option(self, option: tuple[IntArray, ...]) -> FloatArray:
        """Return the best margin in seconds over the rows of one option, shape (days,)."""
        margin: FloatArray | float = np.inf
        slack: FloatArray | float = np.inf
        ready: FloatArray | None = None
        for number, (run, light, rows) in enumerate(zip(self.window.passes, self.light, option, strict=True)):
            rule = RunRule(self.legs_s, count_minutes(self.protocol) * 60.0, run.start, run.within_minutes)
            runs = run_orders(rule, rows, light.open_utc, light.close_utc, ready)
            margin, slack = np.minimum(margin, runs.margin_s), np.minimum(slack, runs.slack_s)
            if number + 1 < len(option):
                ready = runs.ends_s + self.legs_s[rows[:, -1], option[number + 1][:, 0]]
        judged = np.where(np.asarray(slack) >= -FIT_TOLERANCE_S, margin, slack)
        return np.asarray(np.fmax.reduce(judged, axis=1), dtype=np.float64)

    def _exactly_where_narrow(self, margin: FloatArray) -> FloatArray:
        """Return the margins with the narrow misses settled by the exact order of that date."""
        if len(self.window.passes) > 1 or self.orders.points > MOST_POINTS:
            return margin
        settled = margin.copy()
        run = self.window.passes[0]
        at = np.asarray(string_of_pass(run.direction, run.direction, tuple(range(self.orders.points))))
        for day in np.flatnonzero((margin < -FIT_TOLERANCE_S) & (margin > -BORDERLINE_S)):
            task = CountingTask(
                legs_minutes=self.legs_s[np.ix_(at, at)] / 60.0,
                open_s=self.light[0].open_utc[day, at],
                close_s=self.light[0].close_utc[day, at],
                count_minutes=count_minutes(self.protocol),
                direction=order_of_pass(run, self.protocol.order.direction),
                start=run.start,
                within_minutes=run.within_minutes,
            )
            best = best_order(task)
            if len(best.order) == self.orders.points:
                settled[day] = self.light[0].close_utc[day, at[best.order[-1]]] - best.end_s
        return settled
