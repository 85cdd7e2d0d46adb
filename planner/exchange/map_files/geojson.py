"""Routes, points and lines out of a GeoJSON file (RFC 7946)."""

from __future__ import annotations

import re
from decimal import Decimal
from pathlib import Path

from planner.exchange.faults import refused
from planner.exchange.importers import Head
from planner.exchange.map_files.drawing import Drawing, Mark, MarkString, Words, place_of
from planner.exchange.map_files.gpx import track_notes
from planner.exchange.map_files.json_safe import Json, read_json
from planner.exchange.map_files.point_fields import PointFields, point_fields
from planner.exchange.point_names import POINT_EXAMPLE, begins_with_code, name_behind
from planner.exchange.reads import Origin, RouteName, Track

_WORDS = Words(
    axes=("latitude", "longitude"),
    marks="points",
    wanted=f"points with the properties route and point, or named like {POINT_EXAMPLE}",
    todo=f"Give each point the properties route and point, or a name like {POINT_EXAMPLE}.",
    string="several points in one feature",
    lines="line(s)",
)
_GEOMETRIES = ("Point", "MultiPoint", "LineString", "MultiLineString", "Polygon", "MultiPolygon", "GeometryCollection")
_TYPES = ("FeatureCollection", "Feature", *_GEOMETRIES)
_BEGINS = re.compile(r'\s*\{.{0,60000}?"type"\s*:\s*"(?:' + "|".join(_TYPES) + '")', re.DOTALL)
_WGS84 = re.compile(r"(?:urn:ogc:def:crs:)?(?:OGC:(?:[0-9.]*:)?CRS84|EPSG:(?:[0-9.]*:)?4326)", re.IGNORECASE)
_POSITION = "a position [longitude, latitude] of two figures, with a height behind them if wanted"
_CORRECT = "Correct it, or export the file again."
_DEEPEST_COLLECTION = 8


def draw_geojson(path: Path) -> Drawing:
    """Return what a GeoJSON file draws.

    A point's properties give its route and its number, by the names that tables use for columns; else its name does.
    The points of a MultiPoint are a route in their order where the name or a property says of which.

    Raises:
        InputError: the file is unreadable, empty, too large, no JSON, no GeoJSON, or in a coordinate system other
            than WGS84.
    """
    root = read_json(path, "a GeoJSON file")
    if not isinstance(root, dict) or root.get("type") not in _TYPES:
        found = f"the type {str(root.get('type'))[:40]!r}" if isinstance(root, dict) else "no object"
        raise refused(path, "", "a GeoJSON object with one of its types", found, "Choose a GeoJSON file.")
    drawer = _Drawer(Drawing(path, _WORDS))
    _refuse_other_system(root, path)
    drawer.draw(root)
    return drawer.drawing


def known_by(head: Head) -> str:
    """Return what a GeoJSON file is known by; empty where it is none."""
    text = head.data.decode(errors="ignore").lstrip("\ufeff")
    return "JSON with the types of GeoJSON" if _BEGINS.match(text) else ""


def _refuse_other_system(root: dict[str, Json], path: Path) -> None:
    """RFC 7946 knows WGS84 alone; files of the older draft may name another system."""
    if "crs" not in root:
        return
    crs = root["crs"]
    properties = crs.get("properties") if isinstance(crs, dict) else None
    name = properties.get("name") if isinstance(properties, dict) else None
    if not isinstance(name, str) or not _WGS84.fullmatch(name):
        found = f"the system {name[:60]!r}" if isinstance(name, str) else "a system without a name"
        raise refused(path, "crs", "coordinates in WGS84, as RFC 7946 has them", found, "Export it again in WGS84.")


