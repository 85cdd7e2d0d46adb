"""Ways cut into pieces of road: at shut gates and fords, and at the border of the extract."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.travel.coordinates import Flags, Floats, Ints
from planner.travel.osm.osm_reading import RoadsRead


@dataclass(frozen=True, slots=True, eq=False)
class Pieces:
    """Pieces of road: piece p goes through ``points[starts[p]]`` to ``points[starts[p + 1] - 1]``."""

    points: Ints
    """Number of the node at each point; where a road is cut, each side ends in a node of its own."""
    starts: Ints
    ways: Ints
    """For each piece the number of its way in ``RoadWays``."""
    node_ids: Ints
    """For each node its id in the file, 0 for one made at a cut."""
    latitudes: Floats
    """Of each node, degrees."""
    longitudes: Floats

    def __len__(self) -> int:
        return len(self.ways)


def pieces_of(read: RoadsRead, chosen: Flags, *, cut: bool) -> Pieces:
    """Return the pieces of the ways chosen, those of two points or more.

    Args:
        read: what the file says.
        chosen: whether each way is wanted.
        cut: whether gates and fords cut it.
    """
    ways, points, broken = _located_points(read, chosen)
    nodes = read.nodes
    shut = nodes.shut[points] & cut
    # A shut node stands twice: where one piece ends, and where the next begins.
    copies = np.repeat(np.arange(len(points)), np.where(shut, 2, 1))
    second = np.zeros(len(copies), dtype=bool)
    second[1:] = copies[1:] == copies[:-1]
    made = shut[copies]
    ends = points[copies]
    ends[made] = len(nodes.ids) + np.arange(int(made.sum()))
    begins = second | (broken[copies] & ~second)
    starts, kept = _runs(begins)
    origin = points[copies][made]
    return Pieces(
        points=ends[kept],
        starts=starts,
        ways=ways[copies][kept][starts[:-1]],
        node_ids=np.concatenate([nodes.ids, np.zeros(len(origin), dtype=np.int64)]),
        latitudes=np.concatenate([nodes.latitudes, nodes.latitudes[origin]]),
        longitudes=np.concatenate([nodes.longitudes, nodes.longitudes[origin]]),
    )


def cut_at_border(read: RoadsRead, chosen: Flags) -> int:
    """Return how many of the ways chosen go through a node whose position the file does not hold."""
    lost = np.add.reduceat(~read.nodes.located[read.places], _starts(read)[:-1])
    return int((lost.astype(bool) & chosen).sum())


def _located_points(read: RoadsRead, chosen: Flags) -> tuple[Ints, Ints, Flags]:
    """Return way and node of each point that has a position, and whether it goes on from none before it."""
    starts = _starts(read)
    ways = np.repeat(np.arange(len(starts) - 1), np.diff(starts))
    wanted = chosen[ways]
    ways, points = ways[wanted], read.places[wanted]
    fresh = np.ones(len(points), dtype=bool)
    fresh[1:] = (ways[1:] != ways[:-1]) | (points[1:] != points[:-1])
    ways, points = ways[fresh], points[fresh]
    located = read.nodes.located[points]
    broken = np.ones(len(points), dtype=bool)
    broken[1:] = (ways[1:] != ways[:-1]) | ~located[:-1]
    return ways[located], points[located], broken[located]


def _runs(begins: Flags) -> tuple[Ints, Flags]:
    """Return the starts of the runs of two points or more, and which points are in them."""
    firsts = np.flatnonzero(begins)
    lengths = np.diff(np.append(firsts, len(begins)))
    kept = np.repeat(lengths > 1, lengths)
    return np.concatenate([[0], np.cumsum(lengths[lengths > 1])]).astype(np.int64), kept


def _starts(read: RoadsRead) -> Ints:
    return np.frombuffer(read.ways.starts, dtype=np.int64)
