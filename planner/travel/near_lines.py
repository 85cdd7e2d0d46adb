"""Lines of a map near some places: which one is nearest to a place, where on it, and how far off."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import Transformer

from planner.travel.coordinates import Flags, Floats, Ints
from planner.travel.road_arrays import RoadArrays

METRES_A_DEGREE = 110_500.0
"""Of latitude: a little less than the least on the ellipsoid, so that no box is too small."""


@dataclass(frozen=True, slots=True, eq=False)
class Lines:
    """Lines as arrays: corners of line ``i`` are ``starts[i]`` to ``starts[i + 1] - 1``, two or more."""

    latitudes: Floats
    longitudes: Floats
    starts: Ints

    @classmethod
    def of_roads(cls, roads: RoadArrays) -> Lines:
        """Return the roads of a network, one line for each edge."""
        return cls(roads.geometry_latitudes, roads.geometry_longitudes, roads.geometry_starts)

    @classmethod
    def of_closed_roads(cls, roads: RoadArrays) -> Lines:
        """Return the roads that are closed to a volunteer's car, as far as the network tells."""
        return cls(roads.closed_latitudes, roads.closed_longitudes, roads.closed_starts)

    @property
    def count(self) -> int:
        """Number of lines."""
        return len(self.starts) - 1

    def some(self, numbers: Ints) -> Lines:
        """Return those lines alone, in that order."""
        starts, lengths = self.starts[:-1][numbers], np.diff(self.starts)[numbers]
        first = np.concatenate([[0], np.cumsum(lengths)])
        corners = np.arange(first[-1]) - np.repeat(first[:-1], lengths) + np.repeat(starts, lengths)
        return Lines(self.latitudes[corners], self.longitudes[corners], first)

    def shapes(self, plane: Plane) -> NDArray[np.object_]:
        """Return the lines laid in a plane, as shapely's."""
        if not self.count:
            return np.zeros(0, dtype=np.object_)
        corners = np.column_stack(plane.metres(self.latitudes, self.longitudes))
        owners = np.repeat(np.arange(self.count), np.diff(self.starts))
        return np.asarray(shapely.linestrings(corners, indices=owners), dtype=np.object_)


@dataclass(frozen=True, slots=True, eq=False)
class Nearest:
    """The nearest line of each place."""

    lines: Ints
    """Numbers of lines; -1 where none is near."""
    metres: Floats
    """From the place to the line; ``inf`` where none is near."""
    x_m: Floats
    """Of the nearest spot on the line, in the plane of :class:`Plane`; the place's own where none is near."""
    y_m: Floats


@dataclass(frozen=True, slots=True, eq=False)
class NearSpots:
    """Pairs of a place and a line near it."""

    rows: Ints
    """Numbers of places, rising."""
    lines: Ints
    """Numbers of lines."""
    metres: Floats
    x_m: Floats
    """Of the spot on the line that is nearest to the place, in the plane."""
    y_m: Floats


class Plane:
    """A conformal plane (transverse Mercator) round the middle of some places, true to 1 in 10,000 within 90 km."""

    def __init__(self, places: Floats) -> None:
        """Lay the plane round an (n, 2) array of degrees, one row or more."""
        turns = np.radians(places[:, 1])
        self.longitude = float(np.degrees(np.arctan2(np.sin(turns).mean(), np.cos(turns).mean())))
        self.latitude = float(places[:, 0].mean())
        # Steps, not two reference systems: the way between those would be looked up again on each thread, for 13 ms.
        self._projection = Transformer.from_pipeline(
            "+proj=pipeline +step +proj=unitconvert +xy_in=deg +xy_out=rad"
            f" +step +proj=tmerc +lat_0={self.latitude} +lon_0={self.longitude} +ellps=WGS84"
        )

    def metres(self, latitudes: Floats, longitudes: Floats) -> tuple[Floats, Floats]:
        """Return metres to the east and to the north of the middle."""
        x, y = self._projection.transform(longitudes, latitudes)
        return np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)

    def degrees(self, x_m: Floats, y_m: Floats) -> tuple[Floats, Floats]:
        """Return latitudes and longitudes of spots in the plane."""
        longitudes, latitudes = self._projection.transform(x_m, y_m, direction="INVERSE")
        return np.asarray(latitudes, dtype=np.float64), np.asarray(longitudes, dtype=np.float64)

    def turned(self, longitudes: Floats) -> Floats:
        """Return degrees east of the middle, -180 to 180: lines across the date line stay in one piece."""
        return np.asarray((longitudes - self.longitude + 180.0) % 360.0 - 180.0, dtype=np.float64)


