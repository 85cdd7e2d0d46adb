"""The outing with habitat squeezed in between the counts, minute by minute: what a habitat round of its own saves."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.outing import StepKind
from planner.scheduling.outing.leaving import OutingRun, Work, run_work
from planner.scheduling.outing.passes import PassSpan, string_of_pass
from planner.scheduling.outing.request import OutingRequest
from planner.scheduling.outing.squeeze import order_between
from planner.scheduling.outing.task import CountingTask
from planner.scheduling.outing.timeline import Timeline, moment


def habitat_between(request: OutingRequest, departure_utc: dt.datetime | None = None) -> OutingRun:
    """Run an outing that does habitat between the counts of its first pass, in the order that then is best.

    Habitat at the first point is done before the window opens; later passes count the same points.

    Args:
        request: an outing with habitat minutes.
        departure_utc: when the team leaves; None: so that the first count begins as its window opens, both lanes
            for themselves where the sky decides.

    Raises:
        RuleError: the outing has no habitat to do.
        ImpossibleError: no road leads there and back, or no count at all fits in the light of that date.
    """
    if not request.habitat_minutes or not request.spans:
        raise RuleError(f"route {request.route}: this outing has no habitat round that could lie between counts")
    own = replace(request, setup_minutes=0.0)
    run = _run(own, own.spans, departure_utc)
    try:
        overcast = _run(own, own.overcast, departure_utc) if own.overcast else None
    except ImpossibleError:
        overcast = None
    return replace(run, overcast=overcast)


def _run(request: OutingRequest, spans: Sequence[PassSpan], departure_utc: dt.datetime | None) -> OutingRun:
    work = _work(request, spans)
    return run_work(request, work, departure_utc or _latest_departure(request, work, spans), spans)


def _work(request: OutingRequest, spans: Sequence[PassSpan]) -> tuple[Work, ...]:
    kept = request.reachable()
    part = request.only(kept)
    own = [PassSpan(span.rule, span.open_s[kept], span.close_s[kept]) for span in spans]
    task = CountingTask(part.legs.cautious, own[0].open_s, own[0].close_s, part.count_minutes, part.direction)
    order = order_between(task, own[0], part.habitat_minutes)
    if not order:
        raise ImpossibleError(
            f"no count of {part.count_minutes:g} minutes fits in window '{part.window}'"
            f" on route {part.route} on {part.date}"
        )
    work = [Work(kind, part.numbers[at]) for at in order for kind in (StepKind.HABITAT, StepKind.COUNT)]
    for number, span in enumerate(own[1:], start=2):
        string = string_of_pass(span.rule.direction, own[0].rule.direction, order)
        work += [Work(StepKind.COUNT, part.numbers[at], number) for at in string]
    return tuple(work)


def _latest_departure(request: OutingRequest, work: Sequence[Work], spans: Sequence[PassSpan]) -> dt.datetime:
    """Return when to leave so that habitat at the first point ends as its window opens."""
    lay = Timeline(request, 0.0)
    at = request.numbers.index(work[0].point)
    lay.work(StepKind.HABITAT, (at,), request.habitat_minutes, -np.inf)
    return moment(float(spans[0].open_s[at]) - lay.now_s)
