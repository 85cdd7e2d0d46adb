"""Evenings that the weather, a closed road or the light took, wholly or in part."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from planner.domain.field.cancelled import CancelledVisit, CancelReason
from planner.domain.field.visit_record import RecordState, Stopped, VisitRecord
from planner.domain.reports.season_report import LossKind, LostEvening
from planner.usecases.season.snapshot import Snapshot

_STOPPED = {Stopped.WEATHER: LossKind.WEATHER, Stopped.LIGHT: LossKind.LIGHT}
_CANCELLED = {CancelReason.WEATHER: LossKind.CANCELLED, CancelReason.ROAD: LossKind.ROAD}


def evenings_lost(records: Iterable[VisitRecord], cancelled: Iterable[CancelledVisit]) -> tuple[LostEvening, ...]:
    """Return what was lost: cancelled beforehand, then stopped early as the records tell.

    Args:
        records: drafts and finals; only finals count.
        cancelled: dates that were given up before anybody went out.
    """
    given_up = [LostEvening(_kind(one), one.date, one.key) for one in cancelled]
    stopped = [
        LostEvening(_STOPPED.get(record.stopped, LossKind.OTHER), record.key.date, record.key.visit_key)
        for record in records
        if record.state is RecordState.FINAL and record.stopped is not None
    ]
    return (*given_up, *stopped)


def unknown_until(found: Snapshot) -> dt.date | None:
    """Return the day, in the season's zone, up to which nothing is known of cancelled visits; None: all is known.

    An older release kept none. What it did last is the newest step up to the one that the file names.
    """
    older = [step.when_utc for step in found.steps if step.number <= found.cancelled_since]
    return max(older).astimezone(found.season.tzinfo).date() if older else None


def _kind(one: CancelledVisit) -> LossKind:
    return LossKind.SETUP if one.setup else _CANCELLED[one.reason]
