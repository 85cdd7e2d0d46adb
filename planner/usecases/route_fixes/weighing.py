"""What a route comes to as it stands, or as it would stand: figures of its points, its light, and its findings."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field, replace

import numpy as np

from planner.domain.finding import Finding, Severity, worst_first
from planner.domain.plan import Plan
from planner.domain.protocol import Protocol
from planner.domain.route import Route
from planner.domain.season import Season
from planner.scheduling import SeasonProblem, audit
from planner.travel import RoadNetwork
from planner.usecases.route_checks import RouteFacts, check_routes
from planner.usecases.route_checks.length import lights_of
from planner.usecases.route_checks.measuring import route_facts
from planner.usecases.route_checks.twins import name_findings, shared_findings
from planner.usecases.season.problem import season_problem_after


@dataclass(frozen=True, slots=True)
class PointFigures:
    """One point of a route, measured."""

    number: int
    off_road_m: float | None
    """Metres to the nearest road; inf: none near; None: there is no road map."""
    straight_m: float | None
    """As the crow flies to the next point; None for the last one."""
    road_m: float | None
    """Along the road to the next point; inf: no road leads there; None for the last one, or without a road map."""
    drive_minutes: float | None
    """Expected minutes to the next point, stop overhead included; inf: no road leads there; None for the last one."""


@dataclass(frozen=True, slots=True)
class VisitMargin:
    """What the light leaves of one visit on its best date."""

    visit: int
    minutes: float | None
    """From the end of the last count to the closing; below 0: too long by so much; None: no date has a window."""
    day: dt.date | None
    """The best date."""


@dataclass(frozen=True, slots=True)
class RouteFigures:
    """A route, measured."""

    points: tuple[PointFigures, ...] = ()
    margins: tuple[VisitMargin, ...] = ()
    spaced_by_road: bool = False
    """Whether the protocol's spacing is along the road and could be measured there."""

    @property
    def drive_minutes(self) -> float:
        """Expected minutes from the first point to the last, through all of them."""
        return sum(point.drive_minutes or 0.0 for point in self.points)

    @property
    def length_m(self) -> float:
        """Metres from the first point to the last: along the road, as the crow flies without a road map."""
        by_road = [point.road_m for point in self.points if point.road_m is not None]
        return sum(by_road) if by_road else sum(point.straight_m or 0.0 for point in self.points)

    @property
    def margin_minutes(self) -> float | None:
        """The least margin of any visit on its best date; None where a visit has no window at all."""
        minutes = [margin.minutes for margin in self.margins]
        known = [one for one in minutes if one is not None]
        return min(known) if known and len(known) == len(minutes) else None

    def apart_m(self, index: int) -> float | None:
        """Return the metres from a point, by its place in the route, to the next, as the protocol measures them."""
        point = self.points[index]
        return point.road_m if self.spaced_by_road else point.straight_m

    @property
    def least_apart_m(self) -> float | None:
        """The least distance between neighbours as the protocol measures it; None below two points."""
        metres = [self.apart_m(index) for index in range(len(self.points))]
        return min((one for one in metres if one is not None), default=None)


@dataclass(frozen=True, slots=True)
class WeighedRoute:
    """A route with its figures and the findings on it alone."""

    route: Route
    figures: RouteFigures
    findings: tuple[Finding, ...]
    """Worst first: what the checks say of the route, and what its planned visits would break."""
    facts: RouteFacts | None = field(compare=False, repr=False)
    """None for a route without points."""
    problem: SeasonProblem = field(compare=False, repr=False)
    """The season with this route alone."""


@dataclass(frozen=True, slots=True)
class Surroundings:
    """All that a route is weighed against, beside the route itself."""

    season: Season
    plan: Plan
    network: RoadNetwork | None
    today: dt.date | None = None
    known: SeasonProblem | None = field(default=None, compare=False, repr=False)
    """Light and drives of the season, on this network, as far as they have been computed; None: not at all. The season
    may have changed since."""

    @property
    def protocol(self) -> Protocol:
        """The rules that the route is judged by."""
        return self.season.protocol


def weigh(around: Surroundings, route: Route, before: WeighedRoute | None = None) -> WeighedRoute:
    """Return what a route, that may stand differently in the season, comes to among its volunteers and rules.

    Args:
        around: what it is weighed against.
        route: as it would stand.
        before: the same route weighed as it stands, in the same surroundings: light and drives of places that it has
            there are taken over.
    """
    known = before.problem if before is not None else _alone(around.known, route.code)
    alone = replace(around.season, routes=(route,))
    problem = season_problem_after(known, alone, around.network, around.today, same_roads=True)
    if not route.points:
        return WeighedRoute(route, RouteFigures(), (), None, problem)
    facts = route_facts(problem, route, around.network)
    among = replace(
        around.season, routes=tuple(route if one.code == route.code else one for one in around.season.routes)
    )
    judged = [*check_routes(problem.season, {route.code: facts}), *shared_findings(among), *name_findings(among)]
    findings = worst_first([finding for finding in judged if finding.subject.route == route.code])
    visits = Plan(around.plan.of_route(route.code))
    broken = [finding for finding in audit(problem, visits) if finding.severity is Severity.BROKEN]
    figures = figures_of(problem.season, route, facts)
    return WeighedRoute(route, figures, (*broken, *findings), facts, problem)


def _alone(known: SeasonProblem | None, code: str) -> SeasonProblem | None:
    """Return what is known of one route, in a season of its own; None where nothing is."""
    if known is None or code not in known.light:
        return None
    routes = tuple(route for route in known.season.routes if route.code == code)
    return SeasonProblem(
        season=replace(known.season, routes=routes),
        light={code: known.light[code]},
        drives={code: known.drives[code]},
        today=known.today,
    )


def route_figures(problem: SeasonProblem, network: RoadNetwork | None, route: Route) -> RouteFigures:
    """Return the figures of a route as it stands in a problem; empty for one without points."""
    if not route.points:
        return RouteFigures()
    return figures_of(problem.season, route, route_facts(problem, route, network))


def figures_of(season: Season, route: Route, facts: RouteFacts) -> RouteFigures:
    """Return the figures of a route with points that has been measured, as the checks measure every route."""
    spacing = season.protocol.points.spacing
    lights = lights_of(replace(season, routes=(route,)), {route.code: facts})
    margins = tuple(
        VisitMargin(number, lights[route.code, number].best_minutes, lights[route.code, number].best_day)
        for number in range(1, len(season.visits) + 1)
    )
    points = tuple(_point(route, facts, index) for index in range(len(route.points)))
    by_road = facts.road_m is not None and spacing is not None and spacing.along_road
    return RouteFigures(points, margins, spaced_by_road=by_road)


def _point(route: Route, facts: RouteFacts, index: int) -> PointFigures:
    last = index + 1 == len(route.points)
    off_m = None if facts.snap_m is None else float(np.nan_to_num(facts.snap_m[index], nan=np.inf))
    return PointFigures(
        number=route.points[index].number,
        off_road_m=off_m,
        straight_m=None if last else float(facts.straight_m[index, index + 1]),
        road_m=None if last or facts.road_m is None else float(facts.road_m[index, index + 1]),
        drive_minutes=None if last else float(facts.legs_minutes[index, index + 1]),
    )
