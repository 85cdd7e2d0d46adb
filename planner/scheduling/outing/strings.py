"""Good round trips through more points than can be proven best: nearest neighbour, then mended by turning stretches."""

from __future__ import annotations

from itertools import combinations

import numpy as np

from planner.scheduling.problem import FloatArray

_LEAST_GAIN = 1e-6


def good_strings(legs: FloatArray, lead_in: FloatArray, lead_out: FloatArray) -> list[tuple[int, ...]]:
    """Return orders worth trying through all points: the route's own both ways, and one mended from each end.

    Args:
        legs: time from point (row) to point (column), shape (n, n).
        lead_in: time to begin at each point, shape (n,).
        lead_out: time to end at each point, shape (n,).
    """
    forward = tuple(range(len(legs)))
    starts = {int(np.argmin(lead_in)), 0, len(legs) - 1}
    mended = [_mended(_nearest(start, legs), legs, lead_in, lead_out) for start in sorted(starts)]
    found = [forward, forward[::-1], *mended]
    return sorted(set(found), key=lambda order: (_length(order, legs, lead_in, lead_out), order))


def _length(order: tuple[int, ...], legs: FloatArray, lead_in: FloatArray, lead_out: FloatArray) -> float:
    at = np.asarray(order)
    return float(lead_in[at[0]] + legs[at[:-1], at[1:]].sum() + lead_out[at[-1]])


def _nearest(start: int, legs: FloatArray) -> tuple[int, ...]:
    order, left = [start], set(range(len(legs))) - {start}
    while left:
        here = order[-1]
        order.append(min(left, key=lambda point: (legs[here, point], point)))
        left.remove(order[-1])
    return tuple(order)


def _mended(order: tuple[int, ...], legs: FloatArray, lead_in: FloatArray, lead_out: FloatArray) -> tuple[int, ...]:
    """Turn stretches round while that shortens the trip (2-opt; Croes 1958); first gain taken, so always the same."""
    best, length = order, _length(order, legs, lead_in, lead_out)
    gained = True
    while gained:
        gained = False
        for i, j in combinations(range(len(order) + 1), 2):
            turned = best[:i] + best[i:j][::-1] + best[j:]
            new = _length(turned, legs, lead_in, lead_out)
            if new < length - _LEAST_GAIN:
                best, length, gained = turned, new, True
    return best
