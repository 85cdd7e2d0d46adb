"""A season's planning problem as arrays alone: days, volunteers and routes are numbers from 0."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from planner.scheduling.engine.weights import SEASON, Weights
from planner.scheduling.problem import BoolArray, FloatArray

IntArray = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class GapRule:
    """Days between a visit and the one before it, counted from and to reserve dates in the worst case."""

    least: int = 1
    most: int | None = None
    preferred_least: int = 1
    """As the protocol prefers it; missing it costs, and nothing more."""


@dataclass(frozen=True, slots=True)
class FixedVisit:
    """A visit that stands: confirmed, done, past or pinned."""

    lead: int
    date: int
    last: int
    """Reserve date, or the date itself."""


@dataclass(frozen=True, slots=True)
class Present:
    """How an open visit stands in the plan it had rather not be moved from."""

    lead: int
    second: int
    """-1: nobody."""
    date: int
    last: int
    """Reserve date, or the date itself."""


@dataclass(frozen=True, slots=True, eq=False)
class VisitCase:
    """One visit: who could do it when. Windows w, leads l, seconds s, days d."""

    people: int
    first_day: int
    """First date of its range: lateness counts from here."""
    lead_days: BoolArray
    """Shape (w, l, d)."""
    second_days: BoolArray
    """Shape (w, s, d); no seconds where one person goes."""
    dates: BoolArray
    """Days that may be its date, shape (d,)."""
    lasts: BoolArray
    """Days that may be its reserve date, or its date where it has no other, shape (d,)."""
    gap: GapRule = GapRule()
    day_cost: FloatArray | None = None
    """Cost of missing what is only preferred, shape (w, d); None: nothing."""
    fixed: FixedVisit | None = None
    present: Present | None = None


@dataclass(frozen=True, slots=True, eq=False)
class SetupCase:
    """The set-up before visit 1, done by its lead."""

    days_before: int
    lead_days: BoolArray
    """Days on which each lead could do it, shape (l, d)."""
    same_day: BoolArray
    """Days on which each lead could do it just before visit 1, shape (w, l, d)."""


@dataclass(frozen=True, eq=False)
class RouteCase:
    """One route with at least one visit to fill."""

    leads: IntArray
    """Volunteers who may lead, shape (l,)."""
    lead_drive: FloatArray
    """Their one-way drive in minutes."""
    seconds: IntArray
    second_drive: FloatArray
    pairs: BoolArray
    """Whether lead and second together may go, shape (l, s)."""
    visits: tuple[VisitCase, ...]
    setup: SetupCase | None
    same_lead: bool = True
    """Whether one lead for all visits is an aim."""
    weights: Weights = SEASON

    @cached_property
    def lead_minutes(self) -> dict[int, float]:
        """One-way drive of each lead."""
        return dict(zip(self.leads.tolist(), self.lead_drive.tolist(), strict=True))

    @cached_property
    def second_minutes(self) -> dict[int, float]:
        """One-way drive of each second."""
        return dict(zip(self.seconds.tolist(), self.second_drive.tolist(), strict=True))

    @property
    def open_visits(self) -> tuple[int, ...]:
        """Places of the visits that are not fixed."""
        return tuple(k for k, visit in enumerate(self.visits) if visit.fixed is None)


@dataclass(frozen=True, slots=True, eq=False)
class Room:
    """What is still free: days and visits of each volunteer."""

    closed: BoolArray
    """Days taken, shape (volunteers, days)."""
    limit: IntArray
    """Visits each volunteer may still take, shape (volunteers,)."""
    load: IntArray
    """Visits each volunteer already has."""

    def taking(self, slots: tuple[tuple[int, int], ...], loads: tuple[tuple[int, int], ...]) -> Room:
        """Return the room left after days and visits are taken."""
        closed, limit, load = self.closed.copy(), self.limit.copy(), self.load.copy()
        for volunteer, day in slots:
            closed[volunteer, day] = True
        for volunteer, visits in loads:
            limit[volunteer] -= visits
            load[volunteer] += visits
        return replace(self, closed=closed, limit=limit, load=load)

    def holds(self, slots: tuple[tuple[int, int], ...], loads: tuple[tuple[int, int], ...]) -> bool:
        """Say whether those days and visits are free."""
        return not any(self.closed[slot] for slot in slots) and all(self.limit[v] >= n for v, n in loads)


@dataclass(frozen=True, slots=True)
class Totals:
    """Bounds on how many open visits a plan fills and reserves; None: none."""

    filled_least: int | None = None
    filled_most: int | None = None
    reserved_least: int | None = None
    reserved_most: int | None = None


@dataclass(frozen=True, slots=True)
class Standing:
    """What the fixed visits already come to."""

    filled: int = 0
    reserved: int = 0
    drive_minutes: float = 0.0
    one_lead: int = 0
    late_days: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Instance:
    """The whole problem."""

    days: int
    routes: tuple[RouteCase, ...]
    room: Room
    """Free at the start: fixed visits already taken off."""
    constant: float = 0.0
    """What the fixed visits add to the objective, their share of the loads included."""
    standing: Standing = Standing()
    weights: Weights = SEASON


def reweighted(instance: Instance, weights: Weights) -> Instance:
    """Return an instance judged by other weights; its constant is left as it is."""
    routes = tuple(replace(route, weights=weights) for route in instance.routes)
    return replace(instance, routes=routes, weights=weights)


def day_range(first: int, last: int, days: int) -> BoolArray:
    """Return which days lie in a range, both ends included, shape (days,)."""
    every = np.arange(days)
    return (every >= first) & (every <= last)


def date_pairs(visit: VisitCase) -> tuple[IntArray, IntArray]:
    """Return every date of a visit with every reserve date after it, and with none (the date itself); dates rising."""
    dates, lasts = np.nonzero(np.triu(visit.dates[:, None] & visit.lasts[None, :]))
    return dates, lasts
