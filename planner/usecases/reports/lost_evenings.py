"""Evenings that the weather or the light took, wholly or in part."""

from __future__ import annotations

from collections.abc import Iterable

from planner.domain.field.visit_record import RecordState, Stopped, VisitRecord
from planner.domain.reports.season_report import LossKind, LostEvening
from planner.store import Step

_BEGINS = "Weather cancels "
"""The label of a step that is a way on from what weather cancels begins so: see ``planner.domain.disruption``."""
_KINDS = {Stopped.WEATHER: LossKind.WEATHER, Stopped.LIGHT: LossKind.LIGHT}


def evenings_lost(records: Iterable[VisitRecord], steps: Iterable[Step]) -> tuple[LostEvening, ...]:
    """Return what was lost: cancelled beforehand as the history tells it, then stopped early as the records do.

    Args:
        records: drafts and finals; only finals count.
        steps: of the season file; those that were undone do not count.
    """
    cancelled = [
        LostEvening(LossKind.CANCELLED, step.when_utc.date(), step.label)
        for step in steps
        if step.label.startswith(_BEGINS) and not step.undone
    ]
    stopped = [
        LostEvening(_kind(record.stopped), record.key.date, f"{record.key}: {record.stopped}", record.key.visit_key)
        for record in records
        if record.state is RecordState.FINAL and record.stopped is not None
    ]
    return (*cancelled, *stopped)


def _kind(stopped: Stopped) -> LossKind:
    return _KINDS.get(stopped, LossKind.OTHER)