class _Drawer:
    """Turns features into points, strings of points and lines, and notes what is none."""

    def __init__(self, drawing: Drawing) -> None:
        self.drawing = drawing
        self._areas = 0

    def draw(self, root: dict[str, Json]) -> None:
        """Draw the whole of a file."""
        if root.get("type") == "FeatureCollection":
            features = root.get("features")
            if not isinstance(features, list):
                self._fault("features", "a list of features", features)
                return
            for number, feature in enumerate(features):
                self._draw_feature(feature, f"features[{number}]")
        elif root.get("type") == "Feature":
            self._draw_feature(root, "")
        else:
            self._draw_geometry(root, "", PointFields())
        if self._areas:
            self.drawing.notes.append(f"Left out: {self._areas} area(s); only points and lines are read.")

    def _fault(self, where: str, expected: str, found: Json) -> None:
        self.drawing.faults.add(where, expected, "nothing" if found is None else repr(found)[:60], _CORRECT)

    def _draw_feature(self, feature: Json, where: str) -> None:
        if not isinstance(feature, dict) or feature.get("type") != "Feature":
            self._fault(where, "a feature, an object of the type Feature", feature)
            return
        properties = feature.get("properties") or {}
        if not isinstance(properties, dict):
            self._fault(_inside(where, "properties"), "an object, or null", properties)
            return
        fields = point_fields({key: _text(value) for key, value in properties.items()}, self.drawing.fields)
        geometry = feature.get("geometry")
        if geometry is None or _kind(geometry) in {"LineString", "MultiLineString"}:
            self._name_route(fields, where)
        if geometry is not None:
            self._draw_geometry(geometry, _inside(where, "geometry"), fields)

    def _name_route(self, fields: PointFields, where: str) -> None:
        if fields.route:
            name = name_behind(fields.route, fields.name)
            self.drawing.names.append(RouteName(self._origin(where), fields.route, name, fields.area))

    def _origin(self, where: str) -> Origin:
        return Origin(str(self.drawing.path), where or "the only feature")

    def _draw_geometry(self, geometry: Json, where: str, fields: PointFields, depth: int = 0) -> None:
        kind = _kind(geometry)
        if not isinstance(geometry, dict) or kind not in _GEOMETRIES or depth > _DEEPEST_COLLECTION:
            self._fault(where, f"a geometry of one of the types {', '.join(_GEOMETRIES)}", geometry)
            return
        if kind == "GeometryCollection":
            inner = geometry.get("geometries")
            for number, one in enumerate(inner if isinstance(inner, list) else [inner]):
                self._draw_geometry(one, _inside(where, f"geometries[{number}]"), fields, depth + 1)
            return
        self._draw_coordinates(kind, geometry.get("coordinates"), _inside(where, "coordinates"), fields)

    def _draw_coordinates(self, kind: str, found: Json, where: str, fields: PointFields) -> None:
        if kind in {"Polygon", "MultiPolygon"}:
            self._areas += 1
        elif kind == "Point":
            position = self._position(found, where)
            if position is not None:
                self.drawing.marks.append(_mark(where, position, fields))
        elif not isinstance(found, list):
            self._fault(where, "a list of positions", found)
        elif kind == "MultiPoint":
            self._draw_points(found, where, fields)
        elif kind == "LineString":
            self._draw_line(found, where, fields)
        else:
            for number, line in enumerate(found):
                self._draw_coordinates("LineString", line, f"{where}[{number}]", fields)

    def _position(self, found: Json, where: str) -> tuple[str, str] | None:
        """Return latitude and longitude as texts; None after noting what is no position."""
        self.drawing.places.add(where)
        if isinstance(found, list) and len(found) >= 2:
            longitude, latitude = found[0], found[1]
            if _is_figure(longitude) and _is_figure(latitude):
                return _text(latitude), _text(longitude)
        self._fault(where, _POSITION, found)
        return None

    def _draw_points(self, found: list[Json], where: str, fields: PointFields) -> None:
        if not fields.route and not begins_with_code(fields.name):
            self.drawing.notes.append(f"Left out: the {len(found)} points of {where}, which say no route.")
            return
        places = [(f"{where}[{number}]", one) for number, one in enumerate(found)]
        positions = [(at, self._position(one, at)) for at, one in places]
        marks = tuple(Mark(at, *position) for at, position in positions if position is not None)
        self.drawing.strings.append(MarkString(where, fields.name or fields.route, marks, fields.route))

    def _draw_line(self, found: list[Json], where: str, fields: PointFields) -> None:
        positions = [self._position(one, f"{where}[{number}]") for number, one in enumerate(found)]
        places = [place_of(*position) for position in positions if position is not None]
        kept = tuple(place for place in places if place is not None)
        name = fields.name or fields.route
        self.drawing.notes += track_notes(name, (), len(places) - len(kept), where)
        self.drawing.tracks.append(Track(self._origin(where), name, kept))
        if fields.route:
            self.drawing.of_routes.add(where)


def _mark(where: str, position: tuple[str, str], fields: PointFields) -> Mark:
    return Mark(where, *position, fields.name, fields.note, fields.route, fields.point)


def _kind(geometry: Json) -> str:
    kind = geometry.get("type") if isinstance(geometry, dict) else None
    return kind if isinstance(kind, str) else ""


def _is_figure(value: Json) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _inside(where: str, key: str) -> str:
    return f"{where}.{key}" if where else key


def _text(value: Json) -> str:
    """Return a property or a figure as text: whole numbers without a fraction, no powers of ten."""
    if value is None or isinstance(value, bool | list | dict):
        return ""
    if isinstance(value, float):
        return format(Decimal(int(value)) if value.is_integer() and abs(value) < 1e15 else Decimal(repr(value)), "f")
    return " ".join(str(value).split())
