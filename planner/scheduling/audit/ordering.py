"""Whether there is an order of the points in which every run fits, and whether that is proven."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from planner.scheduling.audit.running import (
    TOLERANCE_S,
    Clock,
    Order,
    Run,
    Seconds,
    late_end_s,
    late_start_s,
    ready_after,
    timed,
)

EXACT_POINTS = 9
"""Up to so many points every order is looked at: 9 x 2^9 states at most."""


@dataclass(frozen=True, slots=True)
class Fit:
    """Whether runs fit one after the other."""

    fits: bool
    late_s: float
    """By how much the best order found is late; 0 or less where it fits."""
    proven: bool
    """Whether no order at all could do better than the answer says."""


def fit(runs: Sequence[Run], legs_s: Sequence[Seconds], ready_s: Sequence[float]) -> Fit:
    """Judge runs over the same points, one after the other.

    The allowed orders, or the route's own both ways, are tried first. Where none of them fits and the order is
    free, orders that drive little follow; then every order is searched up to ``EXACT_POINTS`` points. Beyond that
    only the shortest time that the runs can take proves them impossible.
    """
    return _fit(tuple(runs), tuple(legs_s), tuple(ready_s))


@lru_cache(maxsize=1024)
def _fit(runs: tuple[Run, ...], legs_s: tuple[Seconds, ...], ready_s: Seconds) -> Fit:
    """Answer ``fit``; judging people for one visit asks the same of its dates again and again."""
    late_s = _least_late_s(runs, [run.orders or _both_ways(run.points) for run in runs], legs_s, ready_s)
    free = any(run.orders is None for run in runs)
    if free and late_s > TOLERANCE_S:
        short = _both_short(legs_s)
        late_s = min(late_s, _least_late_s(runs, [run.orders or short for run in runs], legs_s, ready_s))
    if late_s <= TOLERANCE_S:
        return Fit(fits=True, late_s=late_s, proven=True)
    if not free or any(_too_short(run, legs_s) for run in runs):
        return Fit(fits=False, late_s=late_s, proven=True)
    if runs[0].points > EXACT_POINTS:
        return Fit(fits=False, late_s=late_s, proven=False)
    if not _some_order_fits(runs, legs_s, ready_s):
        return Fit(fits=False, late_s=late_s, proven=True)
    # The search takes each run by itself, so a run that goes against the first was not held to its order.
    if any(run.against_first for run in runs):
        return Fit(fits=False, late_s=late_s, proven=False)
    return Fit(fits=True, late_s=0.0, proven=True)


def _least_late_s(
    runs: Sequence[Run], allowed: Sequence[tuple[Order, ...]], legs_s: Sequence[Seconds], ready_s: Sequence[float]
) -> float:
    """Return how late the best of some orders is, looking no further once one fits."""
    least = math.inf
    choices = [orders[:1] if run.against_first else orders for run, orders in zip(runs, allowed, strict=True)]
    for orders in itertools.product(*choices):
        turned = [orders[0][::-1] if run.against_first else one for run, one in zip(runs, orders, strict=True)]
        least = min(least, _late_s(runs, turned, legs_s, ready_s))
        if least <= TOLERANCE_S:
            break
    return least


def _late_s(runs: Sequence[Run], orders: Sequence[Order], legs_s: Sequence[Seconds], ready_s: Sequence[float]) -> float:
    late = -math.inf
    for run, order in zip(runs, orders, strict=True):
        timing = timed(run, order, legs_s, ready_s)
        late, ready_s = max(late, timing.late_s), ready_after(timing, legs_s)
    return late


def _both_ways(points: int) -> tuple[Order, ...]:
    forward = tuple(range(points))
    return (forward, forward[::-1])


def _both_short(legs_s: Sequence[Seconds]) -> tuple[Order, ...]:
    """Return two orders that drive little."""
    forward = tuple(range(len(legs_s)))
    return (_untangled(_nearest_next(legs_s), legs_s), _untangled(forward, legs_s))


def _driven_s(order: Order, legs_s: Sequence[Seconds]) -> float:
    return sum(legs_s[here][there] for here, there in itertools.pairwise(order))


def _nearest_next(legs_s: Sequence[Seconds]) -> Order:
    """Go on to the nearest point left, from whichever start that drives least."""
    orders = []
    for start in range(len(legs_s)):
        order, left = [start], set(range(len(legs_s))) - {start}
        while left:
            nearest = min(left, key=lambda point: (legs_s[order[-1]][point], point))
            order.append(nearest)
            left.remove(nearest)
        orders.append(tuple(order))
    return min(orders, key=lambda one: _driven_s(one, legs_s))


def _untangled(order: Order, legs_s: Sequence[Seconds]) -> Order:
    """Reverse stretches of an order for as long as that drives less (2-opt)."""
    best, least = order, _driven_s(order, legs_s)
    improved = True
    while improved:
        improved = False
        for first, last in itertools.combinations(range(len(order)), 2):
            turned = (*best[:first], *best[first : last + 1][::-1], *best[last + 1 :])
            driven = _driven_s(turned, legs_s)
            if driven < least - 1e-9:
                best, least, improved = turned, driven, True
    return best


def _some_order_fits(runs: Sequence[Run], legs_s: Sequence[Seconds], ready_s: Sequence[float]) -> bool:
    """Search every order of every run."""
    for run in runs:
        ends = _ends_any_order(run, legs_s, ready_s) if run.orders is None else _ends(run, legs_s, ready_s)
        if not ends:
            return False
        ready_s = [min(end + legs_s[last][point] for last, end in ends.items()) for point in range(run.points)]
    return True


def _ends(run: Run, legs_s: Sequence[Seconds], ready_s: Sequence[float]) -> dict[int, float]:
    """Return the earliest end at each point where an allowed order fits and ends."""
    ends: dict[int, float] = {}
    for order in run.orders or ():
        timing = timed(run, order, legs_s, ready_s)
        if timing.late_s <= TOLERANCE_S:
            ends[timing.last] = min(ends.get(timing.last, math.inf), timing.end_s)
    return ends


def _ends_any_order(run: Run, legs_s: Sequence[Seconds], ready_s: Sequence[float]) -> dict[int, float]:
    """Return the earliest end at each point where some order fits and ends, by dynamic programming over subsets."""
    states = _starts(run, ready_s)
    for _ in range(run.points - 1):
        onward: dict[tuple[int, int], list[Clock]] = {}
        for visited, point, clock in _grown(run, legs_s, states):
            kept = onward.setdefault((visited, point), [])
            if not any(other.covers(clock) for other in kept):
                kept[:] = [other for other in kept if not clock.covers(other)] + [clock]
        states = onward
    ends = {}
    for (_, last), clocks in states.items():
        fitting = [clock.end_s for clock in clocks if _finishes(run, last, clock)]
        if fitting:
            ends[last] = min(fitting)
    return ends


def _starts(run: Run, ready_s: Sequence[float]) -> dict[tuple[int, int], list[Clock]]:
    """Return the states after one stay, by points visited (a bit for each) and point."""
    clocks = {point: Clock.start(run, point, ready_s[point]) for point in range(run.points)}
    return {
        (1 << point, point): [clock]
        for point, clock in clocks.items()
        if clock.end_s <= run.closes_s[point] + TOLERANCE_S and late_start_s(run, point, ready_s[point]) <= TOLERANCE_S
    }


def _grown(
    run: Run, legs_s: Sequence[Seconds], states: Mapping[tuple[int, int], Sequence[Clock]]
) -> Iterator[tuple[int, int, Clock]]:
    """Yield every state that follows by one more stay inside its window."""
    for (visited, here), clocks in states.items():
        for there in range(run.points):
            if visited & (1 << there):
                continue
            for clock in clocks:
                further = clock.after(run, there, legs_s[here][there])
                if further.end_s <= run.closes_s[there] + TOLERANCE_S:
                    yield visited | (1 << there), there, further


def _finishes(run: Run, last: int, clock: Clock) -> bool:
    return late_end_s(run, last, clock.end_s) <= TOLERANCE_S and clock.overrun_s(run) <= TOLERANCE_S


def _too_short(run: Run, legs_s: Sequence[Seconds]) -> bool:
    """Whether the stays and the shortest legs into all points but one take longer than there is light."""
    if run.points == 1:
        return run.stay_s > min(run.within_s, run.closes_s[0] - run.opens_s[0]) + TOLERANCE_S
    into = [min(legs_s[here][there] for here in range(run.points) if here != there) for there in range(run.points)]
    least = run.points * run.stay_s + sum(into) - max(into)
    return least > min(run.within_s, max(run.closes_s) - min(run.opens_s)) + TOLERANCE_S
