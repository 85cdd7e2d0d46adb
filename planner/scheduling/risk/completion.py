"""The exact chance that routes complete their visits: one pass over the days, all routes at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from planner.domain.errors import RuleError
from planner.scheduling.problem import BoolArray, FloatArray
from planner.scheduling.risk.chain import WeatherChain
from planner.scheduling.risk.line import FIRST, Line

NOT_DONE = -1
"""In the place of a day: the visit is not done yet."""


@dataclass(frozen=True, slots=True, eq=False)
class RiskCases:
    """Routes as arrays alone; visits and days count from 0."""

    feasible: BoolArray
    """Days on which each visit may be made: those of its range from the planned date on that light and people allow,
    shape (routes, visits, days). None at all: the visit is unfilled."""
    least_gaps: tuple[int, ...]
    """Fewest days, 1 or more, from each visit to the next, one fewer than there are visits."""
    most_gaps: tuple[int | None, ...]
    """Most days likewise; None: as many as may be."""
    done: npt.NDArray[np.int64]
    """The day on which each visit was done, NOT_DONE where it was not, shape (routes, visits)."""

    def __post_init__(self) -> None:
        routes, visits, days = self.feasible.shape
        if self.done.shape != (routes, visits) or not len(self.least_gaps) == len(self.most_gaps) == visits - 1:
            raise RuleError(f"gaps and days done must fit {visits} visits of {routes} routes")
        if any(gap < 1 for gap in self.least_gaps) or ((self.done < NOT_DONE) | (self.done >= days)).any():
            raise RuleError("a gap is 1 day or more, and a visit was done on a day of the season")


@dataclass(frozen=True, slots=True, eq=False)
class Completion:
    """What the weather leaves of each route."""

    complete: FloatArray
    """Probability that all visits of a route are done, shape (routes,)."""
    done: FloatArray
    """Probability that each visit is done, whatever becomes of the others, shape (routes, visits)."""

    @property
    def expected_visits(self) -> FloatArray:
        """Expected number of visits done, shape (routes,)."""
        return np.asarray(self.done.sum(axis=1), dtype=np.float64)


def completion(cases: RiskCases, chain: WeatherChain) -> Completion:
    """Return the exact probabilities of some routes.

    A route does its visits in their order. Each is tried on every feasible day that keeps the gaps, until an evening
    is good. A visit with no such day left is lost, and the next one is taken up from the day after; the gaps on both
    sides of a lost visit add, as they do for one that the plan leaves unfilled. A visit that is done stands, and its
    evening was good; visits before it that are not done count as lost.

    The state is the visit to do next, the visit done last with its day (the gaps count from there), and the weather of
    the day. It is passed through twice: once a lost visit ends the route, once the next visit is taken up.

    Args:
        cases: the routes.
        chain: the weather of the same days.

    Raises:
        RuleError: the chain is of another number of days.
    """
    if chain.lost.shape != cases.feasible.shape[2:]:
        raise RuleError(f"{cases.feasible.shape[2]} days need as many chances, found {len(chain.lost)}")
    start = _Start.of(cases)
    complete = _walk(cases, chain, start, go_on=False)[:, -1] * start.unbroken
    # Thousands of sums of chances end a hair above 1.
    return Completion(np.minimum(complete, 1.0), np.minimum(_walk(cases, chain, start, go_on=True), 1.0))


@dataclass(frozen=True, slots=True, eq=False)
class _Start:
    """Where each route begins."""

    visit: npt.NDArray[np.int64]
    """The first visit after those done, shape (routes,)."""
    day: npt.NDArray[np.int64]
    """The day of the visit done last; day 0 where none is."""
    unbroken: BoolArray
    """Whether all visits before it are done."""

    @classmethod
    def of(cls, cases: RiskCases) -> _Start:
        done = cases.done != NOT_DONE
        visits = done.shape[1]
        visit = np.where(done, np.arange(1, visits + 1), 0).max(axis=1)
        last = np.take_along_axis(cases.done, np.maximum(visit - 1, 0)[:, None], axis=1)[:, 0]
        return cls(visit, np.maximum(last, 0), done.sum(axis=1) == visit)

    def let_in(self, lines: list[Line], chain: WeatherChain, day: int) -> None:
        """Let the routes into their lines that begin on that day."""
        today = self.day == day
        for k in np.unique(self.visit[today & (self.visit < len(lines))]).tolist():
            rows = today & (self.visit == k)
            if k == 0:
                lines[0].enter(rows, 0, 1.0 - chain.lost[0], chain.lost[0])
            else:
                lines[k].enter(rows, lines[k - 1].origin_of(day), 1.0, 0.0)


def _walk(cases: RiskCases, chain: WeatherChain, start: _Start, *, go_on: bool) -> FloatArray:
    """Return the probability that each visit is done, shape (routes, visits).

    With ``go_on`` a lost visit is followed by the next one, else by nothing.
    """
    visits, days = cases.feasible.shape[1:]
    lines = _lines(cases)
    done = np.where(cases.done != NOT_DONE, 1.0, 0.0)
    for day in range(days):
        for line in lines:
            line.next_evening(chain, day)
        start.let_in(lines, chain, day)
        for k, line in enumerate(lines):
            now = line.try_on(day)
            done[:, k] += now
            if k + 1 < visits and now.any():
                lines[k + 1].enter(slice(None), line.origin_of(day), now, 0.0)
            if k + 1 < visits and go_on:
                line.give_up(day, lines[k + 1])
    return done


def _lines(cases: RiskCases) -> list[Line]:
    visits = cases.feasible.shape[1]
    lines: list[Line] = []
    origins = FIRST
    for k in range(visits):
        feasible, done = cases.feasible[:, k], cases.done[:, k]
        own_days = np.union1d(np.flatnonzero(feasible.any(axis=0)), done[done != NOT_DONE])
        lines.append(Line(feasible, own_days, origins))
        if k + 1 < visits:
            origins = origins.after(own_days, cases.least_gaps[k], cases.most_gaps[k])
    return lines
