"""Every finding on the visit records of a season, short enough to be read beside all the others."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from planner.domain.counting import OrderRule
from planner.domain.field.record_ground import points_words, record_finding
from planner.domain.field.visit_record import RecordState, VisitRecord
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.plan import Plan, PlannedVisit, Status
from planner.scheduling import SeasonProblem
from planner.usecases.records.judged import judge_record

LATE_DAYS = 7
"""A record that has not come back so many days after its visit is asked for: our own assumption."""
_MOST_ASKED_FOR = 5
"""Missing records that are named one by one; more are counted."""


def record_findings(problem: SeasonProblem, plan: Plan, records: Sequence[VisitRecord]) -> tuple[Finding, ...]:
    """Return what needs a look in the records, and which ones have not come back.

    Notes on a record are left to :func:`planner.usecases.records.judge_record`, which tells all of one record; of
    several points with the same fault one is named, and the others are counted. What was wrong on an evening that has
    been made again since, and whole, asks for nothing any more.

    Args:
        problem: the season with its light and drives; where it knows today's date, late records are asked for.
        plan: the plan as it stands.
        records: all records that are kept.
    """
    return (*_of_records(problem, plan, records), *_missing(plan, records, problem.today))


def _of_records(problem: SeasonProblem, plan: Plan, records: Sequence[VisitRecord]) -> Iterator[Finding]:
    for record in records:
        if record.state is RecordState.DRAFT:
            what = "The record is a draft: nothing follows from it yet."
            yield record_finding(record, Rule.RECORD_MISSING, Severity.NOTE, what, "Complete it and make it final.")
            continue
        if _made_again(problem.season.protocol.order, plan, record):
            continue
        others = [one for one in records if one.key.visit_key == record.key.visit_key or one.key < record.key]
        found = judge_record(problem, plan, record, others).findings
        yield from _gathered([one for one in found if one.severity <= Severity.DOUBT])


def _made_again(rule: OrderRule, plan: Plan, record: VisitRecord) -> bool:
    """Whether the visit stands as done by a later evening alone."""
    visit = plan.by_key.get(record.key.visit_key)
    done = visit is not None and visit.status is Status.DONE and visit.date > record.key.date
    return done and not rule.finish_another_day


def _gathered(findings: Sequence[Finding]) -> Iterator[Finding]:
    """Yield one finding for several points with the same fault, in the order in which they come first."""
    kinds: dict[tuple[Rule, Severity, bool], list[Finding]] = {}
    for one in findings:
        kinds.setdefault((one.rule, one.severity, one.subject.point is not None), []).append(one)
    for (rule, severity, of_points), same in kinds.items():
        if not of_points or len(same) == 1:
            yield from same
            continue
        subject = Subject(same[0].subject.route, None, same[0].subject.visit, date=same[0].subject.date)
        points = tuple(dict.fromkeys(one.subject.point for one in same if one.subject.point is not None))
        also = f" The same kind of finding at {points_words(points[1:])}." if len(points) > 1 else ""
        yield Finding(rule, severity, subject, f"{same[0].what}{also}", same[0].todo)


def _missing(plan: Plan, records: Sequence[VisitRecord], today: dt.date | None) -> Iterator[Finding]:
    if today is None:
        return
    back = {(one.key.visit_key, one.key.date) for one in records}
    late = [
        visit
        for visit in plan
        if visit.status is not Status.DONE
        and (today - visit.date).days > LATE_DAYS
        and not any(key == visit.key and date >= visit.date for key, date in back)
    ]
    if len(late) <= _MOST_ASKED_FOR:
        yield from (_ask_for(visit, (today - visit.date).days) for visit in late)
    else:
        yield _ask_for_all(sorted(late, key=lambda visit: (visit.date, visit.key)))


def _ask_for_all(late: Sequence[PlannedVisit]) -> Finding:
    oldest = late[0]
    what = (
        f"No record has come back of {len(late)} visits that are {LATE_DAYS + 1} days past and more; the oldest is"
        f" {oldest.key} of {oldest.date:%a} {oldest.date.day} {oldest.date:%b}."
    )
    return Finding(Rule.RECORD_MISSING, Severity.DOUBT, Subject(), what, "Ask their leads for them.")


def _ask_for(visit: PlannedVisit, late_days: int) -> Finding:
    subject = Subject(visit.key.route, None, visit.key.number, visit.lead, visit.date)
    what = f"No record has come back, {late_days} days after the visit."
    todo = f"Ask {visit.lead} for it; if nobody went, say so by cancelling the visit or planning it again."
    return Finding(Rule.RECORD_MISSING, Severity.DOUBT, subject, what, todo)
