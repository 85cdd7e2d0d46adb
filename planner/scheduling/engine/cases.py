"""One route in arrays: who may lead or second it, on which days, and what may be eased to see whether that helps."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from planner.domain.route import Route
from planner.domain.volunteer import Volunteer
from planner.domain.window import PartOfDay
from planner.scheduling.engine.arrays import SeasonArrays
from planner.scheduling.engine.instance import (
    FixedVisit,
    GapRule,
    IntArray,
    Room,
    RouteCase,
    SetupCase,
    VisitCase,
    day_range,
)
from planner.scheduling.engine.weights import LOST_VISIT
from planner.scheduling.problem import BoolArray, FloatArray
from planner.scheduling.risk.chain import chain_on
from planner.scheduling.risk.loss import loss_by_date


@dataclass(frozen=True, slots=True)
class Ease:
    """Rules taken less strictly; volunteers by number."""

    drive: frozenset[int] = frozenset()
    """Whose drive limit does not bind."""
    another_visit: frozenset[int] = frozenset()
    """Who takes one visit more."""
    any_day: frozenset[int] = frozenset()
    """Who gives every day for every part."""
    trained: frozenset[int] = frozenset()
    """Who learns what a lead must know."""
    equipped: frozenset[int] = frozenset()
    """Who has what the route needs."""
    any_lead: bool = False
    """Somebody other than the route's own lead may lead."""
    one_person: bool = False
    earlier_days: int = 0
    """Visit ranges begin so many days earlier …"""
    later_days: int = 0
    """… and end so many days later, inside the season."""
    setup_days: int = 0
    """The set-up may be so many days earlier."""
    gap_days: int = 0
    """Gaps may be so many days shorter."""


STRICT = Ease()
"""Every rule as it is."""

NO_MOST = 10_000
"""Days: longer than any season."""


def route_case(arrays: SeasonArrays, route: Route, room: Room, ease: Ease = STRICT) -> RouteCase:
    """Return one route in arrays.

    Args:
        arrays: the season.
        route: the route.
        room: days and visits that are free for it.
        ease: rules taken less strictly.
    """
    people, codes = arrays.season.volunteers, range(len(arrays.season.volunteers))
    going = 1 if ease.one_person else arrays.season.people_for(route)
    drive = arrays.drive(route)
    limits = np.array([np.inf if v in ease.drive else people[v].drive_limit_minutes for v in codes])
    willing = (room.limit > 0) | np.isin(np.arange(len(people)), list(ease.another_visit))
    near = (drive <= limits) & np.isfinite(drive) & willing
    needs = [frozenset() if v in ease.equipped else route.needs for v in codes]
    may_lead = near & np.array([_may_lead(arrays, route, v, ease) for v in codes], dtype=np.bool_)
    if going == 1:
        may_lead &= np.array([needs[v] <= people[v].abilities for v in codes], dtype=np.bool_)
    leads = np.flatnonzero(may_lead)
    seconds = np.flatnonzero(near) if going == 2 else np.zeros(0, dtype=np.int64)
    numbers = range(1, len(arrays.protocol.visits) + 1)
    return RouteCase(
        leads=leads,
        lead_drive=drive[leads],
        seconds=seconds,
        second_drive=drive[seconds],
        pairs=_pairs(people, route, leads, seconds, ease),
        visits=tuple(_VisitDates(arrays, route, number, room, ease).case(leads, seconds, going) for number in numbers),
        setup=_setup_case(arrays, route, leads, room, ease),
        same_lead=arrays.protocol.people.same_lead,
    )


def _may_lead(arrays: SeasonArrays, route: Route, volunteer: int, ease: Ease) -> bool:
    person = arrays.season.volunteers[volunteer]
    trained = volunteer in ease.trained or set(arrays.protocol.people.lead_training) <= person.training
    return trained and (ease.any_lead or route.lead in ("", person.code))


def _pairs(people: tuple[Volunteer, ...], route: Route, leads: IntArray, seconds: IntArray, ease: Ease) -> BoolArray:
    """Return whether lead and second are two people who together have what the route needs."""

    def enough(a: int, b: int) -> bool:
        return bool(ease.equipped & {a, b}) or route.needs <= people[a].abilities | people[b].abilities

    together = [[a != b and enough(a, b) for b in seconds.tolist()] for a in leads.tolist()]
    return np.array(together, dtype=np.bool_).reshape(len(leads), len(seconds))


