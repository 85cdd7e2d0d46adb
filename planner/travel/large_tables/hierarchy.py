"""Seconds between very many places at once: the network is dissected and taken apart once, then asked for tables."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np
from scipy.sparse import csr_array

from planner.travel.coordinates import Floats, Ints
from planner.travel.doors import Doors
from planner.travel.large_tables.dissection import dissect
from planner.travel.large_tables.fronts import Front, take_out
from planner.travel.large_tables.labels import Labels, labels
from planner.travel.large_tables.least_sums import FAR, lower_by_sums
from planner.travel.large_tables.levels import Level, levels
from planner.travel.large_tables.rims import distinct

_FEW = 40_000
"""Sums of a cell that are made all at once; found by trial."""
_AT_ONCE = 512
"""So many places at a time are met with all others, for the sake of memory."""
_MOST_SUMS_A_NODE = 60_000
"""A network whose cells take more sums than this for each node has too few narrow places, and is not taken apart: that
is the work of some seventy searches. Grids of half a million directed roads take 7,500, of two millions 15,000."""
_MOST_FIGURES = 250_000_000
"""Times that are kept at most, 2 GB; half a million roads on a grid take 13 millions, two millions 60."""
_NEIGHBOURS = 64
"""With a limit, so many places at a time are met with what lies near them; found by trial."""


@dataclass(frozen=True, slots=True, eq=False)
class Hierarchy:
    """A network taken apart."""

    levels: list[Level]
    fronts: list[list[Front]]
    cells: Ints
    """Cell of each node."""

    @classmethod
    def build(cls, arcs: csr_array, latitudes: Floats, longitudes: Floats) -> Hierarchy | None:
        """Take a network apart; None where it has too few narrow places for that to be worth the time or the memory.

        Args:
            arcs: seconds from node (row) to node (column), each pair once.
            latitudes: degrees, one for each node.
            longitudes: degrees.
        """
        roads = _roads(arcs)
        cells = dissect(latitudes, longitudes, roads)
        parts = levels(cells, roads)
        if _is_tangled(parts, len(cells)):
            return None
        return cls(parts, take_out(parts, arcs), cells)

    def seconds(self, leaving: Doors, entering: Doors, limit_seconds: float) -> Floats:
        """Return the least seconds through at least one node, shape (leaving, entering); ``inf`` where none is."""
        # Both ways at a time: NumPy lets go of the interpreter in its loops.
        with ThreadPoolExecutor(1) as pool:
            later = pool.submit(self._labels, entering, limit_seconds, back=True)
            out = self._labels(leaving, limit_seconds, back=False)
            into = later.result()
        result = np.full((leaving.count, entering.count), FAR)
        while out:
            for rows, columns in zip(out.pop(), into.pop(), strict=True):
                _meet(result, rows, columns, limit_seconds)
        result[result >= FAR] = np.inf
        return result

    def _labels(self, doors: Doors, limit_seconds: float, *, back: bool) -> list[list[Labels]]:
        """Return the labels of places, in each cell in an order that has neighbours together."""
        depth = self.levels[0].nodes.depths
        keys = self.cells << (int(depth.max()) - depth)
        place_keys = np.zeros(doors.count, dtype=np.int64)
        place_keys[doors.places] = keys[doors.nodes]
        order = np.argsort(place_keys, kind="stable")
        number = np.empty(doors.count, dtype=np.int64)
        number[order] = np.arange(doors.count)
        by_cell = Doors.build(doors.count, number[doors.places], doors.nodes, doors.seconds, doors.ends)
        return [
            [replace(one, places=order[one.places]) for one in some]
            for some in labels(self.levels, self.fronts, by_cell, limit_seconds, back=back)
        ]


def _roads(arcs: csr_array) -> tuple[Ints, Ints]:
    """Return the pairs of nodes that are joined in either direction, each once."""
    nodes = arcs.shape[0]
    starts = np.repeat(np.arange(nodes), np.diff(arcs.indptr))
    ends = arcs.indices.astype(np.int64)
    keys = distinct(np.minimum(starts, ends) * nodes + np.maximum(starts, ends))
    return keys // nodes, keys % nodes


def _is_tangled(parts: list[Level], node_count: int) -> bool:
    batches = [batch for level in parts for batch in level.layout.batches]
    sums = sum(batch.own * batch.size**2 * batch.count for batch in batches)
    kept = sum(2 * batch.own * batch.size * batch.count for batch in batches)
    return sums > _MOST_SUMS_A_NODE * node_count or kept + max(level.layout.total for level in parts) > _MOST_FIGURES


def _meet(result: Floats, rows: Labels, columns: Labels, limit_seconds: float) -> None:
    """Lower a table of seconds by the ways over the own nodes of the cells of a batch."""
    both = np.intersect1d(rows.slots, columns.slots)
    spans = (np.searchsorted(one.slots, both, side) for one in (rows, columns) for side in ("left", "right"))
    for row_start, row_end, start, end in zip(*(span.tolist() for span in spans), strict=True):
        _meet_in_cell(
            result,
            (rows.places[row_start:row_end], rows.seconds[:, row_start:row_end]),
            (columns.places[start:end], columns.seconds[:, start:end]),
            limit_seconds,
        )


_Side = tuple[Ints, Floats]
"""Places that a cell holds, and their seconds, shape (own nodes, places)."""


def _meet_in_cell(result: Floats, rows: _Side, columns: _Side, limit_seconds: float) -> None:
    if not len(rows[1]):
        return
    if rows[1].size * len(columns[0]) < _FEW:
        at = np.ix_(rows[0], columns[0])
        result[at] = np.minimum(result[at], (rows[1][:, :, None] + columns[1][:, None]).min(axis=0))
        return
    step = _NEIGHBOURS if np.isfinite(limit_seconds) else _AT_ONCE
    for start in range(0, len(rows[0]), step):
        places, seconds = rows[0][start : start + step], rows[1][:, start : start + step]
        others, other_seconds = columns
        if np.isfinite(limit_seconds):
            seconds, others, other_seconds = _within(seconds, columns, limit_seconds)
        part = np.full((len(places), len(others)), FAR)
        lower_by_sums(part, seconds, other_seconds)
        at = np.ix_(places, others)
        result[at] = np.minimum(result[at], part)


def _within(seconds: Floats, columns: _Side, limit_seconds: float) -> tuple[Floats, Ints, Floats]:
    """Leave out the own nodes and the other places that are beyond the limit from all of the places."""
    nearest = seconds.min(axis=1)
    used = nearest <= limit_seconds
    near = (columns[1][used] + nearest[used, None] <= limit_seconds).any(axis=0)
    return seconds[used], columns[0][near], columns[1][used][:, near]
