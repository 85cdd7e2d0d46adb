"""Makes the arrays of a network out of the roads of a file: junctions, and the edges between them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from planner.travel.coordinates import Flags, Floats, Ints
from planner.travel.geodesic import metres_between
from planner.travel.osm.osm_reading import ASK, RoadsRead, read_roads
from planner.travel.osm.reading_notes import reading_notes
from planner.travel.osm.road_pieces import Pieces, pieces_of
from planner.travel.osm.source_file import fault
from planner.travel.osm.turn_bans import with_turn_bans
from planner.travel.road_arrays import RoadArrays, seconds_at
from planner.travel.speeds import SpeedTable


@dataclass(frozen=True, slots=True, eq=False)
class _Edges:
    """Where each edge comes from."""

    nodes: Ints
    """For each node kept its number in the pieces."""
    tails: Ints
    heads: Ints
    ways: Ints
    """Number of the way of each edge."""
    points: Ints
    """Points of all edges one after the other, as numbers of nodes in the pieces."""
    starts: Ints


def arrays_of_file(path: Path, speeds: SpeedTable, *, fords_open: bool) -> RoadArrays:
    """Return the roads of a .osm, .osm.bz2 or .osm.pbf file as arrays, one edge or more.

    Raises:
        InputError: the file is missing, empty, cut off, of another kind, holds a DOCTYPE or has no roads.
    """
    read = read_roads(path, speeds, fords_open=fords_open)
    roads = compact(read, speeds)
    if not roads.edge_count:
        found = f"{len(read.ways)} roads whose nodes have no position"
        raise fault(path, "", "roads a car may use", found, ASK)
    return roads


def compact(read: RoadsRead, speeds: SpeedTable) -> RoadArrays:
    """Return the roads of a file as edges between junctions.

    A node is kept where two pieces meet, a piece meets itself, or a piece ends; all others become geometry. Of roads
    that no car may use only the lines are kept.

    Args:
        read: what the file says; one piece of road that can be driven, or more.
        speeds: table of speeds.
    """
    forward, backward = read.ways.column("forward") > 0, read.ways.column("backward") > 0
    driven = forward | backward
    pieces, closed = pieces_of(read, driven, cut=True), pieces_of(read, ~driven, cut=False)
    edges = _edges(pieces)
    roads = _arrays(read, edges, pieces, closed)
    roads = _with_seconds(roads, speeds, forward[edges.ways], backward[edges.ways])
    edge_ways = np.frombuffer(read.ways.ids, dtype=np.int64)[edges.ways]
    roads, turns = with_turn_bans(roads, read.turns, edge_ways, pieces.node_ids[edges.nodes])
    return replace(roads, notes=reading_notes(read, roads, turns, driven))


def _edges(pieces: Pieces) -> _Edges:
    kept = _kept_nodes(pieces)
    numbers = np.cumsum(kept) - 1
    begins, ends, piece_of = _edge_spans(np.flatnonzero(kept[pieces.points]), pieces.starts)
    points, starts = _span_points(begins, ends)
    return _Edges(
        nodes=np.flatnonzero(kept),
        tails=numbers[pieces.points[begins]],
        heads=numbers[pieces.points[ends]],
        ways=pieces.ways[piece_of],
        points=pieces.points[points],
        starts=starts,
    )


def _arrays(read: RoadsRead, edges: _Edges, pieces: Pieces, closed: Pieces) -> RoadArrays:
    kinds, kind_numbers = read.ways.kinds()
    latitudes, longitudes = pieces.latitudes[edges.points], pieces.longitudes[edges.points]
    metres = _polyline_metres(np.column_stack([latitudes, longitudes]), edges.starts)
    unknown = np.full(len(metres), np.inf)
    return RoadArrays(
        node_latitudes=pieces.latitudes[edges.nodes],
        node_longitudes=pieces.longitudes[edges.nodes],
        tails=edges.tails,
        heads=edges.heads,
        metres=metres,
        forward_seconds=unknown,
        backward_seconds=unknown,
        geometry_starts=edges.starts,
        geometry_latitudes=latitudes,
        geometry_longitudes=longitudes,
        kind_numbers=kind_numbers[edges.ways],
        name_numbers=np.frombuffer(read.ways.name_numbers, dtype=np.int64)[edges.ways],
        kinds=kinds,
        names=tuple(read.ways.names),
        flags=read.ways.column("flags")[edges.ways].astype(np.uint8),
        forward_limit_kmh=read.ways.column("forward_limit_kmh")[edges.ways],
        backward_limit_kmh=read.ways.column("backward_limit_kmh")[edges.ways],
        cap_kmh=read.ways.column("cap_kmh")[edges.ways],
        closed_starts=closed.starts,
        closed_latitudes=closed.latitudes[closed.points],
        closed_longitudes=closed.longitudes[closed.points],
        closed_kind_numbers=kind_numbers[closed.ways],
    )


def _with_seconds(roads: RoadArrays, speeds: SpeedTable, forward: Flags, backward: Flags) -> RoadArrays:
    forward_seconds, backward_seconds = seconds_at(roads, speeds)
    return replace(
        roads,
        forward_seconds=np.where(forward, forward_seconds, np.inf),
        backward_seconds=np.where(backward, backward_seconds, np.inf),
    )


def _kept_nodes(pieces: Pieces) -> Flags:
    kept: Flags = np.bincount(pieces.points, minlength=len(pieces.node_ids)) > 1
    kept[pieces.points[pieces.starts[:-1]]] = True
    kept[pieces.points[pieces.starts[1:] - 1]] = True
    return kept


def _edge_spans(breaks: Ints, starts: Ints) -> tuple[Ints, Ints, Ints]:
    """Return first point, last point and piece of each edge.

    Every piece begins and ends at a break, so neighbouring breaks of one piece enclose an edge.
    """
    piece_of = np.searchsorted(starts, breaks, side="right") - 1
    together = piece_of[:-1] == piece_of[1:]
    return breaks[:-1][together], breaks[1:][together], piece_of[:-1][together]


def _span_points(begins: Ints, ends: Ints) -> tuple[Ints, Ints]:
    """Return all points of all spans one after the other, and where each span starts in that row."""
    lengths = ends - begins + 1
    starts = np.concatenate([[0], np.cumsum(lengths)])
    offsets = np.arange(starts[-1]) - np.repeat(starts[:-1], lengths)
    return np.repeat(begins, lengths) + offsets, starts


def _polyline_metres(geometry: Floats, starts: Ints) -> Floats:
    steps = metres_between(geometry[:-1], geometry[1:])
    steps[starts[1:-1] - 1] = 0.0
    return np.add.reduceat(steps, starts[:-1])
