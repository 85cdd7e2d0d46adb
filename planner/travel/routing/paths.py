"""The quickest way edge by edge: its line for drawing, and what it takes on each class of road."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from planner.travel.coordinates import Floats, LatLon, pairs
from planner.travel.geodesic import metres_between
from planner.travel.road_arrays import RoadArrays
from planner.travel.routing.arcs import Arcs, quickest_way
from planner.travel.routing.positions import Positions, same_edge_seconds

_Line = tuple[Floats, Floats]


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of an edge that a way follows, between two fractions of it, in the direction of driving."""

    edge: int
    start: float
    """0 at the tail, 1 at the head."""
    end: float


def quickest_stretches(
    arcs: Arcs, origin: Positions, destination: Positions, limit_seconds: float
) -> tuple[Stretch, ...]:
    """Return the quickest way from one position to another, edge by edge, empty where there is none.

    Args:
        arcs: the arcs of the network, forward.
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
        return (Stretch(int(origin.edges[0]), start, end),)
    return (
        Stretch(int(origin.edges[0]), start, way.left_by),
        *(_whole(arcs.via_between(first, second)) for first, second in pairwise(way.nodes)),
        Stretch(int(destination.edges[0]), way.entered_by, end),
    )


def _whole(arc: int) -> Stretch:
    edge, turned = divmod(arc, 2)
    return Stretch(edge, 1.0, 0.0) if turned else Stretch(edge, 0.0, 1.0)


def line_of(roads: RoadArrays, way: tuple[Stretch, ...]) -> tuple[LatLon, ...]:
    """Return a way as (latitude, longitude) pairs; empty for an empty one."""
    if not way:
        return ()
    lines = [cut(roads, one.edge, one.start, one.end) for one in way]
    return pairs(np.concatenate([line[0] for line in lines]), np.concatenate([line[1] for line in lines]))


def kind_seconds(roads: RoadArrays, way: tuple[Stretch, ...]) -> Floats:
    """Return the seconds that a way takes on each highway class, in the order of ``roads.kinds``."""
    seconds = np.zeros(len(roads.kinds))
    for one in way:
        whole = roads.forward_seconds if one.end > one.start else roads.backward_seconds
        if one.end != one.start:
            seconds[roads.kind_numbers[one.edge]] += abs(one.end - one.start) * whole[one.edge]
    return seconds


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
