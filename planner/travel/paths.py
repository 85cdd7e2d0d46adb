"""The line of the quickest way, for drawing."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from planner.travel.coordinates import Floats, LatLon, pairs
from planner.travel.geodesic import metres_between
from planner.travel.road_arrays import RoadArrays
from planner.travel.routing import Arcs, Positions, quickest_nodes, same_edge_seconds

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
    direct_seconds = float(same_edge_seconds(roads, origin, destination)[0, 0])
    source, target = (origin.nodes, origin.leave_seconds), (destination.nodes, destination.enter_seconds)
    network_seconds, nodes = quickest_nodes(arcs, source, target, limit_seconds)
    quickest_seconds = min(direct_seconds, network_seconds)
    # Beyond the limit the search is incomplete, and what it found need not be the quickest.
    if quickest_seconds > limit_seconds or quickest_seconds == float("inf"):
        return ()
    if direct_seconds <= network_seconds:
        lines = [cut(roads, int(origin.edges[0]), origin.fractions[0], destination.fractions[0])]
    else:
        lines = [
            _leaving(roads, origin, nodes[0]),
            *(_arc_line(roads, arcs, start, end) for start, end in pairwise(nodes)),
            _entering(roads, destination, nodes[-1]),
        ]
    return pairs(np.concatenate([line[0] for line in lines]), np.concatenate([line[1] for line in lines]))


def _leaving(roads: RoadArrays, origin: Positions, node: int) -> _Line:
    end = _end_of_edge(origin.nodes[0].tolist(), origin.leave_seconds[0], node)
    return cut(roads, int(origin.edges[0]), origin.fractions[0], end)


def _entering(roads: RoadArrays, destination: Positions, node: int) -> _Line:
    end = _end_of_edge(destination.nodes[0].tolist(), destination.enter_seconds[0], node)
    return cut(roads, int(destination.edges[0]), end, destination.fractions[0])


def _end_of_edge(nodes: list[int], seconds: Floats, node: int) -> float:
    """Return 0 for the tail, 1 for the head; on a loop road the end that takes less."""
    if nodes[0] == nodes[1]:
        return float(seconds[1] < seconds[0])
    return float(nodes.index(node))


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
