"""The road network as compact arrays: junctions, and the edges between them with their geometry."""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from enum import IntFlag
from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.travel.coordinates import Flags, Floats, Ints
from planner.travel.geodesic import metres_between
from planner.travel.osm_reading import RoadPieces


class RoadFlag(IntFlag):
    """What else is to be known of an edge; bits of ``RoadArrays.flags``."""

    BRIDGE = 1
    TUNNEL = 2
    MOTORROAD = 4
    """A motorway, or a road where the same rules hold."""
    NO_STOPPING = 8
    """Stopping or parking is tagged as forbidden."""
    SEASONAL = 16
    """Its opening hangs on the season, the hour or another condition that is not looked at."""


def _nothing() -> Ints:
    return np.zeros(0, dtype=np.int64)


def _no_rows() -> Ints:
    return np.zeros(1, dtype=np.int64)


def _no_figures() -> Floats:
    return np.zeros(0)


def _no_flags() -> NDArray[np.uint8]:
    return np.zeros(0, dtype=np.uint8)


@dataclass(frozen=True, slots=True, eq=False)
class RoadArrays:
    """Junctions and edges of a road network; all arrays read-only.

    A *node* is where roads meet or end. An *edge* is the road between two nodes, one row for both directions;
    an *arc* is one direction of it: 2 * e from tail to head of edge e, 2 * e + 1 from head to tail. Geometry points
    of edge e are ``geometry_starts[e]`` to ``geometry_starts[e + 1] - 1``, both end nodes included, in the direction
    tail to head. What is left out is not known: no flags, limits, bans or closed roads.
    """

    node_latitudes: Floats
    node_longitudes: Floats
    tails: Ints
    heads: Ints
    metres: Floats
    forward_seconds: Floats
    """Tail to head; ``inf`` where closed."""
    backward_seconds: Floats
    """Head to tail; ``inf`` where closed."""
    geometry_starts: Ints
    geometry_latitudes: Floats
    geometry_longitudes: Floats
    kind_numbers: Ints
    """Index into ``kinds`` for each edge."""
    name_numbers: Ints
    """Index into ``names`` for each edge."""
    kinds: tuple[str, ...]
    names: tuple[str, ...]
    flags: NDArray[np.uint8] = field(default_factory=_no_flags)
    """``RoadFlag`` bits of each edge."""
    forward_limit_kmh: Floats = field(default_factory=_no_figures)
    """Posted limit of each edge from tail to head; ``inf``: none by sign, ``nan``: nothing is said."""
    backward_limit_kmh: Floats = field(default_factory=_no_figures)
    cap_kmh: Floats = field(default_factory=_no_figures)
    """The most that surface, track grade and smoothness of each edge allow; ``inf`` where they say nothing."""
    banned_starts: Ints = field(default_factory=_no_rows)
    """Forbidden manoeuvre k is the arcs ``banned_starts[k]`` to ``banned_starts[k + 1] - 1`` of ``banned_arcs``."""
    banned_arcs: Ints = field(default_factory=_nothing)
    """Arcs, each ending where the next begins, that may not be driven one after the other."""
    closed_starts: Ints = field(default_factory=_no_rows)
    """Points of closed road k: ``closed_starts[k]`` to ``closed_starts[k + 1] - 1``. For warnings; never driven."""
    closed_latitudes: Floats = field(default_factory=_no_figures)
    closed_longitudes: Floats = field(default_factory=_no_figures)
    closed_kind_numbers: Ints = field(default_factory=_nothing)
    """Index into ``kinds`` for each closed road."""
    notes: tuple[str, ...] = ()
    """What was read and what was not understood, in words."""

    def __post_init__(self) -> None:
        unknown: tuple[tuple[str, NDArray[Any]], ...] = (
            ("flags", np.zeros(self.edge_count, dtype=np.uint8)),
            ("forward_limit_kmh", np.full(self.edge_count, np.nan)),
            ("backward_limit_kmh", np.full(self.edge_count, np.nan)),
            ("cap_kmh", np.full(self.edge_count, np.inf)),
        )
        for name, value in unknown:
            if not len(getattr(self, name)):
                object.__setattr__(self, name, value)
        for entry in fields(self):
            value = getattr(self, entry.name)
            if isinstance(value, np.ndarray):
                value.setflags(write=False)

    @property
    def node_count(self) -> int:
        """Number of junctions and road ends."""
        return len(self.node_latitudes)

    @property
    def edge_count(self) -> int:
        """Number of roads between them."""
        return len(self.tails)

    def geometry(self, edge: int) -> tuple[Floats, Floats]:
        """Return latitudes and longitudes of an edge, tail to head."""
        span = slice(int(self.geometry_starts[edge]), int(self.geometry_starts[edge + 1]))
        return self.geometry_latitudes[span], self.geometry_longitudes[span]


