"""The road network as compact arrays: junctions, and the edges between them with their geometry."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.travel.coordinates import Flags, Floats, Ints
from planner.travel.road_flags import RoadFlag
from planner.travel.speeds import SpeedTable


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

    def flagged(self, flag: RoadFlag) -> Flags:
        """Return whether each edge carries a flag, or one of several."""
        return np.asarray(self.flags & int(flag) > 0, dtype=np.bool_)

    def closed_geometry(self, road: int) -> tuple[Floats, Floats]:
        """Return latitudes and longitudes of a closed road."""
        span = slice(int(self.closed_starts[road]), int(self.closed_starts[road + 1]))
        return self.closed_latitudes[span], self.closed_longitudes[span]

    def geometry(self, edge: int) -> tuple[Floats, Floats]:
        """Return latitudes and longitudes of an edge, tail to head."""
        span = slice(int(self.geometry_starts[edge]), int(self.geometry_starts[edge + 1]))
        return self.geometry_latitudes[span], self.geometry_longitudes[span]


def seconds_at(roads: RoadArrays, speeds: SpeedTable) -> tuple[Floats, Floats]:
    """Return the seconds each edge takes by a table of speeds, forward and backward, as if both were open."""
    classes = [speeds.speed_of(kind) for kind in roads.kinds]
    typical = np.array([one.typical_kmh for one in classes])[roads.kind_numbers]
    ceiling = np.array([one.ceiling_kmh for one in classes])[roads.kind_numbers]
    forward, backward = (
        roads.metres * 3.6 / speeds.driven_kmh(typical, ceiling, limit, roads.cap_kmh)
        for limit in (roads.forward_limit_kmh, roads.backward_limit_kmh)
    )
    return forward, backward


def with_speeds(roads: RoadArrays, speeds: SpeedTable) -> RoadArrays:
    """Return a network driven by another table of speeds; what is closed stays so."""
    forward, backward = seconds_at(roads, speeds)
    return replace(
        roads,
        forward_seconds=np.where(np.isfinite(roads.forward_seconds), forward, np.inf),
        backward_seconds=np.where(np.isfinite(roads.backward_seconds), backward, np.inf),
    )


def slowed(roads: RoadArrays, factors: Sequence[float]) -> RoadArrays:
    """Return a network of which each highway class takes longer, or less long, by a factor.

    Args:
        roads: the network.
        factors: what the seconds are multiplied by, in the order of ``roads.kinds``.
    """
    by_edge = np.asarray(factors, dtype=np.float64)[roads.kind_numbers]
    return replace(
        roads,
        forward_seconds=roads.forward_seconds * by_edge,
        backward_seconds=roads.backward_seconds * by_edge,
    )
