"""Quickest ways over the compact arrays, with SciPy's Dijkstra."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components, dijkstra

from planner.travel.coordinates import Flags, Floats, Ints
from planner.travel.doors import Doors
from planner.travel.routing.turn_states import TurnStates

SOURCES_AT_ONCE = 16
"""SciPy gives a dense row over all nodes for each source: more at once only costs memory."""


@dataclass(frozen=True, slots=True, eq=False)
class Arcs:
    """The steps between states as a sparse matrix of seconds, parallel ones merged by least time."""

    seconds: csr_array
    """Shape (states, states), row to column."""
    via: Ints
    """For each entry of ``seconds``: the directed arc, 2 * edge, + 1 where the edge is driven from head to tail."""
    states: TurnStates

    @classmethod
    def build(cls, states: TurnStates, *, reverse: bool = False) -> Arcs:
        """Return the steps of a network, or of the network with every step turned round."""
        starts, via, ends = states.steps()
        if reverse:
            starts, ends = ends, starts
        seconds = states.seconds[via]
        order = np.lexsort((seconds, starts * states.count + ends))
        order = order[starts[order] != ends[order]]
        starts, ends = starts[order], ends[order]
        quickest = np.ones(len(order), dtype=bool)
        quickest[1:] = (starts[1:] != starts[:-1]) | (ends[1:] != ends[:-1])
        row_starts = np.concatenate([[0], np.cumsum(np.bincount(starts[quickest], minlength=states.count))])
        order = order[quickest]
        matrix = csr_array(
            (seconds[order], ends[quickest].astype(np.int32), row_starts.astype(np.int32)),
            shape=(states.count, states.count),
        )
        return cls(matrix, via[order], states)

    def largest_part(self) -> Flags:
        """Return for each edge whether it is in the largest strongly connected part, by number of junctions.

        That is where it can be driven, in either direction, from a state of the part to a state of the part.
        """
        _, labels = connected_components(self.seconds, directed=True, connection="strong")
        count = self.states.junction_count
        # A part may hold a junction in several states, and it counts once.
        once = np.unique(labels.astype(np.int64) * count + self.states.junctions)
        inside = labels == np.bincount(once // count).argmax()
        starts, arcs, ends = self.states.steps()
        edges = np.zeros(len(self.states.seconds) // 2, dtype=bool)
        edges[arcs[inside[starts] & inside[ends]] // 2] = True
        return edges

    def via_between(self, start: int, end: int) -> int:
        """Return ``via`` of the step between two neighbouring states."""
        span = slice(int(self.seconds.indptr[start]), int(self.seconds.indptr[start + 1]))
        return int(self.via[span][self.seconds.indices[span] == end][0])


@dataclass(frozen=True, slots=True)
class Way:
    """The quickest way through the network from one place to another."""

    seconds: float
    nodes: tuple[int, ...]
    """States passed."""
    left_by: int
    """End of the origin's edge, 0 the tail, 1 the head."""
    entered_by: int
    """The same of the destination's edge."""


def network_seconds(arcs: Arcs, sources: Doors, targets: Doors, limit_seconds: float) -> Floats:
    """Return the least seconds from sources to targets through at least one node, shape (sources, targets).

    Args:
        arcs: the network.
        sources: ways from places into it.
        targets: ways from it to places.
        limit_seconds: nodes farther from the source than this are not looked for.
    """
    nodes = arcs.seconds.shape[0]
    widened = _with_sources(arcs.seconds, sources)
    result = np.full((sources.count, targets.count), np.inf)
    there, starts = np.unique(targets.places, return_index=True)
    for start in range(0, sources.count if len(there) else 0, SOURCES_AT_ONCE):
        rows = np.arange(start, min(start + SOURCES_AT_ONCE, sources.count))
        reached = dijkstra(widened, indices=nodes + rows, limit=limit_seconds)
        by_door = reached[:, targets.nodes] + targets.seconds
        result[np.ix_(rows, there)] = np.minimum.reduceat(by_door, starts, axis=1)
    return result


def node_seconds(arcs: Arcs, source: Doors, limit_seconds: float) -> Floats:
    """Return the least seconds from one place to every node, ``inf`` beyond the limit.

    Args:
        arcs: the network.
        source: ways from one place into it.
        limit_seconds: nodes farther from the place than this are not looked for.
    """
    nodes = arcs.seconds.shape[0]
    reached = dijkstra(_with_sources(arcs.seconds, source), indices=np.array([nodes]), limit=limit_seconds)
    return np.asarray(reached[0, :nodes], dtype=np.float64)


def quickest_way(arcs: Arcs, source: Doors, target: Doors, limit_seconds: float) -> Way | None:
    """Return the quickest way through the network, None where there is none.

    Args:
        arcs: the network.
        source: ways from one place into it.
        target: ways from it to one place.
        limit_seconds: nodes farther from the source than this are not looked for.
    """
    nodes = arcs.seconds.shape[0]
    reached, before = dijkstra(
        _with_sources(arcs.seconds, source), indices=np.array([nodes]), limit=limit_seconds, return_predecessors=True
    )
    totals = reached[0, target.nodes] + target.seconds
    if not np.isfinite(totals).any():
        return None
    best = int(np.argmin(totals))
    passed = _walk_back(before[0], int(target.nodes[best]), nodes)
    left_by = int(source.ends[source.nodes == passed[0]][0])
    return Way(float(totals[best]), tuple(passed), left_by, int(target.ends[best]))


def _walk_back(before: NDArray[np.int32], last: int, source: int) -> list[int]:
    passed = []
    node = last
    while node != source:
        passed.append(node)
        node = int(before[node])
    return passed[::-1]


def _with_sources(seconds: csr_array, sources: Doors) -> csr_array:
    """Return the matrix with one more row for each source, its entries leading through the doors of the source."""
    data = np.concatenate([seconds.data, sources.seconds])
    indices = np.concatenate([seconds.indices, sources.nodes.astype(np.int32)])
    row_ends = len(seconds.data) + np.cumsum(np.bincount(sources.places, minlength=sources.count))
    indptr = np.concatenate([seconds.indptr, row_ends.astype(np.int32)])
    size = seconds.shape[0] + sources.count
    return csr_array((data, indices, indptr), shape=(size, size))