class NearLines:
    """Some lines of a map within reach of some places, asked for the nearest of them."""

    def __init__(self, lines: Lines, plane: Plane, places: Floats, within_m: float, among: Flags | None = None) -> None:
        """Take out the lines within reach; nothing is done for all others.

        Args:
            lines: of the whole map.
            plane: what is measured in; round the places.
            places: (n, 2) array of degrees.
            within_m: a line farther than this from a place is none of its own.
            among: for each line, whether it counts; all do by default.
        """
        self._within_m = within_m
        self._numbers = np.arange(lines.count) if among is None else np.flatnonzero(among)
        counting = lines if among is None else lines.some(self._numbers)
        near = np.flatnonzero(_near_box(counting, plane, places, within_m))
        self._numbers, kept = self._numbers[near], counting.some(near)
        self._shapes = kept.shapes(plane)
        self._tree = shapely.STRtree(self._shapes)

    def nearest(self, x_m: Floats, y_m: Floats) -> Nearest:
        """Return the nearest line of each spot of the plane, the lowest number where several are equally near."""
        result = Nearest(np.full(len(x_m), -1), np.full(len(x_m), np.inf), x_m.copy(), y_m.copy())
        if not len(self._numbers) or not len(x_m):
            return result
        spots = np.asarray(shapely.points(x_m, y_m), dtype=np.object_)
        rows, found = self._tree.query_nearest(spots, max_distance=self._within_m)
        order = np.lexsort((found, rows))
        rows, first = np.unique(rows[order], return_index=True)
        shapes = self._shapes[found[order][first]]
        on_line = shapely.line_interpolate_point(shapes, shapely.line_locate_point(shapes, spots[rows]))
        result.lines[rows] = self._numbers[found[order][first]]
        result.metres[rows] = shapely.distance(spots[rows], on_line)
        result.x_m[rows], result.y_m[rows] = shapely.get_x(on_line), shapely.get_y(on_line)
        return result

    def all_near(self, x_m: Floats, y_m: Floats, within_m: float) -> NearSpots:
        """Return for each spot of the plane every line within so many metres, those of one spot together."""
        spots = np.asarray(shapely.points(x_m, y_m), dtype=np.object_)
        if not len(self._numbers) or not len(spots):
            nothing = np.zeros(0)
            return NearSpots(np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64), nothing, nothing, nothing)
        rows, found = self._tree.query(spots, predicate="dwithin", distance=within_m)
        order = np.lexsort((found, rows))
        rows, found = rows[order], found[order]
        shapes = self._shapes[found]
        on_line = shapely.line_interpolate_point(shapes, shapely.line_locate_point(shapes, spots[rows]))
        metres = shapely.distance(spots[rows], on_line)
        return NearSpots(rows, self._numbers[found], metres, shapely.get_x(on_line), shapely.get_y(on_line))


def _near_box(lines: Lines, plane: Plane, places: Floats, within_m: float) -> Flags:
    """Return for each line whether its box touches that of the places, widened by so much."""
    if not lines.count:
        return np.zeros(0, dtype=bool)
    starts = lines.starts[:-1]
    north = within_m / METRES_A_DEGREE
    widest = min(89.0, float(np.abs(places[:, 0]).max()) + north)
    east = north / np.cos(np.radians(widest))
    longitudes = plane.turned(lines.longitudes)
    own = plane.turned(places[:, 1])
    return np.asarray(
        (np.maximum.reduceat(lines.latitudes, starts) >= places[:, 0].min() - north)
        & (np.minimum.reduceat(lines.latitudes, starts) <= places[:, 0].max() + north)
        & (np.maximum.reduceat(longitudes, starts) >= own.min() - east)
        & (np.minimum.reduceat(longitudes, starts) <= own.max() + east),
        dtype=bool,
    )
