"""Shortest ways through a set of points, exactly: dynamic programming over all subsets.

Held and Karp, A dynamic programming approach to sequencing problems (J. SIAM 10, 1962), with a window for
each point and with points that may be left out. The table has ``n * 2**n`` cells, so it serves up to 15 points.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import numpy.typing as npt

from planner.scheduling.problem import FloatArray

MOST_POINTS = 15
"""Above this many points an order is no longer proven: the table would outgrow 50 ms and a few megabytes."""

_Sets = npt.NDArray[np.int64]


@lru_cache(maxsize=MOST_POINTS)
def _growing(points: int) -> tuple[tuple[_Sets, ...], ...]:
    """For each set size from 1 up, and for each point, the sets of that size that lack the point."""
    sets = np.arange(1 << points, dtype=np.int64)
    sizes = sum((sets >> point) & 1 for point in range(points))
    return tuple(
        tuple(sets[(sizes == size) & ((sets >> point) & 1 == 0)] for point in range(points))
        for size in range(1, points)
    )


@lru_cache(maxsize=MOST_POINTS)
def set_sizes(points: int) -> npt.NDArray[np.int64]:
    """Return the number of points in each set, shape (2**points,); bit p of a set's number stands for point p."""
    sets = np.arange(1 << points, dtype=np.int64)
    return np.asarray(sum((sets >> point) & 1 for point in range(points)), dtype=np.int64)


def earliest_ends(
    first_ends: FloatArray, legs: FloatArray, opens: FloatArray, closes: FloatArray, stay: float
) -> FloatArray:
    """Return the earliest end of the stay at each point after doing each set of points.

    Args:
        first_ends: end of the stay at each point if it comes first, shape (n,); inf where it cannot.
        legs: time from point (row) to point (column), shape (n, n).
        opens: the stay begins no earlier, shape (n,).
        closes: the stay ends no later, shape (n,).
        stay: time spent at each point.

    Returns:
        Shape (n, 2**n), by last point and set; inf where the set cannot be done with that point last.
        All times in one unit, from one origin.
    """
    points = len(first_ends)
    ends = np.full((points, 1 << points), np.inf)
    ends[np.arange(points), 1 << np.arange(points)] = first_ends
    for sets_by_point in _growing(points):
        for point, sets in enumerate(sets_by_point):
            arrival = (ends[:, sets] + legs[:, point, None]).min(axis=0)
            end = np.maximum(arrival, opens[point]) + stay
            end[end > closes[point]] = np.inf
            ends[point, sets | (1 << point)] = end
    return ends


def way_to(ends: FloatArray, legs: FloatArray, done: int, last: int) -> tuple[int, ...]:
    """Return the order of points behind one finite cell of the table, first point first."""
    order = [last]
    while done != 1 << last:
        done ^= 1 << last
        last = int(np.argmin(ends[:, done] + legs[:, last]))
        order.append(last)
    return tuple(reversed(order))
