"""What each place is from the own nodes of every cell that holds it.

The quickest way between two places passes some node of a cell that holds both. A *label* of a place is its least
seconds to (or from) the own nodes of its cells, over nodes taken out before; two labels together give the way (Abraham,
Delling, Goldberg and Werneck, "A hub-based labeling algorithm for shortest paths in road networks", Experimental
Algorithms, 2011).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.travel.coordinates import Floats, Ints
from planner.travel.doors import Doors
from planner.travel.large_tables.fronts import Front
from planner.travel.large_tables.least_sums import FAR, pass_on
from planner.travel.large_tables.levels import Batch, Level
from planner.travel.large_tables.rims import distinct


@dataclass(frozen=True, slots=True, eq=False)
class Labels:
    """Labels of places in the cells of one batch, one entry for each cell and place."""

    slots: Ints
    """Slot of the cell, rising."""
    places: Ints
    """Each once in a cell."""
    seconds: Floats
    """Shape (own, entries); ``FAR`` where there is no way."""


@dataclass(frozen=True, slots=True, eq=False)
class _Known:
    """Times that a level is given, by doors or from the cells below; a cell, place and spot at most once."""

    rows: Ints
    """Row of the cell of each entry."""
    places: Ints
    spots: Ints
    """Shape (n, entries); -1 where there is none."""
    seconds: Floats
    """The same shape."""


def labels(
    levels: list[Level], fronts: list[list[Front]], doors: Doors, limit_seconds: float, *, back: bool
) -> list[list[Labels]]:
    """Return the labels of places, for every level and batch.

    Args:
        levels: the cells, the whole network first.
        fronts: the cells of every level and batch taken out.
        doors: where the places lead into the network, or are led to.
        limit_seconds: longer ways are left out.
        back: whether the labels say how long it takes from the own nodes to the places, not to them.
    """
    found: list[list[Labels]] = []
    known: list[_Known] = []
    whereabouts = levels[0].nodes
    for level, of_level in zip(levels[::-1], fronts[::-1], strict=True):
        here = whereabouts.depths[doors.nodes] == level.depth
        rows, spots = whereabouts.rows[doors.nodes[here]], whereabouts.spots[doors.nodes[here]]
        known.append(_Known(rows, doors.places[here], spots[None], doors.seconds[here][None]))
        entries = _Entries.build(level, known, doors.count)
        found.append([])
        known = []
        for number, (batch, front) in enumerate(zip(level.layout.batches, of_level, strict=True)):
            slots, places, seconds = entries.of_batch(number, batch)
            if len(slots):
                _pass_on(seconds, front.into() if back else front.out, slots, limit_seconds)
            found[-1].append(Labels(slots, places, seconds[: batch.own].copy()))
            known += _rest(level, batch, Labels(slots, places, seconds[batch.own :]))
    return found[::-1]


@dataclass(frozen=True, slots=True, eq=False)
class _Entries:
    """Cells of a level and places that have times in them, batch by batch, cell by cell, place by place."""

    slots: Ints
    places: Ints
    starts: Ints
    """First entry of each batch, and the number of all."""
    bases: Ints
    """Where the table of each batch begins, and the length of all."""
    tables: Floats

    @classmethod
    def build(cls, level: Level, known: list[_Known], place_count: int) -> _Entries:
        """Lay out the tables of a level and enter what is known; of several times for one spot the least."""
        layout = level.layout
        keys = distinct(np.concatenate([layout.rank[one.rows] * place_count + one.places for one in known]))
        ranks, places = np.divmod(keys, place_count)
        firsts = np.array([batch.first for batch in layout.batches])
        starts = np.append(np.searchsorted(ranks, firsts), len(keys))
        lengths = np.array([batch.size for batch in layout.batches]) * np.diff(starts)
        bases = np.concatenate([[0], np.cumsum(lengths)])
        tables = np.full(int(bases[-1]), FAR)
        for one in known:
            number = np.searchsorted(firsts, layout.rank[one.rows], side="right") - 1
            entry = np.searchsorted(keys, layout.rank[one.rows] * place_count + one.places) - starts[number]
            index = bases[number] + one.spots * np.diff(starts)[number] + entry
            there = one.spots >= 0
            tables[index[there]] = np.minimum(tables[index[there]], one.seconds[there])
        return cls(ranks - np.repeat(firsts, np.diff(starts)), places, starts, bases, tables)

    def of_batch(self, number: int, batch: Batch) -> tuple[Ints, Ints, Floats]:
        """Return slots and places of a batch's entries, and its table of seconds, shape (spots, entries)."""
        entries = slice(int(self.starts[number]), int(self.starts[number + 1]))
        table = self.tables[int(self.bases[number]) : int(self.bases[number + 1])]
        return self.slots[entries], self.places[entries], table.reshape(batch.size, entries.stop - entries.start)


def _pass_on(seconds: Floats, step: Floats, slots: Ints, limit_seconds: float) -> None:
    own, _, cells = step.shape
    if cells == 1:
        pass_on(seconds, step[:, :, 0], limit_seconds)
    else:
        for k in range(own):
            np.minimum(seconds[k + 1 :], step[k, k + 1 :, slots].T + seconds[k], out=seconds[k + 1 :])
    seconds[seconds > limit_seconds] = FAR


def _rest(level: Level, batch: Batch, rest: Labels) -> list[_Known]:
    """Return what a batch hands to the cells above: one half of each at a time, so that a spot is there once."""
    if not level.depth:
        return []
    rows, spots = batch.rows[rest.slots], level.above_table(batch)
    goes_on = (rest.seconds < FAR).any(axis=0)
    halves = [np.flatnonzero(goes_on & (level.rims.cells[rows] % 2 == half)) for half in (0, 1)]
    return [
        _Known(level.above_rows[rows[some]], rest.places[some], spots[:, rest.slots[some]], rest.seconds[:, some])
        for some in halves
        if len(some)
    ]
