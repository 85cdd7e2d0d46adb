"""Simulated seasons of recorded legs whose factors are known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from planner.travel import RecordedLegs
from planner.travel.coordinates import Floats


@dataclass(frozen=True)
class Simulated:
    """Legs, and what they were made with."""

    legs: RecordedLegs
    classes: Mapping[str, float]
    routes: Mapping[str, float]
    """On top of those of the classes."""


def simulate(
    dice: np.random.Generator,
    count: int,
    classes: Mapping[str, float],
    *,
    routes: int = 4,
    differ: float = 0.1,
    spread: float = 0.15,
    gross: float = 0.1,
) -> Simulated:
    """Return a season of legs, written down to the minute.

    Args:
        dice: what is random.
        count: how many legs.
        classes: the true factor of each highway class.
        routes: how many routes they are spread over.
        differ: by what share the routes differ.
        spread: by what share a leg is off.
        gross: the share of legs on which somebody stopped, for 5 to 40 minutes.
    """
    own = {f"R{number}": float(np.exp(dice.normal(0, differ))) for number in range(routes)}
    codes = [f"R{number}" for number in dice.integers(0, routes, count)]
    expected = dice.dirichlet([0.7] * len(classes), count) * dice.uniform(2, 12, count)[:, None]
    took = expected @ np.array(list(classes.values())) * np.array([own[code] for code in codes])
    took *= dice.lognormal(0, spread, count)
    took += (dice.random(count) < gross) * dice.uniform(5, 40, count)
    return Simulated(RecordedLegs(by_the_watch(dice, took), expected, tuple(classes), tuple(codes)), classes, own)


def by_the_watch(dice: np.random.Generator, minutes: Floats) -> Floats:
    """Return minutes as the difference of a departure and an arrival that are both written to the minute."""
    left = dice.uniform(0, 1, len(minutes))
    return np.round(left + minutes) - np.round(left)
