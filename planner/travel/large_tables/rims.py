"""The cells of a dissected network by depth: their own nodes, and those on their rim."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.travel.coordinates import Ints
from planner.travel.large_tables.dissection import depths


@dataclass(frozen=True, slots=True, eq=False)
class Rims:
    """The cells of one depth; row r of them is cell ``cells[r]``."""

    cells: Ints
    """Numbers of the cells, rising."""
    own_starts: Ints
    own_nodes: Ints
    """Own nodes of row r: ``own_nodes[own_starts[r]:own_starts[r + 1]]``, in the order in which they are taken out."""
    rim_starts: Ints
    rim_nodes: Ints
    """The same for the rim: nodes of cells above that a road, or a way through the cell, leads to; rising."""

    @property
    def own_sizes(self) -> Ints:
        """Number of own nodes of each row."""
        return np.diff(self.own_starts)

    @property
    def rim_sizes(self) -> Ints:
        """Number of nodes on the rim of each row."""
        return np.diff(self.rim_starts)

    @property
    def rim_rows(self) -> Ints:
        """Row of each node on a rim."""
        return np.repeat(np.arange(len(self.cells)), self.rim_sizes)


def rims(cells: Ints, roads: tuple[Ints, Ints]) -> list[Rims]:
    """Return the cells of every depth, the whole network first.

    Args:
        cells: the cell of each node, by ``dissect``.
        roads: the two nodes of each road.
    """
    depth, nodes = depths(cells), len(cells)
    a, b = roads
    first_lower = depth[a] >= depth[b]
    lower, upper = np.where(first_lower, a, b), np.where(first_lower, b, a)
    apart = cells[lower] != cells[upper]
    keys = cells[lower][apart] * nodes + upper[apart]
    key_depths = depth[lower[apart]]
    order = np.argsort(cells, kind="stable")
    found: list[Rims] = []
    here, passed_on = np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)
    for number in range(int(depth.max()), -1, -1):
        own = order[slice(*np.searchsorted(cells[order], [1 << number, 2 << number]))]
        rim_keys = distinct(np.concatenate([keys[key_depths == number], passed_on]))
        here = distinct(np.concatenate([here // 2, cells[own]]))
        found.append(_rims(here, own, cells[own], rim_keys, nodes))
        rim_cells, rim_nodes = np.divmod(rim_keys, nodes)
        passed_on = (rim_cells // 2 * nodes + rim_nodes)[depth[rim_nodes] < number - 1]
    return found[::-1]


def _rims(here: Ints, own: Ints, own_cells: Ints, rim_keys: Ints, nodes: int) -> Rims:
    ends = np.append(here, here[-1] + 1)
    return Rims(here, np.searchsorted(own_cells, ends), own, np.searchsorted(rim_keys, ends * nodes), rim_keys % nodes)


def distinct(numbers: Ints) -> Ints:
    """Return numbers rising, each once: by sorting, for the hashing of ``np.unique`` is slow with millions."""
    rising = np.sort(numbers)
    first = np.ones(len(rising), dtype=bool)
    first[1:] = rising[1:] != rising[:-1]
    return rising[first]
