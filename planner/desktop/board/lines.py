"""What stands on the board, line by line: a route with its visits, or the head of an area or of a lead's routes."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum

from PySide6.QtCore import QCoreApplication

from planner.domain.calendar import DateRange
from planner.domain.finding import Finding, Severity
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.route import Route
from planner.domain.season import Season
from planner.usecases.routes.areas import Area


class Fold(StrEnum):
    """By what the lines of the board are gathered."""

    NOTHING = "nothing"
    AREA = "area"
    LEAD = "lead"


class Part(StrEnum):
    """What a visit does on one of its dates."""

    DATE = "date"
    RESERVE = "reserve"
    SETUP = "setup"


@dataclass(frozen=True, slots=True)
class Entry:
    """One visit on one date."""

    visit: PlannedVisit
    part: Part
    day: dt.date


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the board."""

    title: str
    group: str
    """Name of the group that it heads or belongs to; empty where nothing is gathered."""
    route: Route | None = None
    """None: the line is the head of a group."""
    ranges: tuple[DateRange, ...] = ()
    """Of visit 1, visit 2 …"""
    visits: tuple[PlannedVisit, ...] = ()
    marks: tuple[tuple[int, Severity], ...] = ()
    """The worst severity of what is said of each visit of which something is said."""
    without: frozenset[dt.date] = frozenset()
    """Dates on which the route cannot be counted."""
    after: tuple[PlannedVisit, ...] | None = None
    """How the visits would stand in the plan that is previewed; None: no preview, or nothing changes here."""
    filled: int = 0
    asked: int = 0
    """Visits of a group that are filled, and that there are."""
    folded: bool = False

    @property
    def heads(self) -> bool:
        """Whether it is the head of a group."""
        return self.route is None

    @property
    def leads(self) -> str:
        """Codes of the leads of the route's visits, each once."""
        return ", ".join(dict.fromkeys(visit.lead for visit in self.visits))

    def entries(self) -> Iterator[Entry]:
        """Yield everything that stands on a date, visits last so that they lie on top."""
        yield from entries_of(self.visits)

    def on(self, day: dt.date) -> tuple[Entry, ...]:
        """Return what stands on a date, the visit itself first."""
        return tuple(reversed([entry for entry in self.entries() if entry.day == day]))

    def visit_at(self, day: dt.date) -> VisitKey | None:
        """Return the visit that a date speaks of: one that stands on it, else one that may lie on it."""
        if self.route is None:
            return None
        standing = next((entry.visit.key for entry in self.on(day)), None)
        if standing is not None:
            return standing
        filled = {visit.key.number for visit in self.visits}
        may = [number for number, dates in enumerate(self.ranges, start=1) if day in dates]
        number = next((one for one in may if one not in filled), may[0] if may else None)
        return VisitKey(self.route.code, number) if number is not None else None

    @property
    def unfilled(self) -> tuple[int, ...]:
        """Numbers of the visits that nobody makes."""
        filled = {visit.key.number for visit in self.visits}
        return tuple(number for number in range(1, len(self.ranges) + 1) if number not in filled)


def entries_of(visits: Sequence[PlannedVisit]) -> Iterator[Entry]:
    """Yield the dates of visits: set-up days and reserve dates first, then the visits themselves."""
    for visit in visits:
        if visit.setup is not None and visit.setup != visit.date:
            yield Entry(visit, Part.SETUP, visit.setup)
        if visit.reserve is not None:
            yield Entry(visit, Part.RESERVE, visit.reserve)
    for visit in visits:
        yield Entry(visit, Part.DATE, visit.date)


@dataclass(frozen=True, slots=True)
class BoardSources:
    """What the lines are made of."""

    season: Season
    plan: Plan
    findings: tuple[Finding, ...] = ()
    without: Mapping[str, frozenset[dt.date]] = field(default_factory=dict)
    """Dates on which a route cannot be counted, by route code."""
    after: Plan | None = None
    """The plan that is previewed."""
    fold: Fold = Fold.NOTHING
    areas: tuple[Area, ...] = ()
    """Of the season's routes, where they are gathered by area."""
    today: dt.date = dt.date.min
    folded: frozenset[str] = frozenset()
    """Names of the groups whose routes are hidden."""


def lines_of(sources: BoardSources) -> tuple[Line, ...]:
    """Return the lines of the board from top to bottom."""
    routes = {line.route.code: line for line in _route_lines(sources) if line.route is not None}
    if sources.fold is Fold.NOTHING:
        return tuple(routes.values())
    found: list[Line] = []
    for name, codes in _groups(sources).items():
        members = [routes[code] for code in codes]
        head = Line(
            title=name,
            group=name,
            filled=sum(len(line.visits) for line in members),
            asked=sum(len(line.ranges) for line in members),
            folded=name in sources.folded,
        )
        found.append(head)
        found += [] if head.folded else [replace(line, group=name) for line in members]
    return tuple(found)


def _route_lines(sources: BoardSources) -> Iterator[Line]:
    season = sources.season
    visits, after = _by_route(sources.plan), _by_route(sources.after or Plan())
    marks = _marks(sources.findings)
    count = len(season.protocol.visits)
    for route in season.routes:
        own = tuple(visits.get(route.code, ()))
        then = tuple(after.get(route.code, ()))
        yield Line(
            title=route.title,
            group="",
            route=route,
            ranges=tuple(season.visit_dates(route, number) for number in range(1, count + 1)),
            visits=own,
            marks=tuple(sorted(marks.get(route.code, {}).items())),
            without=sources.without.get(route.code, frozenset()),
            after=then if sources.after is not None and then != own else None,
        )


def _by_route(plan: Plan) -> dict[str, list[PlannedVisit]]:
    found: dict[str, list[PlannedVisit]] = defaultdict(list)
    for visit in plan:
        found[visit.key.route].append(visit)
    return found


def _marks(findings: Sequence[Finding]) -> dict[str, dict[int, Severity]]:
    """Return the worst severity said of each visit; notes are not marked."""
    found: dict[str, dict[int, Severity]] = defaultdict(dict)
    for finding in findings:
        subject = finding.subject
        if subject.visit is not None and finding.severity is not Severity.NOTE:
            worst = found[subject.route].get(subject.visit, finding.severity)
            found[subject.route][subject.visit] = min(worst, finding.severity)
    return found


def _groups(sources: BoardSources) -> dict[str, list[str]]:
    """Return the codes of the routes of each group, by its name."""
    if sources.fold is Fold.AREA:
        return {area.name: list(area.routes) for area in sources.areas}
    names = {one.code: f"{one.code} {one.name}" for one in sources.season.volunteers}
    leads = {visit.key.route: visit.lead for visit in reversed(sources.plan.visits)}
    nobody = QCoreApplication.translate("board", "Nobody yet")
    found: dict[str, list[str]] = {}
    for code in sorted(names):
        codes = [route.code for route in sources.season.routes if leads.get(route.code) == code]
        found |= {names[code]: codes} if codes else {}
    open_ones = [route.code for route in sources.season.routes if route.code not in leads]
    return {**found, **({nobody: open_ones} if open_ones else {})}
