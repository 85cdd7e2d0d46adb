"""Compute what planning and judging need: the light of every route and the drives of every volunteer."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from planner.domain.geo import Place
from planner.domain.route import Route
from planner.domain.season import Season
from planner.domain.window import Event
from planner.light import EventTable, WindowTable, event_table, window_table
from planner.scheduling import PassLight, RouteLight, SeasonProblem, WindowLight
from planner.travel import RoadNetwork
from planner.usecases.season.drives import point_rows, same_calibration, season_drives, season_drives_after


def season_problem(season: Season, network: RoadNetwork | None, today: dt.date | None = None) -> SeasonProblem:
    """Return the season with its light windows and drive minutes, as the scheduler is given it.

    Args:
        season: routes, volunteers and rules. Routes that have no points yet cannot be planned: they are left out.
        network: the season's roads; None makes every drive an estimate.
        today: visits before it are past; None: nothing is.
    """
    season = _with_points(season)
    network = roads_from_homes(season, network)
    drives = season_drives(season, network)
    return SeasonProblem(season=season, light=_light(season, season.routes), drives=drives, today=today)


def roads_from_homes(season: Season, network: RoadNetwork | None) -> RoadNetwork | None:
    """Return the road network as it serves the homes of a season, as quick as its speeds and recorded drives say.

    Points go to the roads that most homes reach.
    """
    if network is None:
        return None
    return network.at_speeds(season.road_speeds, season.drive_factors).seen_from(_homes(season))


def season_problem_after(
    before: SeasonProblem | None,
    season: Season,
    network: RoadNetwork | None,
    today: dt.date | None = None,
    *,
    same_roads: bool,
) -> SeasonProblem:
    """Return what ``season_problem`` does, computing only what a change to the season has made untrue.

    Args:
        before: the problem of the season as it stood; None: everything is computed.
        season: the season as it stands.
        network: its roads.
        today: visits before it are past.
        same_roads: whether ``before`` was made with the same network.
    """
    if before is None or _frame(before.season) != _frame(season):
        return season_problem(season, network, today)
    season = _with_points(season)
    roads = roads_from_homes(season, network)
    same_roads = same_roads and roads is roads_from_homes(before.season, network)
    same_roads = same_roads and same_calibration(before.season.drive_factors, season.drive_factors)
    places = {route.code: _places(route) for route in before.season.routes}
    moved = [route for route in season.routes if places.get(route.code) != _places(route)]
    gone = {route.code for route in moved}
    kept = {route.code for route in season.routes} - gone
    light = {code: before.light[code] for code in kept} | _light(season, moved)
    if same_roads:
        drives = season_drives_after(before.season, before.drives, season, roads)
    else:
        drives = season_drives(season, roads)
    return SeasonProblem(season=season, light=light, drives=drives, today=today)


def _frame(season: Season) -> tuple[object, ...]:
    """Return all that the light and the drives of every route hang on, beside where points and homes lie."""
    return season.protocol, season.zone, season.dates


def _with_points(season: Season) -> Season:
    return replace(season, routes=tuple(route for route in season.routes if route.points))


def _places(route: Route) -> tuple[Place, ...]:
    return tuple(point.place for point in route.points)


def _homes(season: Season) -> tuple[Place, ...]:
    return tuple(volunteer.home for volunteer in season.volunteers)


def _light(season: Season, routes: Sequence[Route]) -> dict[str, RouteLight]:
    if not routes:
        return {}
    places = [point.place for route in routes for point in route.points]
    days = list(season.dates)
    tables = [
        window_table(window, places, days, season.zone, season.protocol.moon) for window in season.protocol.windows
    ]
    sun = _sun(routes, days, season.zone)
    light = {}
    for number, (route, rows) in enumerate(point_rows(routes)):
        windows = tuple(_window_light(table, rows) for table in tables)
        light[route.code] = RouteLight(windows, sun.of(Event.SUNRISE)[0][number], sun.of(Event.SUNSET)[0][number])
    return light


def _sun(routes: Sequence[Route], days: list[dt.date], zone: str) -> EventTable:
    firsts = [route.points[0].place for route in routes]
    events = (Event.SUNRISE, Event.SUNSET)
    return event_table(events, days, [p.latitude for p in firsts], [p.longitude for p in firsts], zone)


def _window_light(table: WindowTable, rows: slice) -> WindowLight:
    clear = _passes(table.opens_s[:, rows], table.closes_s[:, rows])
    overcast = _passes(table.overcast_opens_s[:, rows], table.overcast_closes_s[:, rows])
    barred = table.barred_by[rows].max(axis=0)
    return WindowLight(
        name=table.window.name,
        passes=clear,
        overcast=overcast if table.window.depends_on_sky else (),
        moon_meets=np.asarray(table.moon_holds[rows].all(axis=0), dtype=np.bool_),
        reasons={table.dates[day]: table.bars[barred[day]].reason for day in np.flatnonzero(barred >= 0)},
    )


def _passes(opens: np.ndarray, closes: np.ndarray) -> tuple[PassLight, ...]:
    """Turn arrays of shape (passes, points, days) into one PassLight of shape (days, points) for each pass."""
    return tuple(PassLight(a.T.copy(), b.T.copy()) for a, b in zip(opens, closes, strict=True))
