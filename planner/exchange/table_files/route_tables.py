"""The tables of routes and of their points."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from planner.exchange.faults import FaultList
from planner.exchange.importers import Choices
from planner.exchange.point_names import Named, point_named
from planner.exchange.reads import PointRow, RouteRow, RoutesRead
from planner.exchange.table_files.cells import Cells
from planner.exchange.table_files.column_words import POINT_WORDS, ROUTE_WORDS
from planner.exchange.table_files.layouts import Layout
from planner.exchange.table_files.places import Places
from planner.exchange.table_files.tables import Row, read_table

POINTS = Layout("a table of points", ("route", "point", "latitude", "longitude"), ("note",), POINT_WORDS, "point")
ROUTES = Layout("a table of routes", ("route", "name"), ("needs", "people", "lead", "area"), ROUTE_WORDS, "route")

MOST_POINTS = 999
"""Largest number of a point."""


def read_points(path: Path) -> RoutesRead:
    """Read a table of points: route, point, latitude, longitude, note.

    Raises:
        InputError: with every fault of the file.
    """
    faults = FaultList(path)
    read = points_of(read_table(path, POINTS, faults), faults, Places())
    faults.raise_any()
    return read


def points_of(rows: Sequence[Row], faults: FaultList, places: Places) -> RoutesRead:
    """Return the points of some rows; what is wrong is noted among the faults.

    Where no column holds the route or the number, the name of the point may say it: 'R07-03'. Points are numbered as
    they stand, those of each route by themselves, where that was chosen.
    """
    order: Counter[str] = Counter()
    points: list[PointRow] = []
    for row in rows:
        cells = Cells(row, faults, places)
        code = _code(cells, places.choices)
        order[code or ""] += 1
        number = order[code or ""] if places.choices.number_by_order else _number(cells)
        place = cells.place()
        if number is not None and number > MOST_POINTS:
            cells.note("point", f"at most {MOST_POINTS} points on one route", "Make several routes of it.", f"{number}")
        elif code is not None and number is not None and place is not None and cells.sound:
            points.append(PointRow(cells.origin, code, number, place, cells.text("note")))
    return RoutesRead(faults.source, points=tuple(points))


def read_routes(path: Path) -> RoutesRead:
    """Read a table of routes: route, name, needs, people, lead, area.

    Raises:
        InputError: with every fault of the file.
    """
    faults = FaultList(path)
    read = routes_of(read_table(path, ROUTES, faults), faults)
    faults.raise_any()
    return read


def routes_of(rows: Sequence[Row], faults: FaultList) -> RoutesRead:
    """Return the routes of some rows; what is wrong is noted among the faults."""
    routes = [route for row in rows if (route := _route(Cells(row, faults)))]
    return RoutesRead(faults.source, routes=tuple(routes))


def _code(cells: Cells, choices: Choices) -> str | None:
    said = cells.text("route") if cells.has("route") else _named(cells).code or _label(cells).code
    return said or choices.route or cells.needed("route", "the code of a route, such as R01")


def _number(cells: Cells) -> int | None:
    """Return the number of a point: the figure in its column, or what its name says where letters stand there."""
    if cells.has("point") and (not re.search("[A-Za-z]", cells.text("point")) or not _named(cells).number):
        number = cells.whole("point", 1, MOST_POINTS)
        named = _label(cells).number if not cells.has("route") else None
        if number is not None and named not in {None, number}:
            cells.note("point", f"{named}, the number that the name says", "Correct it, or leave one of the two out.")
        return number
    said = _named(cells)
    if said.code is not None and cells.text("route") not in {"", said.code}:
        column = "point" if cells.has("point") else "label"
        cells.note(column, f"a point of route {cells.text('route')}", "Correct the name or the route.")
    if said.number is None:
        cells.note("label", "a name with the number of the point, such as 'R07-03'", "Give each point its number.")
    return said.number


def _named(cells: Cells) -> Named:
    return point_named(cells.text("point") if cells.has("point") else cells.text("label"), cells.text("route"))


def _label(cells: Cells) -> Named:
    return point_named(cells.text("label"))


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
        area=cells.text("area") if cells.has("area") else None,
    )
