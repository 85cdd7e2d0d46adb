"""The counting task of one pass: points with windows of their own, legs, and what binds first and last count."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise

import numpy as np

from planner.domain.counting import Direction
from planner.domain.window import StartRule
from planner.scheduling.problem import FloatArray

FIT_TOLERANCE_S = 1e-3
"""A count that ends this little after the closing still fits: far below what a clock shows, far above rounding."""


@dataclass(frozen=True, eq=False)
class CountingTask:
    """One pass over n points. Counting begins as early as the rule lets it: at the first point's opening."""

    legs_minutes: FloatArray
    """From point (row) to point (column), shape (n, n); inf where there is no way."""
    open_s: FloatArray
    """Unix seconds, shape (n,); NaN where a point has no window."""
    close_s: FloatArray
    count_minutes: float
    direction: Direction = Direction.ANY
    start: StartRule = StartRule.NO_EARLIER
    within_minutes: float | None = None
    """Longest time from the start of the first count to the end of the last."""
    ready_s: FloatArray | None = None
    """Earliest moment the team can begin at each point; None: whenever that may be."""
    lead_in_minutes: FloatArray = field(default_factory=lambda: np.zeros(0))
    """What starting at each point costs beforehand: the drive from home, and the habitat round on the way. Empty: 0."""
    lead_out_minutes: FloatArray = field(default_factory=lambda: np.zeros(0))
    """What ending at each point costs afterwards: the drive home. Empty: 0."""

    @property
    def points(self) -> int:
        """Number of points."""
        return len(self.open_s)

    @cached_property
    def legs_s(self) -> FloatArray:
        """The legs in seconds."""
        return np.asarray(self.legs_minutes, dtype=np.float64) * 60.0

    @property
    def stay_s(self) -> float:
        """One count in seconds."""
        return self.count_minutes * 60.0

    @cached_property
    def opens(self) -> FloatArray:
        """Openings, inf where there is no window."""
        return np.where(np.isnan(self.open_s), np.inf, self.open_s)

    @cached_property
    def closes(self) -> FloatArray:
        """Latest ends of a count, tolerance included; -inf where there is no window."""
        return np.where(np.isnan(self.close_s), -np.inf, self.close_s + FIT_TOLERANCE_S)

    @cached_property
    def first_starts(self) -> FloatArray:
        """Start of the first count if it is at each point, shape (n,); inf where counting cannot begin there."""
        ready = np.full(self.points, -np.inf) if self.ready_s is None else self.ready_s
        starts = np.maximum(self.opens, ready)
        if self.start is StartRule.EXACTLY:
            starts[ready > self.opens + FIT_TOLERANCE_S] = np.inf
        ends = starts + self.stay_s
        too_short = self.within_minutes is not None and self.count_minutes * 60 > self.within_minutes * 60 + 1e-9
        starts[(ends > self.closes) | too_short] = np.inf
        return starts

    @cached_property
    def latest_ends(self) -> FloatArray:
        """Latest end of any count if counting begins at each point, by ``within_minutes``, shape (n,)."""
        if self.within_minutes is None:
            return np.full(self.points, np.inf)
        return self.first_starts + self.within_minutes * 60.0 + FIT_TOLERANCE_S

    @cached_property
    def lead_in_s(self) -> FloatArray:
        """Lead-in in seconds, shape (n,)."""
        return _or_zeros(self.lead_in_minutes, self.points) * 60.0

    @cached_property
    def lead_out_s(self) -> FloatArray:
        """Lead-out in seconds, shape (n,)."""
        return _or_zeros(self.lead_out_minutes, self.points) * 60.0

    def starts_of(self, order: Sequence[int]) -> tuple[float, ...] | None:
        """Return when each count starts if the points are counted in that order; None if one does not fit."""
        starts: list[float] = []
        latest = self.latest_ends[order[0]]
        now = self.first_starts[order[0]]
        for place, point in enumerate(order):
            if place:
                now = max(now + self.stay_s + self.legs_s[order[place - 1], point], self.opens[point])
            if not now + self.stay_s <= min(self.closes[point], latest) or np.isinf(now):
                return None
            starts.append(float(now))
        return tuple(starts)

    def driven_s(self, order: Sequence[int]) -> float:
        """Return the driving between the points of an order, in seconds."""
        return float(sum(self.legs_s[a, b] for a, b in pairwise(order)))

    def cost_s(self, order: Sequence[int], starts: Sequence[float]) -> float:
        """Return what the order is judged by: end of the last count, lead-in and lead-out added."""
        return float(starts[-1] + self.stay_s + self.lead_in_s[order[0]] + self.lead_out_s[order[-1]])


@dataclass(frozen=True, slots=True)
class CountOrder:
    """The points that fit, in the order they are counted."""

    order: tuple[int, ...]
    """Places of the points in the task's arrays."""
    starts_s: tuple[float, ...]
    """Unix seconds at which each count starts."""
    end_s: float
    """End of the last count; NaN without counts."""
    proven: bool
    """Whether no order under the rules is better."""


NO_COUNTS = CountOrder((), (), float("nan"), proven=True)


def _or_zeros(values: FloatArray, points: int) -> FloatArray:
    return values if len(values) else np.zeros(points)