@dataclass(frozen=True, slots=True, eq=False)
class _VisitDates:
    """The dates of one visit."""

    arrays: SeasonArrays
    route: Route
    number: int
    room: Room
    ease: Ease

    def case(self, leads: IntArray, seconds: IntArray, going: int) -> VisitCase:
        """Return the visit in arrays."""
        arrays = self.arrays
        first, low, high = self._range()
        lit = arrays.lit(self.route) & arrays.to_come
        lit[:, :low] = False
        lit[:, high + 1 :] = False
        free = [
            given_to(arrays, window.part, self.ease) & ~self.room.closed & lit[w]
            for w, window in enumerate(arrays.protocol.windows)
        ]
        fixed = arrays.fixed_of(self.route)
        dates, lasts = self._beside_fixed(fixed, day_range(low, high, lit.shape[1]) & lit.any(axis=0))
        lead_days = np.array([one[leads] for one in free])
        return VisitCase(
            people=going,
            first_day=first,
            lead_days=lead_days,
            second_days=np.array([one[seconds] for one in free]),
            dates=dates,
            lasts=lasts,
            gap=self._gap(self.number),
            day_cost=self._day_cost(lead_days & dates),
            fixed=fixed.get(self.number),
        )

    def _day_cost(self, lead_days: BoolArray) -> FloatArray | None:
        """Return what a date costs for lacking what is only preferred, and for the weather, shape (windows, days)."""
        wishes, weather = self.arrays.wishes(self.route), self.arrays.season.lost_evenings
        if weather is None:
            return wishes
        chain = chain_on(weather, self.arrays.problem.days)
        losses = np.where(lead_days, loss_by_date(lead_days, chain), 0.0).sum(axis=1)
        risk: FloatArray = LOST_VISIT * losses / np.maximum(lead_days.sum(axis=1), 1)
        return risk if wishes is None else wishes + risk

    def _range(self) -> tuple[int, int, int]:
        """Return the first day of the range, and the first and last day that may be used."""
        days = self.arrays.problem.days
        dates = self.arrays.season.visit_dates(self.route, self.number)
        first, last = ((day - days.first).days for day in (dates.first, dates.last))
        low, high = max(first - self.ease.earlier_days, 0), min(last + self.ease.later_days, len(days) - 1)
        return first, low, high

    def _gap(self, number: int) -> GapRule:
        gap = self.arrays.gap(number)
        least = max(gap.least - self.ease.gap_days, 1)
        return replace(gap, least=least, preferred_least=max(gap.preferred_least - self.ease.gap_days, least))

    def _beside_fixed(self, fixed: dict[int, FixedVisit], open_days: BoolArray) -> tuple[BoolArray, BoolArray]:
        """Return the days that keep the gaps to the route's fixed visits as date, and as reserve date."""
        every = np.arange(len(open_days))
        dates, lasts = open_days.copy(), open_days.copy()
        for other, stands in fixed.items():
            near, far = sorted((other, self.number))
            between = [self._gap(number) for number in range(near + 1, far + 1)]
            least = sum(gap.least for gap in between)
            # No season lasts as long as the bound that stands for none.
            most = sum(NO_MOST if gap.most is None else gap.most for gap in between)
            if other < self.number:
                dates &= every >= stands.last + least
                lasts &= every <= stands.date + most
            elif other > self.number:
                lasts &= every <= stands.date - least
                dates &= every >= stands.last - most
        return dates, lasts


def given_to(arrays: SeasonArrays, part: PartOfDay, ease: Ease) -> BoolArray:
    """Return the days each volunteer gives for a part of the day, shape (volunteers, days)."""
    given = arrays.given[part]
    if ease.any_day:
        given = given.copy()
        given[list(ease.any_day)] = True
    return given


def _setup_case(arrays: SeasonArrays, route: Route, leads: IntArray, room: Room, ease: Ease) -> SetupCase | None:
    setup = arrays.protocol.setup
    if setup is None or not setup.required:
        return None
    days = given_to(arrays, setup.part, ease) & ~room.closed & arrays.to_come
    alone = days & arrays.setups(route).alone
    evening = days[None] & arrays.setups(route).before_counts & setup.same_day_allowed
    return SetupCase(setup.days_before_at_most + ease.setup_days, alone[leads], evening[:, leads])
