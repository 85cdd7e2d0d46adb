"""How good an order from each first point can be at best: it spares most first points a table of their own."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from planner.scheduling.outing.subsets import EarliestEnds, earliest_ends, shortest_ways
from planner.scheduling.outing.task import FIT_TOLERANCE_S, CountingTask
from planner.scheduling.problem import FloatArray

_ROUNDING_S = 1e-4
"""Above what adding Unix seconds in another order changes; far below what matters."""


@dataclass(frozen=True, slots=True, eq=False)
class FirstPoints:
    """For each first point: no order counts more points, and none that counts as many costs less."""

    most: npt.NDArray[np.int64]
    """Shape (points,); 0 where counting cannot begin."""
    least_s: FloatArray
    """Cost of an order of that many points, as ``CountingTask.cost_s``, shape (points,)."""
    onward: EarliestEnds
    """Seconds from the start of the first count to the end and lead-out, windows left aside, last point first."""

    @classmethod
    def of(cls, task: CountingTask) -> FirstPoints:
        """Find the bounds of a task in which counting can begin somewhere."""
        # No count ends after the latest of all limits, whichever point comes first.
        closes = np.minimum(task.closes, task.latest_ends[np.isfinite(task.first_starts)].max())
        most = _most_in_light(task, closes)
        if task.within_minutes is not None:
            most = np.minimum(most, _most_within(task, task.within_minutes * 60.0))
        largest = int(most.max())
        onward = shortest_ways(task.lead_out_s + task.stay_s, task.legs_s.T, task.stay_s, most=largest)
        forward = earliest_ends(
            task.first_starts + task.stay_s, task.legs_s, task.opens, closes, task.stay_s, most=largest
        )
        sizes = range(largest + 1)
        alone = np.stack([onward.least(size) for size in sizes])[most, np.arange(task.points)]
        anyhow = np.array([(forward.least(size) + task.lead_out_s).min() for size in sizes])[most]
        return cls(most, task.lead_in_s + np.maximum(task.first_starts + alone, anyhow), onward)

    def shortest_from(self, first: int) -> tuple[int, ...]:
        """Return the shortest order of ``most`` points from a first point, windows left aside."""
        return self.onward.way(int(self.most[first]), first)[::-1]


def _most_in_light(task: CountingTask, closes: FloatArray) -> npt.NDArray[np.int64]:
    """Return the most points that can be counted inside their windows from each first point on, shape (points,).

    The table runs backwards in time, from the closing at the last point: it tells by when counting has to begin.
    """
    last_starts = closes - task.stay_s
    last_starts[last_starts < task.opens] = -np.inf
    backwards = earliest_ends(-last_starts, task.legs_s.T, -closes, -task.opens, task.stay_s)
    sizes = range(1, task.points + 1)
    return _largest(task.first_starts <= _ROUNDING_S - backwards.least(size) for size in sizes)


def _most_within(task: CountingTask, seconds: float) -> npt.NDArray[np.int64]:
    """Return the most points that can be counted in so many seconds from each first point on, shape (points,)."""
    durations = shortest_ways(np.full(task.points, task.stay_s), task.legs_s.T, task.stay_s)
    limit = seconds + FIT_TOLERANCE_S + _ROUNDING_S
    return _largest(durations.least(size) <= limit for size in range(1, task.points + 1))


def _largest(fit: Iterable[npt.NDArray[np.bool_]]) -> npt.NDArray[np.int64]:
    """Return the largest size that fits, told whether 1, 2 … points do; where many fit, fewer fit too."""
    return np.asarray(np.sum(list(fit), axis=0), dtype=np.int64)
