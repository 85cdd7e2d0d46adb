"""What is planned for one volunteer, by part of date: for the calendar of their dates."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.season import Season
from planner.usecases.people.giving_dates import DateCell


class DutyKind(StrEnum):
    """What somebody does on a date, or is kept for."""

    VISIT = "visit"
    RESERVE = "reserve date"
    SETUP = "set-up"


@dataclass(frozen=True, slots=True)
class Duty:
    """One thing that is planned for somebody."""

    kind: DutyKind
    key: VisitKey
    leads: bool
    """Whether they lead; else they are the second."""


def duties_of(season: Season, plan: Plan, code: str) -> Mapping[DateCell, tuple[Duty, ...]]:
    """Return what is planned for a volunteer, by the part of the date that it lies in.

    A visit on a window that the protocol no longer has is left out: the audit speaks of it.
    """
    found: defaultdict[DateCell, list[Duty]] = defaultdict(list)
    for visit in plan.of_volunteer(code):
        for cell, kind in _cells(season, visit, leads=visit.lead == code):
            found[cell].append(Duty(kind, visit.key, visit.lead == code))
    return {cell: tuple(duties) for cell, duties in found.items()}


def _cells(season: Season, visit: PlannedVisit, *, leads: bool) -> Iterator[tuple[DateCell, DutyKind]]:
    part = next((window.part for window in season.protocol.windows if window.name == visit.window), None)
    if part is not None:
        yield (visit.date, part), DutyKind.VISIT
        if visit.reserve is not None:
            yield (visit.reserve, part), DutyKind.RESERVE
    if leads and visit.setup is not None and season.protocol.setup is not None:
        yield (visit.setup, season.protocol.setup.part), DutyKind.SETUP
