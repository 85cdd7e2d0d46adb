"""How far the record of every visit has come: awaited, overdue, a draft, partly done, done."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import IntEnum

from planner.domain.field.visit_record import RecordKey, RecordState, VisitRecord
from planner.domain.plan import Plan, PlannedVisit, Status
from planner.usecases.records import LATE_DAYS


class RecordStanding(IntEnum):
    """Where the record of one evening stands; what wants most doing comes first."""

    OVERDUE = 0
    """None has come back, long after the visit."""
    AWAITED = 1
    """The visit is over and none has come back yet."""
    DRAFT = 2
    PARTLY = 3
    """It is final, and the visit is not done by it."""
    DONE = 4
    TO_COME = 5
    """The visit is still to come."""

    @property
    def wants_doing(self) -> bool:
        """Whether somebody should ask for it, or finish it."""
        return self <= RecordStanding.DRAFT


@dataclass(frozen=True, slots=True)
class EveningStanding:
    """One evening of a visit: recorded, or planned and not recorded yet."""

    key: RecordKey
    standing: RecordStanding
    record: VisitRecord | None = None
    planned: PlannedVisit | None = None
    """The visit as it stands in the plan; None: it does not."""

    @property
    def people(self) -> tuple[str, ...]:
        """Codes of those who went, or are planned to."""
        if self.record is not None and self.record.team:
            return self.record.team
        return self.planned.people if self.planned is not None else ()


def evening_standings(plan: Plan, records: Sequence[VisitRecord], today: dt.date) -> tuple[EveningStanding, ...]:
    """Return every evening that is recorded or planned, by route, visit and date.

    An evening of the plan is left out once its visit has a record of that date or of a later one.

    Args:
        plan: the plan as it stands.
        records: all records that are kept.
        today: a visit of an earlier date, or of today's, is awaited.
    """
    by_visit = plan.by_key
    recorded = [_of_record(one, by_visit.get(one.key.visit_key)) for one in records]
    return tuple(sorted((*recorded, *_without(plan, records, today)), key=lambda one: one.key))


def _of_record(record: VisitRecord, planned: PlannedVisit | None) -> EveningStanding:
    if record.state is RecordState.DRAFT:
        standing = RecordStanding.DRAFT
    elif planned is not None and planned.status is Status.DONE:
        standing = RecordStanding.DONE
    else:
        standing = RecordStanding.PARTLY
    return EveningStanding(record.key, standing, record, planned)


def _without(plan: Plan, records: Iterable[VisitRecord], today: dt.date) -> Iterator[EveningStanding]:
    latest: dict[object, dt.date] = {}
    for one in records:
        latest[one.key.visit_key] = max(one.key.date, latest.get(one.key.visit_key, dt.date.min))
    for visit in plan:
        if visit.date <= latest.get(visit.key, dt.date.min):
            continue
        key = RecordKey(visit.key.route, visit.key.number, visit.date)
        yield EveningStanding(key, _standing(visit, today), None, visit)


def _standing(visit: PlannedVisit, today: dt.date) -> RecordStanding:
    if visit.status is Status.DONE:
        return RecordStanding.DONE
    if visit.date > today:
        return RecordStanding.TO_COME
    return RecordStanding.OVERDUE if (today - visit.date).days > LATE_DAYS else RecordStanding.AWAITED
