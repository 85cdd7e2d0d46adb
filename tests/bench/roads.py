"""Reading a road network and the drive minutes between many places on it, beside networkx's Dijkstra."""

from __future__ import annotations

import argparse
import math
import resource
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from pathlib import Path
from typing import TypeVar

import networkx as nx
import numpy as np
import numpy.typing as npt
from pyproj import Geod

from planner.travel import RoadNetwork, shipped_speeds
from tests.unit.travel.road_maps import Node, Way, write_osm

_KINDS = ("primary", "secondary", "tertiary", "unclassified", "residential", "track")
_SHARES = (0.05, 0.1, 0.2, 0.4, 0.2, 0.05)
_ONEWAY_SHARE = 0.1
_EDGES_PER_JUNCTION = 3.6
"""Directed edges kept for each junction; a whole large grid with that share of one-way roads has 3.8."""
_SPACING_DEG = 0.005
_T = TypeVar("_T")


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
        nodes: dict[int, Node] = {
            number: (latitude, longitude) for number, (latitude, longitude) in enumerate(self.places.tolist(), start=1)
        }
        columns = (self.starts + 1, self.bends + 1, self.ends + 1, self.kinds, self.oneway)
        ways: list[Way] = [
            ([start, bend, end], {"highway": _KINDS[kind], "oneway": "yes" if oneway else "no"})
            for start, bend, end, kind, oneway in zip(*(column.tolist() for column in columns), strict=True)
        ]
        return write_osm(folder / "grid.osm", nodes, ways)

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


def run(arguments: list[str]) -> dict[str, object]:
    """Read a generated network and find the minutes between all pairs of terminals, then some rows by networkx.

    ``seconds`` is the table of minutes once the network is ready, ``first_seconds`` the same with what is made when
    first asked for; ``ratio`` says how many times as long networkx takes for as many rows.

    Args:
        arguments: ``--edges N``, directed edges; ``--terminals N``; ``--sources N``, terminals from which networkx
            searches too; ``--seed N``.
    """
    parser = argparse.ArgumentParser(prog="roads")
    parser.add_argument("--edges", type=int, default=200_000)
    parser.add_argument("--terminals", type=int, default=200)
    parser.add_argument("--sources", type=int, default=8)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args(arguments)
    grid = grid_map(options.edges, options.seed)
    with tempfile.TemporaryDirectory() as folder:
        path = grid.write(Path(folder))
        megabytes = path.stat().st_size / 1e6
        network, read_seconds = _timed(lambda: RoadNetwork.read(path))
    roads = _terminal_roads(grid, options.terminals, options.seed)
    places = grid.places[grid.bends[roads]]
    _, first_seconds = _timed(lambda: network.minutes(places, places))
    minutes, seconds = _timed(lambda: network.minutes(places, places))
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024

    graph, bends = grid.graph(roads), grid.bends[roads]
    sources = bends[: options.sources].tolist()
    lengths, reference_seconds = _timed(
        lambda: [nx.single_source_dijkstra_path_length(graph, source, weight="seconds") for source in sources]
    )
    expected = np.array([[one[end] / 60 for end in bends.tolist()] for one in lengths])
    both_ways = np.stack([network.roads.forward_seconds, network.roads.backward_seconds])
    return {
        "directed_edges": int(np.isfinite(both_ways).sum()),
        "junctions": network.roads.node_count,
        "file_mb": round(megabytes, 1),
        "read_seconds": round(read_seconds, 2),
        "terminals": len(places),
        "first_seconds": round(first_seconds, 3),
        "seconds": round(seconds, 3),
        "peak_mb": round(peak_mb),
        "reference_sources": len(sources),
        "reference_seconds": round(reference_seconds, 3),
        "ratio": round(reference_seconds / len(sources) * len(places) / seconds, 1),
        "largest_difference_minutes": float(np.abs(minutes[: len(sources)] - expected).max()),
    }


def _terminal_roads(grid: GridMap, count: int, seed: int) -> npt.NDArray[np.int64]:
    """Return random roads of the part in which everything can be reached from everything, each once."""
    none = np.zeros(0, dtype=np.int64)
    part = max(nx.strongly_connected_components(grid.graph(none)), key=len)
    inside = np.isin(np.stack([grid.starts, grid.ends]), list(part)).all(axis=0)
    chosen = np.random.default_rng([seed, 1]).choice(np.flatnonzero(inside), count, replace=False)
    return np.asarray(chosen, dtype=np.int64)


def _timed(work: Callable[[], _T]) -> tuple[_T, float]:
    start = time.perf_counter()
    done = work()
    return done, time.perf_counter() - start
