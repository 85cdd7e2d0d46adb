"""Routes as GPX 1.1 (https://www.topografix.com/GPX/1/1): each as a route, and its points as waypoints too.

Receivers show waypoints and follow routes; whoever reads both finds each point once, because the two agree.
"""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element, SubElement

from planner.domain.itinerary import DayPlan
from planner.domain.route import Point, Route
from planner.exchange.written.letters import CAUTION, degrees, plain, point_name, title
from planner.exchange.written.xml_text import add_text, document

_END_OF_EAST = 180.0
"""Degrees. The schema ends longitudes before it (``longitudeType`` of https://www.topografix.com/GPX/1/1/gpx.xsd): that
meridian is written as 180 west."""


def gpx_bytes(name: str, routes: Sequence[Route]) -> bytes:
    """Return a GPX file of routes; those without points are left out, because a route there is made of points.

    Args:
        name: of the season.
        routes: the routes, in the order in which they are written.
    """
    root = _root(name)
    with_points = [route for route in routes if route.points]
    for route in with_points:
        for point in route.points:
            _add_point(root, "wpt", route, point)
    for route in with_points:
        element = SubElement(root, "rte")
        add_text(element, "name", title(route))
        add_text(element, "type", plain(route.code))
        for point in route.points:
            _add_point(element, "rtept", route, point)
    return document(root)


def outing_gpx_bytes(name: str, day: DayPlan) -> bytes:
    """Return a GPX file of one outing: the points in the order in which they are gone to, and every one as a waypoint.

    The way from home is not in it: where somebody lives goes into no file.

    Args:
        name: of the season.
        day: the outing.
    """
    route = day.route
    root = _root(name)
    for point in route.points:
        _add_point(root, "wpt", route, point)
    element = SubElement(root, "rte")
    add_text(element, "name", f"{title(route)}, {_purpose(day)}")
    add_text(element, "type", plain(route.code))
    for number in day.outing.way:
        _add_point(element, "rtept", route, route.point(number))
    return document(root)


def _purpose(day: DayPlan) -> str:
    if day.visit is None:
        return "set-up"
    return f"reserve for visit {day.visit}, {day.outing.date}" if day.is_reserve else f"visit {day.visit}"


def _root(name: str) -> Element:
    root = Element("gpx", {"version": "1.1", "creator": "Dimpsy", "xmlns": "http://www.topografix.com/GPX/1/1"})
    metadata = SubElement(root, "metadata")
    add_text(metadata, "name", plain(name))
    add_text(metadata, "desc", CAUTION)
    return root


def _add_point(parent: Element, element: str, route: Route, point: Point) -> None:
    longitude = point.place.longitude if point.place.longitude < _END_OF_EAST else -_END_OF_EAST
    at = {"lat": degrees(point.place.latitude), "lon": degrees(longitude)}
    made = SubElement(parent, element, at)
    add_text(made, "name", point_name(route, point))
    add_text(made, "desc", plain(point.note))
    add_text(made, "type", plain(route.code))
