"""Every cell of a dissected network is taken out, smallest first, leaving the least seconds between those on its rim.

The cell above is put together from its own roads and those times, its own nodes are taken out in turn, and so on up to
the whole network: Gaussian elimination with minimum for sum and sum for product (Lipton, Rose and Tarjan, "Generalized
nested dissection", SIAM Journal on Numerical Analysis, 1979), in the many-fronts order of Duff and Reid (ACM
Transactions on Mathematical Software, 1983). It is exact.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial

import numpy as np
from scipy.sparse import csr_array

from planner.travel.coordinates import Floats, Ints
from planner.travel.large_tables.least_sums import FAR, take_out_first
from planner.travel.large_tables.levels import Batch, Level

_AT_ONCE = 2
"""Batches that are worked on at a time, each on a core of its own: NumPy lets go of the interpreter in its loops."""


@dataclass(frozen=True, slots=True, eq=False)
class Front:
    """The cells of a batch, side by side, after their own nodes were taken out."""

    out: Floats
    """Shape (own, spots, cells): least seconds from own node k to a later spot, over nodes taken out before k only."""
    rim_into: Floats
    """Shape (own, rim, cells): the same to own node k from a spot on the rim."""

    def into(self) -> Floats:
        """Return the seconds to own node k from a later spot, in the shape of ``out``."""
        # Between own nodes ``out`` has them already, where it has no later spot: from k to one taken out before.
        own = len(self.out)
        return np.concatenate([self.out[:, :own].swapaxes(0, 1), self.rim_into], axis=1)


def take_out(levels: list[Level], arcs: csr_array) -> list[list[Front]]:
    """Return the fronts of every level, in the order of its batches.

    Args:
        levels: the cells, the whole network first.
        arcs: seconds from node (row) to node (column), each pair once.
    """
    starts = np.repeat(np.arange(arcs.shape[0]), np.diff(arcs.indptr))
    ends = arcs.indices.astype(np.int64)
    owned = levels[0].nodes.by_owner(starts, ends)
    fronts: list[list[Front]] = []
    rests: list[Floats] = []
    # The same memory for the tables of every level: fresh pages take longer to come by than to fill.
    room = np.empty(max(level.layout.total for level in levels) + 1)
    for level, below in zip(levels[::-1], [None, *levels[:0:-1]], strict=True):
        mine = owned[level.depth]
        tables = room[: level.layout.total + 1]
        _enter_roads(tables, level, (starts[mine], ends[mine]), arcs.data[mine])
        if below is not None:
            _add_rests(tables, level, below, rests)
        with ThreadPoolExecutor(_AT_ONCE) as pool:
            done = list(pool.map(partial(_taken_out, tables), level.layout.batches))
        fronts.append([front for front, _ in done])
        rests = [rest for _, rest in done]
    return fronts[::-1]


def _taken_out(tables: Floats, batch: Batch) -> tuple[Front, Floats]:
    """Return the cells of a batch taken out, and the times that are left between the nodes on their rims."""
    table = tables[batch.base : batch.base + batch.size**2 * batch.count]
    table = table.reshape(batch.size, batch.size, batch.count)
    _eliminate(table, batch.own)
    front = Front(table[: batch.own].copy(), table[batch.own :, : batch.own].swapaxes(0, 1).copy())
    return front, table[batch.own :, batch.own :].copy()


def _enter_roads(tables: Floats, level: Level, roads: tuple[Ints, Ints], seconds: Floats) -> None:
    """Fill the tables of all cells of a level, one after the other, with the roads that they own and nothing else.

    One figure more at the end is for spots that are nowhere.
    """
    starts, ends = roads
    rows = level.owners(starts, ends)
    tables.fill(FAR)
    tables[level.layout.index(rows, level.spots(rows, starts), level.spots(rows, ends))] = seconds


def _add_rests(tables: Floats, level: Level, below: Level, rests: list[Floats]) -> None:
    """Enter what is left of the cells below; where both halves know a way, the quicker counts."""
    for batch, rest in zip(below.layout.batches, rests, strict=True):
        spots = below.above_table(batch)
        for half in (0, 1):
            some = np.flatnonzero(below.rims.cells[batch.rows] % 2 == half)
            of_half = spots[:, some]
            index = level.layout.index(below.above_rows[batch.rows[some]], of_half[:, None], of_half[None])
            tables[index] = np.minimum(tables[index], rest[:, :, some])


def _eliminate(table: Floats, own: int) -> None:
    if table.shape[2] == 1:
        take_out_first(table[:, :, 0], own)
        return
    for k in range(own):
        later = table[k + 1 :, k + 1 :]
        np.minimum(later, table[k + 1 :, k, None] + table[None, k, k + 1 :], out=later)
