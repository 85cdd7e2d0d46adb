"""Some routes laid side by side: their visits in common arrays, so that one operation serves all of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from planner.scheduling.engine.blocks import SetupBlock, VisitBlock, setup_block, visit_block
from planner.scheduling.engine.instance import GapRule, IntArray, RouteCase
from planner.scheduling.problem import BoolArray, FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class RouteBlocks:
    """The tables of one route."""

    route: RouteCase
    visits: tuple[VisitBlock | None, ...]
    setup: SetupBlock | None

    @classmethod
    def of(cls, route: RouteCase) -> RouteBlocks:
        """Return the tables of a route."""
        return cls(route, tuple(visit_block(route, visit) for visit in route.visits), setup_block(route))


@dataclass(frozen=True, slots=True, eq=False)
class Group:
    """The k-th visits of some routes, on all of which equally many go. Teams of one route stand together."""

    two: bool
    places: IntArray
    """Places of its routes in the batch, shape (r,)."""
    starts: IntArray
    """First team of each route, shape (r,); ``ends`` is one behind the last."""
    ends: IntArray
    low: IntArray
    """First day of each visit, shape (r,)."""
    owner: IntArray
    """Which of the group's routes each team is of, shape (t,)."""
    rows: IntArray
    """Row of each team's lead in the batch, shape (t,)."""
    row_starts: IntArray
    """First team of each row that has one."""
    row_ids: IntArray
    """Those rows."""
    leads: IntArray
    """Volunteer of each team, shape (t,)."""
    seconds: IntArray
    """Volunteer of each team; -1: nobody."""
    days: IntArray
    """Day of each of a visit's own days, the season's length beyond its end, shape (n, r)."""
    near: IntArray
    """State before the next visit that each own day leaves if it is the last kept for this one, shape (n, r)."""
    far: IntArray | None
    """The same where the next visit is to keep a preferred gap too; None: there is none."""
    near_slots: IntArray
    """Place of that state and of each team's lead row in a flat table of states and rows, shape (n, t)."""
    far_slots: IntArray | None
    lead_slots: IntArray
    """Place of lead and day in the flat prices, shape (n, t)."""
    second_slots: IntArray
    """Same for the second."""
    date_cost: FloatArray
    """Shape (w, n, t)."""
    last_cost: FloatArray
    none_cost: FloatArray
    """Shape (n, r)."""
    rows_in: IntArray
    """Place of each team's lead in its route's leads."""
    seconds_in: IntArray
    """Place of each team's second in its route's seconds."""


@dataclass(frozen=True, slots=True, eq=False)
class Setups:
    """The set-ups of all routes of a batch, a column for each lead row."""

    before: IntArray
    """Days before visit 1 at most, shape (rows,); -1 where the route has no set-up."""
    slots: IntArray
    """Place of lead and day in the flat prices, shape (d, rows)."""
    alone_cost: FloatArray
    """Shape (d, rows)."""
    same_day_cost: FloatArray
    """Shape (w, d, rows)."""


@dataclass(frozen=True, slots=True, eq=False)
class SideBySide:
    """A batch of routes."""

    blocks: tuple[RouteBlocks, ...]
    days: int
    row_starts: IntArray
    """First lead row of each route, shape (routes,)."""
    row_owner: IntArray
    """Route of each lead row."""
    row_leads: IntArray
    """Volunteer of each lead row."""
    groups: tuple[tuple[Group, ...], ...]
    """By visit."""
    passing: tuple[BoolArray, ...]
    """By visit: whether a route has it open, and may pass it over; else it is fixed or does not exist there."""
    skips: tuple[IntArray, ...]
    """By visit: the state that each state leaves if it is passed over, shape (d + 1, routes)."""
    setups: Setups | None
    one_lead: BoolArray
    """Whether a lead row could lead all visits of a route where that is an aim, shape (rows,)."""
    open_visits: IntArray
    """How many are open, shape (routes,)."""
    bonus: FloatArray
    """What one lead for all visits is worth, shape (routes,)."""
    missed: float
    """Cost of a preferred gap missed."""


