"""A plan as somebody makes it with a list and a pencil: what planning is held against."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.route import Route
from planner.domain.volunteer import Volunteer
from planner.domain.window import Strength, Window
from planner.scheduling import SeasonProblem, drive_one_way_minutes, fit_table


def by_hand(problem: SeasonProblem) -> Plan:
    """Return the plan that comes of filling routes in the order of the list; see ``BY_HAND_WORDS`` for its rules."""
    hand = _Pencil(problem)
    return Plan(tuple(visit for route in problem.season.routes for visit in hand.fill(route)))


@dataclass(frozen=True, slots=True)
class _Choice:
    """What is looked at for one visit."""

    route: Route
    number: int
    near: Sequence[Volunteer]
    """Within their own drive limits, the nearest first."""
    days: Sequence[tuple[dt.date, Window]]
    """Dates of the visit with light, the earliest first."""


@dataclass(slots=True)
class _Pencil:
    """What has been given out so far, as a person keeps it on a list."""

    problem: SeasonProblem
    visits: Counter[str] = field(default_factory=Counter)
    """Given to each person."""
    taken: set[tuple[str, dt.date]] = field(default_factory=set)

    def fill(self, route: Route) -> Iterator[PlannedVisit]:
        """Yield the visits of a route that somebody is found for."""
        season = self.problem.season
        one_way = drive_one_way_minutes(self.problem.drives[route.code])
        rows = np.argsort(one_way, kind="stable").tolist()
        near = [person for row in rows if one_way[row] <= (person := season.volunteers[row]).drive_limit_minutes]
        lit = self._lit(route)
        before: dt.date | None = None
        for number in range(1, len(season.visits) + 1):
            days = [(day, window) for day, window in lit if self._keeps(route, number, before, day)]
            visit = self._found(_Choice(route, number, near, days))
            if visit is not None:
                before = visit.reserve or visit.date
                self._write_down(visit)
                yield visit

    def _found(self, choice: _Choice) -> PlannedVisit | None:
        """Return the visit by the nearest who can hold a reserve date, else by the nearest."""
        for with_reserve in (True, False):
            for lead in choice.near:
                for visit in self._led_by(choice, lead):
                    if visit.reserve is not None or not with_reserve:
                        return visit
        return None

    def _led_by(self, choice: _Choice, lead: Volunteer) -> Iterator[PlannedVisit]:
        if not self._may_lead(lead, choice.route):
            return
        size = self.problem.season.people_for(choice.route)
        for day, window in choice.days:
            if not self._free(lead, day, window):
                continue
            setup = self._setup(lead, day) if self._wants_setup(choice.number) else None
            others = [one for one in choice.near if one is not lead and self._free(one, day, window)]
            team = [lead, *others[: size - 1]]
            if len(team) == size and (setup is not None or not self._wants_setup(choice.number)):
                reserve = self._reserve(choice, team, day, window)
                second = team[1].code if size > 1 else ""
                key = VisitKey(choice.route.code, choice.number)
                yield PlannedVisit(key, lead.code, day, window.name, second, reserve, setup)

    def _reserve(self, choice: _Choice, team: list[Volunteer], day: dt.date, window: Window) -> dt.date | None:
        """Return the first later date with the same light on which the whole team is free."""
        later = (other for other, lit in choice.days if other > day and lit is window)
        return next((other for other in later if all(self._free(one, other, window) for one in team)), None)

    def _wants_setup(self, number: int) -> bool:
        rule = self.problem.season.protocol.setup
        return number == 1 and rule is not None and rule.required

    def _setup(self, lead: Volunteer, day: dt.date) -> dt.date | None:
        """Return the date itself where a set-up may be on it, else the latest one before that the lead has given."""
        rule = self.problem.season.protocol.setup
        if rule is None:
            return None
        first = 0 if rule.same_day_allowed else 1
        days = (day - dt.timedelta(days=back) for back in range(first, rule.days_before_at_most + 1))
        return next(
            (one for one in days if rule.part in lead.parts_on(one) and (lead.code, one) not in self.taken), None
        )

    def _lit(self, route: Route) -> list[tuple[dt.date, Window]]:
        """Return the dates on which all counts fit a window and the moon is as it must be, the earliest first."""
        protocol, light = self.problem.season.protocol, self.problem.light[route.code].windows
        fits = fit_table(self.problem, route).fits
        if protocol.moon is not None and protocol.moon.strength is Strength.REQUIRED:
            fits = fits & np.array([window.moon_meets for window in light])
        return [
            (day, window)
            for index, day in enumerate(self.problem.days)
            for row, window in enumerate(protocol.windows)
            if fits[row, index]
        ]

    def _keeps(self, route: Route, number: int, before: dt.date | None, day: dt.date) -> bool:
        """Whether a date lies in the dates of a visit and far enough from the visit before."""
        season = self.problem.season
        if day not in season.visit_dates(route, number):
            return False
        gap = season.protocol.gap_before(number)
        if before is None:
            return True
        days = (day - before).days
        return days >= max(gap.least_days, 1) and (gap.most_days is None or days <= gap.most_days)

    def _may_lead(self, person: Volunteer, route: Route) -> bool:
        training = frozenset(self.problem.season.protocol.people.lead_training)
        able = training <= person.training and route.needs <= person.abilities
        return able and route.lead in ("", person.code)

    def _free(self, person: Volunteer, day: dt.date, window: Window) -> bool:
        if self.visits[person.code] >= person.visits_limit or (person.code, day) in self.taken:
            return False
        return window.part in person.parts_on(day)

    def _write_down(self, visit: PlannedVisit) -> None:
        self.visits.update(visit.people)
        dates = {visit.date, visit.reserve} - {None}
        self.taken.update((code, day) for code in visit.people for day in dates if day is not None)
        if visit.setup is not None:
            self.taken.add((visit.lead, visit.setup))
