"""Counting in given orders on many dates at once: when each run ends, and whether it keeps the windows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from planner.domain.window import StartRule
from planner.scheduling.outing.task import FIT_TOLERANCE_S
from planner.scheduling.problem import FloatArray

IntArray = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class RunRule:
    """What binds every run of one pass."""

    legs_s: FloatArray
    """From point (row) to point (column), shape (points, points)."""
    stay_s: float
    start: StartRule
    within_minutes: float | None


@dataclass(frozen=True, slots=True, eq=False)
class Runs:
    """What became of each order on each date, shape (dates, orders)."""

    ends_s: FloatArray
    """End of the last count."""
    margin_s: FloatArray
    """From the end of the last count to its closing."""
    slack_s: FloatArray
    """Least time from the end of a count to the closing that binds it; below 0: so much too long. NaN: no window."""


def run_orders(
    rule: RunRule, orders: IntArray, opens: FloatArray, closes: FloatArray, ready: FloatArray | None = None
) -> Runs:
    """Count in each order on each date.

    Args:
        rule: legs and what binds the start and the end.
        orders: points in counting order, shape (orders, k).
        opens: openings, shape (dates, points); NaN where there is no window.
        closes: closings, shape (dates, points).
        ready: earliest start of the first count, shape (dates, orders); None: the opening.
    """
    firsts = opens[:, orders[:, 0]]
    starts = firsts if ready is None else np.maximum(firsts, ready)
    late = starts - firsts
    limit = np.inf if rule.within_minutes is None else starts + rule.within_minutes * 60.0
    ends = starts + rule.stay_s
    binding = np.minimum(closes[:, orders[:, 0]], limit)
    slack = binding - ends
    if rule.start is StartRule.EXACTLY:
        slack = np.where(late > FIT_TOLERANCE_S, np.minimum(slack, -late), slack)
    for place in range(1, orders.shape[1]):
        point = orders[:, place]
        arrival = ends + rule.legs_s[orders[:, place - 1], point]
        ends = np.maximum(arrival, opens[:, point]) + rule.stay_s
        binding = np.minimum(closes[:, point], limit)
        slack = np.minimum(slack, binding - ends)
    return Runs(ends, binding - ends, slack)
