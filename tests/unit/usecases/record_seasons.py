"""Visit records of the small seasons: as a team writes them that keeps to the plan to the minute."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from planner.domain.conditions import Condition
from planner.domain.field.visit_record import PointRecord, RecordKey, RecordState, VisitRecord
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.outing import StepKind
from planner.domain.plan import Plan, PlannedVisit
from planner.scheduling import SeasonProblem, outing_for
from planner.usecases.records import Judged, judge_record


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
    """The one finding on a record, which is of that rule; what follows from it is left out."""
    found = [
        one
        for one in judge_record(problem, plan, record).findings
        if one.rule is not Rule.RECORD_FOLLOWS and one.severity is not Severity.NOTE
    ]
    if severity is Severity.NOTE:
        found = [one for one in judge_record(problem, plan, record).findings if one.rule is not Rule.RECORD_FOLLOWS]
    assert [(one.rule, one.severity) for one in found] == [(rule, severity)], "\n".join(map(str, found))
    return found[0]
