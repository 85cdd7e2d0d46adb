"""What each visit of a route costs with each lead on each pair of dates, at given prices."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np

from planner.scheduling.engine.column import Choice, Column
from planner.scheduling.engine.instance import IntArray, RouteCase, VisitCase, date_pairs
from planner.scheduling.problem import FloatArray

Uses: TypeAlias = frozenset[tuple[int, int]]
"""(visit, volunteer): this person on that visit, as lead or second."""


@dataclass(frozen=True, slots=True)
class Demand:
    """What is asked of the columns of one route beside the rules."""

    forbidden: Uses = frozenset()
    required: Uses = frozenset()
    closed: frozenset[tuple[int, int]] = frozenset()
    """(volunteer, day) that the route must not take."""

    def allows(self, column: Column) -> bool:
        """Say whether a column meets it."""
        uses = {(k, person) for k, choice in enumerate(column.choices) if choice for person in choice.people}
        return self.required <= uses and not self.forbidden & uses and not self.closed & set(column.slots)

    def without(self, use: tuple[int, int]) -> Demand:
        """Return the demand that also forbids a use."""
        return replace(self, forbidden=self.forbidden | {use})

    def requiring(self, uses: Iterable[tuple[int, int]]) -> Demand:
        """Return the demand that also requires uses."""
        return replace(self, required=self.required | frozenset(uses))

    def required_at(self, visit: int) -> list[int]:
        """Return who is required on a visit."""
        return sorted(person for k, person in self.required if k == visit)


FREE = Demand()
"""Nothing is asked."""

Demands: TypeAlias = Mapping[int, Demand]
"""By route; a route that is not here is free."""


@dataclass(frozen=True, slots=True, eq=False)
class Prices:
    """What the master asks; inf closes."""

    days: FloatArray
    """For each volunteer and day, 0 or more, shape (volunteers, days)."""
    visits: FloatArray
    """For each visit of a volunteer, 0 or more, shape (volunteers,)."""
    twice: FloatArray
    """For every two visits of a volunteer on one route, 0 or more, shape (volunteers,)."""
    filled: float = 0.0
    """For each visit filled, by anybody; below 0 it is paid out."""
    reserved: float = 0.0
    """For each reserve date."""

    def of(self, column: Column) -> float:
        """Return what a column pays."""
        people = sum(self.days[slot] for slot in column.slots)
        people += sum(n * self.visits[v] + (n // 2) * self.twice[v] for v, n in column.loads)
        return float(people + self.filled * column.filled + self.reserved * column.reserved)

    def of_twice(self, loads: Iterable[tuple[int, int]]) -> float:
        """Return what is paid for volunteers who have several of those visits."""
        return float(sum((n // 2) * self.twice[v] for v, n in loads))


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """One visit: the least cost for each lead and pair of dates, and what stands behind it."""

    costs: FloatArray
    """Shape (leads, pairs)."""
    windows: IntArray
    seconds: IntArray
    """Places in the route's seconds, -1 for nobody; same shape."""


Tables: TypeAlias = list[Table | None]
"""By visit; None for fixed ones."""


@dataclass(frozen=True, slots=True, eq=False)
class _Fixed:
    """What of one visit does not depend on prices."""

    dates: IntArray
    """Date of each pair of date and reserve date, shape (pairs,)."""
    lasts: IntArray
    """Reserve date of each pair; the date itself stands for none."""
    costs: FloatArray
    """Shape (windows, 1 or leads, pairs)."""
    last_or_none: IntArray
    """Reserve date of each pair; the number of days where there is none."""
    reserved: FloatArray
    """1 for each pair with a reserve date, else 0."""
    nothing: IntArray
    """Shape (leads, pairs), all -1."""


