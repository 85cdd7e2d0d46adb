"""Pricing the routes of a season: the best column of each at given prices, many routes at a time."""

from __future__ import annotations

from collections import Counter, OrderedDict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

import numpy as np
from scipy.sparse import csr_array

from planner.scheduling.engine.column import Column
from planner.scheduling.engine.costing import FREE, Demand, Demands, Prices, Uses
from planner.scheduling.engine.instance import Instance, IntArray, RouteCase
from planner.scheduling.engine.pricing import Priced, RoutePricer, breaks
from planner.scheduling.engine.side_by_side import RouteBlocks, SideBySide, lay_out
from planner.scheduling.engine.tracing import free_column, one_lead_column
from planner.scheduling.engine.valuing import Valued
from planner.scheduling.problem import BoolArray, FloatArray

_SIDE_BY_SIDE = 64
"""Routes valued together: more no longer fit a processor's cache."""

_KEPT_LAYOUTS = 8
"""Beside those of all routes."""
_GAIN = 1e-9

_NO_DEMANDS: Demands = {}


@dataclass(slots=True, eq=False)
class _Sought:
    """The best column of one route, while it is sought."""

    number: int
    floor: float
    value: float
    """Of the best so far; 0 for leaving the route empty."""
    bound: float = np.inf
    """What was not looked into is no less than that."""
    columns: list[tuple[float, Column]] = field(default_factory=list)

    def worth(self, bound: float) -> bool:
        """Say whether columns of no less than a bound are worth looking for; remembers the bound of those left."""
        if bound >= self.value - _GAIN:
            return False
        if bound >= self.floor:
            self.bound = min(self.bound, bound)
            return False
        return True

    def found(self, value: float, column: Column) -> None:
        """Keep a column."""
        self.columns.append((value, column))
        self.value = min(self.value, value)

    @property
    def priced(self) -> Priced:
        """What was found."""
        columns = sorted(self.columns, key=lambda item: item[0])
        return Priced(
            min(self.value, self.bound), tuple(dict.fromkeys(column for _, column in columns)), self.value <= self.bound
        )


@dataclass(frozen=True, slots=True)
class _Task:
    """Part of the columns of one route: those that meet a demand."""

    sought: _Sought
    demand: Demand
    bound: float = -np.inf
    """No column of it is worth less."""


@dataclass(frozen=True, slots=True, eq=False)
class _Asked:
    """What one pricing is given."""

    prices: Prices
    limit: IntArray


class _Layouts:
    """Routes laid side by side, those asked for last kept at hand."""

    def __init__(self, blocks: Sequence[RouteBlocks], days: int) -> None:
        self._blocks = blocks
        self._days = days
        self._kept: OrderedDict[tuple[int, ...], SideBySide] = OrderedDict()
        self._most = _KEPT_LAYOUTS + len(blocks) // _SIDE_BY_SIDE

    def of(self, numbers: tuple[int, ...]) -> SideBySide:
        """Return some routes side by side."""
        if numbers not in self._kept:
            self._kept[numbers] = lay_out([self._blocks[number] for number in numbers], self._days)
            if len(self._kept) > self._most:
                self._kept.popitem(last=False)
        self._kept.move_to_end(numbers)
        return self._kept[numbers]


