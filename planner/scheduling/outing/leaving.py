"""An outing run forward from a chosen departure: what leaving later or counting longer costs.

``time_outing`` works backwards from the light; here the team keeps the order that it was given, leaves when it is
told, and meets the light as it comes. At the planned departure the two agree.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from planner.domain.errors import RuleError
from planner.domain.outing import Outing, Step, StepKind
from planner.domain.window import StartRule
from planner.scheduling.outing.passes import PassSpan
from planner.scheduling.outing.request import OutingRequest
from planner.scheduling.outing.task import FIT_TOLERANCE_S
from planner.scheduling.outing.timeline import Timeline, window_met
from planner.scheduling.outing.timing import time_outing

_WORK = (StepKind.SETUP, StepKind.HABITAT, StepKind.COUNT)


@dataclass(frozen=True, slots=True)
class Work:
    """One piece of an outing's work, in its place in the order."""

    kind: StepKind
    """Set-up, habitat or count."""
    point: int
    """Number of the point."""
    pass_number: int = 1


@dataclass(frozen=True, slots=True)
class OutingRun:
    """An outing as it goes when the team leaves at a chosen moment."""

    outing: Outing
    """Every count is made, also one that ends too late: its point is then among the missed, and the margin, from
    the end of the last count made to its closing, is below 0."""
    late_counts: tuple[Step, ...] = ()
    """Counts that end after the closing at their own point: they do not stand."""
    late_start_minutes: float = 0.0
    """How long after the opening the first count of a pass begins where the protocol wants it to begin exactly then."""
    dark_minutes: float = 0.0
    """Minutes of habitat or set-up before sunrise or after sunset."""
    overcast: OutingRun | None = None
    """The same departure under an overcast sky, where the protocol ties the window to the sky."""


def leaving_at(request: OutingRequest, departure_utc: dt.datetime, count_minutes: float | None = None) -> OutingRun:
    """Run an outing forward from a departure, in its planned order, with counts of another length if one is given.

    The round in daylight comes on the side of the counts where it was planned, then the team waits for the opening
    and counts. Only where some points do not fit as planned and the counts are shorter, the order is found anew.

    Args:
        request: the outing as it is to be timed.
        departure_utc: when the team leaves home.
        count_minutes: minutes at each point in place of the protocol's; None: as the request says.

    Raises:
        RuleError: the request has neither counts nor a set-up, or the minutes are not above 0.
        ImpossibleError: as ``time_outing``.
    """
    own = with_count_minutes(request, count_minutes)
    return run_outing(own, planned_order(request, own.count_minutes), departure_utc)


def with_count_minutes(request: OutingRequest, count_minutes: float | None) -> OutingRequest:
    """Return the request with counts of that length; raises RuleError where it is not above 0."""
    if count_minutes is None:
        return request
    if not count_minutes > 0:
        raise RuleError(f"a count must last longer than 0 minutes, found {count_minutes:g}")
    return replace(request, count_minutes=count_minutes)


def planned_order(request: OutingRequest, count_minutes: float, planned: Outing | None = None) -> Outing:
    """Return the outing whose order holds with counts of that length: as planned, unless shorter ones let points in.

    Args:
        request: the outing with its usual counts.
        count_minutes: minutes of each count.
        planned: the request as timed already; None: it is timed now.
    """
    planned = planned or time_outing(request)
    lost = planned.missed or (planned.overcast is not None and planned.overcast.missed)
    if lost and count_minutes < request.count_minutes:
        return time_outing(replace(request, count_minutes=count_minutes))
    return planned


def run_outing(request: OutingRequest, planned: Outing, departure_utc: dt.datetime) -> OutingRun:
    """Run an outing's work forward from a departure: its order, the request's minutes, drives and light.

    Args:
        request: from whose home, to which light, with what length of count.
        planned: whose work is done, in which order; the team's for somebody who joins it.
        departure_utc: when home is left.
    """
    run = run_work(request, work_of(planned), departure_utc, request.spans)
    if planned.overcast is None or not request.overcast:
        return run
    return replace(run, overcast=run_work(request, work_of(planned.overcast), departure_utc, request.overcast))