class Costing:
    """Builds the tables of one route."""

    def __init__(self, route: RouteCase, days: int) -> None:
        """Prepare what does not depend on prices.

        Args:
            route: the route.
            days: length of the season.
        """
        self._route = route
        self._days = days
        self._fixed = [self._prepare(visit) for visit in route.visits]

    def _prepare(self, visit: VisitCase) -> _Fixed:
        dates, lasts = date_pairs(visit)
        weights = self._route.weights
        reserved = lasts != dates
        costs = weights.filled + np.where(reserved, weights.reserved, 0.0)
        costs = costs + weights.late_day * visit.people * (dates - visit.first_day)
        drive = weights.drive * self._route.lead_drive
        wish = (
            np.zeros((len(visit.lead_days), self._days)) if visit.day_cost is None else weights.wishes * visit.day_cost
        )
        costs = costs + _keeping(self._route, visit, dates, lasts)
        return _Fixed(
            dates,
            lasts,
            costs[None, None, :] + drive[None, :, None] + wish[:, None, dates],
            np.where(reserved, lasts, self._days),
            reserved.astype(np.float64),
            np.full((len(self._route.leads), len(dates)), -1, dtype=np.int64),
        )

    def tables(self, prices: Prices, demand: Demand) -> Tables:
        """Return the table of every visit.

        Args:
            prices: of days and visits.
            demand: what is asked of the columns.
        """
        return [
            self._table(k, prices, demand) if visit.fixed is None else None
            for k, visit in enumerate(self._route.visits)
        ]

    def _table(self, k: int, prices: Prices, demand: Demand) -> Table:
        visit = self._route.visits[k]
        found = [self._in_window(k, w, prices, demand) for w in range(len(visit.lead_days))]
        costs, seconds = found[0]
        windows = np.zeros(costs.shape, dtype=np.int64)
        for w, (others, behind) in enumerate(found[1:], start=1):
            better = others < costs
            costs = np.where(better, others, costs)
            windows, seconds = np.where(better, w, windows), np.where(better, behind, seconds)
        return Table(costs, windows, seconds)

    def _in_window(self, k: int, w: int, prices: Prices, demand: Demand) -> tuple[FloatArray, IntArray]:
        """Return the least cost for each lead and pair of dates in one window, and the second behind it."""
        route, visit, fixed = self._route, self._route.visits[k], self._fixed[k]
        asked = self._asked(k, route.leads, visit.lead_days[w], prices, demand)
        costs = fixed.costs[w] + asked.take(fixed.dates, axis=1) + asked.take(fixed.last_or_none, axis=1)
        costs += prices.visits[route.leads][:, None]
        costs += prices.filled + prices.reserved * fixed.reserved
        if k == 0 and route.setup is not None:
            costs += self._setup_by_days(w, prices, demand).min(axis=0).take(fixed.dates, axis=1)
        required = demand.required_at(k)
        moving = _moving(route, visit, fixed.dates)
        if visit.people == 1:
            if moving is not None:
                costs += moving[:, 0]
            costs[[any(v != who for who in required) for v in route.leads.tolist()]] = np.inf
            return costs, fixed.nothing
        if not len(route.seconds):
            return np.full(costs.shape, np.inf), fixed.nothing
        asked = self._asked(k, route.seconds, visit.second_days[w], prices, demand)
        extra = asked.take(fixed.dates, axis=1) + asked.take(fixed.last_or_none, axis=1)
        extra += (route.weights.drive * route.second_drive + prices.visits[route.seconds])[:, None]
        pairs = route.pairs
        for person in required:
            pairs = pairs & ((route.leads == person)[:, None] | (route.seconds == person)[None, :])
        together = np.where(pairs[:, :, None], extra[None, :, :], np.inf)
        if moving is not None:
            together = together + moving
        who = together.argmin(axis=1)
        return costs + np.take_along_axis(together, who[:, None, :], axis=1)[:, 0, :], who

    def _asked(self, k: int, people: IntArray, open_days: FloatArray, prices: Prices, demand: Demand) -> FloatArray:
        """Return what each person asks for each day, inf where they cannot; a last column of 0 stands for no day."""
        asked = np.zeros((len(people), self._days + 1))
        asked[:, :-1] = np.where(open_days, prices.days[people], np.inf)
        for visit, volunteer in demand.forbidden:
            if visit == k:
                asked[people == volunteer, :-1] = np.inf
        _close(asked, people, demand)
        return asked

    def _setup_by_days(self, w: int, prices: Prices, demand: Demand) -> FloatArray:
        """Return the cost of a set-up 0, 1, 2 … days before each date, shape (days before + 1, leads, days)."""
        setup, leads = self._route.setup, self._route.leads
        assert setup is not None, "asked only for routes with a set-up"
        costs = np.full((setup.days_before + 1, len(leads), self._days), np.inf)
        costs[0] = np.where(setup.same_day[w], 0.0, np.inf)
        asked = (
            np.where(setup.lead_days, prices.days[leads], np.inf)
            + self._route.weights.drive * self._route.lead_drive[:, None]
        )
        _close(asked, leads, demand)
        for before in range(1, min(setup.days_before, self._days - 1) + 1):
            costs[before, :, before:] = asked[:, :-before]
        return costs

    def pair(self, k: int, place: int) -> tuple[int, int]:
        """Return date and reserve date of a pair."""
        fixed = self._fixed[k]
        return int(fixed.dates[place]), int(fixed.lasts[place])

    def best_setup(self, lead: int, first: Choice, prices: Prices, demand: Demand) -> int:
        """Return the day of the cheapest set-up before visit 1, the latest of equals.

        Args:
            lead: place of the lead of visit 1.
            first: how visit 1 is filled.
            prices: of days and visits.
            demand: what is asked of the columns.
        """
        days_before = np.argmin(self._setup_by_days(first.window, prices, demand)[:, lead, first.date])
        return first.date - int(days_before)


def _moving(route: RouteCase, visit: VisitCase, dates: IntArray) -> FloatArray | None:
    """Return what another date or other people than now cost; None where the visit did not stand.

    Shape (leads, seconds, pairs); one second stands for nobody where one person goes.
    """
    present = visit.present
    if present is None:
        return None
    seconds = route.seconds if visit.people > 1 else np.full(1, -1, dtype=np.int64)
    stays = (route.leads == present.lead)[:, None, None] & (seconds == present.second)[None, :, None]
    return np.where(stays & (dates == present.date)[None, None, :], 0.0, route.weights.moved)


def _keeping(route: RouteCase, visit: VisitCase, dates: IntArray, lasts: IntArray) -> FloatArray:
    """Return what another reserve date than now costs, shape (pairs,)."""
    present = visit.present
    if present is None or present.last == present.date:
        return np.zeros(len(dates))
    return np.where((lasts != dates) & (lasts != present.last), route.weights.kept_otherwise, 0.0)


def _close(asked: FloatArray, people: IntArray, demand: Demand) -> None:
    """Close the days that the demand closes, in a table by people and days."""
    for volunteer, day in demand.closed:
        asked[people == volunteer, day] = np.inf