def lay_out(blocks: Sequence[RouteBlocks], days: int) -> SideBySide:
    """Return routes side by side.

    Args:
        blocks: their tables; at least one route, all judged by the same weights.
        days: length of the season.
    """
    routes = [block.route for block in blocks]
    sizes = np.array([len(route.leads) for route in routes], dtype=np.int64)
    row_starts = np.cumsum(sizes) - sizes
    most = max(len(route.visits) for route in routes)
    gaps = [_Gaps.before(routes, k, days) for k in range(most + 1)]
    return SideBySide(
        blocks=tuple(blocks),
        days=days,
        row_starts=row_starts,
        row_owner=np.repeat(np.arange(len(routes)), sizes),
        row_leads=_joined([route.leads for route in routes]),
        groups=tuple(tuple(_groups(blocks, k, row_starts, gaps[k + 1])) for k in range(most)),
        passing=tuple(
            np.array([k < len(r.visits) and r.visits[k].fixed is None for r in routes], dtype=np.bool_)
            for k in range(most)
        ),
        skips=tuple(gaps[k + 1].skipped() for k in range(most)),
        setups=_setups(blocks, days),
        one_lead=np.concatenate([one_lead_rows(route) for route in routes]),
        open_visits=np.array([len(route.open_visits) for route in routes], dtype=np.int64),
        bonus=np.array([route.weights.same_lead for route in routes]),
        missed=routes[0].weights.missed_gap,
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Gaps:
    """The gaps before the k-th visits of all routes of a batch; 0 and no preference behind the last visit."""

    days: int
    least: IntArray
    preferred: IntArray

    @classmethod
    def before(cls, routes: Sequence[RouteCase], k: int, days: int) -> _Gaps:
        none = GapRule(0, None, 0)
        rules = [route.visits[k].gap if k < len(route.visits) else none for route in routes]
        least = np.array([rule.least for rule in rules], dtype=np.int64)
        return cls(days, least, np.array([max(rule.preferred_least, rule.least) for rule in rules], dtype=np.int64))

    def states(self, calendar: IntArray, places: IntArray) -> tuple[IntArray, IntArray | None]:
        """Return the states that days leave, shape as theirs; and with the preferred gap kept."""
        near = np.minimum(calendar + self.least[places], self.days)
        far = np.minimum(calendar + self.preferred[places], self.days)
        return near, None if (near == far).all() else far

    def skipped(self) -> IntArray:
        """Return the state that each state leaves over a visit that is passed over; 0 stays 0."""
        early = np.arange(self.days + 1)[:, None]
        return np.where(early == 0, 0, np.minimum(early + self.least, self.days))


def one_lead_rows(route: RouteCase) -> BoolArray:
    """Return which leads could lead all visits, fixed ones included; none where that is no aim."""
    fixed = {visit.fixed.lead for visit in route.visits if visit.fixed is not None}
    if not route.same_lead or len(route.visits) < 2 or len(fixed) > 1:
        return np.zeros(len(route.leads), dtype=np.bool_)
    return np.asarray(np.isin(route.leads, list(fixed))) if fixed else np.ones(len(route.leads), dtype=np.bool_)


def _joined(parts: Sequence[IntArray]) -> IntArray:
    return np.concatenate(parts) if parts else np.zeros(0, dtype=np.int64)


def _groups(blocks: Sequence[RouteBlocks], k: int, row_starts: IntArray, gaps: _Gaps) -> list[Group]:
    present = [(place, one.visits[k]) for place, one in enumerate(blocks) if k < len(one.visits)]
    able = [(place, visit) for place, visit in present if visit is not None]

    def people(item: tuple[int, VisitBlock]) -> int:
        return blocks[item[0]].route.visits[k].people

    able.sort(key=lambda item: (people(item), item[0]))
    return [_group(blocks, list(part), row_starts, gaps) for _, part in groupby(able, key=people)]


def _group(
    blocks: Sequence[RouteBlocks], part: list[tuple[int, VisitBlock]], row_starts: IntArray, gaps: _Gaps
) -> Group:
    places = np.array([place for place, _ in part], dtype=np.int64)
    visits = [visit for _, visit in part]
    sizes = np.array([len(visit.rows) for visit in visits], dtype=np.int64)
    length = max(len(visit.none_cost) for visit in visits)
    low = np.array([visit.low for visit in visits], dtype=np.int64)
    owner = np.repeat(np.arange(len(part)), sizes)
    rows_in, seconds_in = _joined([visit.rows for visit in visits]), _joined([visit.seconds for visit in visits])
    leads = _joined([blocks[place].route.leads[visit.rows] for place, visit in part])
    rows = row_starts[places][owner] + rows_in
    two = bool((seconds_in >= 0).any())
    seconds = (
        _joined([blocks[place].route.seconds[visit.seconds] for place, visit in part])
        if two
        else np.full(len(leads), -1, dtype=np.int64)
    )
    days, every = gaps.days, sum(len(block.route.leads) for block in blocks)
    calendar = np.minimum(low + np.arange(length)[:, None], days)
    near, far = gaps.states(calendar, places)
    row_starts_here = np.flatnonzero(np.diff(rows, prepend=-1))
    return Group(
        two=two,
        places=places,
        starts=np.cumsum(sizes) - sizes,
        ends=np.cumsum(sizes),
        low=low,
        owner=owner,
        rows=rows,
        row_starts=row_starts_here,
        row_ids=rows[row_starts_here],
        leads=leads,
        seconds=seconds,
        days=calendar,
        near=near,
        far=far,
        near_slots=near[:, owner] * every + rows,
        far_slots=None if far is None else far[:, owner] * every + rows,
        lead_slots=leads * (days + 1) + calendar[:, owner],
        second_slots=seconds * (days + 1) + calendar[:, owner] if two else np.zeros((0, 0), dtype=np.int64),
        date_cost=_padded([visit.date_cost for visit in visits], length),
        last_cost=_padded([visit.last_cost for visit in visits], length),
        none_cost=_padded([visit.none_cost[None, :, None] for visit in visits], length)[0],
        rows_in=rows_in,
        seconds_in=seconds_in,
    )


def _padded(tables: Sequence[FloatArray], length: int) -> FloatArray:
    """Return tables of shape (w, n, t) next to each other, inf beyond the days of each."""
    whole = np.full((tables[0].shape[0], length, sum(table.shape[2] for table in tables)), np.inf)
    at = 0
    for table in tables:
        whole[:, : table.shape[1], at : at + table.shape[2]] = table
        at += table.shape[2]
    return whole


def _setups(blocks: Sequence[RouteBlocks], days: int) -> Setups | None:
    if all(block.setup is None for block in blocks):
        return None
    windows = next(len(block.setup.same_day_cost) for block in blocks if block.setup is not None)
    leads = _joined([block.route.leads for block in blocks])
    before, alone, same = [], [], []
    for block in blocks:
        count, setup = len(block.route.leads), block.setup
        before.append(np.full(count, -1 if setup is None else setup.days_before, dtype=np.int64))
        alone.append(np.full((days, count), np.inf) if setup is None else setup.alone_cost)
        same.append(np.zeros((windows, days, count)) if setup is None else setup.same_day_cost)
    return Setups(
        np.concatenate(before),
        leads * (days + 1) + np.arange(days)[:, None],
        np.concatenate(alone, axis=1),
        np.concatenate(same, axis=2),
    )
