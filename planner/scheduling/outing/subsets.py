"""Shortest ways through a set of points, exactly: dynamic programming over all subsets.

Held and Karp, A dynamic programming approach to sequencing problems (J. SIAM 10, 1962), with a window for
each point and with points that may be left out. The table has ``n * 2**n`` cells, so it serves up to 15 points.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from planner.scheduling.problem import FloatArray

MOST_POINTS = 15
"""Above this many points an order is no longer proven: a table takes 5 ms and 4 MB here, twice that for one more."""

_Cells = npt.NDArray[np.int64]


@lru_cache(maxsize=MOST_POINTS + 1)
def _cells_before(points: int) -> tuple[_Cells, ...]:
    """Return, for sets of 2, 3 … points, where in the layer before each cell's set lies without the cell's point.

    Shape of each (n, sets), sets of one size in the order of their numbers; bit p of a set's number stands for
    point p. Counted through the rows of the layer before; its end, one past the last cell, where the set lacks the
    point.
    """
    sets = np.arange(1 << points)
    bits = 1 << np.arange(points)[:, None]
    sizes = ((sets & bits) != 0).sum(axis=0)
    places = np.empty(len(sets), dtype=np.int64)
    by_size = [np.flatnonzero(sizes == size) for size in range(1, points + 1)]
    for layer in by_size:
        places[layer] = np.arange(len(layer))
    cells = []
    for layer, larger in pairwise(by_size):
        rows = np.arange(points)[:, None] * len(layer)
        cells.append(np.where(larger & bits, rows + places[larger & ~bits], points * len(layer)))
    return tuple(cells)


@dataclass(frozen=True, slots=True, eq=False)
class EarliestEnds:
    """The earliest end of the stay at each point after doing each set of points, sets of one size together."""

    legs: FloatArray
    layers: tuple[FloatArray, ...]
    """For sets of 1, 2 … points: by last point and set, shape (n, sets); inf where the set cannot be done with that
    point last. The last layer is that of the most points that can be done."""

    @property
    def most(self) -> int:
        """The most points that can be done."""
        return len(self.layers)

    def least(self, size: int) -> FloatArray:
        """Return the earliest end at each point after that many points, shape (n,); inf where there is none."""
        if not 1 <= size <= self.most:
            return np.full(len(self.legs), np.inf)
        return np.asarray(self.layers[size - 1].min(axis=1), dtype=np.float64)

    def way(self, size: int, last: int) -> tuple[int, ...]:
        """Return the order behind the earliest end at a point after that many points; empty where there is none."""
        if not 1 <= size <= self.most:
            return ()
        place = int(np.argmin(self.layers[size - 1][last]))
        if not np.isfinite(self.layers[size - 1][last, place]):
            return ()
        order = [last]
        for fewer in range(size - 1, 0, -1):
            layer = self.layers[fewer - 1]
            place = int(_cells_before(len(self.legs))[fewer - 1][last, place]) % layer.shape[1]
            last = int(np.argmin(layer[:, place] + self.legs[:, last]))
            order.append(last)
        return tuple(reversed(order))


def earliest_ends(
    first_ends: FloatArray,
    legs: FloatArray,
    opens: FloatArray,
    closes: FloatArray,
    stay: float,
    *,
    most: int = MOST_POINTS,
) -> EarliestEnds:
    """Return the earliest end of the stay at each point after doing each set of points.

    Args:
        first_ends: end of the stay at each point if it comes first, shape (n,); inf where it cannot.
        legs: time from point (row) to point (column), shape (n, n).
        opens: the stay begins no earlier, shape (n,); not asked of the first point.
        closes: the stay ends no later, shape (n,); not asked of the first point.
        stay: time spent at each point.
        most: sets of more points than this are not looked at.

    Returns:
        The table. All times in one unit, from one origin.
    """
    points = len(first_ends)
    cells_before = _cells_before(points)
    layer = np.full((points, points), np.inf)
    np.fill_diagonal(layer, first_ends)
    layers: list[FloatArray] = []
    while np.isfinite(layer).any():
        layers.append(layer)
        if len(layers) >= min(points, most):
            break
        # From every last point to every next one, even to points of the set itself: whole rows are quicker than a
        # choice of cells.
        ends = layer[0] + legs[0][:, None]
        for last in range(1, points):
            np.minimum(ends, layer[last] + legs[last][:, None], out=ends)
        ends = np.maximum(ends, opens[:, None]) + stay
        ends[ends > closes[:, None]] = np.inf
        layer = np.append(ends, np.inf)[cells_before[len(layers) - 1]]
    return EarliestEnds(legs, tuple(layers))


def shortest_ways(first_ends: FloatArray, legs: FloatArray, stay: float, *, most: int = MOST_POINTS) -> EarliestEnds:
    """Return the earliest ends where points have no windows; arguments as for ``earliest_ends``."""
    free = np.full(len(first_ends), np.inf)
    return earliest_ends(first_ends, legs, -free, free, stay, most=most)