def compact(pieces: RoadPieces) -> RoadArrays:
    """Return pieces of road as edges between junctions.

    A node is kept where two pieces meet, a piece meets itself, or a piece ends; all others become geometry.
    """
    refs = np.frombuffer(pieces.refs, dtype=np.int64)
    starts = np.frombuffer(pieces.starts, dtype=np.int64)
    latitudes, longitudes = np.frombuffer(pieces.latitudes), np.frombuffer(pieces.longitudes)
    _, first, point_nodes = np.unique(refs, return_index=True, return_inverse=True)

    kept = _kept_nodes(point_nodes, starts)
    numbers = np.cumsum(kept) - 1
    begins, ends, piece_of = _edge_spans(np.flatnonzero(kept[point_nodes]), starts)

    points, geometry_starts = _span_points(begins, ends)
    geometry = np.column_stack([latitudes[points], longitudes[points]])
    metres = _polyline_metres(geometry, geometry_starts)
    kinds, kind_numbers = np.unique(np.array(pieces.kinds), return_inverse=True)
    names, name_numbers = _numbered(pieces.names)
    return RoadArrays(
        node_latitudes=latitudes[first[kept]],
        node_longitudes=longitudes[first[kept]],
        tails=numbers[point_nodes[begins]],
        heads=numbers[point_nodes[ends]],
        metres=metres,
        forward_seconds=_seconds(metres, np.frombuffer(pieces.forward_kmh)[piece_of]),
        backward_seconds=_seconds(metres, np.frombuffer(pieces.backward_kmh)[piece_of]),
        geometry_starts=geometry_starts,
        geometry_latitudes=geometry[:, 0].copy(),
        geometry_longitudes=geometry[:, 1].copy(),
        kind_numbers=kind_numbers[piece_of],
        name_numbers=name_numbers[piece_of],
        kinds=tuple(kinds.tolist()),
        names=names,
    )


def _kept_nodes(point_nodes: NDArray[np.intp], starts: Ints) -> Flags:
    kept = np.bincount(point_nodes) > 1
    kept[point_nodes[starts[:-1]]] = True
    kept[point_nodes[starts[1:] - 1]] = True
    return kept


def _edge_spans(breaks: NDArray[np.intp], starts: Ints) -> tuple[Ints, Ints, Ints]:
    """Return first point, last point and piece of each edge.

    Every piece begins and ends at a break, so neighbouring breaks of one piece enclose an edge.
    """
    piece_of = np.searchsorted(starts, breaks, side="right") - 1
    together = piece_of[:-1] == piece_of[1:]
    return breaks[:-1][together], breaks[1:][together], piece_of[:-1][together]


def _span_points(begins: Ints, ends: Ints) -> tuple[Ints, Ints]:
    """Return all points of all spans one after the other, and where each span starts in that row."""
    lengths = ends - begins + 1
    geometry_starts = np.concatenate([[0], np.cumsum(lengths)])
    offsets = np.arange(geometry_starts[-1]) - np.repeat(geometry_starts[:-1], lengths)
    return np.repeat(begins, lengths) + offsets, geometry_starts


def _polyline_metres(geometry: Floats, geometry_starts: Ints) -> Floats:
    steps = metres_between(geometry[:-1], geometry[1:])
    steps[geometry_starts[1:-1] - 1] = 0.0
    return np.add.reduceat(steps, geometry_starts[:-1])


def _seconds(metres: Floats, kmh: Floats) -> Floats:
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(kmh > 0.0, metres * 3.6 / kmh, np.inf)


def _numbered(names: list[str]) -> tuple[tuple[str, ...], Ints]:
    numbers = {name: number for number, name in enumerate(dict.fromkeys(names))}
    return tuple(numbers), np.array([numbers[name] for name in names], dtype=np.int64)
