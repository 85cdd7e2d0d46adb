"""Counting all passes of a window one after the other, each in its own span of light and its own direction."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from planner.domain.counting import Direction
from planner.domain.window import Pass, PassDirection
from planner.scheduling.outing.orders import best_order
from planner.scheduling.outing.task import CountingTask
from planner.scheduling.problem import FloatArray


def string_of_pass(direction: PassDirection, first: PassDirection, order: tuple[int, ...]) -> tuple[int, ...]:
    """Return the string of points that a pass follows, among the points of the first pass's order.

    Forward is the route's own order. Reverse goes against the first pass where that follows the order rule,
    else against the route's own order.
    """
    if direction is PassDirection.ORDER_RULE:
        return order
    if direction is PassDirection.REVERSE and first is PassDirection.ORDER_RULE:
        return order[::-1]
    forward = tuple(sorted(order))
    return forward if direction is PassDirection.FORWARD else forward[::-1]


def order_of_pass(run: Pass, rule: Direction) -> Direction:
    """Return the order rule inside a pass: fixed where the pass has a direction of its own."""
    return rule if run.direction is PassDirection.ORDER_RULE else Direction.FIXED


@dataclass(frozen=True, slots=True)
class CountedPass:
    """One pass as it is counted. Points are places in the route's arrays."""

    order: tuple[int, ...]
    starts_s: tuple[float, ...]
    end_s: float
    margin_s: float
    """From the end of the last count to its closing."""
    proven: bool


@dataclass(frozen=True, slots=True)
class PassSpan:
    """The rule of one pass and its light on one date, shape (points,)."""

    rule: Pass
    open_s: FloatArray
    close_s: FloatArray


def count_passes(task: CountingTask, spans: Sequence[PassSpan]) -> tuple[CountedPass, ...]:
    """Count every pass; later ones only the points of those before.

    One pass is proven best as ``best_order`` says. With two passes each is best for itself, after the way of the
    first was tried both ways where either is allowed; the pair is then not proven best.

    Args:
        task: legs, count minutes, order rule, lead-in and lead-out; its windows are those of the spans instead.
        spans: rule and light of each pass.
    """
    if len(spans) == 1 or task.direction is not Direction.EITHER:
        return _count(task, spans, tuple(range(task.points)))
    forward = tuple(range(task.points))
    fixed = replace(task, direction=Direction.FIXED)
    tried = [_count(fixed, spans, forward), _count(fixed, spans, forward[::-1])]
    return min(tried, key=lambda passes: (-len(passes[-1].order), -len(passes[0].order), passes[-1].end_s))


def _count(task: CountingTask, spans: Sequence[PassSpan], points: tuple[int, ...]) -> tuple[CountedPass, ...]:
    first = spans[0].rule.direction
    done: list[CountedPass] = []
    for number, span in enumerate(spans):
        last_pass = number + 1 == len(spans)
        string = string_of_pass(span.rule.direction, first, done[0].order if done else points)
        if done:
            string = tuple(point for point in string if point in done[-1].order)
        one = _count_one(task, span, string, done[-1] if done else None, ends_outing=last_pass)
        done.append(one if len(spans) == 1 else replace(one, proven=False))
    return tuple(done)


def task_of_pass(task: CountingTask, span: PassSpan, at: npt.NDArray[np.int64]) -> CountingTask:
    """Return the task of one pass along a string of places, without what leads into it and out of it."""
    return replace(
        task,
        legs_minutes=task.legs_minutes[np.ix_(at, at)],
        open_s=span.open_s[at],
        close_s=span.close_s[at],
        direction=order_of_pass(span.rule, task.direction),
        start=span.rule.start,
        within_minutes=span.rule.within_minutes,
        lead_in_minutes=np.zeros(0),
        lead_out_minutes=np.zeros(0),
    )


def _count_one(
    task: CountingTask, span: PassSpan, string: tuple[int, ...], before: CountedPass | None, *, ends_outing: bool
) -> CountedPass:
    """Count one pass along a string of points, which is the whole route's order rule where that is free."""
    if not string:
        return CountedPass((), (), float("nan"), float("nan"), proven=True)
    at = np.asarray(string, dtype=np.int64)
    own = replace(
        task_of_pass(task, span, at),
        ready_s=None if before is None else before.end_s + task.legs_s[before.order[-1], at],
        lead_in_minutes=task.lead_in_minutes[at] if before is None and len(task.lead_in_minutes) else np.zeros(0),
        lead_out_minutes=task.lead_out_minutes[at] if ends_outing and len(task.lead_out_minutes) else np.zeros(0),
    )
    best = best_order(own)
    margin = own.close_s[best.order[-1]] - best.end_s if best.order else float("nan")
    limit = own.latest_ends[best.order[0]] - best.end_s if best.order else float("nan")
    order = tuple(int(at[point]) for point in best.order)
    return CountedPass(order, best.starts_s, best.end_s, float(min(margin, limit)), best.proven)
