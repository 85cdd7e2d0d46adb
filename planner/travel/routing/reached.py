"""The roads that can be driven to within a time, for drawing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeAlias

import numpy as np

from planner.travel.coordinates import Floats, LatLon, pairs
from planner.travel.road_arrays import RoadArrays
from planner.travel.routing.arcs import Arcs, node_seconds
from planner.travel.routing.paths import cut
from planner.travel.routing.positions import Positions

_Span: TypeAlias = tuple[float, float]
"""Part of an edge, as fractions from its tail."""


def reached_lines(
    roads: RoadArrays, arcs: Arcs, origin: Positions, limit_seconds: float
) -> tuple[tuple[LatLon, ...], ...]:
    """Return the lines of all roads, and parts of roads, that are reached within a time; none from no road.

    Args:
        roads: the network.
        arcs: its arcs, forward.
        origin: one position.
        limit_seconds: the time.
    """
    if origin.edges[0] < 0:
        return ()
    begun = _begun_seconds(arcs, node_seconds(arcs, origin.leaving, limit_seconds))
    from_tail = _shares(limit_seconds - begun[::2], roads.forward_seconds)
    from_head = _shares(limit_seconds - begun[1::2], roads.backward_seconds)
    home = int(origin.edges[0])
    lines = [
        _line(roads, edge, span)
        for edge in np.flatnonzero((from_tail > 0) | (from_head > 0)).tolist()
        if edge != home
        for span in _merged([(0.0, float(from_tail[edge])), (1.0 - float(from_head[edge]), 1.0)])
    ]
    own = _own_span(roads, home, float(origin.fractions[0]), limit_seconds)
    spans = [own, (0.0, float(from_tail[home])), (1.0 - float(from_head[home]), 1.0)]
    return (*lines, *(_line(roads, home, span) for span in _merged(spans)))


def _begun_seconds(arcs: Arcs, reached: Floats) -> Floats:
    """Return when each directed arc can first be driven: from any state that one may turn into it from."""
    states = arcs.states
    begun = reached[states.arc_starts]
    np.minimum.at(begun, states.more_arcs, reached[states.more_starts])
    return begun


def _shares(left_seconds: Floats, edge_seconds: Floats) -> Floats:
    """Return which share of each edge can be driven in the seconds that are left at its end; 0 where it is closed."""
    open_ahead = np.isfinite(edge_seconds) & (left_seconds > 0)
    shares = np.zeros(len(edge_seconds))
    with np.errstate(divide="ignore"):
        shares[open_ahead] = np.minimum(left_seconds[open_ahead] / edge_seconds[open_ahead], 1.0)
    return shares


def _own_span(roads: RoadArrays, edge: int, fraction: float, limit_seconds: float) -> _Span:
    """Return how far one gets along the edge that one starts on, either way."""
    ahead, back = (
        limit_seconds / seconds if np.isfinite(seconds) and seconds > 0 else 0.0
        for seconds in (float(roads.forward_seconds[edge]), float(roads.backward_seconds[edge]))
    )
    return max(fraction - back, 0.0), min(fraction + ahead, 1.0)


def _merged(spans: list[_Span]) -> Iterator[_Span]:
    """Yield spans in order, those that touch joined, empty ones left out."""
    there = sorted(span for span in spans if span[1] > span[0])
    while there:
        low, high = there.pop(0)
        while there and there[0][0] <= high:
            high = max(high, there.pop(0)[1])
        yield low, high


def _line(roads: RoadArrays, edge: int, span: _Span) -> tuple[LatLon, ...]:
    return pairs(*(roads.geometry(edge) if span == (0.0, 1.0) else cut(roads, edge, *span)))
