"""Gather, for one volunteer, everything that goes on their paper."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from weakref import WeakKeyDictionary

from planner.domain.geo import Place
from planner.domain.itinerary import DayPlan, Itinerary, MapRoad, Partner, RouteMap, Walk
from planner.domain.outing import Outing, StepKind
from planner.domain.plan import Plan, PlannedVisit
from planner.domain.protocol import Protocol
from planner.domain.route import Route
from planner.domain.season import Season
from planner.domain.travel import FigureSource
from planner.light import sun_line
from planner.scheduling import SeasonProblem, outing_for, setup_outing_for
from planner.travel import RoadNetwork, walked_minutes
from planner.usecases.roads.ways import places_of, way_along_roads

MAP_MARGIN_DEG = 0.012
"""Ground shown round the outermost points: about 1.3 km north and south."""


@dataclass(frozen=True, slots=True)
class PrintFacts:
    """What every itinerary of one print run shares."""

    problem: SeasonProblem
    plan: Plan
    network: RoadNetwork | None
    printed_on: dt.date
    revision: int

    @property
    def season(self) -> Season:
        """The season that is printed."""
        return self.problem.season


def itinerary_for(facts: PrintFacts, code: str) -> Itinerary:
    """Return the itinerary of one volunteer: their own data, first names of partners, the coordinator's number."""
    season, protocol = facts.season, facts.season.protocol
    visits = facts.plan.of_volunteer(code)
    days = [day for visit in visits for day in _day_plans(facts, visit, code)]
    reserves = [_reserve_plan(facts, visit, code) for visit in visits if visit.reserve is not None]
    return Itinerary(
        season=season.name,
        survey=protocol.name,
        invented=protocol.invented,
        zone=season.zone,
        volunteer=season.volunteer(code),
        coordinator=season.coordinator,
        days=tuple(sorted(days, key=lambda day: day.outing.leave_home_utc)),
        reserves=tuple(sorted(reserves, key=lambda day: day.outing.leave_home_utc)),
        count=protocol.count,
        habitat=protocol.habitat,
        cautions=(*protocol.safety.cautions, *([protocol.people.roles] if protocol.people.roles else [])),
        weather=tuple(limit.said for limit in protocol.weather),
        unverified=tuple(f"{figure.words}: {figure.mark.words} ({figure.source})" for figure in protocol.from_memory),
        printed_on=facts.printed_on,
        revision=facts.revision,
    )


def _day_plans(facts: PrintFacts, visit: PlannedVisit, code: str) -> Iterator[DayPlan]:
    leads = visit.lead == code
    if visit.setup is not None and visit.setup != visit.date and leads:
        outing = setup_outing_for(facts.problem, visit, code)
        yield _day_plan(facts, visit, code, outing, setup=True)
    yield _day_plan(facts, visit, code, outing_for(facts.problem, visit, code), setup=False)


def _reserve_plan(facts: PrintFacts, visit: PlannedVisit, code: str) -> DayPlan:
    outing = outing_for(facts.problem, visit, code, reserve=True)
    day = _day_plan(facts, visit, code, outing, setup=False)
    return replace(day, is_reserve=True, setup=False, setup_pending=visit.setup == visit.date)


def _day_plan(facts: PrintFacts, visit: PlannedVisit, code: str, outing: Outing, *, setup: bool) -> DayPlan:
    """Build one outing's plan; ``setup`` says that this is a set-up day of its own."""
    season, leads = facts.season, visit.lead == code
    route = season.route(visit.key.route)
    sources = {step.leg.source for step in outing.steps if step.leg is not None}
    return DayPlan(
        outing=outing,
        route=route,
        visit=None if setup else visit.key.number,
        setup=setup or (leads and visit.setup == visit.date),
        leads=leads,
        partner=None if setup else _partner(season, visit, code),
        reserve=visit.reserve,
        sun=sun_line(_last_stand(route, outing), outing.date, season.zone),
        map=_route_map(route, outing, facts.network),
        estimated_drive=FigureSource.ESTIMATE in sources,
        recorded_drives=facts.network is None and season.drive_factors.estimates_doubt() is not None,
        writes_habitat=leads and _habitat_is_due(season.protocol, outing),
        overcast_above_percent=_overcast_above(season.protocol, visit),
        walks=_walks(route, outing, facts.network),
    )


TOLD_ON_FOOT_M = 50.0
"""Shorter ways on foot are not worth a line on paper: our choice."""


def _walks(route: Route, outing: Outing, network: RoadNetwork | None) -> tuple[Walk, ...]:
    if network is None:
        return ()
    stood_at = {step.point for step in outing.steps if step.point is not None}
    points = [point for point in route.points if point.number in stood_at]
    off_road_m = network.off_road_metres([point.place for point in points])
    return tuple(
        Walk(point.number, metres, minutes)
        for point, metres, minutes in zip(points, off_road_m.tolist(), walked_minutes(off_road_m).tolist(), strict=True)
        if metres >= TOLD_ON_FOOT_M
    )


def _habitat_is_due(protocol: Protocol, outing: Outing) -> bool:
    if outing.of_kind(StepKind.HABITAT):
        return True
    return bool(outing.of_kind(StepKind.SETUP)) and protocol.setup is not None and protocol.setup.habitat


def _overcast_above(protocol: Protocol, visit: PlannedVisit) -> float | None:
    named = (window for window in protocol.windows if window.name == visit.window and window.depends_on_sky)
    return next((window.overcast_above_percent for window in named), None)


def _partner(season: Season, visit: PlannedVisit, code: str) -> Partner | None:
    others = [person for person in visit.people if person != code]
    if not others:
        return None
    other = season.volunteer(others[0])
    return Partner(other.first_name, other.telephone)


def _last_stand(route: Route, outing: Outing) -> Place:
    """Return where the counts end: the sun's times printed are those that the closing of the window hangs on."""
    return (route.point(outing.order[-1]) if outing.order else route.points[-1]).place


def _route_map(route: Route, outing: Outing, network: RoadNetwork | None) -> RouteMap:
    stops = [route.point(number).place for number in outing.way]
    if network is None:
        return RouteMap(roads=(), way=way_along_roads(stops, None), attribution="")
    maps = _MAPS.setdefault(network, {})
    key = (tuple(point.place for point in route.points), tuple(stops))
    known = maps.get(key)
    if known is None:
        known = _map_on(route, stops, network)
        if len(maps) >= _MOST_MAPS:
            maps.clear()
        maps[key] = known
    return known


_MOST_MAPS = 500
"""Maps kept of one road network, thousands of places on each: more than a large season has at a time."""
_MAPS: WeakKeyDictionary[RoadNetwork, dict[tuple[tuple[Place, ...], tuple[Place, ...]], RouteMap]] = WeakKeyDictionary()
"""Maps drawn before, as long as their roads are open: date, reserve date and both people of a visit share one."""


def _map_on(route: Route, stops: Sequence[Place], network: RoadNetwork) -> RouteMap:
    latitudes = [point.place.latitude for point in route.points]
    longitudes = [point.place.longitude for point in route.points]
    roads = network.roads_within(
        min(latitudes) - MAP_MARGIN_DEG,
        min(longitudes) - MAP_MARGIN_DEG * 2,
        max(latitudes) + MAP_MARGIN_DEG,
        max(longitudes) + MAP_MARGIN_DEG * 2,
    )
    return RouteMap(
        roads=tuple(MapRoad(road.kind, road.name, places_of(road.polyline)) for road in roads),
        way=way_along_roads(stops, network),
        attribution=network.attribution,
    )
