"""Places as they are handed in, made into arrays of degrees."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from planner.domain.errors import RuleError
from planner.domain.geo import Place

Floats: TypeAlias = NDArray[np.float64]
Ints: TypeAlias = NDArray[np.int64]
Flags: TypeAlias = NDArray[np.bool_]

LatLon: TypeAlias = tuple[float, float]
"""(latitude, longitude) in decimal degrees, WGS84."""

Places: TypeAlias = Sequence[LatLon] | Sequence[Place] | Floats
"""Any number of places: (latitude, longitude) pairs, ``Place`` objects, or an array of shape (n, 2)."""


def degrees(places: Places) -> Floats:
    """Return places as an array of shape (n, 2): latitude, longitude in decimal degrees.

    Raises:
        RuleError: a latitude or longitude is not a number or out of range, or the pairs are no pairs.
    """
    if isinstance(places, np.ndarray):
        table = np.array(places, dtype=np.float64)
    else:
        table = np.array([_pair(place) for place in places], dtype=np.float64)
    if table.size == 0:
        return np.empty((0, 2))
    if table.ndim != 2 or table.shape[1] != 2:
        raise RuleError(f"places must be pairs of latitude and longitude, found an array of shape {table.shape}")
    bad = ~((np.abs(table[:, 0]) <= 90.0) & (np.abs(table[:, 1]) <= 180.0))
    if bad.any():
        row = int(np.flatnonzero(bad)[0])
        raise RuleError(
            f"place {row + 1} must have a latitude in -90..90 and a longitude in -180..180 degrees, "
            f"found {table[row, 0]}, {table[row, 1]}"
        )
    return table


def _pair(place: LatLon | Place) -> LatLon:
    if isinstance(place, Place):
        return place.latitude, place.longitude
    latitude, longitude = place
    return float(latitude), float(longitude)


def pairs(latitudes: Floats, longitudes: Floats) -> tuple[LatLon, ...]:
    """Return a polyline as (latitude, longitude) pairs, points that repeat their forerunner left out."""
    line: list[LatLon] = []
    for point in zip(latitudes.tolist(), longitudes.tolist(), strict=True):
        if not line or point != line[-1]:
            line.append(point)
    return tuple(line)


def as_places(table: Floats) -> Iterable[Place]:
    """Yield each row of an (n, 2) array of degrees as a ``Place``."""
    for latitude, longitude in table.tolist():
        yield Place(latitude, longitude)
