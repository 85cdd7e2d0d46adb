"""One planned visit with everything it names looked up: the case that each rule judges."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from planner.domain.calendar import DateRange
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.plan import PlannedVisit, Status
from planner.domain.protocol import Protocol
from planner.domain.route import Route
from planner.domain.season import Season
from planner.domain.volunteer import Volunteer
from planner.domain.window import Window
from planner.scheduling.audit.words import listed
from planner.scheduling.problem import RouteDrives, RouteLight, SeasonProblem


@dataclass(frozen=True, slots=True, eq=False)
class Case:
    """A planned visit, its route, and those of its people and its window that the season knows."""

    problem: SeasonProblem
    visit: PlannedVisit
    route: Route
    window: Window | None
    """None where the protocol has no window of that name."""
    people: tuple[Volunteer, ...]

    @property
    def season(self) -> Season:
        """The season that the visit belongs to."""
        return self.problem.season

    @property
    def protocol(self) -> Protocol:
        """The rules that the visit is judged by."""
        return self.problem.season.protocol

    @property
    def number(self) -> int:
        """Which visit of its route it is."""
        return self.visit.key.number

    @property
    def name(self) -> str:
        """The visit in words: 'Visit 2'."""
        return f"Visit {self.number}"

    @property
    def done(self) -> bool:
        """Whether the visit has been made."""
        return self.visit.status is Status.DONE

    @property
    def dates(self) -> DateRange:
        """The date range that the visit has to lie in."""
        return self.season.visit_dates(self.route, self.number)

    @property
    def date_stands(self) -> bool:
        """Whether the date itself is allowed, so that the rules on what happens on it can be judged."""
        return self.in_range(self.visit.date)

    @property
    def reserve(self) -> dt.date | None:
        """The reserve date that is still held: a visit that has been made needs none any more."""
        return None if self.done else self.visit.reserve

    @property
    def reserve_stands(self) -> bool:
        """Whether there is a reserve date and it is allowed."""
        return self.reserve is not None and self.reserve > self.visit.date and self.in_range(self.reserve)

    @property
    def evenings(self) -> Iterator[tuple[dt.date, str]]:
        """Yield the allowed dates on which the team may have to go out, each with the words for it."""
        if self.date_stands:
            yield self.visit.date, "date"
        if self.reserve is not None and self.reserve_stands:
            yield self.reserve, "reserve date"

    @property
    def light(self) -> RouteLight:
        """The light of the visit's route."""
        return self.problem.light[self.route.code]

    @property
    def drives(self) -> RouteDrives:
        """The drives of the visit's route."""
        return self.problem.drives[self.route.code]

    def in_range(self, day: dt.date) -> bool:
        """Whether that date is one that the visit may have."""
        return day in self.dates and day in self.season.dates

    def row(self, volunteer: Volunteer) -> int:
        """Return the volunteer's place on the axis of homes."""
        return self.season.volunteers.index(volunteer)

    def finding(
        self,
        rule: Rule,
        what: str,
        todo: str,
        *,
        severity: Severity = Severity.BROKEN,
        volunteer: str = "",
        date: dt.date | None = None,
    ) -> Finding:
        """Return a finding on this visit."""
        subject = Subject(route=self.route.code, visit=self.number, volunteer=volunteer, date=date)
        return Finding(rule, severity, subject, what, todo)


def open_case(problem: SeasonProblem, visit: PlannedVisit) -> tuple[Case | None, list[Finding]]:
    """Look up what a planned visit names.

    Returns:
        The case, or None where its route or its visit is unknown, so that nothing else can be judged; and a
        finding for each name that the season does not have.
    """
    season = problem.season
    routes = {route.code: route for route in season.routes}
    volunteers = {volunteer.code: volunteer for volunteer in season.volunteers}
    windows = {window.name: window for window in season.protocol.windows}
    route = routes.get(visit.key.route)
    if route is None:
        return None, [_unknown(visit, f"The season has no route {visit.key.route!r}.", "Import it, or drop the visit.")]
    if not 1 <= visit.key.number <= len(season.protocol.visits):
        what = f"'{season.protocol.name}' has visits 1 to {len(season.protocol.visits)}, not {visit.key.number}."
        return None, [_unknown(visit, what, "Drop the visit.")]
    people = tuple(volunteers[code] for code in visit.people if code in volunteers)
    case = Case(problem, visit, route, windows.get(visit.window), people)
    unknown = [
        _unknown(visit, f"The season has no volunteer {code!r}.", "Choose someone else, or import this person.", code)
        for code in visit.people
        if code not in volunteers
    ]
    if case.window is None:
        what = f"'{season.protocol.name}' has no window {visit.window!r}."
        unknown.append(_unknown(visit, what, f"Choose {listed(repr(name) for name in windows)}."))
    return case, unknown


def _unknown(visit: PlannedVisit, what: str, todo: str, volunteer: str = "") -> Finding:
    subject = Subject(route=visit.key.route, visit=visit.key.number, volunteer=volunteer)
    return Finding(Rule.VISIT_UNKNOWN, Severity.BROKEN, subject, what, todo)
