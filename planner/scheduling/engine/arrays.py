"""A season looked at as arrays: who has given which day, what is lit, what the fixed visits take."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from functools import cached_property

import numpy as np

from planner.domain.plan import Plan, PlannedVisit, Status
from planner.domain.protocol import Protocol
from planner.domain.route import Route
from planner.domain.season import Season
from planner.domain.window import PartOfDay, Strength
from planner.scheduling.engine import weights
from planner.scheduling.engine.instance import FixedVisit, GapRule, Room
from planner.scheduling.outing.fit import FitTable, fit_table
from planner.scheduling.outing.setups import SetupDays, setup_days
from planner.scheduling.problem import BoolArray, FloatArray, SeasonProblem, drive_one_way_minutes


class SeasonArrays:
    """A season looked at as arrays. Days count from the season's first, volunteers in the season's order."""

    def __init__(self, problem: SeasonProblem, fixed: Plan) -> None:
        """Look at a season.

        Args:
            problem: the season.
            fixed: the visits that must stay as they are.
        """
        self.problem = problem
        self.fixed = fixed
        self.number = {volunteer.code: v for v, volunteer in enumerate(problem.season.volunteers)}
        self._fits: dict[str, FitTable] = {}
        self._drives: dict[str, FloatArray] = {}
        self._setups: dict[str, SetupDays] = {}

    @property
    def season(self) -> Season:
        """The season."""
        return self.problem.season

    @property
    def protocol(self) -> Protocol:
        """Its protocol."""
        return self.problem.season.protocol

    @cached_property
    def given(self) -> dict[PartOfDay, BoolArray]:
        """The days each volunteer has given for each part of the day, shape (volunteers, days)."""
        days, people = list(self.problem.days), self.season.volunteers
        found = {part: np.zeros((len(people), len(days)), dtype=np.bool_) for part in PartOfDay}
        for v, volunteer in enumerate(people):
            for d, day in enumerate(days):
                for part in volunteer.parts_on(day):
                    found[part][v, d] = True
        return found

    @cached_property
    def to_come(self) -> BoolArray:
        """Days that are not past, shape (days,)."""
        today = self.problem.today
        return np.array([today is None or day >= today for day in self.problem.days], dtype=np.bool_)

    @cached_property
    def room(self) -> Room:
        """Days and visits left beside the fixed visits."""
        return self.room_beside(self.fixed)

    def room_beside(self, plan: Plan) -> Room:
        """Return the days and visits that a plan leaves."""
        people = self.season.volunteers
        closed = np.zeros((len(people), len(self.problem.days)), dtype=np.bool_)
        load = np.zeros(len(people), dtype=np.int64)
        for visit in plan:
            for code in visit.people:
                if code in self.number:
                    load[self.number[code]] += 1
            for code, day in person_days(visit):
                if code in self.number and day in self.problem.days:
                    closed[self.number[code], self.problem.day_index(day)] = True
        limit = np.array([volunteer.visits_limit for volunteer in people], dtype=np.int64)
        return Room(closed, np.maximum(limit - load, 0), load)

    def drive(self, route: Route) -> FloatArray:
        """Return each volunteer's one-way drive to a route, shape (volunteers,); inf without points."""
        if route.code not in self._drives:
            drives = self.problem.drives[route.code]
            known = drive_one_way_minutes(drives) if route.points else np.full(len(self.number), np.inf)
            self._drives[route.code] = known
        return self._drives[route.code]

    def fit(self, route: Route) -> FitTable:
        """Return how the counts of a route lie in the light."""
        if route.code not in self._fits:
            self._fits[route.code] = fit_table(self.problem, route)
        return self._fits[route.code]

    def lit(self, route: Route) -> BoolArray:
        """Return the days on which all counts fit a window and the moon is as it must be, shape (windows, days)."""
        fits = self.fit(route).fits
        moon = self.protocol.moon
        if moon is not None and moon.strength is Strength.REQUIRED:
            fits = fits & self._moon(route)
        return fits

    def _moon(self, route: Route) -> BoolArray:
        windows = self.problem.light[route.code].windows
        return np.array([window.moon_meets for window in windows], dtype=np.bool_).reshape(len(windows), -1)

    def wishes(self, route: Route) -> FloatArray | None:
        """Return the cost of a moon that is only preferred and missing, shape (windows, days); None: no such wish."""
        moon = self.protocol.moon
        if moon is None or moon.strength is Strength.REQUIRED:
            return None
        return np.asarray(np.where(self._moon(route), 0.0, weights.MISSED_PREFERENCE), dtype=np.float64)

    def setups(self, route: Route) -> SetupDays:
        """Return the days with daylight enough for each volunteer to set a route up."""
        if route.code not in self._setups:
            self._setups[route.code] = setup_days(self.problem, route)
        return self._setups[route.code]

    def gap(self, number: int) -> GapRule:
        """Return the gap rule before a visit."""
        gap = self.protocol.gap_before(number)
        if gap.strength is Strength.PREFERRED:
            return GapRule(1, None, max(gap.least_days, 1))
        return GapRule(max(gap.least_days, 1), gap.most_days, max(gap.least_days, 1))

    def fixed_of(self, route: Route) -> dict[int, FixedVisit]:
        """Return the fixed visits of a route by their number. Lead -1: nobody of this season; days may lie outside."""
        known = len(self.protocol.visits)
        visits = (visit for visit in self.fixed.of_route(route.code) if visit.key.number <= known)
        return {visit.key.number: self._fixed_visit(visit) for visit in visits}

    def _fixed_visit(self, visit: PlannedVisit) -> FixedVisit:
        first = self.problem.days.first
        held = visit.date if visit.status is Status.DONE or visit.reserve is None else visit.reserve
        last = max(held, visit.date)
        return FixedVisit(self.number.get(visit.lead, -1), (visit.date - first).days, (last - first).days)


def person_days(visit: PlannedVisit) -> Iterable[tuple[str, dt.date]]:
    """Yield who is taken on which date: by a visit, by its reserve date unless it is done, the lead by the set-up."""
    for code in visit.people:
        yield code, visit.date
        if visit.reserve is not None and visit.status is not Status.DONE:
            yield code, visit.reserve
    if visit.setup is not None:
        yield visit.lead, visit.setup
