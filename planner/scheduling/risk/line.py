"""The routes that wait for one of their visits: how likely, since when, and in what weather."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from planner.scheduling.problem import BoolArray, FloatArray
from planner.scheduling.risk.chain import WeatherChain

IntArray = npt.NDArray[np.int64]

NEVER = -1
"""In the place of a day."""
NO_END = 1_000_000
"""In the place of a day: beyond any season."""


@dataclass(frozen=True, slots=True, eq=False)
class Origins:
    """Where a visit's gap may count from: nothing done yet, then each earlier visit with each day it may be done on."""

    ready: IntArray
    """First day that the gap allows, shape (origins,)."""
    deadline: IntArray
    """Last day that it allows."""

    def after(self, own_days: IntArray, least: int, most: int | None) -> Origins:
        """Return the origins of the next visit: these, should the visit be lost, then the visit's own days.

        Args:
            own_days: days on which the visit may be done.
            least: fewest days from the visit to the next one.
            most: most days likewise; None: no bound.
        """
        longest = NO_END if most is None else most
        # Where nothing is done yet no gap counts.
        ready = np.where(self.ready == NEVER, NEVER, self.ready + least)
        return Origins(
            ready=np.concatenate([ready, own_days + least]),
            deadline=np.concatenate([self.deadline + longest, own_days + longest]),
        )


FIRST = Origins(np.array([NEVER], dtype=np.int64), np.array([NO_END], dtype=np.int64))
"""Of the first visit."""


class Line:
    """Probability that each route waits for this visit, by the origin of its gap and by the weather of the day."""

    def __init__(self, feasible: BoolArray, own_days: IntArray, origins: Origins) -> None:
        """Open the line, nobody waiting.

        Args:
            feasible: days on which the visit may be made, shape (routes, days).
            own_days: days on which it may be done, or was, by any route.
            origins: where its gap may count from.
        """
        routes, days = feasible.shape
        self.feasible = feasible
        self.origins = origins
        self.good: FloatArray = np.zeros((routes, len(origins.ready)), dtype=np.float64)
        self.lost: FloatArray = np.zeros_like(self.good)
        self._own_place = np.full(days, NEVER, dtype=np.int64)
        self._own_place[own_days] = len(origins.ready) + np.arange(len(own_days))
        self._end = self._last_days()
        self._empty = True

    def _last_days(self) -> IntArray:
        """Return the last feasible day before each origin's deadline, shape (routes, origins); NEVER: none."""
        days = self.feasible.shape[1]
        last_until = np.maximum.accumulate(np.where(self.feasible, np.arange(days), NEVER), axis=1)
        return np.asarray(last_until[:, np.minimum(self.origins.deadline, days - 1)], dtype=np.int64)

    def origin_of(self, day: int) -> int:
        """Return the place among the next line's origins of this visit done on that day."""
        return int(self._own_place[day])

    def enter(self, rows: BoolArray | slice, origin: int, good: FloatArray | float, lost: FloatArray | float) -> None:
        """Let some routes in, with the probabilities of good and of lost weather today."""
        self.good[rows, origin] += good
        self.lost[rows, origin] += lost
        self._empty = False

    def next_evening(self, chain: WeatherChain, day: int) -> None:
        """Go from the weather of the day before to that of this day."""
        if self._empty:
            return
        lost = chain.after_good[day] * self.good + chain.after_lost[day] * self.lost
        self.good += self.lost
        self.good -= lost
        self.lost = lost

    def try_on(self, day: int) -> FloatArray:
        """Return the probability that each route does the visit on that day, and let those routes go."""
        rows = self.feasible[:, day]
        if self._empty or not rows.any():
            return np.zeros(len(rows), dtype=np.float64)
        open_now = (self.origins.ready <= day) & (day <= self.origins.deadline)
        done = np.where(rows[:, None] & open_now, self.good, 0.0)
        self.good -= done
        return np.asarray(done.sum(axis=1), dtype=np.float64)

    def give_up(self, day: int, following: Line) -> None:
        """Hand the routes that have no day left for this visit over to the next visit's line."""
        if self._empty:
            return
        over = self._end <= day
        if not over.any():
            return
        _move(over, self.good, following.good)
        _move(over, self.lost, following.lost)
        following._empty = False


def _move(over: BoolArray, here: FloatArray, there: FloatArray) -> None:
    """Move what lies under the mask; the next line has the same origins first."""
    leaving = np.where(over, here, 0.0)
    there[:, : here.shape[1]] += leaving
    here -= leaving
