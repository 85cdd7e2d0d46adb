"""The line of the quickest way, for drawing."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from planner.travel.coordinates import Floats, LatLon, pairs
from planner.travel.geodesic import metres_between
from planner.travel.road_arrays import RoadArrays
from planner.travel.routing.arcs import Arcs, quickest_way
from planner.travel.routing.positions import Positions, same_edge_seconds

_Line = tuple[Floats, Floats]


def quickest_line(
    roads: RoadArrays, arcs: Arcs, origin: Positions, destination: Positions, limit_seconds: float
) -> tuple[LatLon, ...]:
    """Return the quickest way from one position to another along the roads, empty where there is none.

    Args:
        roads: the network.
        arcs: its arcs, forward.
        origin: one position.
        destination: one position.
        limit_seconds: ways that take longer are not looked for.
    """
    *_, direct = same_edge_seconds(arcs.states, origin, destination)
    direct_seconds = float(direct.min(initial=np.inf))
    way = quickest_way(arcs, origin.leaving, destination.entering, limit_seconds)
    quickest_seconds = min(direct_seconds, way.seconds if way else float("inf"))
    # Beyond the limit the search is incomplete, and what it found need not be the quickest.
    if quickest_seconds > limit_seconds or quickest_seconds == float("inf"):
        return ()
    start, end = float(origin.fractions[0]), float(destination.fractions[0])
    if way is None or direct_seconds <= way.seconds:
        lines = [cut(roads, int(origin.edges[0]), start, end)]
    else:
        lines = [
            cut(roads, int(origin.edges[0]), start, way.left_by),
            *(_arc_line(roads, arcs, first, second) for first, second in pairwise(way.nodes)),
            cut(roads, int(destination.edges[0]), way.entered_by, end),
        ]
    return pairs(np.concatenate([line[0] for line in lines]), np.concatenate([line[1] for line in lines]))


def _arc_line(roads: RoadArrays, arcs: Arcs, start: int, end: int) -> _Line:
    edge, turned = divmod(arcs.via_between(start, end), 2)
    latitudes, longitudes = roads.geometry(edge)
    return (latitudes[::-1], longitudes[::-1]) if turned else (latitudes, longitudes)


def cut(roads: RoadArrays, edge: int, start: float, end: float) -> _Line:
    """Return the latitudes and longitudes of an edge between two fractions, from the first to the second."""
    latitudes, longitudes = roads.geometry(edge)
    table = np.column_stack([latitudes, longitudes])
    reached = np.concatenate([[0.0], np.cumsum(metres_between(table[:-1], table[1:]))])
    fractions = reached / reached[-1] if reached[-1] else np.linspace(0.0, 1.0, len(reached))
    low, high = min(start, end), max(start, end)
    inside = fractions[(fractions > low) & (fractions < high)]
    wanted = np.concatenate([[low], inside, [high]])
    if start > end:
        wanted = wanted[::-1]
    return np.interp(wanted, fractions, latitudes), np.interp(wanted, fractions, longitudes)
