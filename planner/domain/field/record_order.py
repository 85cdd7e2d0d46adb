"""Rules on the order of a record's counts: fixed, either way, any; and the direction of each pass."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

from planner.domain.counting import Direction
from planner.domain.field.record_ground import RecordGround, begin_of, record_finding
from planner.domain.field.record_times import in_time_order
from planner.domain.field.visit_record import PointRecord, VisitRecord
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.window import Pass, PassDirection, Window

_WHAT_TO_DO = "Look whether the times were copied rightly; else decide whether the counts stand."


def sequence_of(record: VisitRecord, ground: RecordGround, window: Window) -> tuple[PointRecord, ...]:
    """Return the counts in the order in which they were done.

    The times tell it, where they lead to an order that the protocol allows: a sheet may list its points otherwise. A
    count without times has the place that the order gives it. Else it is the order of the record, so that one slip in
    a time is shown as one.
    """
    by_time = in_time_order(record, ground)
    for order in (by_time,) if by_time is not None else _orders_that_times_allow(record, ground, window):
        if not any(_order_faults(order, ground, window)):
            return order
    return record.counts


def _orders_that_times_allow(
    record: VisitRecord, ground: RecordGround, window: Window
) -> Iterator[tuple[PointRecord, ...]]:
    """Yield the orders with each pass along the route or back that the times do not speak against; none: no times."""
    begins = {one.key: begin_of(one, ground) for one in record.counts}
    place = {number: at for at, number in enumerate(ground.points)}
    for back in itertools.product((1, -1), repeat=len(window.passes)):
        # Points and passes that are not the protocol's are told elsewhere; here they come last.
        way = dict(enumerate(back, start=1))
        order = sorted(
            record.counts,
            key=lambda one: (one.pass_number, way.get(one.pass_number, 1) * place.get(one.point, len(place))),
        )
        known = [moment for one in order if (moment := begins[one.key]) is not None]
        if known and known == sorted(known):
            yield tuple(order)


def wrong_order(
    record: VisitRecord, sequence: Sequence[PointRecord], ground: RecordGround, window: Window
) -> Iterator[Finding]:
    """Yield where the order of the counts is not one that the protocol allows."""
    for what in _order_faults(sequence, ground, window):
        yield record_finding(record, Rule.RECORD_ORDER, Severity.TROUBLE, what, _WHAT_TO_DO)


def _order_faults(sequence: Sequence[PointRecord], ground: RecordGround, window: Window) -> Iterator[str]:
    runs = [one.pass_number for one in sequence]
    if runs != sorted(runs):
        yield "A pass began before the one before it was over."
    forward = {number: place for place, number in enumerate(ground.points)}
    first: list[int] = []
    for number, run in enumerate(window.passes, start=1):
        found = [one.point for one in sequence if one.pass_number == number and one.point in forward]
        first = found if number == 1 else first
        ordered = sorted(found, key=forward.__getitem__)
        if found not in _allowed(run, window, ground.protocol.order.direction, found, ordered, first):
            name = f" of pass {number}" if len(window.passes) > 1 else ""
            asked = _asked(run, ground)
            yield f"The points{name} were counted in the order {_listed(found)}; the protocol asks for {asked}."


def _allowed(
    run: Pass, window: Window, rule: Direction, found: list[int], ordered: list[int], first: list[int]
) -> tuple[list[int], ...]:
    """Return the orders of these points that a pass allows."""
    if run.direction is PassDirection.FORWARD:
        return (ordered,)
    if run.direction is PassDirection.REVERSE:
        back = [point for point in reversed(first) if point in found]
        complete = window.passes[0].direction is PassDirection.ORDER_RULE and len(back) == len(found)
        return (back,) if complete else (ordered[::-1],)
    if rule is Direction.FIXED:
        return (ordered,)
    return (found,) if rule is Direction.ANY else (ordered, ordered[::-1])


def _asked(run: Pass, ground: RecordGround) -> str:
    match run.direction:
        case PassDirection.FORWARD:
            return "the route's own order"
        case PassDirection.REVERSE:
            return "the order of the first pass reversed"
    fixed = ground.protocol.order.direction is Direction.FIXED
    return "the route's own order" if fixed else "the route's own order, from either end"


def _listed(points: Sequence[int]) -> str:
    return ", ".join(map(str, points))
