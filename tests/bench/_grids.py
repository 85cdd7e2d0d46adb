"""Generated road maps: a grid with its junctions out of line, bends, one-way roads and gaps."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from pathlib import Path

import networkx as nx
import numpy as np
import numpy.typing as npt
import osmium
from pyproj import Geod
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components

from planner.travel import shipped_speeds

_KINDS = ("primary", "secondary", "tertiary", "unclassified", "residential", "track")
_SHARES = (0.05, 0.1, 0.2, 0.4, 0.2, 0.05)
_ONEWAY_SHARE = 0.1
_EDGES_PER_JUNCTION = 3.6
"""Directed edges kept for each junction; a whole large grid with that share of one-way roads has 3.8."""
_SPACING_DEG = 0.005


@dataclass(frozen=True)
class GridMap:
    """A grid of roads with its junctions out of line and a bend in every road; a few roads are missing.

    Points are numbered from 0, junctions first, then the bend of each road.
    """

    places: npt.NDArray[np.float64]
    """Latitude and longitude of every point, degrees to seven places, shape (points, 2)."""
    starts: npt.NDArray[np.int64]
    """Junction at which each road starts, shape (roads,)."""
    ends: npt.NDArray[np.int64]
    kinds: npt.NDArray[np.int64]
    """Place of the highway class in the list of kinds, shape (roads,)."""
    oneway: npt.NDArray[np.bool_]
    """Whether the road may be driven from start to end only, shape (roads,)."""

    @property
    def junctions(self) -> int:
        """How many there are."""
        return len(self.places) - len(self.starts)

    @property
    def bends(self) -> npt.NDArray[np.int64]:
        """Number of the bend of each road, shape (roads,)."""
        return self.junctions + np.arange(len(self.starts))

    def write(self, folder: Path) -> Path:
        """Write the map as an extract and return where."""
        path = folder / "grid.osm.pbf"
        columns = (self.starts + 1, self.bends + 1, self.ends + 1, self.kinds, self.oneway)
        with osmium.SimpleWriter(str(path), overwrite=True) as writer:
            for number, (latitude, longitude) in enumerate(self.places.tolist(), start=1):
                writer.add_node(osmium.osm.mutable.Node(id=number, version=1, location=(longitude, latitude)))
            rows = zip(*(column.tolist() for column in columns), strict=True)
            for number, (start, bend, end, kind, oneway) in enumerate(rows, start=1):
                tags = {"highway": _KINDS[kind], "oneway": "yes" if oneway else "no"}
                writer.add_way(osmium.osm.mutable.Way(id=number, version=1, nodes=[start, bend, end], tags=tags))
        return path

    @cached_property
    def halves_s(self) -> npt.NDArray[np.float64]:
        """Seconds from start to bend and from bend to end, by PROJ's geodesics and the table of speeds."""
        kmh = np.array([shipped_speeds().classes[kind].typical_kmh for kind in _KINDS])[self.kinds]
        line = [self.places[points] for points in (self.starts, self.bends, self.ends)]
        geod = Geod(ellps="WGS84")
        metres = [geod.inv(a[:, 1], a[:, 0], b[:, 1], b[:, 0])[2] for a, b in pairwise(line)]
        return np.asarray(np.stack(metres) * 3.6 / kmh, dtype=np.float64)

    def graph(self, split: npt.NDArray[np.int64]) -> nx.DiGraph[int]:
        """Return the roads for networkx, of which those given are split at their bends."""
        graph: nx.DiGraph[int] = nx.DiGraph()
        first, second = self.halves_s
        whole = np.setdiff1d(np.arange(len(self.starts)), split)
        for roads, start, end, seconds in (
            (whole, self.starts, self.ends, first + second),
            (split, self.starts, self.bends, first),
            (split, self.bends, self.ends, second),
        ):
            columns = [column[roads].tolist() for column in (start, end, seconds, self.oneway)]
            for a, b, took, oneway in zip(*columns, strict=True):
                graph.add_edge(a, b, seconds=took)
                if not oneway:
                    graph.add_edge(b, a, seconds=took)
        return graph


def grid_map(directed_edges: int, seed: int) -> GridMap:
    """Return a random map with so many directed edges, 100 or more."""
    dice = np.random.default_rng(seed)
    # One more, for the sides of the grid have fewer roads.
    side = math.ceil((directed_edges / _EDGES_PER_JUNCTION) ** 0.5) + 1
    numbers = np.arange(side * side).reshape(side, side)
    starts = np.concatenate([numbers[:, :-1].ravel(), numbers[:-1].ravel()])
    ends = np.concatenate([numbers[:, 1:].ravel(), numbers[1:].ravel()])
    order = dice.permutation(len(starts))
    oneway = dice.random(len(order)) < _ONEWAY_SHARE
    edges = np.cumsum(np.where(oneway, 1, 2))
    roads = int(np.searchsorted(edges, directed_edges)) + 1
    # One too many: the last road is one-way instead.
    oneway[roads - 1] |= edges[roads - 1] > directed_edges
    kept = order[:roads]
    grid = np.stack(np.divmod(np.arange(side * side), side), axis=1) + dice.uniform(-0.2, 0.2, (side * side, 2))
    bends = (grid[starts[kept]] + grid[ends[kept]]) / 2 + dice.uniform(-0.1, 0.1, (roads, 2))
    places = np.array([50.0, -4.0]) + _SPACING_DEG * np.concatenate([grid, bends])
    kinds = dice.choice(len(_KINDS), roads, p=_SHARES)
    return GridMap(places.round(7), starts[kept], ends[kept], kinds, oneway[:roads])


def inner_roads(grid: GridMap) -> npt.NDArray[np.int64]:
    """Return the roads of the part in which everything can be reached from everything."""
    starts, ends = (
        np.concatenate([a, b[~grid.oneway]]) for a, b in ((grid.starts, grid.ends), (grid.ends, grid.starts))
    )
    roads = csr_array((np.ones(len(starts), dtype=np.int8), (starts, ends)), shape=(grid.junctions, grid.junctions))
    _, labels = connected_components(roads, connection="strong")
    inside = labels == np.bincount(labels).argmax()
    return np.flatnonzero(inside[grid.starts] & inside[grid.ends])
