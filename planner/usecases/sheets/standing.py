"""How far the habitat sheets of each route have come."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from planner.domain.field.habitat_sheet import HabitatSheet, SheetState
from planner.domain.field.sheet_places import habitat_visits
from planner.domain.finding import Finding
from planner.domain.route import Route
from planner.domain.season import Season


@dataclass(frozen=True, slots=True)
class VisitStanding:
    """What came in for one visit of a route; a point that was estimated twice counts once."""

    final: int = 0
    """Points whose sheets are all handed in."""
    draft: int = 0
    """Points with a sheet that is not handed in."""
    wanted: bool = True
    """Whether the protocol has habitat estimated on that visit."""

    @property
    def came_in(self) -> int:
        """Points with a sheet."""
        return self.final + self.draft


@dataclass(frozen=True, slots=True)
class RouteStanding:
    """What came in for a route, visit by visit, and what is to be looked at."""

    route: Route
    visits: tuple[VisitStanding, ...]
    findings: tuple[Finding, ...] = ()

    @property
    def missing(self) -> bool:
        """Whether a point still lacks a sheet on some visit."""
        return any(visit.wanted and visit.came_in < len(self.route.points) for visit in self.visits)

    @property
    def has_drafts(self) -> bool:
        """Whether something is written and not handed in."""
        return any(visit.draft for visit in self.visits)


def sheet_standings(
    season: Season, sheets: Iterable[HabitatSheet], findings: Iterable[Finding] = ()
) -> tuple[RouteStanding, ...]:
    """Return how far the sheets of every route have come, in the order of the routes."""
    by_route: dict[str, list[HabitatSheet]] = {}
    for sheet in sheets:
        by_route.setdefault(sheet.key.route, []).append(sheet)
    said: dict[str, list[Finding]] = {}
    for finding in findings:
        for code in finding.subject.routes:
            said.setdefault(code, []).append(finding)
    visits = range(1, len(season.protocol.visits) + 1)
    wanted = habitat_visits(season.protocol)
    return tuple(
        RouteStanding(
            route,
            tuple(_visit(by_route.get(route.code, ()), number, wanted=number in wanted) for number in visits),
            tuple(said.get(route.code, ())),
        )
        for route in season.routes
    )


def _visit(sheets: Sequence[HabitatSheet], number: int, *, wanted: bool) -> VisitStanding:
    states: dict[int, bool] = {}
    for sheet in sheets:
        if sheet.key.visit == number and not sheet.empty:
            final = sheet.state is SheetState.FINAL
            states[sheet.key.point] = final and states.get(sheet.key.point, True)
    return VisitStanding(sum(states.values()), len(states) - sum(states.values()), wanted)
