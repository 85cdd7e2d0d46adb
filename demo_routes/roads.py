"""The road network of an invented island: where roads meet, which places they join, what kind each one is."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

import networkx as nx
import numpy as np
from island import XY, Island, metres_between, on_land
from shapely import Point, Polygon

QUIET = frozenset({"unclassified", "track"})
"""Kinds of road on which a volunteer may stand and listen."""


@dataclass(frozen=True, slots=True)
class Road:
    """A stretch of road between two junctions; its line runs from ``start`` to ``end``."""

    start: int
    end: int
    kind: str = "unclassified"
    line: tuple[XY, ...] = ()
    settlement: str = ""
    oneway: bool = False
    tags: Mapping[str, str] = field(default_factory=dict)
    middle_tags: Mapping[str, str] = field(default_factory=dict)
    """Tags of the vertex half-way along the line: a ford, a gate."""


@dataclass(frozen=True, slots=True)
class Settlement:
    """A town (it gets a lattice of streets) or a village (it gets a few closes)."""

    name: str
    x_km: float
    y_km: float
    columns: int = 0
    rows: int = 0
    turn_deg: float = 0.0
    roundabout: bool = False

    @property
    def centre(self) -> XY:
        """Metres from the island's centre."""
        return 1000 * self.x_km, 1000 * self.y_km


@dataclass(frozen=True, slots=True)
class Country:
    """What a road network is drawn from."""

    island: Island
    settlements: tuple[Settlement, ...]
    primary: tuple[tuple[str, str], ...]
    secondary: tuple[tuple[str, str], ...]
    spacing_km: float
    inset_km: float
    moor_m: float
    """Ground above this height has tracks instead of lanes."""
    seed: str


Network = nx.Graph


def road_of(network: Network[int], a: int, b: int) -> Road:
    """Return the road that joins two neighbouring junctions."""
    found: Road = network.edges[a, b]["road"]
    return found


def spot_of(network: Network[int], junction: int) -> XY:
    """Return where a junction lies, in metres."""
    found: XY = network.nodes[junction]["spot"]
    return found


def lay(network: Network[int], road: Road) -> None:
    """Put a road into the network, or in the place of the one that was there."""
    network.add_edge(road.start, road.end, road=road)


def draw_country(country: Country) -> Network[int]:
    """Return the bare network: straight roads between junctions, each of its kind, no streets yet."""
    inner = country.island.coast().buffer(-1000 * country.inset_km)
    spots = _scatter(country, inner)
    network: Network[int] = nx.Graph()
    for junction, spot in enumerate(spots):
        network.add_node(junction, spot=spot)
    for a, b in _relative_neighbours(spots):
        if on_land(inner, spots[a], spots[b]):
            lay(network, Road(a, b))
    mainland = max(nx.connected_components(network), key=len)
    network.remove_nodes_from([junction for junction in network if junction not in mainland])
    _classify(network, country)
    return network


def _scatter(country: Country, inner: Polygon) -> list[XY]:
    """Return junctions no closer than the spacing: the settlements first, then darts thrown at the map."""
    darts = random.Random(f"{country.seed} junctions")
    spots = [settlement.centre for settlement in country.settlements]
    west, south, east, north = inner.bounds
    for _ in range(6000):
        dart = darts.uniform(west, east), darts.uniform(south, north)
        apart_m = 1000 * country.spacing_km * darts.uniform(0.8, 1.15)
        if all(metres_between(dart, spot) >= apart_m for spot in spots) and inner.contains(Point(dart)):
            spots.append(dart)
    return spots


def _relative_neighbours(spots: Sequence[XY]) -> list[tuple[int, int]]:
    """Return the pairs to which no third spot is nearer than they are to each other.

    The relative neighbourhood graph (Toussaint 1980): connected, never crossing itself, and of the sparse
    look of country lanes.
    """
    where = np.array(spots)
    apart = np.hypot(*(where[:, None, :] - where[None, :, :]).transpose(2, 0, 1))
    pairs = []
    for a in range(len(spots)):
        for b in range(a + 1, len(spots)):
            nearer = np.maximum(apart[a], apart[b]) < apart[a, b]
            if not nearer.any():
                pairs.append((a, b))
    return pairs


def _classify(network: Network[int], country: Country) -> None:
    """Make the shortest ways between named places main roads, and the highest ground tracks."""
    for a, b, data in network.edges(data=True):
        mean_m = _mean_height(network, country.island, a, b)
        data["effort"] = metres_between(spot_of(network, a), spot_of(network, b)) * (1 + mean_m / 150)
        if mean_m > country.moor_m:
            grade = "grade3" if mean_m > 1.5 * country.moor_m else "grade2"
            data["road"] = replace(data["road"], kind="track", tags={"tracktype": grade})
    numbers = {settlement.name: number for number, settlement in enumerate(country.settlements)}
    for kind, journeys in (("primary", country.primary), ("secondary", country.secondary)):
        for origin, destination in journeys:
            way = nx.shortest_path(network, numbers[origin], numbers[destination], weight="effort")
            for a, b in pairwise(way):
                road = road_of(network, a, b)
                if road.kind != "primary":
                    network.edges[a, b]["road"] = replace(road, kind=kind, tags={})


def _mean_height(network: Network[int], island: Island, a: int, b: int) -> float:
    (ax, ay), (bx, by) = spot_of(network, a), spot_of(network, b)
    shares = (0.1, 0.3, 0.5, 0.7, 0.9)
    return sum(island.height_m((ax + t * (bx - ax), ay + t * (by - ay))) for t in shares) / len(shares)
