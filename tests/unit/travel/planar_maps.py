"""Random planar road maps, and networkx's answer to how long a drive on them takes."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import networkx as nx
import numpy as np
from geopy.distance import geodesic
from scipy.spatial import Delaunay

from planner.travel import RoadNetwork, shipped_speeds
from tests.unit.travel.road_maps import Way, write_osm

KINDS = ("primary", "tertiary", "residential")


@dataclass(frozen=True, slots=True)
class PlanarMap:
    """Junctions, and the straight roads between them that do not cross."""

    junctions: list[tuple[float, float]]
    roads: list[tuple[int, int, str, bool]]
    """From, to, highway class, one-way."""

    def network(self, folder: Path) -> RoadNetwork:
        """Write the map as a file and read it."""
        nodes = dict(enumerate(self.junctions, start=1))
        ways: list[Way] = [
            ([start + 1, end + 1], {"highway": kind, "oneway": "yes" if oneway else "no"})
            for start, end, kind, oneway in self.roads
        ]
        return RoadNetwork.read(write_osm(folder / "planar.osm", nodes, ways))

    def place(self, road: int, fraction: float) -> tuple[float, float]:
        """Return a place on a road; roads are short, so degrees grow evenly along them."""
        (lat_a, lon_a), (lat_b, lon_b) = (self.junctions[node] for node in self.roads[road][:2])
        return lat_a + (lat_b - lat_a) * fraction, lon_a + (lon_b - lon_a) * fraction

    def seconds(self, road: int) -> float:
        """Return what a road takes from end to end, by geopy and the table of speeds."""
        start, end, kind, _ = self.roads[road]
        kmh = shipped_speeds().classes[kind].typical_kmh
        return float(geodesic(self.junctions[start], self.junctions[end]).m) / (kmh / 3.6)

    def oracle(self, places: list[tuple[int, float]]) -> nx.DiGraph[str]:
        """Return a graph in which each place (road, fraction) is a node ``p0``, ``p1`` … of its own."""
        graph: nx.DiGraph[str] = nx.DiGraph()
        for road, (start, end, _, oneway) in enumerate(self.roads):
            stops = [(fraction, f"p{number}") for number, (on, fraction) in enumerate(places) if on == road]
            chain = [(0.0, f"j{start}"), *sorted(stops), (1.0, f"j{end}")]
            for (low, a), (high, b) in pairwise(chain):
                graph.add_edge(a, b, seconds=(high - low) * self.seconds(road))
                if not oneway:
                    graph.add_edge(b, a, seconds=(high - low) * self.seconds(road))
        return graph


def planar_map(seed: int, *, junctions: int, oneway_share: float, kinds: tuple[str, ...] = KINDS) -> PlanarMap:
    """Return a random map about 650 m wide: some edges of a Delaunay triangulation, which never cross."""
    dice = np.random.default_rng(seed)
    points = np.column_stack([50.0 + dice.random(junctions) * 0.006, 10.0 + dice.random(junctions) * 0.009])
    corners = Delaunay(points).simplices
    edges = sorted(
        {(int(min(a, b)), int(max(a, b))) for t in corners for a, b in ((t[0], t[1]), (t[1], t[2]), (t[2], t[0]))}
    )
    roads: list[tuple[int, int, str, bool]] = []
    for a, b in edges:
        if dice.random() < 0.7 or not roads:
            start, end = (a, b) if dice.random() < 0.5 else (b, a)
            roads.append((start, end, str(dice.choice(kinds)), bool(dice.random() < oneway_share)))
    return PlanarMap([(lat, lon) for lat, lon in points.round(7).tolist()], roads)


def all_minutes(graph: nx.DiGraph[str], count: int) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """Return networkx's minutes between all places of an oracle, ``inf`` where there is no way."""
    table = np.full((count, count), np.inf)
    for row in range(count):
        lengths = nx.single_source_dijkstra_path_length(graph, f"p{row}", weight="seconds")
        for column in range(count):
            table[row, column] = lengths.get(f"p{column}", np.inf) / 60.0
    return table
