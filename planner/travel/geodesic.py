"""Distances over the ellipsoid: one at a time, in tables, and along polylines."""

from __future__ import annotations

import numpy as np
from geopy.distance import geodesic
from pyproj import Geod

from planner.travel.coordinates import Floats, LatLon, Places, degrees

_WGS84 = Geod(ellps="WGS84")


def geodesic_metres(a: LatLon, b: LatLon) -> float:
    """Return the geodesic distance between two places in metres, WGS84 (Karney 2013, through geopy).

    Raises:
        RuleError: a coordinate is out of range. geopy itself would wrap it silently.
    """
    (start, end) = degrees([a, b]).tolist()
    return float(geodesic(start, end).m)


def geodesic_table_metres(origins: Places, destinations: Places) -> Floats:
    """Return all geodesic distances in metres, shape (origins, destinations), WGS84 (Karney 2013, through pyproj).

    Raises:
        RuleError: a coordinate is out of range.
    """
    start, end = degrees(origins), degrees(destinations)
    shape = (len(start), len(end))
    if 0 in shape:
        return np.zeros(shape)
    rows, columns = np.divmod(np.arange(shape[0] * shape[1]), shape[1])
    return metres_between(start[rows], end[columns]).reshape(shape)


def step_metres(line: Places) -> Floats:
    """Return the geodesic metres from each corner of a line to the next, shape (corners - 1,), WGS84 (through pyproj).

    Raises:
        RuleError: a coordinate is out of range.
    """
    corners = degrees(line)
    return metres_between(corners[:-1], corners[1:])


def metres_between(a: Floats, b: Floats) -> Floats:
    """Return the geodesic distances in metres between the rows of two (n, 2) arrays of degrees."""
    if len(a) == 0:
        return np.zeros(0)
    _, _, metres = _WGS84.inv(a[:, 1], a[:, 0], b[:, 1], b[:, 0])
    return np.asarray(metres, dtype=np.float64)


def ring(centre: LatLon, metres: float, steps: int) -> tuple[LatLon, ...]:
    """Return the places so many metres from a centre, in even steps from north by east, closed."""
    bearings = np.linspace(0.0, 360.0, steps + 1)
    same = np.full(steps + 1, 1.0)
    longitudes, latitudes, _ = _WGS84.fwd(same * centre[1], same * centre[0], bearings, same * metres)
    return tuple(zip(latitudes.tolist(), longitudes.tolist(), strict=True))
