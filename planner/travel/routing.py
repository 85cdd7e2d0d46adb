"""Quickest ways over the compact arrays, with SciPy's Dijkstra."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components, dijkstra

from planner.travel.coordinates import Flags, Floats, Ints
from planner.travel.road_arrays import RoadArrays

_SOURCES_AT_ONCE = 16
"""SciPy gives a dense row over all nodes for each source: more at once only costs memory."""
_AT_NODE = 1e-9
"""A fraction of an edge this near 0 or 1 is the node itself."""


@dataclass(frozen=True, slots=True, eq=False)
class Arcs:
    """The directed network as a sparse matrix of seconds, parallel arcs merged by least time."""

    seconds: csr_array
    """Shape (nodes, nodes), row to column."""
    via: Ints
    """For each entry of ``seconds``: 2 * edge, + 1 where the edge is driven from head to tail."""

    @classmethod
    def build(cls, roads: RoadArrays, *, reverse: bool = False) -> Arcs:
        """Return the arcs of a network, or of the network with every arc turned round."""
        edges = np.arange(roads.edge_count)
        starts = np.concatenate([roads.tails, roads.heads])
        ends = np.concatenate([roads.heads, roads.tails])
        seconds = np.concatenate([roads.forward_seconds, roads.backward_seconds])
        via = np.concatenate([2 * edges, 2 * edges + 1])
        usable = np.isfinite(seconds) & (starts != ends)
        starts, ends, seconds, via = (column[usable] for column in (starts, ends, seconds, via))
        if reverse:
            starts, ends = ends, starts
        order = np.lexsort((seconds, ends, starts))
        starts, ends, seconds, via = (column[order] for column in (starts, ends, seconds, via))
        quickest = np.ones(len(starts), dtype=bool)
        quickest[1:] = (starts[1:] != starts[:-1]) | (ends[1:] != ends[:-1])
        row_starts = np.concatenate([[0], np.cumsum(np.bincount(starts[quickest], minlength=roads.node_count))])
        matrix = csr_array(
            (seconds[quickest], ends[quickest].astype(np.int32), row_starts.astype(np.int32)),
            shape=(roads.node_count, roads.node_count),
        )
        return cls(matrix, via[quickest])

    def largest_part(self) -> Flags:
        """Return for each node whether it is in the largest strongly connected part."""
        _, labels = connected_components(self.seconds, directed=True, connection="strong")
        return np.asarray(labels == np.bincount(labels).argmax(), dtype=bool)

    def via_between(self, start: int, end: int) -> int:
        """Return ``via`` of the arc between two neighbouring nodes."""
        span = slice(int(self.seconds.indptr[start]), int(self.seconds.indptr[start + 1]))
        return int(self.via[span][self.seconds.indices[span] == end][0])


@dataclass(frozen=True, slots=True, eq=False)
class Positions:
    """Places on edges, ready for routing; edge -1 for a place that is on no road."""

    edges: Ints
    fractions: Floats
    """0 at the tail, 1 at the head."""
    nodes: Ints
    """Shape (n, 2): tail and head of the edge."""
    leave_seconds: Floats
    """Shape (n, 2): from the place to tail and head; ``inf`` where that way is closed."""
    enter_seconds: Floats
    """Shape (n, 2): from tail and head to the place."""

    def __len__(self) -> int:
        return len(self.edges)

    @classmethod
    def build(cls, roads: RoadArrays, edges: Ints, fractions: Floats) -> Positions:
        """Return positions with the seconds along their own edges.

        A place at a junction (fraction 0 or 1) is at the node itself and may go any way from there, even against
        the direction of its own edge.
        """
        forward, backward = roads.forward_seconds[edges], roads.backward_seconds[edges]
        leave = np.column_stack([_share(backward, fractions), _share(forward, 1.0 - fractions)])
        enter = np.column_stack([_share(forward, fractions), _share(backward, 1.0 - fractions)])
        nowhere = edges < 0
        leave[nowhere] = enter[nowhere] = np.inf
        nodes = np.column_stack([roads.tails[edges], roads.heads[edges]])
        return cls(edges, fractions, nodes, leave, enter)


def _share(seconds: Floats, fraction: Floats) -> Floats:
    part = np.zeros(len(seconds))
    away = fraction > _AT_NODE
    part[away] = seconds[away] * fraction[away]
    return part


def same_edge_seconds(roads: RoadArrays, origins: Positions, destinations: Positions) -> Floats:
    """Return the seconds straight along a shared edge, shape (origins, destinations); ``inf`` where none is shared."""
    result = np.full((len(origins), len(destinations)), np.inf)
    shared = (origins.edges[:, None] == destinations.edges[None, :]) & (origins.edges[:, None] >= 0)
    rows, columns = np.nonzero(shared)
    ahead = destinations.fractions[columns] - origins.fractions[rows]
    edges = origins.edges[rows]
    seconds = np.where(ahead > 0, roads.forward_seconds[edges], roads.backward_seconds[edges])
    result[rows, columns] = _share(seconds, np.abs(ahead))
    return result


def network_seconds(
    arcs: Arcs,
    sources: tuple[Ints, Floats],
    targets: tuple[Ints, Floats],
    limit_seconds: float,
) -> Floats:
    """Return the least seconds from sources to targets through at least one node, shape (sources, targets).

    Args:
        arcs: the network.
        sources: nodes, shape (n, 2), and the seconds to get to them.
        targets: nodes, shape (m, 2), and the seconds to get from them to the target.
        limit_seconds: nodes farther from the source than this are not looked for.
    """
    nodes = arcs.seconds.shape[0]
    widened = _with_sources(arcs.seconds, *sources)
    target_nodes, target_seconds = targets
    result = np.empty((len(sources[0]), len(target_nodes)))
    for start in range(0, len(result), _SOURCES_AT_ONCE):
        rows = np.arange(start, min(start + _SOURCES_AT_ONCE, len(result)))
        reached = dijkstra(widened, indices=nodes + rows, limit=limit_seconds)
        by_tail = reached[:, target_nodes[:, 0]] + target_seconds[:, 0]
        by_head = reached[:, target_nodes[:, 1]] + target_seconds[:, 1]
        result[rows] = np.minimum(by_tail, by_head)
    return result


def node_seconds(arcs: Arcs, source: tuple[Ints, Floats], limit_seconds: float) -> Floats:
    """Return the least seconds from one source to every node, ``inf`` beyond the limit.

    Args:
        arcs: the network.
        source: nodes, shape (1, 2), and the seconds to get to them.
        limit_seconds: nodes farther from the source than this are not looked for.
    """
    nodes = arcs.seconds.shape[0]
    reached = dijkstra(_with_sources(arcs.seconds, *source), indices=np.array([nodes]), limit=limit_seconds)
    return np.asarray(reached[0, :nodes], dtype=np.float64)


def quickest_nodes(
    arcs: Arcs, source: tuple[Ints, Floats], target: tuple[Ints, Floats], limit_seconds: float
) -> tuple[float, list[int]]:
    """Return the least seconds through the network and the nodes passed on the way, none where there is no way.

    Args:
        arcs: the network.
        source: nodes, shape (1, 2), and the seconds to get to them.
        target: nodes, shape (1, 2), and the seconds to get from them to the target.
        limit_seconds: nodes farther from the source than this are not looked for.
    """
    nodes = arcs.seconds.shape[0]
    reached, before = dijkstra(
        _with_sources(arcs.seconds, *source),
        indices=np.array([nodes]),
        limit=limit_seconds,
        return_predecessors=True,
    )
    totals = reached[0, target[0][0]] + target[1][0]
    best = int(np.argmin(totals))
    if not np.isfinite(totals[best]):
        return float("inf"), []
    return float(totals[best]), _walk_back(before[0], int(target[0][0, best]), nodes)


def _walk_back(before: NDArray[np.int32], last: int, source: int) -> list[int]:
    passed = []
    node = last
    while node != source:
        passed.append(node)
        node = int(before[node])
    return passed[::-1]


def _with_sources(seconds: csr_array, nodes: Ints, costs: Floats) -> csr_array:
    """Return the matrix with one more row for each source, its entries leading to the nodes of the source."""
    costs = costs.copy()
    # Both ends of a loop road are one node: only the nearer one is entered, a matrix cell holds one figure.
    twice = nodes[:, 0] == nodes[:, 1]
    costs[twice, 0], costs[twice, 1] = costs[twice].min(axis=1), np.inf
    there = np.isfinite(costs)
    data = np.concatenate([seconds.data, costs[there]])
    indices = np.concatenate([seconds.indices, nodes[there].astype(np.int32)])
    row_ends = len(seconds.data) + np.cumsum(there.sum(axis=1))
    indptr = np.concatenate([seconds.indptr, row_ends.astype(np.int32)])
    size = seconds.shape[0] + len(nodes)
    return csr_array((data, indices, indptr), shape=(size, size))
