"""The product of two tables of times with minimum for sum and sum for product, where nearly all of the work lies."""

from __future__ import annotations

import numpy as np

from planner.travel.coordinates import Floats

FAR = 1e15
"""Seconds that stand for no way at all. Not infinity: a BLAS may multiply it by nought, which is not a number."""
_AT_ONCE = 65_536
"""Sums made at a time: they stay in a processor's second cache. Found by trial, a half or double is as good."""
_PANEL = 24
"""Rows that are taken out together; found by trial."""
_FEWER = 0.7
"""Share of a table to which sums within a limit must come down for it to be worth taking those out; found by trial."""


def lower_by_sums(table: Floats, firsts: Floats, seconds: Floats) -> None:
    """Lower ``table[i, j]`` to the least of ``firsts[k, i] + seconds[k, j]``, where that is less.

    Args:
        table: shape (n, m), changed in place.
        firsts: shape (k, n), at most ``FAR``.
        seconds: shape (k, m), at most ``FAR``.
    """
    (rows, columns), count = table.shape, len(firsts)
    if not (rows and columns and count):
        return
    # A sum of all pairs is the product (first, 1) by (1, second): exact, and BLAS makes it twice as quick as adding.
    left, right = np.ones((count, rows, 2)), np.ones((count, 2, columns))
    left[:, :, 0], right[:, 1] = firsts, seconds
    step = min(max(_AT_ONCE // columns, 1), rows)
    room = np.empty((step, columns))
    for start in range(0, rows, step):
        part = table[start : start + step].copy()
        sums = room[: len(part)]
        for k in range(count):
            np.matmul(left[k, start : start + step], right[k], out=sums)
            np.minimum(part, sums, out=part)
        table[start : start + step] = part


def lower_by_near_sums(table: Floats, firsts: Floats, seconds: Floats, limit_seconds: float) -> None:
    """Do the same, but for sums beyond a limit: any of those may be left out.

    Args:
        table: shape (n, m), changed in place.
        firsts: shape (k, n), at most ``FAR``.
        seconds: shape (k, m), at most ``FAR``.
        limit_seconds: may be ``inf``.
    """
    if np.isfinite(limit_seconds) and table.size:
        nearest = seconds.min(axis=1, keepdims=True)
        rows = np.flatnonzero((firsts + nearest <= limit_seconds).any(axis=0))
        columns = np.flatnonzero((seconds <= limit_seconds).any(axis=0))
        if len(rows) * len(columns) < _FEWER * table.size:
            part = table[rows[:, None], columns]
            lower_by_sums(part, firsts[:, rows], seconds[:, columns])
            table[rows[:, None], columns] = part
            return
    lower_by_sums(table, firsts, seconds)


def take_out_first(table: Floats, count: int) -> None:
    """Lower the times between later places by the ways over each of the first ``count`` places in turn.

    Args:
        table: seconds from place to place, shape (n, n), changed in place.
        count: how many places are taken out, from the first.
    """
    for start in range(0, count, _PANEL):
        end = min(start + _PANEL, count)
        for k in range(start, end):
            rows, columns = table[k + 1 : end, k + 1 :], table[end:, k + 1 : end]
            np.minimum(rows, table[k + 1 : end, k, None] + table[k, k + 1 :], out=rows)
            np.minimum(columns, table[end:, k, None] + table[k, k + 1 : end], out=columns)
        lower_by_sums(table[end:, end:], table[end:, start:end].T, table[start:end, end:])


def pass_on(times: Floats, steps: Floats, limit_seconds: float) -> None:
    """Lower the times of later places by the ways over each of the first places in turn.

    Args:
        times: seconds to every place, one column for each start, changed in place.
        steps: seconds from each first place to every place.
        limit_seconds: longer ways may be left out.
    """
    count = len(steps)
    for start in range(0, count, _PANEL):
        end = min(start + _PANEL, count)
        for k in range(start, end - 1):
            rows = times[k + 1 : end]
            np.minimum(rows, steps[k, k + 1 : end, None] + times[k], out=rows)
        lower_by_near_sums(times[end:], steps[start:end, end:], times[start:end], limit_seconds)
