"""Nested dissection: the network is cut in two along few nodes, and each half again, down to small cells.

George, "Nested dissection of a regular finite element mesh" (SIAM Journal on Numerical Analysis, 1973); for road
networks Dibbelt, Strasser and Wagner, "Customizable contraction hierarchies" (Journal of Experimental Algorithmics,
2016). Road maps are nearly planar, so a straight line across n nodes cuts some multiple of the root of n roads.
"""

from __future__ import annotations

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import breadth_first_order, maximum_bipartite_matching

from planner.travel.coordinates import Flags, Floats, Ints

ROOT = 1
"""Number of the whole network as a cell; the halves of cell c are 2 c and 2 c + 1."""
_SMALL = 8
"""A cell with so many nodes or fewer is not cut again; found by trial, most sizes from 6 to 16 are as good."""
_DIRECTIONS_DEG = (0.0, 45.0, 90.0, 135.0)
"""Directions across which a cell may be cut; the one that cuts fewest roads is taken."""


def depths(cells: Ints) -> Ints:
    """Return how many cuts lie above each cell: 0 for the whole network."""
    return np.frexp(cells.astype(np.float64))[1].astype(np.int64) - 1


def dissect(latitudes: Floats, longitudes: Floats, roads: tuple[Ints, Ints]) -> Ints:
    """Return for each node the cell whose cut it lies on, or the small cell that it was left in.

    No road leads from inside one half of a cell to inside the other: every road joins two nodes of which one has
    a cell that holds the other's.

    Args:
        latitudes: degrees, one for each node.
        longitudes: degrees.
        roads: the two nodes of each road, in any order and direction, never the same node twice.
    """
    ranks = _ranks(latitudes, longitudes)
    cells = np.full(len(latitudes), ROOT, dtype=np.int64)
    nodes = np.arange(len(latitudes))
    inside = np.ones(len(latitudes), dtype=bool)
    a, b = roads
    while True:
        large = np.bincount(cells[nodes])[cells[nodes]] > _SMALL
        inside[nodes[~large]] = False
        nodes = nodes[large]
        if not len(nodes):
            return cells
        open_roads = inside[a] & inside[b]
        a, b = a[open_roads], b[open_roads]
        second = _halves(ranks, cells, nodes, (a, b))
        across = second[a] != second[b]
        cut = _cover(np.where(second[a], b, a)[across], np.where(second[a], a, b)[across])
        inside[cut] = False
        nodes = nodes[inside[nodes]]
        cells[nodes] = 2 * cells[nodes] + second[nodes]


def _ranks(latitudes: Floats, longitudes: Floats) -> list[Ints]:
    """Return the place of each node in the row from one end of the network to the other, in every direction."""
    middle = np.degrees(np.angle(np.exp(1j * np.radians(longitudes)).sum()))
    east = ((longitudes - middle + 180.0) % 360.0 - 180.0) * np.cos(np.radians(latitudes.mean()))
    ranks = []
    for direction in np.radians(_DIRECTIONS_DEG):
        order = np.argsort(east * np.cos(direction) + latitudes * np.sin(direction), kind="stable")
        rank = np.empty(len(order), dtype=np.int64)
        rank[order] = np.arange(len(order))
        ranks.append(rank)
    return ranks


def _halves(ranks: list[Ints], cells: Ints, nodes: Ints, roads: tuple[Ints, Ints]) -> Flags:
    """Return for each node whether it is in the second half of its cell, cut where fewest roads are."""
    a, b = roads
    first = int(cells[nodes].min())
    number = cells[nodes] - first
    count = np.bincount(number)
    starts = np.cumsum(count) - count
    number_of = np.zeros(len(cells), dtype=np.int64)
    number_of[nodes] = number
    best = np.zeros(len(cells), dtype=bool)
    fewest = np.full(len(count), np.iinfo(np.int64).max)
    for rank in ranks:
        order = np.argsort(number * len(cells) + rank[nodes])
        place = np.arange(len(nodes)) - starts[number[order]]
        second = np.zeros(len(cells), dtype=bool)
        second[nodes[order]] = 2 * place >= count[number[order]]
        crossing = np.bincount(number_of[a[second[a] != second[b]]], minlength=len(count))
        better = (crossing < fewest)[number]
        best[nodes[better]] = second[nodes[better]]
        fewest = np.minimum(fewest, crossing)
    return best


def _cover(firsts: Ints, seconds: Ints) -> Ints:
    """Return the fewest nodes that touch every road between the halves (Kőnig's theorem)."""
    left, row = np.unique(firsts, return_inverse=True)
    right, column = np.unique(seconds, return_inverse=True)
    if not len(left):
        return left
    ones = np.ones(len(row), dtype=np.int8)
    crossing = csr_array((ones, (row, column)), shape=(len(left), len(right)))
    partner = maximum_bipartite_matching(crossing, perm_type="row").astype(np.int64)
    reached = _alternating(row, column, partner, len(left))
    return np.concatenate([left[~reached[: len(left)]], right[reached[len(left) :]]])


def _alternating(row: Ints, column: Ints, partner: Ints, lefts: int) -> Flags:
    """Return which nodes can be reached from lone ones of the first half: over any road there, over a pair back."""
    pairs = np.flatnonzero(partner >= 0)
    lone = np.setdiff1d(np.arange(lefts), partner[pairs])
    root = lefts + len(partner)
    starts = np.concatenate([row, lefts + pairs, np.full(len(lone), root)])
    ends = np.concatenate([lefts + column, partner[pairs], lone])
    steps = csr_array((np.ones(len(starts), dtype=np.int8), (starts, ends)), shape=(root + 1, root + 1))
    reached = np.zeros(root + 1, dtype=bool)
    reached[breadth_first_order(steps, root, return_predecessors=False)] = True
    return reached[:-1]
