"""Puts places onto the nearest point of the nearest road."""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass, fields, replace
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components

from planner.domain.geo import Place
from planner.travel.coordinates import Flags, Floats, Ints
from planner.travel.edge_search import Boxes, EdgeSearch
from planner.travel.geodesic import metres_between
from planner.travel.near_lines import Lines, Plane
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
_STEP_M = 2.0
"""So far before and behind a place the direction of its road is taken."""


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
    """Whether the road belongs to the main part: the largest in which every place can be driven to from every other, or
    the one that most homes are served by (``RoadNetwork.seen_from``)."""
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

    def take(self, rows: Ints, other: SnapTable, chosen: Flags) -> None:
        """Put some rows of another table in the place of these."""
        for entry in fields(self):
            getattr(self, entry.name)[rows] = getattr(other, entry.name)[chosen]


class Snapper:
    """Finds the nearest roads in a local conformal projection (transverse Mercator round the network's middle).

    Motorways are left out: nobody starts, stops or stands there.
    """

    def __init__(self, roads: RoadArrays, main_edges: Flags) -> None:
        """Take the roads; they are laid into the plane where they are asked for.

        Args:
            roads: the network.
            main_edges: for each edge, whether it is in the largest strongly connected part.
        """
        self._roads = roads
        self._lines = Lines.of_roads(roads)
        self._plane = Plane(np.column_stack([roads.node_latitudes, roads.node_longitudes]))
        self._boxes = Boxes(self._lines, self._plane)
        self.main_edges: Flags = main_edges
        self._stopping = _stopping_edges(roads)
        self._all = self._search(self._stopping)
        self._main = self._search(self._stopping & main_edges)
        self._others: dict[int, Snapper] = {}
        self._served_last: tuple[bytes, Snapper] = (b"", self)

    def serving(self, homes: Floats) -> Snapper:
        """Return the snapper whose main part is the one that most homes can drive to, and come back from.

        A home is served by a part if it would be put onto a road of it by the rule of ``Snap.used``. Where two parts
        serve as many, the larger is taken; without homes, this one. The same part gives the same snapper.

        Args:
            homes: an (n, 2) array of degrees.
        """
        asked = homes.tobytes()
        known, serving = self._served_last  # read once: other threads ask for other homes
        if asked != known:  # the same homes are asked for with every change to a season
            serving = self._serving(homes)
            self._served_last = asked, serving
        return serving

    def _serving(self, homes: Floats) -> Snapper:
        if not len(homes):
            return self
        nearest = self.nearest(homes)
        if self.main_edges[nearest.edges].all():
            return self
        parts = self._edge_parts
        best, most = self, self._served(homes, nearest)
        for part in np.unique(parts[nearest.edges]).tolist():
            other = self._others.setdefault(part, self._with_main(parts == part)) if part >= 0 else self
            served = other._served(homes, nearest)  # noqa: SLF001  another one of this class
            if served > most:
                best, most = other, served
        return best

    def _served(self, homes: Floats, nearest: SnapTable) -> tuple[int, int]:
        """Return how many homes the main part serves, and how many roads it has."""
        distances_m = self.nearest_on_main(homes).distances_m
        served = distances_m <= np.minimum(nearest.distances_m + MAIN_PART_DETOUR_M, SNAP_LIMIT_M)
        return int(served.sum()), int(self.main_edges.sum())

    @cached_property
    def _edge_parts(self) -> Ints:
        """Return the strongly connected part of each edge, by number; -1 for the main part, and for edges between."""
        roads = self._roads
        forward, backward = np.isfinite(roads.forward_seconds), np.isfinite(roads.backward_seconds)
        starts = np.concatenate([roads.tails[forward], roads.heads[backward]])
        ends = np.concatenate([roads.heads[forward], roads.tails[backward]])
        arcs = csr_array((np.ones(len(starts)), (starts, ends)), shape=(roads.node_count, roads.node_count))
        _, labels = connected_components(arcs, directed=True, connection="strong")
        within = (labels[roads.tails] == labels[roads.heads]) & ~self.main_edges
        return np.where(within, labels[roads.tails], -1).astype(np.int64)

    def _with_main(self, edges: Flags) -> Snapper:
        other = copy(self)
        other.main_edges = edges
        other._main = self._search(self._stopping & edges)  # noqa: SLF001
        return other

    def _search(self, edges: Flags) -> EdgeSearch:
        return EdgeSearch(self._lines, self._plane, self._boxes, np.flatnonzero(edges))

    def nearest(self, places: Floats) -> SnapTable:
        """Return the nearest road of all for each place, an (n, 2) array of degrees."""
        return self._snap(self._all, places)

    def nearest_on_main(self, places: Floats) -> SnapTable:
        """Return the nearest road of the main part for each place, an (n, 2) array of degrees."""
        return self._snap(self._main, places)

    def used(self, places: Floats) -> tuple[Ints, Floats]:
        """Return edge and fraction of the choice of ``Snap.used`` for each place; edge -1 where no road is near."""
        chosen = self.chosen(places)
        return chosen.edges, chosen.fractions

    def chosen(self, places: Floats) -> SnapTable:
        """Return the choice of ``Snap.used`` for each place, an (n, 2) array of degrees; edge -1 for no road near."""
        nearest = self.nearest(places)
        outside = np.flatnonzero(~self.main_edges[nearest.edges])
        if len(outside):
            main = self.nearest_on_main(places[outside])
            better = main.distances_m <= nearest.distances_m[outside] + MAIN_PART_DETOUR_M
            nearest.take(outside[better], main, better)
        return replace(nearest, edges=np.where(nearest.distances_m <= SNAP_LIMIT_M, nearest.edges, -1))

    def within(self, places: Floats, metres: Floats) -> tuple[Ints, Ints]:
        """Return every pair of a place and an edge so near to it: rows of the places, and edges.

        Args:
            places: an (n, 2) array of degrees.
            metres: how near, shape (n,).
        """
        return self._all.within(places, self._points(places), metres)

    def onto(self, edges: Ints, places: Floats) -> SnapTable:
        """Put each place onto an edge that is given for it, whichever is nearer."""
        return self._put(edges, self._points(places), places)

    def headings(self, table: SnapTable) -> Floats:
        """Return the direction of each edge from tail to head at its place, shape (n, 2): unit steps east and north."""
        lines = self._lines.some(table.edges).shapes(self._plane)
        metres = table.fractions * shapely.length(lines)
        behind, ahead = (
            shapely.line_interpolate_point(lines, np.maximum(metres + step, 0.0)) for step in (-_STEP_M, _STEP_M)
        )
        steps = shapely.get_coordinates(ahead) - shapely.get_coordinates(behind)
        lengths = np.hypot(steps[:, 0], steps[:, 1])
        return np.asarray(steps / np.where(lengths > 0.0, lengths, 1.0)[:, None], dtype=np.float64)

    def _snap(self, search: EdgeSearch, places: Floats) -> SnapTable:
        points = self._points(places)
        return self._put(search.nearest(places, points), points, places)

    def _points(self, places: Floats) -> NDArray[np.object_]:
        x, y = self._plane.metres(places[:, 0], places[:, 1])
        # A quarter of the earth away the projection ends; such a place is far from every road anyhow.
        axes = (np.nan_to_num(axis, posinf=_OFF_MAP_M, neginf=-_OFF_MAP_M) for axis in (x, y))
        return np.asarray(shapely.points(*axes))

    def _put(self, edges: Ints, points: NDArray[np.object_], places: Floats) -> SnapTable:
        lines = self._lines.some(edges).shapes(self._plane)
        along = np.nan_to_num(shapely.line_locate_point(lines, points, normalized=True))
        along[along < _AT_NODE], along[along > 1.0 - _AT_NODE] = 0.0, 1.0
        on_road = shapely.line_interpolate_point(lines, along, normalized=True)
        found = np.column_stack(self._plane.degrees(shapely.get_x(on_road), shapely.get_y(on_road)))
        distances_m = metres_between(places, found)
        distances_m[edges < 0] = np.inf
        return SnapTable(edges, along, found, distances_m)


def _stopping_edges(roads: RoadArrays) -> Flags:
    motorways = [number for number, kind in enumerate(roads.kinds) if kind in _NO_STOPPING]
    stopping = ~np.isin(roads.kind_numbers, motorways)
    return stopping if stopping.any() else np.ones(roads.edge_count, dtype=bool)
