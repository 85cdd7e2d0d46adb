"""What a volunteer's dates are good for: which parts of which dates have light on a route that they may reach."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from planner.domain.route import Route
from planner.domain.season import Season
from planner.domain.volunteer import Volunteer
from planner.domain.window import PartOfDay
from planner.scheduling import SeasonProblem, drive_one_way_minutes
from planner.usecases.people.giving_dates import DateCell, given_days, parts_used
from planner.usecases.wording import commonest

_Days: TypeAlias = npt.NDArray[np.bool_]


class CellUse(StrEnum):
    """What one part of one date is good for."""

    COUNTS = "counts"
    """A visit is possible: it lies in the visit's dates and there is a window."""
    SETUP = "setup"
    """A set-up is possible."""
    DARK = "no window"
    """It lies in the dates of a visit, but no route within reach has a window."""
    NO_VISIT = "no visit"
    """It lies in the dates of no visit and no set-up of a route within reach."""
    NO_ROUTE = "no route"
    """No route lies within the drive limit."""


@dataclass(frozen=True, slots=True)
class DatesSummary:
    """What somebody's dates come to; set-ups are left out."""

    given: int
    """Evenings (or mornings) given in the season."""
    usable: int
    """Those on which a visit is possible."""
    dark: int
    """Those in the dates of a visit that have no window."""
    why_dark: str
    """Why they have none, in words: the commonest reason; empty where there are none."""
    outside: int
    """Those in the dates of no visit."""
    no_route: bool
    """Whether no route lies within the drive limit, so that none can be of use."""


@dataclass(frozen=True, slots=True, eq=False)
class DateUse:
    """What the dates of the season are good for, to one volunteer."""

    uses: Mapping[DateCell, CellUse]
    """For every date of the season and every part of day that the protocol asks for."""
    why_dark: Mapping[DateCell, str]
    """Why there is no window, in words."""
    routes: tuple[str, ...]
    """Codes of the routes within the drive limit."""
    count_parts: frozenset[PartOfDay]
    """The parts of day that the counts lie in."""

    def usable(self, given: frozenset[DateCell]) -> frozenset[DateCell]:
        """Return the parts of dates, of those given, on which a visit is possible: the usable evenings."""
        return frozenset(cell for cell in given if self.uses.get(cell) is CellUse.COUNTS)

    def summary(self, given: frozenset[DateCell]) -> DatesSummary:
        """Return what the given dates come to."""
        counts = Counter(self.uses.get(cell) for cell in given if cell[1] in self.count_parts)
        dark = [cell for cell in given if self.uses.get(cell) is CellUse.DARK]
        return DatesSummary(
            given=counts.total(),
            usable=counts[CellUse.COUNTS],
            dark=counts[CellUse.DARK],
            why_dark=commonest((self.why_dark[cell] for cell in sorted(dark)), ""),
            outside=counts[CellUse.NO_VISIT],
            no_route=not self.routes,
        )


@dataclass(frozen=True, slots=True, eq=False)
class UsefulDates:
    """The light and the visits' dates of every route, and who may reach it: made once for a season as it stands."""

    season: Season
    reach: _Days
    """Whether a volunteer may drive to a route, shape (volunteers, routes)."""
    asked: Mapping[PartOfDay, _Days]
    """Whether a route has a visit or set-up on a date, by part of day, shape (routes, days)."""
    lit: Mapping[PartOfDay, _Days]
    """Whether it then also has a window; for a set-up the same as ``asked``."""
    reasons: tuple[Mapping[DateCell, str], ...]
    """For each route, why a date has no window."""

    def of(self, code: str) -> DateUse:
        """Return what the dates are good for to that volunteer; raises RuleError for one who was not there."""
        row = self.season.volunteers.index(self.season.volunteer(code))
        routes: npt.NDArray[np.intp] = np.flatnonzero(self.reach[row])
        uses: dict[DateCell, CellUse] = {}
        for part, asked in self.asked.items():
            good = CellUse.COUNTS if part in _count_parts(self.season) else CellUse.SETUP
            has_visit: _Days = np.any(asked[routes], axis=0)
            has_light: _Days = np.any(self.lit[part][routes], axis=0)
            for index, day in enumerate(self.season.dates):
                use = good if has_light[index] else CellUse.DARK if has_visit[index] else CellUse.NO_VISIT
                uses[day, part] = use if len(routes) else CellUse.NO_ROUTE
        codes = tuple(self.season.routes[route].code for route in routes)
        return DateUse(uses, self._why(uses, routes), codes, _count_parts(self.season))

    def usable_counts(self, people: Iterable[Volunteer]) -> dict[str, int]:
        """Return how many usable evenings (or mornings) each of these has given; those who were not there are left out.

        Args:
            people: the volunteers with their dates as they stand by now.
        """
        rows = {one.code: row for row, one in enumerate(self.season.volunteers)}
        counts = {}
        for person in people:
            if person.code in rows:
                reached = self.reach[rows[person.code]]
                given = given_days(person, self.season.dates)
                counts[person.code] = sum(
                    int(np.count_nonzero(given[part] & np.any(self.lit[part][reached], axis=0)))
                    for part in _count_parts(self.season)
                )
        return counts

    def _why(self, uses: Mapping[DateCell, CellUse], routes: npt.NDArray[np.intp]) -> dict[DateCell, str]:
        dark = [cell for cell, use in uses.items() if use is CellUse.DARK]
        return {
            cell: commonest(
                (self.reasons[route][cell] for route in routes if cell in self.reasons[route]),
                "the light rule is not met",
            )
            for cell in dark
        }


