"""Minutes along an edge of the plot: each step of the scale is so many times the one before."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

_STEPS = (1.0, 2.0, 5.0)
_LEAST, _MOST = 0.5, 1000.0
"""Minutes; times are written down to the minute, so less than half of one says nothing."""


@dataclass(frozen=True, slots=True)
class MinuteScale:
    """Minutes from ``least`` to ``most``, as they lie between two pixels."""

    least: float
    most: float
    begin: float
    """Pixel of ``least``."""
    end: float
    """Pixel of ``most``; before ``begin`` where the scale goes upwards."""

    def at(self, minutes: float) -> float:
        """Return the pixel of some minutes; what is beyond the scale lies at its end."""
        held = min(max(minutes, self.least), self.most)
        share = math.log(held / self.least) / math.log(self.most / self.least)
        return self.begin + (self.end - self.begin) * share

    def ticks(self) -> tuple[float, ...]:
        """Return the minutes that are written at the scale: 1, 2, 5, 10 … as far as they lie on it."""
        return tuple(one for one in _rounded() if self.least <= one <= self.most)


def bounds(minutes: Iterable[float]) -> tuple[float, float]:
    """Return from where to where a scale goes that holds all these: the next of 0.5, 1, 2, 5, 10 … on either side."""
    known = [min(max(one, _LEAST), _MOST) for one in minutes]
    low, high = min(known, default=1.0), max(known, default=10.0)
    steps = tuple(_rounded())
    least = max(place for place, one in enumerate(steps) if one <= low)
    most = min(place for place, one in enumerate(steps) if one >= high)
    if least == most:
        least, most = (least, most + 1) if most + 1 < len(steps) else (least - 1, most)
    return steps[least], steps[most]


def _rounded() -> Iterator[float]:
    """Yield 0.5, 1, 2, 5, 10 … 1000."""
    yield _LEAST
    for power in (1.0, 10.0, 100.0):
        yield from (step * power for step in _STEPS)
    yield _MOST
