"""Chaining the visits of one route by their gaps: the least cost of the visits still to come, for every state.

The state before a visit is the earliest date it may have (0: no visit before it), and where some gap has a maximum
also the latest its reserve date may have. A visit that stays unfilled hands both on with its gap added; a fixed
one forgets them, for the dates round it are limited beforehand.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.scheduling.engine.instance import GapRule, IntArray, RouteCase, date_pairs
from planner.scheduling.problem import FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class _Link:
    """From one visit to the next: the state that each pair of dates, and each state, leaves behind."""

    plain: IntArray
    """State after each pair of dates, shape (pairs,)."""
    preferred: IntArray | None
    """The same where the next visit is to keep a preferred gap too; None: there is none."""
    over: IntArray
    """State after each state if the visit stays unfilled, shape (states,)."""
    firsts: IntArray
    """Place of the first pair of each date."""


class Chain:
    """The states of one route. Tables have shape (rows, states), a row for each lead or one for all."""

    def __init__(self, route: RouteCase, days: int) -> None:
        """Prepare the links.

        Args:
            route: the route.
            days: length of the season.
        """
        self._days = days
        self._missed = route.weights.missed_gap
        self._visits = route.visits
        self._pairs = [date_pairs(visit) for visit in route.visits]
        self._latest = days if any(visit.gap.most is not None for visit in route.visits[1:]) else 1
        self._links = [self._link(k) for k in range(len(route.visits))]
        self.start = self._latest - 1
        """The state before the first visit, and after a fixed one."""

    def _link(self, k: int) -> _Link:
        dates, lasts = self._pairs[k]
        gap = self._visits[k + 1].gap if k + 1 < len(self._visits) else GapRule()
        latest = np.full(len(dates), self._days) if gap.most is None else dates + gap.most
        early, late = np.divmod(np.arange((self._days + 1) * self._latest), self._latest)
        after = np.where(early == 0, 0, early + gap.least)
        until = np.full(len(late), self._days) if gap.most is None else late + gap.most
        return _Link(
            self._state(lasts + gap.least, latest),
            self._state(lasts + gap.preferred_least, latest) if gap.preferred_least > gap.least else None,
            self._state(after, until),
            np.flatnonzero(np.diff(dates, prepend=-1)),
        )

    def _state(self, earliest: IntArray, latest: IntArray) -> IntArray:
        return np.minimum(earliest, self._days) * self._latest + np.minimum(latest, self._latest - 1)

    def level(self, rows: int, value: float) -> FloatArray:
        """Return a table of one value."""
        return np.full((rows, (self._days + 1) * self._latest), value)

    def onward(self, k: int, filled: FloatArray, passed: FloatArray) -> FloatArray:
        """Return the least cost still to come after each pair of dates of a visit, shape (rows, pairs).

        Args:
            k: which visit.
            filled: table before the next visit if that is filled.
            passed: table before the next visit if that is not filled now.
        """
        link = self._links[k]
        if link.preferred is None:
            return np.minimum(filled, passed).take(link.plain, axis=1)
        near = filled.take(link.plain, axis=1) + self._missed
        far = filled.take(link.preferred, axis=1)
        return np.minimum(np.minimum(near, far), passed.take(link.plain, axis=1))

    def filled(self, k: int, totals: FloatArray) -> FloatArray:
        """Return the table before a visit if it is filled.

        Args:
            k: which visit.
            totals: cost of each pair of dates with all that follows, shape (rows, pairs).
        """
        dates, lasts = self._pairs[k]
        table = np.full((len(totals), self._days + 1, self._latest), np.inf)
        if totals.shape[1]:
            if self._latest > 1:
                table[:, dates, lasts] = totals
                table = np.minimum.accumulate(table, axis=2)
            else:
                firsts = self._links[k].firsts
                table[:, dates[firsts], 0] = np.minimum.reduceat(totals, firsts, axis=1)
            table = np.minimum.accumulate(table[:, ::-1], axis=1)[:, ::-1]
        return table.reshape(len(totals), -1)

    def skipped(self, k: int, after: FloatArray) -> FloatArray:
        """Return the table before a visit if it stays unfilled."""
        return after.take(self._links[k].over, axis=1)

    def over(self, k: int, state: int) -> int:
        """Return the state before the next visit if this one stays unfilled."""
        return int(self._links[k].over[state])

    def fixed(self, after: FloatArray) -> FloatArray:
        """Return the table before a fixed visit."""
        return np.repeat(after[:, self.start, None], after.shape[1], axis=1)

    def after(self, k: int, pair: int) -> tuple[int, int | None]:
        """Return the states that a pair of dates leaves: the plain one, and that with a preferred gap kept."""
        link = self._links[k]
        return int(link.plain[pair]), None if link.preferred is None else int(link.preferred[pair])

    def allowed(self, k: int, state: int) -> IntArray:
        """Return the pairs of dates that a state allows, as places."""
        dates, lasts = self._pairs[k]
        earliest, latest = divmod(state, self._latest)
        kept = dates >= earliest
        if self._latest > 1:
            kept &= lasts <= latest
        return np.flatnonzero(kept)
