"""Pricing: the best column of one route for given prices of days and visits, by dynamic programming in arrays."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

import numpy as np

from planner.scheduling.engine.chain import Chain
from planner.scheduling.engine.column import Choice, Column, column_of
from planner.scheduling.engine.costing import FREE, Costing, Demand, Prices, Tables
from planner.scheduling.engine.instance import IntArray, RouteCase
from planner.scheduling.problem import FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Priced:
    """What pricing one route finds."""

    value: float
    """Cost and prices of the best column; 0 if the route had better stay empty; inf if it must not and cannot."""
    columns: tuple[Column, ...]
    """The best column first; good ones of other kinds after it."""
    exact: bool = True
    """Whether the value is that of the best column, and no mere bound from below."""


@dataclass(frozen=True, slots=True, eq=False)
class _Asked:
    """What one pricing is given."""

    prices: Prices
    limit: IntArray
    demand: Demand

    def sparing(self, person: int, column: Column) -> Iterator[_Asked]:
        """Yield the same without a person on each visit of a column that uses them."""
        for k, choice in enumerate(column.choices):
            if choice is not None and person in choice.people:
                yield _Asked(self.prices, self.limit, self.demand.without((k, person)))


class _Step(Enum):
    """What the way through the table does with the next visit."""

    EITHER = "either"
    FILL = "fill"
    PASS = "pass"


class RoutePricer:
    """Prices the columns of one route."""

    def __init__(self, number: int, route: RouteCase, days: int) -> None:
        """Prepare what does not depend on prices.

        Args:
            number: which route of the instance.
            route: the route.
            days: length of the season.
        """
        self.number = number
        self.route = route
        self._chain = Chain(route, days)
        self._costing = Costing(route, days)
        self._open = len(route.open_visits)
        self._same_leads = _same_lead_rows(route)
        self._people = np.union1d(route.leads, route.seconds)
        self._last: tuple[tuple[object, ...], Priced] | None = None

    def price(self, prices: Prices, limit: IntArray, demand: Demand = FREE) -> Priced:
        """Return the best column, exactly, and a few more.

        Args:
            prices: of days and visits.
            limit: visits that each volunteer may still take; no column breaks it.
            demand: what else is asked. Where it requires a use, the route cannot stay empty: a value of inf says
                that no column meets the demand.

        Asked twice in a row for the same, the answer is at hand.
        """
        asked_of_us = (
            prices.days[self._people].tobytes(),
            prices.visits[self._people].tobytes(),
            (prices.filled, prices.reserved),
            limit[self._people].tobytes(),
            demand,
        )
        if self._last is None or self._last[0] != asked_of_us:
            self._last = asked_of_us, self._price(prices, limit, demand)
        return self._last[1]

    def _price(self, prices: Prices, limit: IntArray, demand: Demand) -> Priced:
        empty = np.inf if demand.required else 0.0
        if not len(self.route.leads):
            return Priced(empty, ())
        asked = _Asked(prices, limit, demand)
        tables = self._costing.tables(prices, demand)
        found = self._one_lead(tables, asked, empty)
        best = min([empty, *(value for value, _ in found)])
        found += self._free(tables, asked, best)
        found.sort(key=lambda item: item[0])
        columns = tuple(dict.fromkeys(column for _, column in found))
        return Priced(min([empty, *(value for value, _ in found)]), columns)

    def _free(self, tables: Tables, asked: _Asked, best: float) -> list[tuple[float, Column]]:
        """Return the best column with any leads, and its value, if it betters ``best``.

        A column that breaks somebody's limit is replaced by branching on which of its visits must do without
        that person: one of them must.
        """
        costs = [None if table is None else table.costs.min(axis=0, keepdims=True) for table in tables]
        must = {k for k, _ in asked.demand.required}
        filled, passed = self._tables(costs, must)
        if not min(filled[0][0, self._chain.start], passed[0][0, self._chain.start]) < best:
            return []
        column = self._column(tables, self._trace(0, costs, filled, passed), None, asked)
        person = breaks(column, asked.limit)
        if person is None:
            return [(column.cost + asked.prices.of(column), column)]
        found: list[tuple[float, Column]] = []
        for without in asked.sparing(person, column):
            found += self._free(self._costing.tables(asked.prices, without.demand), without, best)
            best = min([best, *(value for value, _ in found)])
        return found

    def _one_lead(self, tables: Tables, asked: _Asked, best: float) -> list[tuple[float, Column]]:
        """Return the best column in which one person leads all visits, and its value, if it betters ``best``."""
        rows = self._same_leads[asked.limit[self.route.leads[self._same_leads]] >= self._open]
        if not len(rows):
            return []
        costs = [None if table is None else table.costs[rows] for table in tables]
        filled, passed = self._tables(costs, set(range(len(costs))))
        values = np.minimum(filled[0][:, self._chain.start], passed[0][:, self._chain.start])
        row = int(np.argmin(values))
        if not values[row] + self.route.weights.same_lead < best:
            return []
        column = self._column(tables, self._trace(row, costs, filled, passed), int(rows[row]), asked)
        person = breaks(column, asked.limit)
        if person is None:
            return [(column.cost + asked.prices.of(column), column)]
        found: list[tuple[float, Column]] = []
        for without in asked.sparing(person, column):
            found += self._one_lead(self._costing.tables(asked.prices, without.demand), without, best)
        return found

    # Chaining the visits.

    def _tables(self, costs: list[FloatArray | None], must: set[int]) -> tuple[list[FloatArray], list[FloatArray]]:
        """Return, before each visit, the least cost still to come if it is filled and if it is passed over.

        Args:
            costs: of each visit, shape (rows, pairs); None for fixed ones.
            must: visits that must be filled.
        """
        rows = next(len(one) for one in costs if one is not None)
        chain = self._chain
        filled, passed = [chain.level(rows, np.inf)], [chain.level(rows, 0.0)]
        for k in reversed(range(len(costs))):
            one = costs[k]
            if one is None:
                passed.append(chain.fixed(np.minimum(filled[-1], passed[-1])))
                filled.append(chain.level(rows, np.inf))
                continue
            totals = one + chain.onward(k, filled[-1], passed[-1])
            if k in must:
                passed.append(chain.level(rows, np.inf))
            else:
                passed.append(chain.skipped(k, np.minimum(filled[-1], passed[-1])))
            filled.append(chain.filled(k, totals))
        return filled[::-1], passed[::-1]

    def _trace(
        self, row: int, costs: list[FloatArray | None], filled: list[FloatArray], passed: list[FloatArray]
    ) -> list[int]:
        """Return the pair of dates chosen for each visit, by place; -1: passed over."""
        chain = self._chain
        picks: list[int] = []
        state, step = chain.start, _Step.EITHER
        for k, one in enumerate(costs):
            if one is None:
                picks.append(-1)
                state, step = chain.start, _Step.EITHER
            elif step is _Step.PASS or (step is _Step.EITHER and passed[k][row, state] <= filled[k][row, state]):
                picks.append(-1)
                state, step = chain.over(k, state), _Step.EITHER
            else:
                after = filled[k + 1][row : row + 1], passed[k + 1][row : row + 1]
                totals = one[row] + chain.onward(k, *after)[0]
                allowed = chain.allowed(k, state)
                picks.append(int(allowed[np.argmin(totals[allowed])]))
                state, step = self._after(k, picks[-1], after)
        return picks

    def _after(self, k: int, pair: int, after: tuple[FloatArray, FloatArray]) -> tuple[int, _Step]:
        """Return the state that a pair of dates leaves, and what the cheapest way on does with the next visit."""
        filled, passed = after
        plain, preferred = self._chain.after(k, pair)
        if preferred is None:
            return plain, _Step.EITHER
        ways = (
            (float(passed[0, plain]), plain, _Step.PASS),
            (float(filled[0, preferred]), preferred, _Step.FILL),
            (float(filled[0, plain]) + self.route.weights.missed_gap, plain, _Step.FILL),
        )
        _, state, step = min(ways, key=lambda way: way[0])
        return state, step

    def _column(self, tables: Tables, picks: list[int], lead: int | None, asked: _Asked) -> Column:
        """Return the column behind the picked dates; ``lead`` is its one lead, None: the cheapest of each visit."""
        route = self.route
        choices: list[Choice | None] = []
        first_lead = -1
        for k, (table, pair) in enumerate(zip(tables, picks, strict=True)):
            if table is None or pair < 0:
                choices.append(None)
                continue
            row = int(np.argmin(table.costs[:, pair])) if lead is None else lead
            first_lead = row if k == 0 else first_lead
            second = int(table.seconds[row, pair])
            date, last = self._costing.pair(k, pair)
            choices.append(
                Choice(
                    int(route.leads[row]),
                    int(route.seconds[second]) if second >= 0 else -1,
                    int(table.windows[row, pair]),
                    date,
                    last,
                )
            )
        setup = -1
        if route.setup is not None and choices[0] is not None:
            setup = self._costing.best_setup(first_lead, choices[0], asked.prices, asked.demand)
        return column_of(self.number, route, tuple(choices), setup)


def _same_lead_rows(route: RouteCase) -> IntArray:
    """Return the places of leads who could lead all visits, fixed ones included; none where that is no aim."""
    fixed = {visit.fixed.lead for visit in route.visits if visit.fixed is not None}
    if not route.same_lead or len(route.visits) < 2 or len(fixed) > 1:
        return np.zeros(0, dtype=np.int64)
    kept = np.ones(len(route.leads), dtype=np.bool_)
    if fixed:
        kept &= route.leads == fixed.pop()
    return np.flatnonzero(kept)


def breaks(column: Column, limit: IntArray) -> int | None:
    """Return a volunteer whose limit a column breaks, if there is one."""
    return next((v for v, visits in column.loads if visits > limit[v]), None)
