"""Finds the edges near places, and lays only those into the plane: of a large map hardly any are ever asked for."""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray

from planner.travel.coordinates import Flags, Floats, Ints
from planner.travel.near_lines import METRES_A_DEGREE, Lines, Plane

_RADII_M = (250.0, 2_000.0, 16_000.0, math.inf)
"""So far from a place its nearest edge is looked for, farther where there is none."""
_OFTEN = 60
"""After so many lookings the edges of the whole map are laid, which takes about as long as they took."""
FEW = 5_000
"""So many edges are laid at once: that takes no longer than to find out which of them are near."""
_SIDE = 512
"""Cells of the raster from south to north, and from west to east."""
_BULGE = 0.02
"""Of its length a piece straight in the plane may leave the box of its ends in degrees: at 70 degrees north a piece of
100 km does by 0.006, by the sagitta of a circle of latitude."""


class Boxes:
    """The box in degrees of every edge, as the cells of a raster that it touches."""

    def __init__(self, lines: Lines, plane: Plane) -> None:
        """Find the boxes of some lines, one or more, in a plane that is laid round them."""
        starts, longitudes = lines.starts[:-1], plane.turned(lines.longitudes)
        south, north = (edge.reduceat(lines.latitudes, starts) for edge in (np.minimum, np.maximum))
        west, east = (edge.reduceat(longitudes, starts) for edge in (np.minimum, np.maximum))
        margin = _BULGE * np.maximum(north - south, east - west)
        self._plane = plane
        self._low = np.array([(south - margin).min(), (west - margin).min()])
        self._step = np.array([(north + margin).max(), (east + margin).max()]) - self._low
        self._step = np.maximum(self._step, 1e-6) / _SIDE
        first, last = self._cells(south - margin, west - margin), self._cells(north + margin, east + margin) + 1
        # Corners in a table of sums with one row and one column more than the raster, as places in its flat form.
        self._corners = [
            (row * (_SIDE + 1) + column).astype(np.int32)
            for row in (first[0], last[0])
            for column in (first[1], last[1])
        ]

    def _cells(self, latitudes: Floats, turned: Floats) -> Ints:
        steps = (np.stack([latitudes, turned]) - self._low[:, None]) / self._step[:, None]
        return np.asarray(np.clip(np.floor(steps), 0, _SIDE - 1), dtype=np.int64)

    def near(self, places: Floats, metres: float) -> Flags:
        """Return for each edge whether its box may be so near to a place; it is where the edge is.

        Args:
            places: (n, 2) array of degrees.
            metres: on the ground, hence in a transverse Mercator plane too, which is never of a smaller scale.
        """
        north = metres / METRES_A_DEGREE
        east = north / np.cos(np.radians(np.minimum(np.abs(places[:, 0]) + north, 89.0)))
        latitudes, turned = places[:, 0], self._plane.turned(places[:, 1])
        first, last = self._cells(latitudes - north, turned - east), self._cells(latitudes + north, turned + east) + 1
        marks = np.zeros((_SIDE + 1, _SIDE + 1), dtype=np.int32)
        for row, column, sign in ((first, first, 1), (first, last, -1), (last, first, -1), (last, last, 1)):
            np.add.at(marks, (row[0], column[1]), sign)
        sums = np.zeros_like(marks)
        (marks.cumsum(0).cumsum(1)[:-1, :-1] > 0).cumsum(0, dtype=np.int32).cumsum(1, out=sums[1:, 1:])
        south_west, south_east, north_west, north_east = (sums.ravel()[corner] for corner in self._corners)
        return np.asarray(north_east - north_west - south_east + south_west > 0, dtype=np.bool_)


class EdgeSearch:
    """Finds which of some edges are near to places."""

    def __init__(self, lines: Lines, plane: Plane, boxes: Boxes, edges: Ints, few: int = FEW) -> None:
        """Take edges by number; nothing is laid yet.

        Args:
            lines: of all edges.
            plane: what is measured in.
            boxes: of all edges.
            edges: which are looked for.
            few: so many are laid whole, the first time that any is looked for.
        """
        self._lines = lines
        self._plane = plane
        self._boxes = boxes
        self._edges = edges
        self._often = 0 if len(edges) <= few else _OFTEN
        self._lookings = 0
        self._whole: _Tree | None = None

    def nearest(self, places: Floats, points: NDArray[np.object_]) -> Ints:
        """Return the nearest edge of each place, the lowest number where several are equally near; -1: none.

        Args:
            places: (n, 2) array of degrees.
            points: the same in the plane.
        """
        nearest = np.full(len(places), -1)
        left = np.arange(len(places))
        for metres in _RADII_M:
            if not len(left):
                break
            nearest[left] = self._tree(places[left], metres).nearest(points[left], metres)
            left = left[nearest[left] < 0]
        return nearest

    def within(self, places: Floats, points: NDArray[np.object_], metres: Floats) -> tuple[Ints, Ints]:
        """Return every pair of a place and an edge that is so near to it.

        Args:
            places: (n, 2) array of degrees.
            points: the same in the plane.
            metres: how near, shape (n,).
        """
        return self._tree(places, float(metres.max(initial=0.0))).within(points, metres)

    def _tree(self, places: Floats, metres: float) -> _Tree:
        """Return the edges so near to the places, and maybe more."""
        if self._whole is None and (self._lookings >= self._often or metres == math.inf):
            self._whole = self._laid(self._edges)
        self._lookings += 1
        return self._whole or self._laid(self._edges[self._boxes.near(places, metres)[self._edges]])

    def _laid(self, edges: Ints) -> _Tree:
        return _Tree(self._lines.some(edges).shapes(self._plane), edges)


class _Tree:
    """A search tree over edges that are laid in the plane."""

    def __init__(self, shapes: NDArray[np.object_], edges: Ints) -> None:
        self._edges = edges
        self._tree = shapely.STRtree(shapes)

    def nearest(self, points: NDArray[np.object_], metres: float) -> Ints:
        nearest = np.full(len(points), np.iinfo(np.int64).max)
        rows, found = self._tree.query_nearest(points, max_distance=metres if math.isfinite(metres) else None)
        np.minimum.at(nearest, rows, self._edges[found])
        nearest[nearest == np.iinfo(np.int64).max] = -1
        return nearest

    def within(self, points: NDArray[np.object_], metres: Floats) -> tuple[Ints, Ints]:
        rows, found = self._tree.query(points, predicate="dwithin", distance=metres)
        return np.asarray(rows, dtype=np.int64), self._edges[found]