def work_of(outing: Outing) -> tuple[Work, ...]:
    """Return what is done in an outing, drives and waits left out."""
    return tuple(
        Work(step.kind, step.point, step.pass_number)
        for step in outing.steps
        if step.kind in _WORK and step.point is not None
    )


def run_work(
    request: OutingRequest, work: Sequence[Work], departure_utc: dt.datetime, spans: Sequence[PassSpan]
) -> OutingRun:
    """Do pieces of work one after the other from a departure on, each as soon as the light lets it.

    A count waits for the opening at its own point; work after the last count waits for daylight.
    """
    lay = Timeline(request, departure_utc.timestamp())
    counts = [index for index, one in enumerate(work) if one.kind is StepKind.COUNT]
    for index, one in enumerate(work):
        at = request.numbers.index(one.point)
        if one.kind is StepKind.COUNT:
            lay.drive_to(at)
            lay.count_from(max(lay.now_s, float(spans[one.pass_number - 1].open_s[at])), one.pass_number)
        else:
            after = bool(counts) and index > counts[-1]
            lay.work(one.kind, (at,), request.round_minutes, request.sunrise_s if after else -np.inf)
    lay.drive_to(None)
    return _judged(request, tuple(lay.steps), spans)


def _judged(request: OutingRequest, steps: tuple[Step, ...], spans: Sequence[PassSpan]) -> OutingRun:
    outing = Outing(request.route, request.date, steps)
    dark = _dark_minutes(request, steps)
    counts = outing.of_kind(StepKind.COUNT)
    if not counts:
        return OutingRun(outing, dark_minutes=dark)
    passes = [
        _PassRun(request, span, tuple(step for step in counts if step.pass_number == number))
        for number, span in enumerate(spans, start=1)
    ]
    late = tuple(step for one in passes for step in one.late)
    stands = [{step.point for step in one.counts} - {step.point for step in late} for one in passes]
    order = tuple(point for point in passes[0].points if all(point in points for points in stands))
    outing = replace(
        outing,
        window=window_met(request, [one.order for one in passes], spans),
        order=order,
        missed=tuple(number for number in request.numbers if number not in order),
        margin_minutes=min(one.margin_s for one in passes if one.counts) / 60.0,
    )
    return OutingRun(outing, late, max(one.late_start_s for one in passes) / 60.0, dark)


@dataclass(frozen=True, slots=True, eq=False)
class _PassRun:
    """The counts of one pass as they were made, held against its rule."""

    request: OutingRequest
    span: PassSpan
    counts: tuple[Step, ...]

    @property
    def points(self) -> tuple[int, ...]:
        return tuple(step.point for step in self.counts if step.point is not None)

    @property
    def order(self) -> tuple[int, ...]:
        return tuple(self.request.numbers.index(point) for point in self.points)

    @property
    def late(self) -> tuple[Step, ...]:
        return tuple(
            step
            for step, at in zip(self.counts, self.order, strict=True)
            if not step.end_utc.timestamp() <= self._closing(at) + FIT_TOLERANCE_S
        )

    @property
    def margin_s(self) -> float:
        """From the end of the last count to the closing there."""
        return self._closing(self.order[-1]) - self.counts[-1].end_utc.timestamp()

    @property
    def late_start_s(self) -> float:
        """How long after its opening the first count begins, where the rule wants it exactly then."""
        if not self.counts or self.span.rule.start is not StartRule.EXACTLY:
            return 0.0
        late = self.counts[0].start_utc.timestamp() - float(self.span.open_s[self.order[0]])
        return late if late > FIT_TOLERANCE_S else 0.0

    def _closing(self, at: int) -> float:
        closing = float(self.span.close_s[at])
        within = self.span.rule.within_minutes
        if within is None:
            return closing
        return min(closing, self.counts[0].start_utc.timestamp() + within * 60.0)


def _dark_minutes(request: OutingRequest, steps: Sequence[Step]) -> float:
    dark = 0.0
    for step in steps:
        if step.kind in (StepKind.SETUP, StepKind.HABITAT):
            start, end = step.start_utc.timestamp(), step.end_utc.timestamp()
            dark += end - start - max(0.0, min(end, request.sunset_s) - max(start, request.sunrise_s))
    return dark / 60.0 if dark > FIT_TOLERANCE_S * len(steps) else 0.0
