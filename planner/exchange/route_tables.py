"""The tables of routes and of their points."""

from __future__ import annotations

from pathlib import Path

from planner.exchange.cells import Cells
from planner.exchange.faults import FaultList
from planner.exchange.reads import PointRow, RouteRow, RoutesRead
from planner.exchange.tables import Layout, read_table

POINTS = Layout("a table of points", ("route", "point", "latitude", "longitude"), ("note",))
ROUTES = Layout("a table of routes", ("route", "name"), ("needs", "people", "lead"))

MOST_POINTS = 999
"""Largest number of a point."""


def read_points(path: Path) -> RoutesRead:
    """Read a table of points: route, point, latitude, longitude, note.

    Raises:
        InputError: with every fault of the file.
    """
    faults = FaultList(path)
    rows = read_table(path, POINTS, faults)
    points = [point for row in rows if (point := _point(Cells(row, faults)))]
    faults.raise_any()
    return RoutesRead(str(path), points=tuple(points))


def read_routes(path: Path) -> RoutesRead:
    """Read a table of routes: route, name, needs, people, lead.

    Raises:
        InputError: with every fault of the file.
    """
    faults = FaultList(path)
    rows = read_table(path, ROUTES, faults)
    routes = [route for row in rows if (route := _route(Cells(row, faults)))]
    faults.raise_any()
    return RoutesRead(str(path), routes=tuple(routes))


def _point(cells: Cells) -> PointRow | None:
    route = cells.needed("route", "the code of a route, such as R01")
    number = cells.whole("point", 1, MOST_POINTS)
    place = cells.place()
    if route is None or number is None or place is None:
        return None
    return PointRow(cells.origin, route, number, place, cells.text("note"))


def _route(cells: Cells) -> RouteRow | None:
    code = cells.needed("route", "the code of a route, such as R01")
    people = cells.whole("people", 1, 2, default=1) if cells.has("people") else None
    if code is None or not cells.sound:
        return None
    return RouteRow(
        origin=cells.origin,
        code=code,
        name=cells.text("name"),
        needs=cells.words("needs") if cells.has("needs") else None,
        people=people,
        lead=cells.text("lead") if cells.has("lead") else None,
    )
