"""Valuing routes side by side: at given prices, the least cost of the visits still to come, for every state.

The state before a visit is the earliest date it may have; 0: no visit before it. Twice over: with any leads, where a
visit may be passed over, and with one lead for all visits, in a column of its own for each who could.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from planner.scheduling.engine.costing import FREE, Demand, Prices
from planner.scheduling.engine.instance import IntArray
from planner.scheduling.engine.side_by_side import Group, SideBySide
from planner.scheduling.problem import FloatArray


class Pick(NamedTuple):
    """How one visit is filled: window, own day of date and of reserve date (the same: none), and team of the group."""

    window: int
    date: int
    last: int
    team: int


@dataclass(frozen=True, slots=True, eq=False)
class GroupCosts:
    """A group at given prices; shapes as in the group."""

    group: Group
    date: FloatArray
    last: FloatArray

    def totals(self, onward: FloatArray, none: FloatArray) -> FloatArray:
        """Return the least cost of each date and team with all that follows, shape (n, t).

        Args:
            onward: cost of what follows if this is the last day kept for the visit, shape (n, t).
            none: the same where a date may do without a reserve date, else inf.
        """
        best = np.full(onward.shape, np.inf)
        for date, last in zip(self.date, self.last, strict=True):
            kept = last + onward
            later = np.full(kept.shape[1], np.inf)
            for n in range(len(kept) - 1, -1, -1):
                here = date[n] + np.minimum(none[n], later)
                np.minimum(best[n], here, out=best[n])
                np.minimum(later, kept[n], out=later)
        return best

    def pick(self, teams: slice, first: int, onward: FloatArray, none: FloatArray) -> Pick:
        """Return the best way to fill one visit.

        Args:
            teams: of its route, or of one lead of it.
            first: earliest of its own days.
            onward: cost of what follows, shape (n,).
            none: the same where a date may do without a reserve date, else inf.
        """
        kept = self.last[:, first:, teams] + onward[first:, None]
        later = np.full(kept.shape, np.inf)
        later[:, :-1] = np.minimum.accumulate(kept[:, :0:-1], axis=1)[:, ::-1]
        totals = self.date[:, first:, teams] + np.minimum(none[first:, None], later)
        w, n, t = (int(i) for i in np.unravel_index(int(totals.argmin()), totals.shape))
        last = n if none[first + n] <= later[w, n, t] else n + 1 + int(kept[w, n + 1 :, t].argmin())
        return Pick(w, first + n, first + last, teams.start + t)


@dataclass(frozen=True, slots=True, eq=False)
class States:
    """Least costs still to come before a visit, shape (d + 1, columns)."""

    filled: FloatArray
    """If it is filled."""
    passed: FloatArray
    """If it is not."""

    @property
    def either(self) -> FloatArray:
        """The less of both."""
        return np.minimum(self.filled, self.passed)


class Valued:
    """A batch at given prices."""

    def __init__(self, laid: SideBySide, prices: Prices, demands: Sequence[Demand]) -> None:
        """Value every route.

        Args:
            laid: the routes.
            prices: of days and visits.
            demands: of each route.
        """
        self.laid = laid
        self._prices = prices
        self._flat = np.pad(prices.days, ((0, 0), (0, 1))).ravel()
        self._demands = demands
        self._setup_alone, setup = self._setup_costs()
        self.costs = [
            [self._costs(k, group, setup if k == 0 else None) for group in groups]
            for k, groups in enumerate(laid.groups)
        ]
        self.free = self._chain_free()
        """By visit, a column for each route; one more behind the last visit."""
        self.one_lead = self._chain_one_lead() if laid.one_lead.any() else []
        """By visit, a column for each lead row."""

    @property
    def free_values(self) -> FloatArray:
        """Least cost of each route with any leads, shape (routes,)."""
        first = self.free[0]
        values: FloatArray = np.minimum(first.filled[0], first.passed[0])
        return values

    def one_lead_values(self, limit: IntArray) -> FloatArray:
        """Return the least cost of each lead row if it leads all visits, inf where it cannot, shape (rows,)."""
        laid = self.laid
        if not self.one_lead:
            return np.full(len(laid.row_leads), np.inf)
        visits = laid.open_visits[laid.row_owner]
        able = laid.one_lead & (limit[laid.row_leads] >= visits)
        twice = (visits // 2) * self._prices.twice[laid.row_leads]
        values: FloatArray = np.where(able, self.one_lead[0][0] + laid.bonus[laid.row_owner] + twice, np.inf)
        return values

    # At the prices.

    def _costs(self, k: int, group: Group, setup: FloatArray | None) -> GroupCosts:
        prices, team = self._prices, self._flat.take(group.lead_slots)
        pay = prices.visits.take(group.leads) + prices.filled
        if group.two:
            team += self._flat.take(group.second_slots)
            pay = pay + prices.visits.take(group.seconds)
        date = group.date_cost + (team + pay)
        if setup is not None:
            # Beyond a visit's own days the date costs inf anyway.
            at = np.minimum(group.days, self.laid.days - 1)[:, group.owner]
            date += setup[:, at, group.rows]
        last = group.last_cost + (team + prices.reserved)
        for gi, place in enumerate(group.places.tolist()):
            if self._demands[place] is not FREE:
                self._oblige(k, group, gi, self._demands[place], (date, last))
        return GroupCosts(group, date, last)

    def _oblige(self, k: int, group: Group, gi: int, demand: Demand, tables: tuple[FloatArray, FloatArray]) -> None:
        """Close what a demand forbids, in the tables of dates and of reserve dates."""
        teams = slice(int(group.starts[gi]), int(group.ends[gi]))
        leads, seconds = group.leads[teams], group.seconds[teams]
        date, last = (table[:, :, teams] for table in tables)
        for visit, person in demand.forbidden:
            if visit == k:
                date[:, :, (leads == person) | (seconds == person)] = np.inf
        for person in demand.required_at(k):
            date[:, :, (leads != person) & (seconds != person)] = np.inf
        for person, day in demand.closed:
            n = day - int(group.low[gi])
            if 0 <= n < date.shape[1]:
                date[:, n, (leads == person) | (seconds == person)] = np.inf
                last[:, n, (leads == person) | (seconds == person)] = np.inf

    def _setup_costs(self) -> tuple[FloatArray | None, FloatArray | None]:
        """Return what a set-up alone costs each day, shape (d, rows), and the least before each date, (w, d, rows)."""
        setups = self.laid.setups
        if setups is None:
            return None, None
        alone = setups.alone_cost + self._flat.take(setups.slots)
        for place, demand in enumerate(self._demands):
            for person, day in demand.closed:
                alone[day, (self.laid.row_owner == place) & (self.laid.row_leads == person)] = np.inf
        least = setups.same_day_cost.copy()
        for before in range(1, min(int(setups.before.max()), self.laid.days - 1) + 1):
            reached = np.where(setups.before >= before, alone[:-before], np.inf)
            np.minimum(least[:, before:], reached, out=least[:, before:])
        return alone, least

    # Chaining the visits.

    def _chain_free(self) -> list[States]:
        laid = self.laid
        size, every = (laid.days + 1, len(laid.blocks)), np.arange(len(laid.blocks))
        chain = [States(np.full(size, np.inf), np.zeros(size))]
        for k in reversed(range(len(laid.groups))):
            following = chain[-1]
            either = following.either
            filled = np.full(size, np.inf)
            skipped = either[laid.skips[k], every]
            passed = np.where(laid.passing[k], skipped, either[0])
            for place, demand in enumerate(self._demands):
                if demand is not FREE and demand.required_at(k):
                    passed[:, place] = np.inf
            for costs in self.costs[k]:
                group = costs.group
                onward = self.onward(group, following)
                best = costs.totals(onward[:, group.owner], (onward + group.none_cost)[:, group.owner])
                of_routes = np.minimum.reduceat(best, group.starts, axis=1)
                filled[:, group.places] = self._by_state(of_routes, group.low)
            chain.append(States(filled, passed))
        return chain[::-1]

    def onward(self, group: Group, following: States) -> FloatArray:
        """Return the cost of what follows each day kept for a visit with any leads, shape (n, r)."""
        places = group.places
        if group.far is None:
            return np.asarray(following.either[group.near, places])
        close = following.filled[group.near, places] + np.where(group.near == group.far, 0.0, self.laid.missed)
        filled = np.minimum(close, following.filled[group.far, places])
        return np.minimum(filled, following.passed[group.near, places])

    def _chain_one_lead(self) -> list[FloatArray]:
        laid = self.laid
        size = (laid.days + 1, len(laid.row_leads))
        chain = [np.zeros(size)]
        for k in reversed(range(len(laid.groups))):
            following = chain[-1]
            table = np.full(size, np.inf)
            kept = ~laid.passing[k][laid.row_owner]
            table[:, kept] = following[0, kept]
            for costs in self.costs[k]:
                group = costs.group
                onward = self.onward_one_lead(group, following)
                best = costs.totals(onward, onward + group.none_cost[:, group.owner])
                of_rows = np.minimum.reduceat(best, group.row_starts, axis=1)
                table[:, group.row_ids] = self._by_state(of_rows, group.low[group.owner[group.row_starts]])
            chain.append(table)
        return chain[::-1]

    def onward_one_lead(self, group: Group, following: FloatArray) -> FloatArray:
        """Return the cost of what follows each day kept for a visit with the same lead, shape (n, t)."""
        table = following.ravel()
        close = table.take(group.near_slots)
        if group.far_slots is None:
            return close
        close += np.where(group.near_slots == group.far_slots, 0.0, self.laid.missed)
        return np.minimum(close, table.take(group.far_slots))

    def _by_state(self, totals: FloatArray, low: IntArray) -> FloatArray:
        """Return the least cost from each state on, shape (d + 1, columns), of the cost of each of the own days."""
        least = np.full((len(totals) + 1, totals.shape[1]), np.inf)
        least[:-1] = np.minimum.accumulate(totals[::-1], axis=0)[::-1]
        states = np.arange(self.laid.days + 1)[:, None]
        return np.asarray(least[np.clip(states - low, 0, len(totals)), np.arange(totals.shape[1])])

    def best_setup(self, row: int, window: int, date: int) -> int:
        """Return the day of the cheapest set-up by a lead row before a date, the latest of equals."""
        setups = self.laid.setups
        assert setups is not None and self._setup_alone is not None, "asked only where there is a set-up"  # noqa: PT018 - one thing: a set-up
        first = max(date - int(setups.before[row]), 0)
        costs = np.append(self._setup_alone[first:date, row], setups.same_day_cost[window, date, row])
        return date - int(np.argmin(costs[::-1]))
