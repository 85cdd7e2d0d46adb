"""Laying the steps of an outing one after the other."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from planner.domain.light import LightWindow, Span
from planner.domain.outing import Step, StepKind
from planner.scheduling.outing.passes import CountedPass, PassSpan
from planner.scheduling.outing.request import OutingRequest

SHORTEST_WAIT_S = 1.0
"""Shorter waits are rounding, not rest."""


def moment(seconds: float) -> dt.datetime:
    """Return Unix seconds as an aware UTC moment."""
    return dt.datetime.fromtimestamp(seconds, dt.UTC)


class Timeline:
    """The steps of one outing, laid in time order from home to home. Points are places in the request's arrays."""

    def __init__(self, request: OutingRequest, leave_s: float) -> None:
        """Begin at home.

        Args:
            request: names, drives and minutes.
            leave_s: Unix seconds of leaving home.
        """
        self._request = request
        self._now = leave_s
        self._here: int | None = None
        self.steps: list[Step] = []

    @property
    def now_s(self) -> float:
        """Unix seconds at the end of what was laid so far."""
        return self._now

    def drive_to(self, point: int | None) -> None:
        """Drive to a point, or home; nothing if already there."""
        if point == self._here:
            return
        leg = self._request.figure(self._here, point)
        start, self._now = self._now, self._now + leg.cautious_minutes * 60.0
        self.steps.append(
            Step(StepKind.DRIVE, moment(start), moment(self._now), self._number(point), self._number(self._here), leg)
        )
        self._here = point

    def wait_until(self, seconds: float) -> None:
        """Wait where one is, if that moment is still to come."""
        if seconds - self._now >= SHORTEST_WAIT_S:
            self._stay(StepKind.WAIT, seconds)
        self._now = max(self._now, seconds)

    def work(self, kind: StepKind, order: Sequence[int], minutes: float, begin_s: float) -> None:
        """Do a round over points, its first piece of work no earlier than a moment."""
        for point in order:
            self.drive_to(point)
            self.wait_until(begin_s)
            self._stay(kind, self._now + minutes * 60.0)

    def count(self, counted: CountedPass, number: int) -> None:
        """Count one pass at the moments it was given."""
        for point, start in zip(counted.order, counted.starts_s, strict=True):
            self.drive_to(point)
            self.count_from(start, number)

    def count_from(self, start_s: float, number: int) -> None:
        """Count where one is, from a moment that is not past."""
        self.wait_until(start_s)
        # The pass knows the moment exactly; the sum of steps before it carries rounding.
        self._now = start_s
        self._stay(StepKind.COUNT, start_s + self._request.count_minutes * 60.0, number)

    def _stay(self, kind: StepKind, until: float, number: int = 1) -> None:
        start = moment(self._now)
        self.steps.append(Step(kind, start, moment(until), self._number(self._here), pass_number=number))
        self._now = until

    def _number(self, point: int | None) -> int | None:
        return None if point is None else self._request.numbers[point]


def window_met(request: OutingRequest, orders: Sequence[Sequence[int]], spans: Sequence[PassSpan]) -> LightWindow:
    """Return the window as the team meets it: opening at its first point, closing at its last, pass by pass."""
    found = []
    for order, span in zip(orders, spans, strict=True):
        first, last = (order[0], order[-1]) if order else (0, 0)
        found.append(Span(moment(span.open_s[first]), moment(span.close_s[last])))
    return LightWindow(request.window, request.date, tuple(found))
