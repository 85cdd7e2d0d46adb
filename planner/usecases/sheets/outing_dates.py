"""When habitat of a visit can have been estimated."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping

from planner.domain.field.visit_record import VisitRecord
from planner.domain.plan import Plan, VisitKey


def outing_dates(plan: Plan, records: Iterable[VisitRecord]) -> Mapping[VisitKey, frozenset[dt.date]]:
    """Return the dates on which habitat of a visit can have been estimated: planned, set up, held back, or recorded."""
    dates: dict[VisitKey, set[dt.date]] = defaultdict(set)
    for visit in plan:
        dates[visit.key] |= {one for one in (visit.date, visit.setup, visit.reserve) if one is not None}
    for record in records:
        dates[record.key.visit_key].add(record.key.date)
    return {key: frozenset(found) for key, found in dates.items()}
