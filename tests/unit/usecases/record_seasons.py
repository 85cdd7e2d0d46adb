"""Visit records of the small seasons: as a team writes them that keeps to the plan to the minute."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from planner.domain.conditions import Condition
from planner.domain.counting import Direction
from planner.domain.field.visit_record import PointRecord, RecordKey, RecordState, VisitRecord
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.outing import StepKind
from planner.domain.plan import Plan, PlannedVisit
from planner.domain.protocol import Protocol
from planner.scheduling import SeasonProblem, outing_for
from planner.usecases.records import Judged, judge_record
from tests.unit.scheduling.seasons import day, planned, problem, protocol, route, volunteer


def record_of(
    problem: SeasonProblem, visit: PlannedVisit, *, overcast: bool = False, weather: Sequence[Condition] = ()
) -> VisitRecord:
    """The final record of a visit that went as planned."""
    outing = outing_for(problem, visit, visit.lead)
    if overcast:
        assert outing.overcast is not None
        outing = outing.overcast
    settle = dt.timedelta(minutes=problem.season.protocol.count.settle_minutes)
    counts = tuple(
        PointRecord(step.point or 0, step.pass_number, step.start_utc, step.start_utc + settle, step.end_utc)
        for step in outing.of_kind(StepKind.COUNT)
    )
    return VisitRecord(
        RecordKey(visit.key.route, visit.key.number, visit.date),
        visit.people,
        counts,
        tuple(weather),
        tuple(weather),
        left_utc=outing.leave_home_utc,
        home_utc=outing.due_home_utc,
        state=RecordState.FINAL,
    )


def shifted(count: PointRecord, minutes: float) -> PointRecord:
    """A count whose times are so many minutes later."""
    by = dt.timedelta(minutes=minutes)
    times = {
        name: moment + by
        for name in ("arrived_utc", "began_utc", "ended_utc")
        if (moment := getattr(count, name)) is not None
    }
    return replace(count, **times)


def with_count(record: VisitRecord, number: int, count: PointRecord) -> VisitRecord:
    """The record with one of its counts, by its place in the record, as given."""
    counts = list(record.counts)
    counts[number] = count
    return replace(record, counts=tuple(counts))


def all_later(record: VisitRecord, minutes: float) -> VisitRecord:
    """The record with every time so many minutes later."""
    by = dt.timedelta(minutes=minutes)
    left, home = (moment + by if moment is not None else None for moment in (record.left_utc, record.home_utc))
    return replace(record, counts=tuple(shifted(one, minutes) for one in record.counts), left_utc=left, home_utc=home)


def said(judged: Judged, rule: Rule) -> list[Finding]:
    """The findings of one rule."""
    return [finding for finding in judged.findings if finding.rule is rule]


def only(problem: SeasonProblem, plan: Plan, record: VisitRecord, rule: Rule, severity: Severity) -> Finding:
    """The one finding on a record that is not a note, or the one note; what follows from it is left out."""
    found = [
        one
        for one in judge_record(problem, plan, record).findings
        if one.rule is not Rule.RECORD_FOLLOWS and (one.severity is Severity.NOTE) is (severity is Severity.NOTE)
    ]
    assert [(one.rule, one.severity) for one in found] == [(rule, severity)], "\n".join(map(str, found))
    return found[0]


VISIT = planned("R1/1", "V1", 2, second="V2", reserve=4)
PLAN = Plan((VISIT, planned("R2/1", "V1", 3), planned("R1/2", "V2", 9)))


def small(rules: Protocol | None = None, **changes: object) -> SeasonProblem:
    given = {
        "rules": rules or protocol(direction=Direction.EITHER),
        "routes": (route("R1", 4), route("R2", 4)),
        "volunteers": (volunteer("V1"), volunteer("V2")),
        "today": day(3),
    }
    return problem(**{**given, **changes})  # type: ignore[arg-type]  # arguments by name


SMALL = small()
GOOD = replace(record_of(SMALL, VISIT), left_utc=None, home_utc=None)


def utc(clock: str, on: int = 2) -> dt.datetime:
    return dt.datetime.combine(day(on), dt.time.fromisoformat(clock), tzinfo=dt.UTC)


def timed(count: PointRecord, arrived: str, began: str, ended: str) -> PointRecord:
    return replace(count, arrived_utc=utc(arrived), began_utc=utc(began), ended_utc=utc(ended))


def on(record: VisitRecord, number: int) -> VisitRecord:
    """The record on another day."""
    moved = all_later(record, 1440.0 * (number - 2))
    return replace(moved, key=replace(record.key, date=day(number)))
