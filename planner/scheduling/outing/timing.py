"""Timing one outing minute by minute: habitat round or set-up in daylight, counts in the light window, home again."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

import numpy as np

from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.habitat import HabitatTiming
from planner.domain.outing import Outing, Step, StepKind
from planner.scheduling.outing.passes import CountedPass, PassSpan, count_passes
from planner.scheduling.outing.request import OutingRequest
from planner.scheduling.outing.rounds import Rounds, rounds_from_home
from planner.scheduling.outing.squeeze import in_words_of, squeeze
from planner.scheduling.outing.task import CountingTask
from planner.scheduling.outing.timeline import Timeline, window_met
from planner.scheduling.problem import FloatArray

_EVENING = dt.time(18, 0, tzinfo=dt.UTC)
"""When a set-up day ends where the sun does not set."""


def time_outing(request: OutingRequest) -> Outing:
    """Time an outing, every step as late as the light allows, drives at their cautious minutes.

    A set-up on a day of its own is over and everybody home by sunset. The counts start at the window's opening, in
    the order with most points inside it and then the shortest outing. The round before them (habitat, or set-up
    where that is on the same date) ends by sunset, in the order that brings the team soonest to where counting
    starts. Where the round cannot lie in daylight on the side of the counts that the protocol names, it lies on the
    other side: a window before sunrise has its round after it.

    Raises:
        RuleError: the request has neither counts nor a set-up.
        ImpossibleError: no road leads there and back, or no count at all fits in the light of that date.
    """
    if not request.spans and not request.setup_minutes:
        raise RuleError(f"route {request.route}: an outing counts, sets up, or both; found neither")
    kept = request.reachable()
    part = request.only(kept)
    if not part.spans:
        return _setup_alone(part)
    outing = _survey(part, part.spans, request)
    return replace(outing, overcast=_overcast(part, request))


def _overcast(part: OutingRequest, whole: OutingRequest) -> Outing | None:
    """Return the outing under an overcast sky; None where the sky changes nothing, or leaves no count possible."""
    try:
        return _survey(part, part.overcast, whole) if part.overcast else None
    except ImpossibleError:
        return None


def _setup_alone(request: OutingRequest) -> Outing:
    rounds = rounds_from_home(request.legs.cautious, request.out.cautious, request.setup_minutes)
    last = int(np.argmin(rounds.minutes + request.back.cautious))
    end = request.sunset_utc
    if np.isnan(end):
        end = dt.datetime.combine(request.date, _EVENING).timestamp()
    trip = float(rounds.minutes[last] + request.back.cautious[last])
    lay = Timeline(request, end - trip * 60.0)
    lay.work(StepKind.SETUP, rounds.orders[last], request.setup_minutes, -np.inf)
    lay.drive_to(None)
    return Outing(request.route, request.date, tuple(lay.steps))


@dataclass(frozen=True, slots=True, eq=False)
class _Round:
    """The round of a survey outing, and on which side of the counts it lies."""

    before: bool
    rounds: Rounds | None

    @classmethod
    def of(cls, request: OutingRequest, spans: tuple[PassSpan, ...]) -> _Round:
        if not request.round_minutes:
            return cls(before=True, rounds=None)
        before = _round_before(request, spans)
        if before:
            rounds = rounds_from_home(request.legs.cautious, request.out.cautious, request.round_minutes)
        else:
            rounds = rounds_from_home(request.legs.cautious.T, request.back.cautious, request.round_minutes)
        return cls(before, rounds)

    def lead_in(self, request: OutingRequest) -> FloatArray:
        """Minutes from leaving home to standing at each point, ready to count."""
        if self.rounds is None or not self.before:
            return request.out.cautious
        return self.rounds.lead_in(request.legs.cautious)

    def lead_out(self, request: OutingRequest) -> FloatArray:
        """Minutes from the last count at each point to being home."""
        if self.rounds is None or self.before:
            return request.back.cautious
        return self.rounds.lead_in(request.legs.cautious.T)


def _round_before(request: OutingRequest, spans: tuple[PassSpan, ...]) -> bool:
    """Say whether the round lies before the counts: where the protocol wants it, if there is daylight for it."""
    opening, closing = float(np.nanmin(spans[0].open_s)), float(np.nanmax(spans[-1].close_s))
    points = len(request.numbers)
    legs = request.legs.cautious[np.arange(points - 1), np.arange(1, points)].sum()
    round_s = 60.0 * float(points * request.round_minutes + legs)
    can_before = min(request.sunset_s, opening) - round_s >= request.sunrise_s
    can_after = max(request.sunrise_s, closing) + round_s <= request.sunset_s
    if request.timing is HabitatTiming.AFTER_COUNTS and not request.setup_minutes:
        return can_before and not can_after
    return can_before or not can_after


def _survey(request: OutingRequest, spans: tuple[PassSpan, ...], whole: OutingRequest) -> Outing:
    if any(np.isnan(span.open_s).all() for span in spans):
        raise ImpossibleError(f"route {request.route} has no light window '{request.window}' on {request.date}")
    side = _Round.of(request, spans)
    task = CountingTask(
        legs_minutes=request.legs.cautious,
        open_s=spans[0].open_s,
        close_s=spans[0].close_s,
        count_minutes=request.count_minutes,
        direction=request.direction,
        lead_in_minutes=side.lead_in(request),
        lead_out_minutes=side.lead_out(request),
    )
    passes = count_passes(task, spans)
    if not passes[0].order:
        raise ImpossibleError(
            f"no count of {request.count_minutes:g} minutes fits in window '{request.window}'"
            f" on route {request.route} on {request.date}"
        )
    steps = _steps(request, side, passes)
    order = tuple(request.numbers[point] for point in passes[0].order if point in passes[-1].order)
    left = squeeze(task, spans[0], request.habitat_minutes) if request.habitat_minutes else None
    return Outing(
        route=request.route,
        date=request.date,
        steps=steps,
        window=window_met(request, [one.order for one in passes], spans),
        order=order,
        missed=tuple(number for number in whole.numbers if number not in order),
        margin_minutes=min(one.margin_s for one in passes if one.order) / 60.0,
        squeeze=None if left is None else in_words_of(request.numbers, *left),
    )


def _steps(request: OutingRequest, side: _Round, passes: tuple[CountedPass, ...]) -> tuple[Step, ...]:
    kind = StepKind.SETUP if request.setup_minutes else StepKind.HABITAT
    first, start = passes[0].order[0], passes[0].starts_s[0]
    legs = request.legs.cautious
    if side.rounds is not None and side.before:
        order = side.rounds.leading_to(first, legs)
        onward = 0.0 if order[-1] == first else float(legs[order[-1], first])
        end = min(request.sunset_s, start - onward * 60.0)
        lay = Timeline(request, end - float(side.rounds.minutes[order[-1]]) * 60.0)
        lay.work(kind, order, request.round_minutes, -np.inf)
    else:
        lay = Timeline(request, start - float(request.out.cautious[first]) * 60.0)
    for number, counted in enumerate(passes, start=1):
        lay.count(counted, number)
    if side.rounds is not None and not side.before:
        last = next(one.order[-1] for one in reversed(passes) if one.order)
        order = side.rounds.leading_to(last, legs.T)[::-1]
        lay.work(kind, order, request.round_minutes, request.sunrise_s)
    lay.drive_to(None)
    return tuple(lay.steps)
