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
    rows = _rows(latitudes, longitudes)
    counts = np.array([len(latitudes)])
    cells = np.full(len(latitudes), ROOT, dtype=np.int64)
    number = np.zeros(len(latitudes), dtype=np.int64)
    inside = np.ones(len(latitudes), dtype=bool)
    a, b = roads
    while True:
        large = np.repeat(counts > _SMALL, counts)
        inside[rows[0][~large]] = False
        rows, counts = [row[large] for row in rows], counts[counts > _SMALL]
        if not len(counts):
            return cells
        number[rows[0]] = np.repeat(np.arange(len(counts)), counts)
        open_roads = inside[a] & inside[b]
        a, b = a[open_roads], b[open_roads]
        second = _halves(rows, counts, number, (a, b))
        across = second[a] != second[b]
        cut = _cover(np.where(second[a], b, a)[across], np.where(second[a], a, b)[across])
        inside[cut] = False
        rows = [row[inside[row]] for row in rows]
        nodes = rows[0]
        cells[nodes] = 2 * cells[nodes] + second[nodes]
        counts = np.bincount(2 * number[nodes] + second[nodes], minlength=2 * len(counts))
        rows = [_parted(row, second[row], counts) for row in rows]


def _rows(latitudes: Floats, longitudes: Floats) -> list[Ints]:
    """Return the nodes in a row from one end of the network to the other, in every direction."""
    middle = np.degrees(np.angle(np.exp(1j * np.radians(longitudes)).sum()))
    east = ((longitudes - middle + 180.0) % 360.0 - 180.0) * np.cos(np.radians(latitudes.mean()))
    return [
        np.argsort(east * np.cos(direction) + latitudes * np.sin(direction), kind="stable")
        for direction in np.radians(_DIRECTIONS_DEG)
    ]


def _halves(rows: list[Ints], counts: Ints, number: Ints, roads: tuple[Ints, Ints]) -> Flags:
    """Return for each node whether it is in the second half of its cell, cut where fewest roads are.

    Args:
        rows: the nodes cell by cell, those of a cell in a row, in every direction.
        counts: number of nodes of each cell.
        number: place of each node's cell among ``counts``.
        roads: those inside the cells.
    """
    a, b = roads
    place = np.arange(len(rows[0])) - np.repeat(np.cumsum(counts) - counts, counts)
    in_second = 2 * place >= np.repeat(counts, counts)
    best = np.zeros(len(number), dtype=bool)
    fewest = np.full(len(counts), np.iinfo(np.int64).max)
    for row in rows:
        second = np.zeros(len(number), dtype=bool)
        second[row] = in_second
        crossing = np.bincount(number[a[second[a] != second[b]]], minlength=len(counts))
        better = np.repeat(crossing < fewest, counts)
        best[row[better]] = in_second[better]
        fewest = np.minimum(fewest, crossing)
    return best


def _parted(row: Ints, second: Flags, counts: Ints) -> Ints:
    """Return nodes half by half that were cell by cell, in the same order within a half."""
    place = np.repeat(np.arange(len(counts)) % 2 == 1, counts)
    parted = np.empty_like(row)
    parted[place], parted[~place] = row[second], row[~second]
    return parted


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
