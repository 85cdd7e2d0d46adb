"""A small simulation of a run over the points: when each stay ends, and by how much the worst one is late."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

Order: TypeAlias = tuple[int, ...]
Seconds: TypeAlias = tuple[float, ...]

TOLERANCE_S = 0.5
"""A stay that ends within half a second of its closing counts as inside: no almanac and no watch is better."""


@dataclass(frozen=True, slots=True)
class Run:
    """One pass over all points. Times in Unix seconds, one for each point; lengths in seconds."""

    opens_s: Seconds
    closes_s: Seconds
    stay_s: float
    orders: tuple[Order, ...] | None
    """The orders allowed; None: any."""
    against_first: bool = False
    """Whether the points come in the order of the first run turned round; ``orders`` then says which that may be."""
    exactly: bool = False
    """Whether the first stay begins at its opening to the second, instead of no earlier."""
    within_s: float = math.inf
    """Longest time from the start of the first stay to the end of the last."""
    home_s: Seconds | None = None
    """What still has to follow the last stay before its closing: the way home, by the point it starts from."""

    @property
    def points(self) -> int:
        """How many points the run visits."""
        return len(self.opens_s)


@dataclass(frozen=True, slots=True)
class Timing:
    """How one run in one order comes out when nobody dawdles."""

    last: int
    end_s: float
    late_s: float
    """By how much the worst stay misses its closing, or the run its longest time; negative: time to spare."""


@dataclass(frozen=True, slots=True)
class Clock:
    """The state of a run after some stays, for every moment it may have started at.

    Started at ``s`` (no later than ``latest_s``), the stays so far end at ``max(end_s, s + spent_s)``: ``end_s`` is
    the earliest end of all, ``spent_s`` the time without any waiting.
    """

    end_s: float
    spent_s: float
    latest_s: float

    @classmethod
    def start(cls, run: Run, point: int, ready_s: float) -> Clock:
        """Begin a run at a point that can be reached at ``ready_s``."""
        opens = run.opens_s[point]
        latest = opens if run.exactly else run.closes_s[point] - run.stay_s
        return cls(max(opens, ready_s) + run.stay_s, run.stay_s, latest)

    def after(self, run: Run, point: int, leg_s: float) -> Clock:
        """Go on to a point and stay there."""
        end = max(self.end_s + leg_s, run.opens_s[point]) + run.stay_s
        spent = self.spent_s + leg_s + run.stay_s
        return Clock(end, spent, min(self.latest_s, run.closes_s[point] - spent))

    def overrun_s(self, run: Run) -> float:
        """Return by how much the run takes longer than it may, started at the best moment."""
        return max(self.end_s - self.latest_s, self.spent_s) - run.within_s

    def covers(self, other: Clock) -> bool:
        """Whether this state is at least as good as the other in every respect."""
        return self.end_s <= other.end_s and self.spent_s <= other.spent_s and self.latest_s >= other.latest_s


def late_start_s(run: Run, point: int, ready_s: float) -> float:
    """Return by how much a run that must start exactly comes late to its first point; ``-inf``: it does not."""
    late = ready_s - run.opens_s[point]
    return late if run.exactly and late > 0 else -math.inf


def late_end_s(run: Run, point: int, end_s: float) -> float:
    """Return by how much what follows the last stay misses its closing."""
    home = 0.0 if run.home_s is None else run.home_s[point]
    return end_s + home - run.closes_s[point]


def timed(run: Run, order: Order, legs_s: Sequence[Seconds], ready_s: Sequence[float]) -> Timing:
    """Time one run in one order.

    Args:
        run: what is to be done.
        order: places of the points in the route.
        legs_s: drive from each point to each.
        ready_s: when the team can be at each point at the earliest; ``-inf`` where nothing holds it back.
    """
    first, last = order[0], order[-1]
    clock = Clock.start(run, first, ready_s[first])
    late = max(late_start_s(run, first, ready_s[first]), clock.end_s - run.closes_s[first])
    for here, there in itertools.pairwise(order):
        clock = clock.after(run, there, legs_s[here][there])
        late = max(late, clock.end_s - run.closes_s[there])
    late = max(late, late_end_s(run, last, clock.end_s))
    if late <= TOLERANCE_S:
        late = max(late, clock.overrun_s(run))
    return Timing(last, clock.end_s, late)


def ready_after(timing: Timing, legs_s: Sequence[Seconds]) -> list[float]:
    """Return when the team can be at each point after a run."""
    return [timing.end_s + leg for leg in legs_s[timing.last]]
