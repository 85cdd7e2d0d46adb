"""Counting along one given string of points, in its order, leaving points out where that lets more be counted."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from planner.scheduling.outing.task import CountingTask
from planner.scheduling.problem import FloatArray


def best_along(task: CountingTask, string: Sequence[int]) -> tuple[int, ...]:
    """Return the best order that follows a string of points, points left out anywhere: most points, then least cost.

    Exact: a table over (first point, last point) for each number of points counted; the earliest end of each
    cell is all that later points can depend on. Counting must be able to begin somewhere.
    """
    if task.starts_of(string) is not None:
        return tuple(string)
    at = np.asarray(string)
    layers = _layers(task, at)
    ends = layers[-1][0]
    cost = ends + task.lead_in_s[at][:, None] + task.lead_out_s[at][None, :]
    first, last = (int(index) for index in np.unravel_index(int(np.argmin(cost)), cost.shape))
    places = [last]
    for _, before in reversed(layers[1:]):
        places.append(int(before[first, places[-1]]))
    return tuple(int(at[place]) for place in reversed(places))


def _layers(task: CountingTask, at: npt.NDArray[np.int64]) -> list[tuple[FloatArray, npt.NDArray[np.int64]]]:
    """Return, for 1, 2 … points counted: earliest ends by (first, last), and the point before the last."""
    size = len(at)
    legs = task.legs_s[np.ix_(at, at)].copy()
    legs[np.tril_indices(size)] = np.inf
    opens, closes, latest = task.opens[at], task.closes[at], task.latest_ends[at]
    limit = np.minimum(closes[None, :], latest[:, None])
    ends = np.full((size, size), np.inf)
    np.fill_diagonal(ends, task.first_starts[at] + task.stay_s)
    layers: list[tuple[FloatArray, npt.NDArray[np.int64]]] = []
    before = np.zeros((size, size), dtype=np.int64)
    while np.isfinite(ends).any():
        layers.append((ends, before))
        arrival = ends[:, :, None] + legs[None, :, :]
        before = arrival.argmin(axis=1)
        ends = np.maximum(arrival.min(axis=1), opens[None, :]) + task.stay_s
        ends[ends > limit] = np.inf
    return layers
