"""The files that routes are written to, by format."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from enum import StrEnum

from planner.domain.route import Route
from planner.exchange.written.geojson_out import geojson_bytes
from planner.exchange.written.gpx_out import gpx_bytes
from planner.exchange.written.kml_out import kml_bytes
from planner.exchange.written.tables_out import points_bytes, routes_bytes


class RouteFormat(StrEnum):
    """A format that routes can be written in."""

    GPX = "gpx"
    GEOJSON = "geojson"
    CSV = "csv"
    KML = "kml"


def route_files(kind: RouteFormat, name: str, routes: Sequence[Route]) -> Mapping[str, bytes]:
    """Return the files of one format, by what their names end in: '.gpx', or '-points.csv' and '-routes.csv'.

    Args:
        kind: the format.
        name: of the season.
        routes: the routes, in the order in which they are written.
    """
    match kind:
        case RouteFormat.GPX:
            return {".gpx": gpx_bytes(name, routes)}
        case RouteFormat.GEOJSON:
            return {".geojson": geojson_bytes(name, routes)}
        case RouteFormat.KML:
            return {".kml": kml_bytes(name, routes)}
        case RouteFormat.CSV:
            return {"-points.csv": points_bytes(routes), "-routes.csv": routes_bytes(routes)}
