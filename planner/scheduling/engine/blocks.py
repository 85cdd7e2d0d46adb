"""What of one route's visits does not depend on prices, day by day and team by team.

Tables have shape (windows, days of the visit, teams): days first, so that a running minimum over days is one
operation over all teams. A visit's own days run from the first that may be a date of it to the last that may be kept.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.scheduling.engine.instance import IntArray, RouteCase, SetupCase, VisitCase
from planner.scheduling.problem import BoolArray, FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class VisitBlock:
    """One open visit that somebody could do."""

    low: int
    """The day its own days begin with."""
    rows: IntArray
    """Place of each team's lead in the route's leads, rising, shape (t,)."""
    seconds: IntArray
    """Place of each team's second in the route's seconds; -1: nobody."""
    date_cost: FloatArray
    """Cost of a date, load and prices left out; inf where it cannot be. Shape (w, n, t)."""
    last_cost: FloatArray
    """Cost of a reserve date, below 0 where it is worth something; same shape."""
    none_cost: FloatArray
    """0 where a date may stand without a reserve date, else inf, shape (n,)."""


@dataclass(frozen=True, slots=True, eq=False)
class SetupBlock:
    """The set-up of one route."""

    days_before: int
    alone_cost: FloatArray
    """Cost of a set-up on a day of its own, shape (d, l)."""
    same_day_cost: FloatArray
    """0 where it may be just before visit 1, else inf, shape (w, d, l)."""


def visit_block(route: RouteCase, visit: VisitCase) -> VisitBlock | None:
    """Return the tables of a visit; None if it is fixed or nobody could do it."""
    possible = np.flatnonzero(visit.dates | visit.lasts)
    if visit.fixed is not None or not len(possible) or not visit.dates.any():
        return None
    span = slice(int(possible[0]), int(possible[-1]) + 1)
    rows, seconds = _teams(route, visit)
    going = visit.lead_days[:, rows, span]
    drive = route.lead_drive[rows]
    if visit.people > 1:
        going = going & visit.second_days[:, seconds, span]
        drive = drive + route.second_drive[seconds]
    open_days = going.transpose(0, 2, 1)
    if not (open_days & visit.dates[span, None]).any():
        return None
    return VisitBlock(
        low=span.start,
        rows=rows,
        seconds=seconds,
        date_cost=np.where(open_days & visit.dates[span, None], _date_cost(route, visit, span, drive), np.inf)
        + _moving(route, visit, rows, seconds, span),
        last_cost=np.where(open_days & visit.lasts[span, None], route.weights.reserved, np.inf)
        + _keeping(route, visit, span)[:, None],
        none_cost=np.where(visit.lasts[span], 0.0, np.inf),
    )


def setup_block(route: RouteCase) -> SetupBlock | None:
    """Return the tables of the set-up; None where the route has none."""
    setup: SetupCase | None = route.setup
    if setup is None:
        return None
    drive = route.weights.drive * route.lead_drive
    return SetupBlock(
        setup.days_before,
        np.where(setup.lead_days.T, drive, np.inf),
        np.where(setup.same_day.transpose(0, 2, 1), 0.0, np.inf),
    )


def _teams(route: RouteCase, visit: VisitCase) -> tuple[IntArray, IntArray]:
    """Return the leads and seconds who have a day in common."""
    able: BoolArray = np.any(visit.lead_days & visit.dates, axis=(0, 2))
    if visit.people == 1:
        rows = np.flatnonzero(able)
        return rows, np.full(len(rows), -1, dtype=np.int64)
    rows, seconds = np.nonzero(route.pairs & able[:, None])
    together: BoolArray = np.any(visit.lead_days[:, rows] & visit.second_days[:, seconds] & visit.dates, axis=(0, 2))
    return rows[together], seconds[together]


def _date_cost(route: RouteCase, visit: VisitCase, span: slice, drive: FloatArray) -> FloatArray:
    weights = route.weights
    late = weights.late_day * visit.people * (np.arange(span.start, span.stop) - visit.first_day)
    wish = np.zeros((1, len(late))) if visit.day_cost is None else weights.wishes * visit.day_cost[:, span]
    costs: FloatArray = weights.filled + (late + wish)[:, :, None] + weights.drive * drive
    return costs


def _moving(route: RouteCase, visit: VisitCase, rows: IntArray, seconds: IntArray, span: slice) -> FloatArray:
    """Return what it costs to have another date or other people than now, shape (n, t)."""
    costs = np.full((span.stop - span.start, len(rows)), 0.0 if visit.present is None else route.weights.moved)
    if visit.present is not None and span.start <= visit.present.date < span.stop:
        second = route.seconds[seconds] if visit.people > 1 else seconds
        costs[visit.present.date - span.start, (route.leads[rows] == visit.present.lead) & _same(second, visit)] = 0.0
    return costs


def _same(second: IntArray, visit: VisitCase) -> BoolArray:
    assert visit.present is not None, "asked only for visits that stand"
    return np.asarray(second == visit.present.second, dtype=np.bool_)


def _keeping(route: RouteCase, visit: VisitCase, span: slice) -> FloatArray:
    """Return what it costs to have another reserve date than now, shape (n,)."""
    present = visit.present
    kept = present is not None and present.last != present.date
    costs = np.full(span.stop - span.start, route.weights.kept_otherwise if kept else 0.0)
    if present is not None and span.start <= present.last < span.stop:
        costs[present.last - span.start] = 0.0
    return costs
