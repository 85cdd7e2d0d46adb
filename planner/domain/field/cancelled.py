"""Visits whose date was given up before anybody went out, and why."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from planner.domain.disruption import (
    Disruption,
    EveningCancelled,
    RoadClosed,
    SetupCancelled,
    VisitCancelled,
    VisitsCancelled,
)
from planner.domain.errors import RuleError
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey


class CancelReason(StrEnum):
    """Why a date was given up."""

    WEATHER = "weather"
    ROAD = "road"
    """It was closed."""


@dataclass(frozen=True, slots=True)
class CancelledVisit:
    """A date that a visit, or its set-up, lost."""

    key: VisitKey
    date: dt.date
    """The one that was given up."""
    reason: CancelReason
    when_utc: dt.datetime
    """When it was given up."""
    setup: bool = False
    """Whether it was the date of a set-up on a day of its own; the visit kept its date then."""

    def __post_init__(self) -> None:
        if self.when_utc.utcoffset() is None:
            raise RuleError("the moment of a cancellation needs its time zone")

    @property
    def place(self) -> tuple[VisitKey, dt.date, bool]:
        """What there is one of: given up twice, a date is lost once."""
        return self.key, self.date, self.setup


def cancelled_by(
    disruption: Disruption, plan: Plan, when_utc: dt.datetime, today: dt.date | None = None
) -> tuple[CancelledVisit, ...]:
    """Return the dates that a disruption takes from a plan.

    Who drops out cancels nothing: others may go on the same date. Of a visit that was partly done its record tells.

    Args:
        disruption: what broke.
        plan: as it stood before.
        when_utc: the moment.
        today: dates before it are past and can no longer be cancelled; None: all are to come.
    """
    reason = CancelReason.ROAD if isinstance(disruption, RoadClosed) else CancelReason.WEATHER
    if isinstance(disruption, SetupCancelled):
        day = plan.by_key[disruption.key].setup
        return (CancelledVisit(disruption.key, day, reason, when_utc, setup=True),) if day is not None else ()
    to_come = (one for one in plan if one.status is not Status.DONE and (today is None or one.date >= today))
    return tuple(CancelledVisit(one.key, one.date, reason, when_utc) for one in _struck(disruption, to_come))


def joined(before: Iterable[CancelledVisit], new: Iterable[CancelledVisit]) -> tuple[CancelledVisit, ...]:
    """Return all of them; a date given up again counts once, with the later moment and reason."""
    return tuple(({one.place: one for one in before} | {one.place: one for one in new}).values())


def _struck(disruption: Disruption, visits: Iterable[PlannedVisit]) -> Iterator[PlannedVisit]:
    match disruption:
        case VisitCancelled(key):
            return (one for one in visits if one.key == key)
        case VisitsCancelled(keys):
            return (one for one in visits if one.key in keys)
        case EveningCancelled(date):
            return (one for one in visits if one.date == date)
        case RoadClosed(route, dates):
            return (one for one in visits if one.key.route == route and one.date in dates)
    return iter(())
