"""The weather of a season's evenings as a Markov chain of two states, one evening a day."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from planner.domain.calendar import DateRange
from planner.domain.errors import RuleError
from planner.domain.lost_evenings import LostEvenings
from planner.scheduling.problem import FloatArray


@dataclass(frozen=True, eq=False)
class WeatherChain:
    """Chances day by day; the whole season has one weather. See :class:`LostEvenings` for the rule of the chain."""

    lost: FloatArray
    """Chance of a lost evening by the half-month of each day, shape (days,)."""
    persistence: float

    def __post_init__(self) -> None:
        if self.lost.ndim != 1 or not ((self.lost >= 0) & (self.lost <= 1)).all():
            raise RuleError("the chances of lost evenings are shares from 0 to 1, one a day")
        if not 0.0 <= self.persistence <= 1.0:
            raise RuleError(f"the persistence of the weather is a share from 0 to 1, found {self.persistence:g}")

    @cached_property
    def after_good(self) -> FloatArray:
        """Chance that each day's evening is lost if that of the day before was good, shape (days,)."""
        return self.lost * (1.0 - self.persistence)

    @cached_property
    def after_lost(self) -> FloatArray:
        """Chance that each day's evening is lost if that of the day before was lost, shape (days,)."""
        return self.lost + self.persistence * (1.0 - self.lost)

    @cached_property
    def seen_from_afar(self) -> FloatArray:
        """Chance that each day's evening is lost while nothing is known of the weather before it, shape (days,).

        The chain begins with the chance of its first day; after a change of half-month it nears the new chance
        step by step.
        """
        chances = self.lost.copy()
        for day in range(1, len(chances)):
            before = chances[day - 1]
            chances[day] = before * self.after_lost[day] + (1.0 - before) * self.after_good[day]
        return chances


def chain_on(weather: LostEvenings, days: DateRange) -> WeatherChain:
    """Return the weather's chain over a range of dates."""
    return WeatherChain(np.array([weather.chance_on(day) for day in days], dtype=np.float64), weather.persistence)
