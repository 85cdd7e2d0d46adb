"""What lies on the map, in words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QPointF

from planner.desktop.map import pointing
from planner.desktop.map.layers import TieLayer
from planner.desktop.map.pointing import Hit
from planner.desktop.map.route_sheet import RouteSheet
from planner.domain.finding import Severity

if TYPE_CHECKING:
    from planner.desktop.map.view import MapView

Findings = Mapping[tuple[str, int | None], Severity]


def description(sheet: RouteSheet, selected: tuple[str, int | None], findings: Findings) -> str:
    """Return what is selected, or else what is shown and how to go about it."""
    route, point = selected
    place = sheet.route_place(route)
    if place is None:
        return QCoreApplication.translate(
            "Map", "{} routes. Page Down goes from point to point, plus and minus zoom, arrows push the map."
        ).format(len(sheet.routes))
    return _point_words(sheet, place, point, findings) if point is not None else _route_words(sheet, place, findings)


def keys() -> str:
    """Return what keys and mouse do on the map."""
    return QCoreApplication.translate(
        "Map",
        "Drag to push the map, turn the wheel to zoom, drag with Shift to choose an area. Arrow keys push, plus and"
        " minus zoom, Home shows all and Shift+Home the selected route. Page Down and Page Up go from point to point,"
        " with Ctrl from route to route. Alt and an arrow move a point by ten metres, Enter drops it there, Escape"
        " brings it back.",
    )


def words_at(view: MapView, spot: QPointF) -> str:
    """Return the name of what lies under a spot of the window; empty where there is nothing."""
    proposed = view.proposing.words_at(spot)
    if proposed:
        return proposed
    hit = view.hit(spot)
    if hit is not None:
        return _hit_words(view, hit)
    tie = pointing.hit_tie(TieLayer(view.ties, view.ground), view.camera, spot)
    if tie is not None:
        return tie
    road = pointing.hit_road(view.roads, view.camera, spot) if view.roads is not None else None
    if road is None:
        return ""
    name, kind = road
    kind_words = QCoreApplication.translate("Map road", kind.replace("_", " "))
    return QCoreApplication.translate("Map", "{}, {} road").format(name, kind_words) if name else kind_words


def next_row(sheet: RouteSheet, selected: tuple[str, int | None], direction: int, *, by_route: bool) -> int | None:
    """Return the row of the point to go to; None where there is none. After the last comes the first.

    Args:
        sheet: the routes.
        selected: route and point to go on from.
        direction: 1 forwards, -1 backwards.
        by_route: go to the first point of another route.
    """
    count = len(sheet.east)
    if not count:
        return None
    route, point = selected
    row = sheet.row(route, point) if point is not None else None
    place = sheet.route_place(route)
    if row is None and place is not None and sheet.rows(place).stop > sheet.rows(place).start:
        # The route alone is selected: its first point comes next, or its last.
        rows = sheet.rows(place)
        row = rows.start - 1 if direction > 0 else rows.stop
        if by_route:
            row = rows.start
    if row is None:
        return 0 if direction > 0 else count - 1
    return _first_of_neighbour(sheet, row, direction) if by_route else (row + direction) % count


def _first_of_neighbour(sheet: RouteSheet, row: int, direction: int) -> int:
    rows = sheet.rows(int(sheet.owners[row]))
    if direction > 0:
        return int(rows.stop) % len(sheet.east)
    before = (rows.start - 1) % len(sheet.east)
    return int(sheet.rows(int(sheet.owners[before])).start)


def _hit_words(view: MapView, hit: Hit) -> str:
    if hit.home:
        name = next((home.name for home in view.homes if home.code == hit.home), "")
        return QCoreApplication.translate("Map", "{}, home of {}").format(hit.home, name)
    place = view.sheet.route_place(hit.route)
    if place is None:
        return ""
    if hit.point is None:
        return _route_words(view.sheet, place, view.findings)
    return _point_words(view.sheet, place, hit.point, view.findings)


def _route_words(sheet: RouteSheet, place: int, findings: Findings) -> str:
    route = sheet.routes[place]
    words = QCoreApplication.translate("Map", "Route {}, {} points").format(route.title, len(route.points))
    return words + _finding_words(findings, (route.code, None))


def _point_words(sheet: RouteSheet, place: int, number: int, findings: Findings) -> str:
    route = sheet.routes[place]
    note = next((point.note for point in route.points if point.number == number), "")
    words = QCoreApplication.translate("Map", "Route {}, point {}").format(route.title, number)
    return words + (f": {note}" if note else "") + _finding_words(findings, (route.code, number))


def _finding_words(findings: Findings, key: tuple[str, int | None]) -> str:
    severity = findings.get(key)
    if severity is None:
        return ""
    return QCoreApplication.translate("Map", "; finding: {}").format(
        QCoreApplication.translate("Severity", severity.words)
    )
