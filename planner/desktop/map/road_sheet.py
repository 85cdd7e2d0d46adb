"""Roads on the map's ground, thinned for each size and sorted into squares, so that a small piece is found at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.desktop.map.ground import Flags, Floats, Ground, Ints
from planner.usecases.roads.map_lines import MapLines, RoadRank

DETAILS_M = (0.0, 6.0, 30.0, 150.0)
"""Bends smaller than this are left out; the coarser pictures take a fraction of the corners."""
COARSEST_BEND_PX = 0.75
SQUARES_ACROSS = 256
"""Along the longer side of the map."""
BLOCK = 8
"""Squares across, for judging how close together roads lie."""
APART_PX = 6.0
"""A rank of roads is shown from where its lines and those of weightier ranks stand so far apart on the whole."""


@dataclass(frozen=True, eq=False)
class Detail:
    """The roads at one fineness."""

    east: Floats
    south: Floats
    starts: Ints
    lines: Ints
    """Which of the map's lines each line here is."""
    ranks: Ints


@dataclass(frozen=True, eq=False)
class Squares:
    """Which lines touch each square of a grid over the ground; numbers are those of one ``Detail``."""

    left: float
    top: float
    side_m: float
    across: int
    down: int
    begins: Ints
    """First entry of each square, row by row, and the number of entries at the end."""
    entries: Ints

    def near(self, left: float, top: float, right: float, bottom: float) -> Ints:
        """Return the lines of all squares that a box touches, each once, in their order."""
        first_x = max(int((left - self.left) // self.side_m), 0)
        last_x = min(int((right - self.left) // self.side_m), self.across - 1)
        first_y = max(int((top - self.top) // self.side_m), 0)
        last_y = min(int((bottom - self.top) // self.side_m), self.down - 1)
        if first_x > last_x or first_y > last_y:
            return np.empty(0, dtype=np.int64)
        rows = [row * self.across for row in range(first_y, last_y + 1)]
        found = [self.entries[self.begins[row + first_x] : self.begins[row + last_x + 1]] for row in rows]
        return np.unique(np.concatenate(found))


@dataclass(frozen=True, eq=False)
class RoadSheet:
    """All roads of a season's road map."""

    source: MapLines
    ground: Ground
    details: tuple[Detail, ...]
    squares: tuple[Squares, ...]
    """One for each of ``details``."""
    shown_from: Floats
    """Scale (pixels per metre) from which on each rank is shown."""

    @classmethod
    def of(cls, source: MapLines, ground: Ground) -> RoadSheet:
        """Lay roads out on the ground; takes a second for half a million, so not on the interface thread."""
        east, south = ground.metres(source.latitudes, source.longitudes)
        whole = Detail(east, south, source.starts, np.arange(source.count), source.ranks)
        squares = _sorted_into_squares(whole)
        shown_from = _shown_from(whole, squares)
        # Where a coarser detail serves, some ranks are never shown: it does without them.
        coarser = [
            _thinned(whole, bend_m, shown_from[whole.ranks] <= COARSEST_BEND_PX / bend_m) for bend_m in DETAILS_M[1:]
        ]
        coarser_squares = (_sorted_into_squares(detail) for detail in coarser)
        return cls(source, ground, (whole, *coarser), (squares, *coarser_squares), shown_from)

    def at(self, scale: float) -> int:
        """Return the place of the coarsest detail whose left out bends are too small to see at a scale."""
        fits = [place for place, bend_m in enumerate(DETAILS_M) if bend_m * scale <= COARSEST_BEND_PX]
        return fits[-1]

    def near(self, scale: float, box: tuple[float, float, float, float]) -> tuple[Detail, Ints]:
        """Return the detail for a scale, and which of its lines may show in a box (metres of the map) at it."""
        place = self.at(scale)
        detail, found = self.details[place], self.squares[place].near(*box)
        return detail, found[self.shown_from[detail.ranks[found]] <= scale]


def _thinned(whole: Detail, bend_m: float, wanted: Flags) -> Detail:
    """Return the wanted roads without corners in the same small cell as the corner before, or lines within one."""
    cells = np.stack([whole.east, whole.south]) // bend_m
    starts, counts = whole.starts[:-1], np.diff(whole.starts)
    kept = np.ones(len(whole.east), dtype=bool)
    kept[1:] = (cells[:, 1:] != cells[:, :-1]).any(axis=0)
    kept[starts] = True
    kept[whole.starts[1:] - 1] = True
    left = np.add.reduceat(kept, starts, dtype=np.int64)
    leaves_cell = (cells[:, starts] != cells[:, whole.starts[1:] - 1]).any(axis=0)
    stays = wanted & ((left > 2) | leaves_cell)
    lines, corners = np.flatnonzero(stays), kept & np.repeat(stays, counts)
    return Detail(
        whole.east[corners],
        whole.south[corners],
        np.concatenate([[0], np.cumsum(left[lines])]),
        lines,
        whole.ranks[lines],
    )


def _sorted_into_squares(detail: Detail) -> Squares:
    if not len(detail.lines):
        return Squares(0.0, 0.0, 1.0, 1, 1, np.zeros(2, dtype=np.int64), np.empty(0, dtype=np.int64))
    starts = detail.starts[:-1]
    west, east = np.minimum.reduceat(detail.east, starts), np.maximum.reduceat(detail.east, starts)
    north, south = np.minimum.reduceat(detail.south, starts), np.maximum.reduceat(detail.south, starts)
    left, top = float(west.min()), float(north.min())
    side = max(float(east.max()) - left, float(south.max()) - top, 1.0) / SQUARES_ACROSS
    first_x, last_x = ((west - left) // side).astype(np.int64), ((east - left) // side).astype(np.int64)
    first_y, last_y = ((north - top) // side).astype(np.int64), ((south - top) // side).astype(np.int64)
    across, down = int(last_x.max()) + 1, int(last_y.max()) + 1
    wide, high = last_x - first_x + 1, last_y - first_y + 1
    entries = np.repeat(np.arange(len(wide)), wide * high)
    within = np.arange(len(entries)) - np.repeat(np.cumsum(wide * high) - wide * high, wide * high)
    square = (first_y[entries] + within // wide[entries]) * across + first_x[entries] + within % wide[entries]
    order = np.argsort(square, kind="stable")
    begins = np.searchsorted(square[order], np.arange(across * down + 1))
    return Squares(left, top, side, across, down, begins, entries[order])


def _shown_from(whole: Detail, squares: Squares) -> Floats:
    """Return the scale from which on each rank stands apart enough; the weightiest is always shown."""
    steps = np.hypot(np.diff(whole.east), np.diff(whole.south))
    steps[whole.starts[1:-1] - 1] = 0.0
    metres = np.bincount(whole.ranks, np.add.reduceat(steps, whole.starts[:-1]), minlength=len(RoadRank))
    with np.errstate(divide="ignore"):
        apart_m = _filled_m2(squares) / np.cumsum(metres)
    scales = APART_PX / apart_m
    scales[: int(np.argmax(metres > 0)) + 1] = 0.0
    return scales


def _filled_m2(squares: Squares) -> float:
    """Return the ground that has roads, in square metres, counted in squares large enough for several."""
    filled = np.flatnonzero(np.diff(squares.begins))
    rows, columns = np.divmod(filled, squares.across)
    blocks = np.unique(np.stack([rows // BLOCK, columns // BLOCK]), axis=1).shape[1]
    return float(blocks * (BLOCK * squares.side_m) ** 2)
