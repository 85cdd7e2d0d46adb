"""Routes and their points out of a GPX file."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from planner.domain.geo import Place
from planner.exchange.faults import CORRECT_OR_SWAP, FaultList
from planner.exchange.gpx_elements import GpxElements, GpxPoint, GpxRoute, read_elements
from planner.exchange.reads import Origin, PointRow, RouteName, RoutesRead

_POINT_OF = re.compile(r"(?P<code>\S(?:.*?\S)?)\s*[-_/.: ]\s*(?P<number>[0-9]{1,3})")
_NUMBER_ALONE = re.compile(r"(?:(?:point|stop|pt|p)\.?\s*)?(?P<number>[0-9]{1,3})", re.IGNORECASE)
_CODE = re.compile(r"(?=\S*[0-9])[A-Za-z0-9]\S*")
_DEGREES = re.compile(r"\s*[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)\s*")
_POINT_EXAMPLE = "'R07-03'"


@dataclass(frozen=True, slots=True)
class _Named:
    """What the name of a point says: of which route it is, which number it has; None where it does not say."""

    code: str | None
    number: int | None
    rest: str


def read_gpx(path: Path) -> RoutesRead:
    """Read the routes of a GPX 1.0 or 1.1 file.

    A ``<rte>`` is a route; its name begins with the code ('R01 Fernhythe Common'). Its points are numbered by their
    names where each has a number, else by their order. A ``<wpt>`` is a point of a route where its name says so
    ('R07-03'), or its type gives the code and its name the number. Tracks are not read: they say where somebody
    went, not where the points are.

    Raises:
        InputError: with every fault of the file.
    """
    elements = read_elements(path)
    faults = FaultList(path)
    notes: list[str] = []
    names: list[RouteName] = []
    points: list[PointRow] = []
    for route in elements.routes:
        name = _route_name(route, faults)
        if name is not None:
            names.append(name)
            points += _route_points(route, name.code, faults, notes)
    points += _without_repeats(_waypoints(elements.waypoints, faults, notes), points)
    _judge_tracks(elements, bool(points), faults, notes)
    if not points and not len(faults):
        _nothing(elements, faults)
    faults.raise_any()
    return RoutesRead(str(path), points=tuple(points), names=tuple(names), notes=tuple(notes))


def place_of(point: GpxPoint, faults: FaultList) -> Place | None:
    """Return the place of an element, decimal degrees alone as GPX has them; None after noting a fault."""
    values = {"lat": point.latitude, "lon": point.longitude}
    limits = {"lat": 90.0, "lon": 180.0}
    degrees = {key: float(text) for key, text in values.items() if _DEGREES.fullmatch(text)}
    wrong = [key for key in values if key not in degrees or abs(degrees[key]) > limits[key]]
    if not wrong:
        return Place(degrees["lat"], degrees["lon"])
    for key in wrong:
        expected = f"{key} in decimal degrees from {-limits[key]:g} to {limits[key]:g}"
        found = f"{key}={values[key][:40]!r}" if values[key] else f"no {key}"
        faults.add(point.where, expected, found, CORRECT_OR_SWAP)
    return None


def _route_name(route: GpxRoute, faults: FaultList) -> RouteName | None:
    name = route.texts.get("name", "")
    if not name:
        todo = "Name the route by its code, and its name behind it if you like."
        faults.add(route.where, "a name such as 'R01 Fernhythe Common'", "no name", todo)
        return None
    first, _, rest = name.partition(" ")
    code = first.rstrip(":,;")
    origin = Origin(faults.source, route.where)
    # A first word with a figure in it is a code; else the whole name serves as one.
    return RouteName(origin, code, rest.lstrip("-–: ")) if _CODE.fullmatch(code) else RouteName(origin, name, "")


def _route_points(route: GpxRoute, code: str, faults: FaultList, notes: list[str]) -> Iterator[PointRow]:
    if not route.points:
        faults.add(route.where, "a route with points <rtept>", f"none in {code}", "Add the points or remove the route.")
    named = [_named(point) for point in route.points]
    for point, said in zip(route.points, named, strict=True):
        if said.code is not None and said.code != code:
            found = repr(point.texts.get("name", ""))
            faults.add(point.where, f"a point of route {code}", found, "Correct the name or move the point.")
    numbers = [said.number for said in named]
    by_name = all(number is not None for number in numbers)
    if not by_name and any(number is not None for number in numbers):
        notes.append(f"Route {code}: not every point has a number in its name; all are numbered by their order.")
    for position, (point, said) in enumerate(zip(route.points, named, strict=True), start=1):
        place = place_of(point, faults)
        if place is not None:
            number = said.number if by_name and said.number is not None else position
            note = _note(point) or ("" if by_name else said.rest)
            yield PointRow(Origin(faults.source, point.where), code, number, place, note)


def _named(point: GpxPoint) -> _Named:
    """Read a point's name: 'R07-03', '3', 'Point 3', or words."""
    name = point.texts.get("name", "")
    alone = _NUMBER_ALONE.fullmatch(name)
    if alone and int(alone["number"]):
        return _Named(None, int(alone["number"]), "")
    match = _POINT_OF.fullmatch(name)
    if match and int(match["number"]) and _CODE.fullmatch(match["code"]):
        return _Named(match["code"], int(match["number"]), "")
    return _Named(None, None, name)


def _note(point: GpxPoint) -> str:
    return point.texts.get("desc") or point.texts.get("cmt") or ""


def _waypoints(waypoints: Sequence[GpxPoint], faults: FaultList, notes: list[str]) -> Iterator[PointRow]:
    left_out = []
    for point in waypoints:
        said = _named(point)
        code = said.code or point.texts.get("type") or None
        if code is None or said.number is None:
            left_out.append(point)
            continue
        place = place_of(point, faults)
        if place is not None:
            yield PointRow(Origin(faults.source, point.where), code, said.number, place, _note(point))
    if left_out:
        shown = ", ".join(repr(point.texts.get("name", "")) for point in left_out[:6])
        more = f" and {len(left_out) - 6} more" if len(left_out) > 6 else ""
        notes.append(f"Left out, because their names are not like {_POINT_EXAMPLE}: waypoints {shown}{more}.")


def _without_repeats(waypoints: Iterator[PointRow], points: Sequence[PointRow]) -> list[PointRow]:
    """Leave out waypoints that repeat a route's point: many programs write each point both ways."""
    known = {(point.route, point.number, point.place) for point in points}
    return [point for point in waypoints if (point.route, point.number, point.place) not in known]


def _judge_tracks(elements: GpxElements, found_points: bool, faults: FaultList, notes: list[str]) -> None:
    if not elements.track_lines:
        return
    where = f"line {elements.track_lines[0]}, <trk>"
    if found_points or elements.routes or elements.waypoints:
        notes.append(f"Left out: {len(elements.track_lines)} track(s), the first on {where}; only points are read.")
    else:
        todo = "A track says where somebody went, not where the points are: save the points as a route or as waypoints."
        faults.add(where, "routes <rte> or waypoints <wpt>", "tracks alone, which are not read", todo)


def _nothing(elements: GpxElements, faults: FaultList) -> None:
    found = "no route and no waypoint"
    if elements.waypoints:
        found = "waypoints whose names do not say the route and the number, such as "
        found += repr(elements.waypoints[0].texts.get("name", ""))
    todo = f"Save the points as a route, or name the waypoints like {_POINT_EXAMPLE}."
    faults.add("", f"routes <rte>, or waypoints <wpt> named like {_POINT_EXAMPLE}", found, todo)
