"""Routes as GeoJSON (RFC 7946): a feature for each point, and one for the line through the points of a route."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence

from planner.domain.geo import Place
from planner.domain.route import Point, Route
from planner.exchange.map_files.json_safe import Json
from planner.exchange.written.letters import CAUTION, plain, point_name, title


def geojson_bytes(name: str, routes: Sequence[Route]) -> bytes:
    """Return a GeoJSON file of routes, a feature a line; one with fewer than two points has a feature without a place.

    Args:
        name: of the season.
        routes: the routes, in the order in which they are written.
    """
    said = f'"type": "FeatureCollection", "name": {_json(plain(name))}, "description": {_json(CAUTION)}'
    features = ",\n".join(_json(feature) for route in routes for feature in _features(route))
    return f'{{{said}, "features": [\n{features}\n]}}\n'.encode()


def _json(value: Json) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _features(route: Route) -> Iterator[Json]:
    line: Json = None
    if len(route.points) > 1:
        line = {"type": "LineString", "coordinates": [_position(point.place) for point in route.points]}
    properties: dict[str, Json] = {"route": plain(route.code), "name": title(route), "area": plain(route.area)}
    yield {"type": "Feature", "properties": properties, "geometry": line}
    for point in route.points:
        yield _point(route, point)


def _point(route: Route, point: Point) -> Json:
    properties: dict[str, Json] = {
        "route": plain(route.code),
        "point": point.number,
        "name": point_name(route, point),
        "note": plain(point.note),
    }
    geometry: Json = {"type": "Point", "coordinates": _position(point.place)}
    return {"type": "Feature", "properties": properties, "geometry": geometry}


def _position(place: Place) -> Json:
    return [place.longitude, place.latitude]