def useful_dates(problem: SeasonProblem) -> UsefulDates:
    """Return what the dates of a season are good for, for all its volunteers at once.

    A set-up's part of day is useful on the dates that lie near enough before visit 1 of a route, and up to it.
    """
    season = problem.season
    limits = np.array([person.drive_limit_minutes for person in season.volunteers])
    drives = [drive_one_way_minutes(problem.drives[route.code]) for route in season.routes]
    shape = (len(limits), len(drives))
    reach = np.array(drives).T.reshape(shape) <= limits[:, None] if drives else np.zeros(shape, dtype=np.bool_)
    asked, lit = _by_part(problem)
    reasons = tuple(_reasons(problem, route) for route in season.routes)
    return UsefulDates(season, reach, asked, lit, reasons)


def _by_part(problem: SeasonProblem) -> tuple[dict[PartOfDay, _Days], dict[PartOfDay, _Days]]:
    """Return on which dates each route has a visit or set-up, and on which of them light, by part of day."""
    season = problem.season
    shape = (len(season.routes), len(season.dates))
    asked = {part: np.zeros(shape, dtype=np.bool_) for part in parts_used(season.protocol)}
    lit = {part: np.zeros(shape, dtype=np.bool_) for part in asked}
    for row, route in enumerate(season.routes):
        visits = _visit_days(season, route)
        for window, light in zip(season.protocol.windows, problem.light[route.code].windows, strict=True):
            there = np.ones(len(season.dates), dtype=np.bool_)
            there[[(day - season.dates.first).days for day in light.reasons]] = False
            asked[window.part][row] |= visits
            lit[window.part][row] |= visits & there
        setup = season.protocol.setup
        if setup is not None and setup.part not in _count_parts(season):
            asked[setup.part][row] = lit[setup.part][row] = _setup_days(season, route, setup.days_before_at_most)
    return asked, lit


def _count_parts(season: Season) -> frozenset[PartOfDay]:
    return frozenset(window.part for window in season.protocol.windows)


def _visit_days(season: Season, route: Route) -> _Days:
    days = np.zeros(len(season.dates), dtype=np.bool_)
    for number in range(1, len(season.visits) + 1):
        dates = season.visit_dates(route, number)
        days[_span(season, dates.first, dates.last)] = True
    return days


def _setup_days(season: Season, route: Route, days_before: int) -> _Days:
    days = np.zeros(len(season.dates), dtype=np.bool_)
    first = season.visit_dates(route, 1)
    days[_span(season, first.first - dt.timedelta(days=days_before), first.last)] = True
    return days


def _span(season: Season, first: dt.date, last: dt.date) -> slice:
    """Return the places of some dates on the axis of the season's days."""
    start = season.dates.first
    return slice(max((first - start).days, 0), max((last - start).days + 1, 0))


def _reasons(problem: SeasonProblem, route: Route) -> dict[DateCell, str]:
    pairs = zip(problem.season.protocol.windows, problem.light[route.code].windows, strict=True)
    return {(day, window.part): why for window, light in pairs for day, why in light.reasons.items()}
