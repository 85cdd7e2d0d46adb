"""Puts places onto the nearest point of the nearest road."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import Transformer

from planner.domain.geo import Place
from planner.travel.coordinates import Flags, Floats, Ints
from planner.travel.geodesic import metres_between
from planner.travel.road_arrays import RoadArrays

FAR_SNAP_M = 200.0
"""A home or meeting place farther from its road than this is worth a word; common practice, no published source."""
FAR_STAND_M = 100.0
"""The same for a point where volunteers stand; common practice, no published source."""
SNAP_LIMIT_M = 2_000.0
"""A place farther than this from every road is on none of them: the extract ends before it, or it is misplaced.
Assumption, no published source."""
MAIN_PART_DETOUR_M = 500.0
"""How much farther off a road of the main part may be to be preferred to the nearest road outside it.
Assumption, no published source."""

_NO_STOPPING = ("motorway", "motorway_link")
_AT_NODE = 1e-9
_OFF_MAP_M = 1e8


@dataclass(frozen=True, slots=True)
class Snap:
    """A place put onto a road."""

    asked: Place
    """The place as it was given."""
    place: Place
    """The nearest point on the road."""
    distance_m: float
    """Geodesic metres between the two."""
    edge: int
    """Edge of the network."""
    fraction: float
    """How far along the edge: 0 at its tail, 1 at its head."""
    on_main: bool
    """Whether the road belongs to the largest part in which every place can be driven to from every other."""
    alternative: Snap | None = None
    """The nearest place on a road of the main part, where this one is outside it."""

    @property
    def used(self) -> Snap | None:
        """The choice that drive minutes start from: this, the alternative, or None where no road is near.

        The alternative is taken up to ``MAIN_PART_DETOUR_M`` farther off than the nearest road.
        """
        choice = self
        if self.alternative and self.alternative.distance_m <= self.distance_m + MAIN_PART_DETOUR_M:
            choice = self.alternative
        return choice if choice.distance_m <= SNAP_LIMIT_M else None


@dataclass(frozen=True, slots=True, eq=False)
class SnapTable:
    """Many snaps as arrays; edge -1 where there is no road at all."""

    edges: Ints
    fractions: Floats
    places: Floats
    """Shape (n, 2): latitude and longitude on the road."""
    distances_m: Floats


class Snapper:
    """Finds the nearest roads in a local conformal projection (transverse Mercator round the network's middle).

    Motorways are left out: nobody starts, stops or stands there.
    """

    def __init__(self, roads: RoadArrays, main_nodes: Flags) -> None:
        """Project the roads and lay the search trees.

        Args:
            roads: the network.
            main_nodes: for each node, whether it is in the largest strongly connected part.
        """
        latitude, longitude = _middle(roads)
        self._projection = Transformer.from_crs(
            "EPSG:4326", f"+proj=tmerc +lat_0={latitude} +lon_0={longitude} +ellps=WGS84 +units=m", always_xy=True
        )
        self._lines = self._project_lines(roads)
        self.main_edges: Flags = main_nodes[roads.tails] & main_nodes[roads.heads]
        stopping = _stopping_edges(roads)
        self._all = _Tree(self._lines, np.flatnonzero(stopping))
        self._main = _Tree(self._lines, np.flatnonzero(stopping & self.main_edges))

    def nearest(self, places: Floats) -> SnapTable:
        """Return the nearest road of all for each place, an (n, 2) array of degrees."""
        return self._snap(self._all, places)

    def nearest_on_main(self, places: Floats) -> SnapTable:
        """Return the nearest road of the main part for each place, an (n, 2) array of degrees."""
        return self._snap(self._main, places)

    def used(self, places: Floats) -> tuple[Ints, Floats]:
        """Return edge and fraction of the choice of ``Snap.used`` for each place; edge -1 where no road is near."""
        nearest = self.nearest(places)
        edges, fractions, distances_m = nearest.edges, nearest.fractions, nearest.distances_m
        outside = np.flatnonzero(~self.main_edges[edges])
        if len(outside):
            main = self.nearest_on_main(places[outside])
            better = main.distances_m <= distances_m[outside] + MAIN_PART_DETOUR_M
            rows = outside[better]
            edges[rows], fractions[rows] = main.edges[better], main.fractions[better]
            distances_m[rows] = main.distances_m[better]
        return np.where(distances_m <= SNAP_LIMIT_M, edges, -1), fractions

    def _project_lines(self, roads: RoadArrays) -> NDArray[np.object_]:
        x, y = self._projection.transform(roads.geometry_longitudes, roads.geometry_latitudes)
        owners = np.repeat(np.arange(roads.edge_count), np.diff(roads.geometry_starts))
        return np.asarray(shapely.linestrings(np.column_stack([x, y]), indices=owners))

    def _snap(self, tree: _Tree, places: Floats) -> SnapTable:
        x, y = self._projection.transform(places[:, 1], places[:, 0])
        # A quarter of the earth away the projection ends; such a place is far from every road anyhow.
        points = shapely.points(*(np.nan_to_num(axis, posinf=_OFF_MAP_M, neginf=-_OFF_MAP_M) for axis in (x, y)))
        edges = tree.nearest(points)
        lines = self._lines[edges]
        along = np.nan_to_num(shapely.line_locate_point(lines, points, normalized=True))
        along[along < _AT_NODE], along[along > 1.0 - _AT_NODE] = 0.0, 1.0
        on_road = shapely.line_interpolate_point(lines, along, normalized=True)
        longitudes, latitudes = self._projection.transform(
            shapely.get_x(on_road), shapely.get_y(on_road), direction="INVERSE"
        )
        found = np.column_stack([latitudes, longitudes])
        distances_m = metres_between(places, found)
        distances_m[edges < 0] = np.inf
        return SnapTable(edges, along, found, distances_m)


class _Tree:
    """A search tree over some of the edges."""

    def __init__(self, lines: NDArray[np.object_], edges: Ints) -> None:
        self._edges = edges
        self._tree = shapely.STRtree(lines[edges])

    def nearest(self, points: NDArray[np.object_]) -> Ints:
        """Return the nearest edge of each point, the lowest number where several are equally near; -1: none."""
        nearest = np.full(len(points), np.iinfo(np.int64).max)
        rows, found = self._tree.query_nearest(points)
        np.minimum.at(nearest, rows, self._edges[found])
        nearest[nearest == np.iinfo(np.int64).max] = -1
        return nearest


def _stopping_edges(roads: RoadArrays) -> Flags:
    motorways = [number for number, kind in enumerate(roads.kinds) if kind in _NO_STOPPING]
    stopping = ~np.isin(roads.kind_numbers, motorways)
    return stopping if stopping.any() else np.ones(roads.edge_count, dtype=bool)


def _middle(roads: RoadArrays) -> tuple[float, float]:
    """Return the middle of the network; longitudes are averaged on the circle, for roads across 180 degrees."""
    turns = np.radians(roads.node_longitudes)
    longitude = np.degrees(np.arctan2(np.sin(turns).mean(), np.cos(turns).mean()))
    return float(roads.node_latitudes.mean()), float(longitude)
