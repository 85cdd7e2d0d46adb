"""Measure a route: distances, drives, light and roads, as the checks judge it."""

from __future__ import annotations

import numpy as np

from planner.domain.route import Route
from planner.domain.season import Season
from planner.scheduling import SeasonProblem, drive_one_way_minutes, fit_table
from planner.travel import (
    BusyRoad,
    LatLon,
    RoadNetwork,
    busy_edges,
    busy_roads_near,
    geodesic_table_metres,
    step_metres,
)
from planner.usecases.route_checks.facts import FloatArray, RouteFacts


def route_facts(problem: SeasonProblem, route: Route, network: RoadNetwork | None) -> RouteFacts:
    """Return what was measured and computed of a route with points, whose light and drives are in the problem."""
    places = [lat_lon(route, index) for index in range(len(route.points))]
    drives, fit = problem.drives[route.code], fit_table(problem, route)
    snaps = network.snap(places) if network is not None else None
    return RouteFacts(
        straight_m=geodesic_table_metres(places, places),
        legs_minutes=drives.legs.expected,
        one_way_minutes=drive_one_way_minutes(drives),
        margin_minutes=fit.margin_minutes,
        no_window=tuple(window.reasons for window in problem.light[route.code].windows),
        points_lost=np.asarray(fit.points_lost, dtype=np.int64),
        road_m=None if network is None else _road_metres(places, network),
        snap_m=None if snaps is None else np.array([snap.distance_m for snap in snaps]),
        on_main=None if snaps is None else np.array([snap.on_main for snap in snaps]),
        sides=() if network is None else network.sides(places),
        busy_roads=_busy_roads(problem, places, network),
    )


def homes_off_road_metres(season: Season, network: RoadNetwork | None) -> FloatArray | None:
    """Return the metres from each home to the road its drives begin on, NaN for none near; None without a road map."""
    return None if network is None else network.off_road_metres([volunteer.home for volunteer in season.volunteers])


def lat_lon(route: Route, index: int) -> LatLon:
    """Return the place of a point, by its place in the route, as latitude and longitude in degrees."""
    place = route.points[index].place
    return place.latitude, place.longitude


def along_metres(line: tuple[LatLon, ...]) -> float:
    """Return the metres along a line; inf for an empty one: there is no way."""
    return float(step_metres(line).sum()) if line else float("inf")


def _busy_roads(
    problem: SeasonProblem, places: list[LatLon], network: RoadNetwork | None
) -> tuple[BusyRoad | None, ...]:
    rule = problem.season.protocol.points.busy_road
    if rule is None or network is None:
        return ()
    limit_kmh = None if rule.limit_at_least is None else rule.limit_at_least.base
    busy = busy_edges(network.roads, rule.kinds, limit_kmh)
    near = busy_roads_near(network.roads, places, busy, rule.least.metres)
    return tuple(road if road is not None and road.metres < rule.least.metres else None for road in near)


def _road_metres(places: list[LatLon], network: RoadNetwork) -> FloatArray:
    """Return the metres along the road between neighbouring points, both ways; NaN for any other pair."""
    metres = np.full((len(places), len(places)), np.nan)
    for i, line in enumerate(network.paths_through(places)):
        metres[i, i + 1] = metres[i + 1, i] = along_metres(line)
    return metres
