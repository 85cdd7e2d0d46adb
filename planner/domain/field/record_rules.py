"""A visit record held against the protocol: what is wrong with it, and which of its counts stand.

Two counts that were going on at the same time cannot both be right, and nobody can tell from the record which is: as a
coordinator would, we let neither stand until its times are mended. Where the team was only at the next point too early
while the counts themselves follow each other, the arrival is taken for the slip, and both stand. Our own decision, no
published source.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from planner.domain.field.record_ground import CountKey, RecordGround, points_words, record_finding
from planner.domain.field.record_light import light_doubts, outside_light, window_of_record
from planner.domain.field.record_order import sequence_of, wrong_order
from planner.domain.field.record_times import (
    backward,
    home_before_the_end,
    impossible_drives,
    overlapping,
    too_short,
    unsettled,
    unwritten,
)
from planner.domain.field.record_weather import weather_held
from planner.domain.field.visit_record import Stopped, VisitRecord
from planner.domain.finding import Finding, Rule, Severity


@dataclass(frozen=True, slots=True)
class CountsJudged:
    """What the protocol says of the counts of one record."""

    findings: tuple[Finding, ...]
    standing: frozenset[CountKey]
    """The counts that stand: done, inside their light window, long enough, at no time of another count, in weather that
    is allowed."""
    points: tuple[int, ...]
    """The points whose counts stand in every pass, in the route's order."""
    window: str
    """Name of the window that the counts lie in; empty where the date has none."""
    passes: int = 1
    """How often each point is counted in it."""


def counts_judged(record: VisitRecord, ground: RecordGround, planned_window: str) -> CountsJudged:
    """Hold the counts of one record against the protocol.

    Args:
        record: of a route and a visit that the season has.
        ground: light, drives and rules of its route on its date.
        planned_window: name of the window that the plan has for the visit; of alternatives the one that the counts
            lie in is taken.
    """
    chosen = window_of_record(record, ground, planned_window)
    if chosen is None:
        return CountsJudged(tuple(_strange_points(record, ground, 1)), frozenset(), (), "")
    passes = len(chosen.window.passes)
    sequence = sequence_of(record, ground, chosen.window)
    weather = weather_held(record, sequence, ground.protocol)
    lost = [*backward(record, ground), *too_short(record, ground), *outside_light(record, ground, chosen)]
    overlaps = list(overlapping(record, sequence, ground))
    findings = (
        *_strange_points(record, ground, passes),
        *dict.fromkeys(told for _, told in lost),
        *light_doubts(record, ground, chosen),
        *(told for _, told in overlaps),
        *impossible_drives(record, sequence, ground),
        *home_before_the_end(record, ground),
        *unsettled(record, ground),
        *unwritten(record),
        *wrong_order(record, sequence, ground, chosen.window),
        *weather.findings,
    )
    known = {(point, run) for point in ground.points for run in range(1, passes + 1)}
    gone = {key for key, _ in lost} | {key for keys, _ in overlaps for key in keys} | weather.barred
    standing = frozenset(one.key for one in record.done if one.key in known and one.key not in gone)
    points = tuple(p for p in ground.points if all((p, run) in standing for run in range(1, passes + 1)))
    return CountsJudged(findings, standing, points, chosen.window.name if chosen.light else "", passes)


def _strange_points(record: VisitRecord, ground: RecordGround, passes: int) -> Iterator[Finding]:
    for count in record.counts:
        if count.point not in ground.points:
            what = f"Route {ground.route.code} has no point {count.point}."
            todo = "Look whether the record is of another route, or the number was copied wrongly."
        elif count.pass_number > passes:
            what = f"Point {count.point} is counted in pass {count.pass_number}; the protocol has {passes}."
            todo = "Look whether the pass was copied wrongly."
        else:
            continue
        yield record_finding(record, Rule.RECORD_POINTS, Severity.TROUBLE, what, todo, point=count.point)


def uncounted(record: VisitRecord, ground: RecordGround, passes: int, elsewhere: Collection[int]) -> Iterator[Finding]:
    """Yield one finding on the counts that a record leaves out, with the reason that it gives.

    Args:
        record: the record.
        ground: what it is held against.
        passes: how often each point is counted.
        elsewhere: points that count on other evenings of the same visit.
    """
    done = {one.key for one in record.done}
    open_points = [point for point in ground.points if point not in elsewhere]
    left_out = {point: [run for run in range(1, passes + 1) if (point, run) not in done] for point in open_points}
    whole = tuple(point for point, runs in left_out.items() if len(runs) == passes)
    parts = [points_words(whole)] if whole else []
    for run in range(1, passes + 1):
        some = tuple(point for point, runs in left_out.items() if run in runs and point not in whole)
        parts += [f"{points_words(some)} in pass {run}"] if some else []
    if parts:
        why = f" ({_STOPPED[record.stopped]})" if record.stopped is not None else ", and no reason is given"
        todo = "" if record.stopped is not None else "Ask the team why."
        severity = Severity.NOTE if record.stopped is not None else Severity.DOUBT
        what = f"Not counted: {'; '.join(parts)}{why}."
        yield record_finding(record, Rule.RECORD_POINTS, severity, what, todo)


_STOPPED = {
    Stopped.WEATHER: "stopped for the weather",
    Stopped.LIGHT: "the light was gone",
    Stopped.SAFETY: "it was not safe",
    Stopped.ROAD: "the road was closed",
    Stopped.VEHICLE: "something was wrong with the vehicle",
    Stopped.ILLNESS: "somebody was ill",
    Stopped.DISTURBANCE: "the team was disturbed",
    Stopped.OTHER: "stopped for another reason",
}