class SeasonPricer:
    """Prices the columns of every route of a season."""

    def __init__(self, instance: Instance) -> None:
        """Prepare what does not depend on prices.

        Args:
            instance: the season; a route is known by its place.
        """
        self.routes = routes = instance.routes
        self._blocks = [RouteBlocks.of(route) for route in routes]
        # A gap with a maximum ties the next visit to the date as well as to the last day kept: another chain.
        self._chained = {
            number: RoutePricer(number, route, instance.days)
            for number, route in enumerate(routes)
            if any(visit.gap.most is not None for visit in route.visits[1:])
        }
        self._people = _people_of(routes, len(instance.room.limit))
        self._layouts = _Layouts(self._blocks, instance.days)

    def touching(self, people: BoolArray) -> BoolArray:
        """Return which routes some of those people could do, shape (routes,)."""
        found: BoolArray = self._people @ people > 0
        return found

    def price(
        self,
        numbers: Sequence[int],
        prices: Prices,
        limit: IntArray,
        *,
        demands: Demands = _NO_DEMANDS,
        floors: FloatArray | None = None,
        exact: bool = True,
    ) -> list[Priced]:
        """Return the best column of each route, and good ones of another kind.

        Args:
            numbers: of the routes.
            prices: of days and visits.
            limit: visits that each volunteer may still take; no column breaks it.
            demands: what else is asked. Where one requires a use, its route cannot stay empty: a value of inf says
                that no column meets the demand.
            floors: by place in ``numbers``: a route whose best is not below it is not looked into further; its value
                is then a bound from below, no less than the floor. None: every value is exact.
            exact: False: a best that is no column is not looked into further either; quicker, the bounds are lower.
        """
        sought = []
        for place, number in enumerate(numbers):
            empty = np.inf if number in demands and demands[number].required else 0.0
            sought.append(_Sought(number, np.inf if floors is None else float(floors[place]), empty))
        asked = _Asked(prices, limit)
        tasks = [_Task(one, demands.get(one.number, FREE)) for one in sought if len(self.routes[one.number].leads)]
        while tasks:
            plain = [task for task in tasks if task.sought.number not in self._chained]
            parts = [part for task in tasks if task.sought.number in self._chained for part in self._chain(task, asked)]
            for at in range(0, len(plain), _SIDE_BY_SIDE):
                parts += self._look(plain[at : at + _SIDE_BY_SIDE], asked)
            if not exact:
                for task in parts:
                    task.sought.bound = min(task.sought.bound, task.bound)
                break
            tasks = parts
        return [one.priced for one in sought]

    def _chain(self, task: _Task, asked: _Asked) -> list[_Task]:
        """Find the best columns of one task by the chain that keeps date and last day apart."""
        one, twice = task.sought, asked.prices.of_twice(_times(task.demand.required))
        once = replace(asked.prices, twice=np.zeros_like(asked.prices.twice))
        priced = self._chained[one.number].price(once, asked.limit, task.demand)
        parts: dict[_Task, None] = {}
        if priced.columns and one.worth(priced.value + twice):
            for column in priced.columns:
                parts |= dict.fromkeys(_judged(replace(task, bound=priced.value + twice), column, asked, twice))
        return list(parts)

    def _look(self, tasks: list[_Task], asked: _Asked) -> list[_Task]:
        """Find the best columns of some tasks; returns the parts into which those fall whose best is not yet known."""
        laid = self._layouts.of(tuple(task.sought.number for task in tasks))
        valued = Valued(laid, asked.prices, [task.demand for task in tasks])
        free, rows = valued.free_values.tolist(), valued.one_lead_values(asked.limit)
        parts: dict[_Task, None] = {}
        for place, task in enumerate(tasks):
            one, number = task.sought, task.sought.number
            first, leads = int(laid.row_starts[place]), self.routes[number].leads
            paid_by_row = _paid_twice(task.demand, leads, int(laid.open_visits[place]), asked.prices)
            others = rows[first : first + len(leads)] + paid_by_row.beside_lead
            row = first + int(others.argmin())
            least = float(others.min())
            twice = asked.prices.of_twice(_times(task.demand.required))
            if one.worth(least):
                column = one_lead_column(valued, number, place, row)
                paid = float(paid_by_row.in_all[row - first])
                parts |= dict.fromkeys(_judged(replace(task, bound=least), column, asked, paid))
            if free[place] + twice < least and one.worth(free[place] + twice):
                column = free_column(valued, number, place)
                free_task = replace(task, bound=free[place] + twice)
                parts |= dict.fromkeys(_judged(free_task, column, asked, twice))
        return list(parts)


class _PaidTwice(NamedTuple):
    """What is paid for two visits of one person where one lead does all visits, by lead."""

    beside_lead: FloatArray
    """For others who are required on several."""
    in_all: FloatArray


def _paid_twice(demand: Demand, leads: IntArray, visits: int, prices: Prices) -> _PaidTwice:
    beside = np.zeros(len(leads))
    for person, times in _times(demand.required):
        beside += np.where(leads == person, 0.0, (times // 2) * prices.twice[person])
    return _PaidTwice(beside, beside + (visits // 2) * prices.twice[leads])


def _judged(task: _Task, column: Column, asked: _Asked, paid: float) -> Iterator[_Task]:
    """Keep a column that is one, and yield the parts in which a better one may still be.

    A column that breaks somebody's limit is no column: one of its visits must do without that person. One that pays
    for somebody's two visits what valuing did not count is worth less than it seemed: one of the two does without
    that person, or both have to have them.

    Args:
        task: what was asked.
        column: the best by what valuing counts.
        asked: prices and limits.
        paid: for two visits of one person, as counted.
    """
    person = breaks(column, asked.limit)
    if person is not None:
        for k in _visits_of(column, person):
            yield _Task(task.sought, task.demand.without((k, person)), task.bound)
        return
    task.sought.found(column.cost + asked.prices.of(column), column)
    if asked.prices.of_twice(column.loads) <= paid + _GAIN:
        return
    required = dict(_times(task.demand.required))
    for person, visits in column.loads:
        if visits // 2 > required.get(person, 0) // 2 and asked.prices.twice[person] > 0:
            uses = [(k, person) for k in _visits_of(column, person)]
            for use in uses:
                yield _Task(task.sought, task.demand.without(use), task.bound)
            yield _Task(task.sought, task.demand.requiring(uses), task.bound)
            return


def _visits_of(column: Column, person: int) -> list[int]:
    return [k for k, choice in enumerate(column.choices) if choice is not None and person in choice.people]


def _times(uses: Uses) -> list[tuple[int, int]]:
    """Return how often each person is required."""
    return sorted(Counter(person for _, person in uses).items())


def _people_of(routes: Sequence[RouteCase], volunteers: int) -> csr_array:
    """Return who could do each route, shape (routes, volunteers)."""
    people = [np.union1d(route.leads, route.seconds) for route in routes]
    ends = np.cumsum([len(one) for one in people])
    who = np.concatenate(people) if people else np.zeros(0, dtype=np.int64)
    return csr_array((np.ones(len(who)), who, np.concatenate([[0], ends])), shape=(len(routes), volunteers))
