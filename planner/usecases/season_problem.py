"""Compute what planning and judging need: the light of every route and the drives of every volunteer."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from planner.domain.geo import Place
from planner.domain.route import Route
from planner.domain.season import Season
from planner.domain.travel import FigureSource
from planner.domain.window import Event
from planner.light import EventTable, WindowTable, event_table, window_table
from planner.scheduling import DriveMinutes, PassLight, RouteDrives, RouteLight, SeasonProblem, WindowLight
from planner.travel import SOURCES, DriveTable, RoadNetwork, drive_table

_ESTIMATE = SOURCES.index(FigureSource.ESTIMATE)


def season_problem(season: Season, network: RoadNetwork | None, today: dt.date | None = None) -> SeasonProblem:
    """Return the season with its light windows and drive minutes, as the scheduler is given it.

    Args:
        season: routes, volunteers and rules. Routes that have no points yet cannot be planned: they are left out.
        network: the season's roads; None makes every drive an estimate.
        today: visits before it are past; None: nothing is.
    """
    season = replace(season, routes=tuple(route for route in season.routes if route.points))
    return SeasonProblem(season=season, light=_light(season), drives=_drives(season, network), today=today)


def _light(season: Season) -> dict[str, RouteLight]:
    places = [point.place for route in season.routes for point in route.points]
    days = list(season.dates)
    tables = [
        window_table(window, places, days, season.zone, season.protocol.moon) for window in season.protocol.windows
    ]
    sun = _sun(season.routes, days, season.zone)
    light = {}
    for number, (route, rows) in enumerate(_rows(season.routes)):
        windows = tuple(_window_light(table, rows) for table in tables)
        light[route.code] = RouteLight(windows, sun.of(Event.SUNRISE)[0][number], sun.of(Event.SUNSET)[0][number])
    return light


def _sun(routes: Sequence[Route], days: list[dt.date], zone: str) -> EventTable:
    firsts = [route.points[0].place for route in routes]
    events = (Event.SUNRISE, Event.SUNSET)
    return event_table(events, days, [p.latitude for p in firsts], [p.longitude for p in firsts], zone)


def _rows(routes: Sequence[Route]) -> Iterator[tuple[Route, slice]]:
    start = 0
    for route in routes:
        yield route, slice(start, start + len(route.points))
        start += len(route.points)


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


def _drives(season: Season, network: RoadNetwork | None) -> dict[str, RouteDrives]:
    overhead = season.protocol.travel.stop_overhead_minutes
    homes = [_pair(volunteer.home) for volunteer in season.volunteers]
    points = [_pair(point.place) for route in season.routes for point in route.points]

    def table(origins: list[tuple[float, float]], destinations: list[tuple[float, float]]) -> DriveTable:
        return drive_table(origins, destinations, network=network, stop_overhead_minutes=overhead)

    out, back = table(homes, points), table(points, homes)
    drives = {}
    for route, rows in _rows(season.routes):
        legs = table(points[rows], points[rows])
        drives[route.code] = RouteDrives(
            legs=_minutes(legs), out=_minutes(out, columns=rows), back=_minutes(back, rows=rows)
        )
    return drives


_ALL = slice(None)


def _minutes(table: DriveTable, rows: slice = _ALL, columns: slice = _ALL) -> DriveMinutes:
    return DriveMinutes(
        optimistic=table.optimistic_minutes[rows, columns],
        expected=table.expected_minutes[rows, columns],
        cautious=table.cautious_minutes[rows, columns],
        estimated=table.source_numbers[rows, columns] == _ESTIMATE,
    )


def _pair(place: Place) -> tuple[float, float]:
    return place.latitude, place.longitude
