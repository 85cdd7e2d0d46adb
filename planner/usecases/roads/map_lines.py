"""The lines of a road network as plain arrays, for whoever draws them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from planner.travel import RoadNetwork


class RoadRank(IntEnum):
    """How weighty a road is on a map; the weightiest sorts first."""

    MAJOR = 0
    """Motorway, trunk, primary."""
    MIDDLE = 1
    """Secondary."""
    LESSER = 2
    """Tertiary."""
    MINOR = 3
    """Unclassified: the lanes that most routes follow."""
    SMALL = 4
    """Residential and service roads, and any class not known here."""
    TRACK = 5


_RANKS = {
    "motorway": RoadRank.MAJOR,
    "trunk": RoadRank.MAJOR,
    "primary": RoadRank.MAJOR,
    "secondary": RoadRank.MIDDLE,
    "tertiary": RoadRank.LESSER,
    "unclassified": RoadRank.MINOR,
    "track": RoadRank.TRACK,
    "path": RoadRank.TRACK,
}


def road_rank(kind: str) -> RoadRank:
    """Return the rank of an OpenStreetMap highway class; link roads rank as their class."""
    return _RANKS.get(kind.removesuffix("_link"), RoadRank.SMALL)


@dataclass(frozen=True, slots=True, eq=False)
class MapLines:
    """Roads between junctions, one line each, as read-only arrays.

    Corners of line ``i`` are ``starts[i]`` to ``starts[i + 1] - 1``; every line has two or more.
    """

    latitudes: NDArray[np.float64]
    """Of every corner, decimal degrees."""
    longitudes: NDArray[np.float64]
    starts: NDArray[np.int64]
    """One more than there are lines."""
    ranks: NDArray[np.int64]
    """``RoadRank`` of each line."""
    kinds: tuple[str, ...]
    kind_numbers: NDArray[np.int64]
    """Index into ``kinds`` for each line: the highway class."""
    names: tuple[str, ...]
    name_numbers: NDArray[np.int64]
    """Index into ``names`` for each line; an empty name where it has none."""
    attribution: str
    """What to show beside the map."""

    @property
    def count(self) -> int:
        """Number of lines."""
        return len(self.ranks)


def map_lines(network: RoadNetwork) -> MapLines:
    """Return the roads of a network as lines to draw; the arrays are the network's own where they can be."""
    roads = network.roads
    ranks = np.array([road_rank(kind) for kind in roads.kinds], dtype=np.int64)
    return MapLines(
        latitudes=roads.geometry_latitudes,
        longitudes=roads.geometry_longitudes,
        starts=roads.geometry_starts,
        ranks=ranks[roads.kind_numbers],
        kinds=roads.kinds,
        kind_numbers=roads.kind_numbers,
        names=roads.names,
        name_numbers=roads.name_numbers,
        attribution=network.attribution,
    )
