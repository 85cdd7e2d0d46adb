"""Where the times of each cell are kept: cells of one depth and of like size side by side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.travel.coordinates import Ints
from planner.travel.large_tables.dissection import depths
from planner.travel.large_tables.rims import Rims, rims

_ALONE = 64
"""A cell with so many nodes, its own and on its rim, is worked on alone; found by trial."""
_SIZES = np.array([0, 1, 2, 3, 4, 6, 8, 10, 12, 16, 20, 24, 32, 40, 48, 64])
"""Smaller cells are worked on side by side if both their counts of nodes round up to the same of these."""


@dataclass(frozen=True, slots=True, eq=False)
class Batch:
    """Cells that are worked on side by side, each in its slot.

    Spots of a cell: its own nodes in the order in which they are taken out, then the nodes on its rim. Cells that have
    fewer of either than the largest are filled up with spots that nothing leads to.
    """

    rows: Ints
    """Which cells of the level; the place in this list is the slot."""
    own: int
    """Most own nodes of any."""
    rim: int
    """Most nodes on the rim of any."""
    base: int
    """Where their tables begin among those of the level."""
    first: int
    """How many cells of the level lie in batches before this."""

    @property
    def count(self) -> int:
        """Number of cells."""
        return len(self.rows)

    @property
    def size(self) -> int:
        """Spots of each."""
        return self.own + self.rim


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """For each row of a level what must be known to find its figures."""

    batches: tuple[Batch, ...]
    total: int
    """Figures in the tables of all cells."""
    own: Ints
    """``Batch.own`` of its batch."""
    size: Ints
    count: Ints
    base: Ints
    slot: Ints
    rank: Ints
    """Its place among all cells, batch by batch."""

    @classmethod
    def build(cls, own_sizes: Ints, rim_sizes: Ints) -> Layout:
        """Sort cells into batches by their counts of own nodes and of nodes on the rim."""
        kinds = _kinds(own_sizes, rim_sizes)
        order = np.argsort(kinds, kind="stable")
        batches: list[Batch] = []
        base = first = 0
        for rows in np.split(order, np.flatnonzero(np.diff(kinds[order])) + 1):
            batches.append(Batch(rows, int(own_sizes[rows].max()), int(rim_sizes[rows].max()), base, first))
            base += batches[-1].size ** 2 * len(rows)
            first += len(rows)
        of_row = np.empty((6, len(order)), dtype=np.int64)
        for batch in batches:
            of_row[:4, batch.rows] = np.array([[batch.own], [batch.size], [batch.count], [batch.base]])
            of_row[4, batch.rows] = np.arange(batch.count)
            of_row[5, batch.rows] = batch.first + np.arange(batch.count)
        return cls(tuple(batches), base, *of_row)

    def index(self, rows: Ints, row_spots: Ints, column_spots: Ints) -> Ints:
        """Return where the figure from one spot to another is kept among the tables of the level; past all for -1."""
        # Rows and columns apart, so that where they are broadcast to whole tables little is done that often.
        count = self.count[rows]
        first = self.base[rows] + self.slot[rows] + row_spots * (self.size[rows] * count)
        further = column_spots * count
        first[row_spots < 0] = further[column_spots < 0] = self.total
        index = first + further
        return np.minimum(index, self.total, out=index)


def _kinds(own_sizes: Ints, rim_sizes: Ints) -> Ints:
    """Return a number for each cell, the same for those that are worked on side by side."""
    alone = own_sizes + rim_sizes >= _ALONE
    kinds = np.searchsorted(_SIZES, own_sizes) * len(_SIZES) + np.searchsorted(_SIZES, rim_sizes)
    kinds[alone] = len(_SIZES) * (len(_SIZES) + 1) + np.arange(int(alone.sum()))
    return np.asarray(kinds, dtype=np.int64)


@dataclass(frozen=True, slots=True, eq=False)
class Nodes:
    """Where each node of the network is."""

    depths: Ints
    """Depth of its cell."""
    rows: Ints
    """Row of its cell in the level of that depth."""
    spots: Ints
    """Its spot in that cell."""

    @classmethod
    def build(cls, cells: Ints, found: list[Rims]) -> Nodes:
        """Look up where the cells of all depths have their own nodes."""
        rows, spots = np.empty(len(cells), dtype=np.int64), np.empty(len(cells), dtype=np.int64)
        for here in found:
            rows[here.own_nodes] = np.repeat(np.arange(len(here.cells)), here.own_sizes)
            spots[here.own_nodes] = np.arange(len(here.own_nodes)) - here.own_starts[rows[here.own_nodes]]
        return cls(depths(cells), rows, spots)

    def by_owner(self, starts: Ints, ends: Ints) -> list[Ints]:
        """Return for each depth the roads that a cell of it owns: the deeper of its two nodes' cells."""
        owner_depths = np.maximum(self.depths[starts], self.depths[ends])
        order = np.argsort(owner_depths, kind="stable")
        return np.split(order, np.searchsorted(owner_depths[order], np.arange(1, int(self.depths.max()) + 1)))


@dataclass(frozen=True, slots=True, eq=False)
class Level:
    """The cells of one depth; a row is a cell's place among their rising numbers."""

    depth: int
    rims: Rims
    layout: Layout
    nodes: Nodes
    above_rows: Ints
    """Row of the cell above, for each row; of no meaning at depth 0."""
    above_spots: Ints
    """Spot in the cell above of each node on a rim, in the order of ``rims.rim_nodes``."""

    def owners(self, starts: Ints, ends: Ints) -> Ints:
        """Return the row that owns each road, of roads that this level owns."""
        return np.where(self.nodes.depths[starts] == self.depth, self.nodes.rows[starts], self.nodes.rows[ends])

    def spots(self, rows: Ints, nodes: Ints) -> Ints:
        """Return the spots of nodes in cells given by row; each is the cell's own or on its rim."""
        count = len(self.nodes.rows)
        keys = self.rims.rim_rows * count + self.rims.rim_nodes
        on_rim = np.searchsorted(keys, rows * count + nodes) - self.rims.rim_starts[rows] + self.layout.own[rows]
        own = (self.nodes.depths[nodes] == self.depth) & (self.nodes.rows[nodes] == rows)
        return np.where(own, self.nodes.spots[nodes], on_rim)

    def above_table(self, batch: Batch) -> Ints:
        """Return the spots in the cells above of the nodes on the rim, shape (rim, cells); -1 for those filled up."""
        number = np.arange(batch.rim)[:, None]
        there = number < self.rims.rim_sizes[batch.rows]
        spots = np.full(there.shape, -1)
        spots[there] = self.above_spots[(self.rims.rim_starts[batch.rows] + number)[there]]
        return spots


def levels(cells: Ints, roads: tuple[Ints, Ints]) -> list[Level]:
    """Return the cells of every depth, the whole network first.

    Args:
        cells: the cell of each node, by ``dissect``.
        roads: the two nodes of each road.
    """
    by_depth = rims(cells, roads)
    nodes = Nodes.build(cells, by_depth)
    found: list[Level] = []
    for depth, here in enumerate(by_depth):
        above_rows, above_spots = np.zeros(len(here.cells), dtype=np.int64), here.rim_nodes
        if found:
            above_rows = np.searchsorted(found[-1].rims.cells, here.cells // 2)
            above_spots = found[-1].spots(above_rows[here.rim_rows], here.rim_nodes)
        layout = Layout.build(here.own_sizes, here.rim_sizes)
        found.append(Level(depth, here, layout, nodes, above_rows, above_spots))
    return found
