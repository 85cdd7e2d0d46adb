"""Laying the steps of an outing one after the other."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from planner.domain.outing import Step, StepKind
from planner.scheduling.outing.passes import CountedPass
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
            self.wait_until(start)
            # The pass knows the moment exactly; the sum of steps before it carries rounding.
            self._now = start
            self._stay(StepKind.COUNT, start + self._request.count_minutes * 60.0, number)

    def _stay(self, kind: StepKind, until: float, number: int = 1) -> None:
        start = moment(self._now)
        self.steps.append(Step(kind, start, moment(until), self._number(self._here), pass_number=number))
        self._now = until

    def _number(self, point: int | None) -> int | None:
        return None if point is None else self._request.numbers[point]
