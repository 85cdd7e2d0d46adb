"""Light: whether the window exists on a date, what the moon does, and whether every count lies inside."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Sequence

import numpy as np

from planner.domain.counting import Direction
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.window import Pass, PassDirection, StartRule, Strength, Window
from planner.scheduling.audit.case import Case
from planner.scheduling.audit.ordering import Fit, fit
from planner.scheduling.audit.running import Order, Run, Seconds
from planner.scheduling.audit.words import clock_words, day_words, whole_minutes_up
from planner.scheduling.problem import PassLight, WindowLight


def window_findings(case: Case) -> Iterator[Finding]:
    """Judge the light of the date and of the reserve date of one visit."""
    if case.window is None:
        return
    light = next(light for light in case.light.windows if light.name == case.window.name)
    for day, words in case.evenings:
        yield from _on(case, case.window, light, day, words)


def _on(case: Case, window: Window, light: WindowLight, day: dt.date, words: str) -> Iterator[Finding]:
    moon = _moon(case, light, day, words)
    if moon is not None:
        yield moon
    if moon is not None and moon.severity is Severity.BROKEN:
        return
    index = case.problem.day_index(day)
    if day in light.reasons or not _complete((*light.passes, *light.overcast), index):
        reason = light.reasons.get(day, "some of its points have none")
        yield case.finding(
            Rule.VISIT_NO_LIGHT,
            f"The {words} {day_words(day)} has no {window.name} window: {reason}.",
            "Choose another date.",
            date=day,
        )
        return
    yield from _counts(case, window, light, day)


def _moon(case: Case, light: WindowLight, day: dt.date, words: str) -> Finding | None:
    rule = case.protocol.moon
    if rule is None or light.moon_meets[case.problem.day_index(day)]:
        return None
    reason = light.reasons.get(day, f"it must be {rule.least_illuminated:.0%} lit for the whole window")
    required = rule.strength is Strength.REQUIRED
    return case.finding(
        Rule.VISIT_MOON,
        f"The moon does not do what the protocol {'asks' if required else 'prefers'} on the {words} {day_words(day)}:"
        f" {reason}.",
        "Choose a date nearer to full moon.",
        severity=Severity.BROKEN if required else Severity.NOTE,
        date=day,
    )


def _complete(passes: Sequence[PassLight], index: int) -> bool:
    return all(np.isfinite(one.open_utc[index]).all() and np.isfinite(one.close_utc[index]).all() for one in passes)


def _counts(case: Case, window: Window, light: WindowLight, day: dt.date) -> Iterator[Finding]:
    clear = count_fit(case, window, light.passes, day)
    if not clear.fits:
        yield _overrun(case, light.passes, day, clear, "")
        return
    if light.overcast:
        overcast = count_fit(case, window, light.overcast, day)
        if not overcast.fits:
            yield _overrun(case, light.overcast, day, overcast, " under an overcast sky")


def _overrun(case: Case, passes: Sequence[PassLight], day: dt.date, found: Fit, sky: str) -> Finding:
    if math.isinf(found.late_s):
        what = f"No road leads from point to point of route {case.route.code}, so its counts cannot be made."
        return case.finding(Rule.ROUTE_UNREACHABLE, what, "Look at the road map and at where the points stand.")
    index, zone = case.problem.day_index(day), case.season.tzinfo
    opens = clock_words(float(passes[0].open_utc[index].min()), zone)
    closes = clock_words(float(passes[-1].close_utc[index].max()), zone)
    late = whole_minutes_up(found.late_s)
    what = (
        f"The counts overrun the {case.visit.window} window of {day_words(day)} ({opens} to {closes}){sky} by {late}"
        f"{'.' if found.proven else ' in every order tried; there may be a better one.'}"
    )
    severity = Severity.BROKEN if found.proven else Severity.DOUBT
    if sky:
        severity = max(severity, Severity.TROUBLE)
    todo = "Choose a date with a longer window, or shorten the route." if not sky else "Go out under a clear sky only."
    return case.finding(Rule.VISIT_WINDOW, what, todo, severity=severity, date=day)


def count_fit(case: Case, window: Window, passes: Sequence[PassLight], day: dt.date) -> Fit:
    """Return whether all counts lie inside their spans of light on that date."""
    runs = count_runs(case, window, passes, day)
    return fit(runs, legs_s(case), [-math.inf] * runs[0].points)


def count_runs(case: Case, window: Window, passes: Sequence[PassLight], day: dt.date) -> list[Run]:
    """Return the passes of a window on one date as runs over the route's points."""
    index = case.problem.day_index(day)
    return [
        Run(
            opens_s=seconds(span.open_utc[index]),
            closes_s=seconds(span.close_utc[index]),
            stay_s=_stay_s(case),
            orders=_orders(case, rule, turns=_turns(window, rule)),
            against_first=_turns(window, rule),
            exactly=rule.start is StartRule.EXACTLY,
            within_s=math.inf if rule.within_minutes is None else rule.within_minutes * 60,
        )
        for rule, span in zip(window.passes, passes, strict=True)
    ]


def seconds(row: np.ndarray) -> Seconds:
    """Return one row of an array as plain numbers."""
    return tuple(row.tolist())


def _turns(window: Window, rule: Pass) -> bool:
    """Whether a pass goes back along the first one: a reverse pass after one that follows the order rule."""
    first = window.passes[0]
    return rule.direction is PassDirection.REVERSE and first.direction is PassDirection.ORDER_RULE


def _orders(case: Case, rule: Pass, *, turns: bool) -> tuple[Order, ...] | None:
    """Return the orders of the points that a pass allows; None for any."""
    forward = tuple(range(len(case.route.points)))
    both = (forward, forward[::-1])
    if rule.direction is PassDirection.FORWARD:
        return both[:1]
    if rule.direction is PassDirection.REVERSE and not turns:
        return both[1:]
    if case.protocol.order.direction is Direction.FIXED:
        return both[1:] if turns else both[:1]
    return None if case.protocol.order.direction is Direction.ANY else both


def _driven_line_s(case: Case) -> float:
    """Return how long a driven line takes at the protocol's own speed; 0 where it has points or no such speed."""
    line, speed = case.protocol.points.line, case.protocol.travel.survey_speed
    return 0.0 if line is None or speed is None else line.metres * 3.6 / speed.base


def _stay_s(case: Case) -> float:
    """Return the seconds of one count; on a driven line, which is counted while driving, none."""
    if case.protocol.points.most:
        return case.protocol.count.minutes * 60
    return _driven_line_s(case) if len(case.route.points) == 1 else 0.0


def legs_s(case: Case) -> tuple[Seconds, ...]:
    """Return the cautious drive from point to point; along a driven line no quicker than the protocol's speed."""
    legs = np.array(case.drives.legs.cautious, dtype=np.float64) * 60
    np.fill_diagonal(legs, 0.0)
    along = float(np.diagonal(legs, offset=1).sum())
    if 0 < along < _driven_line_s(case):
        legs *= _driven_line_s(case) / along
    return tuple(seconds(row) for row in legs)
