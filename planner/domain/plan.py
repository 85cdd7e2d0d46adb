"""The plan: lead, second, date, set-up date and reserve date of every visit that is filled."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from planner.domain.change import Change
from planner.domain.errors import RuleError


class Status(StrEnum):
    """Where a visit stands."""

    PLANNED = "planned"
    CONFIRMED = "confirmed"
    DONE = "done"


@dataclass(frozen=True, slots=True, order=True)
class VisitKey:
    """Names one visit of one route."""

    route: str
    number: int

    def __str__(self) -> str:
        """Route and visit in words."""
        return f"{self.route} visit {self.number}"


@dataclass(frozen=True, slots=True)
class PlannedVisit:
    """One visit that is filled."""

    key: VisitKey
    lead: str
    date: dt.date
    window: str
    """Name of the protocol's window that is used: 'dusk', say."""
    second: str = ""
    reserve: dt.date | None = None
    setup: dt.date | None = None
    """Date of the set-up day; on visit 1 only, and only where the protocol has one."""
    status: Status = Status.PLANNED
    pinned: bool = False
    """The coordinator wants it to stay as it is."""

    def __post_init__(self) -> None:
        if not self.lead:
            raise RuleError(f"{self.key}: a filled visit has a lead")
        if self.second == self.lead:
            raise RuleError(f"{self.key}: lead and second must be two people, found {self.lead} twice")

    @property
    def fixed(self) -> bool:
        """Whether planning must leave it alone."""
        return self.pinned or self.status is not Status.PLANNED

    @property
    def people(self) -> tuple[str, ...]:
        """Codes of those who go, the lead first."""
        return (self.lead, self.second) if self.second else (self.lead,)


@dataclass(frozen=True, slots=True)
class Plan:
    """All filled visits, by route and number; a visit that is not here is unfilled."""

    visits: tuple[PlannedVisit, ...] = ()

    def __post_init__(self) -> None:
        keys = [visit.key for visit in self.visits]
        if len(set(keys)) != len(keys):
            raise RuleError("a visit stands in the plan twice")
        object.__setattr__(self, "visits", tuple(sorted(self.visits, key=lambda visit: visit.key)))

    def __iter__(self) -> Iterator[PlannedVisit]:
        return iter(self.visits)

    def __len__(self) -> int:
        return len(self.visits)

    @property
    def by_key(self) -> Mapping[VisitKey, PlannedVisit]:
        """The visits, found by their key."""
        return {visit.key: visit for visit in self.visits}

    def of_route(self, route: str) -> tuple[PlannedVisit, ...]:
        """Return the filled visits of a route in order."""
        return tuple(visit for visit in self.visits if visit.key.route == route)

    def of_volunteer(self, code: str) -> tuple[PlannedVisit, ...]:
        """Return the visits that someone leads or seconds, by date."""
        mine = (visit for visit in self.visits if code in visit.people)
        return tuple(sorted(mine, key=lambda visit: visit.date))

    def with_visit(self, visit: PlannedVisit) -> Plan:
        """Return a plan in which that visit stands as given."""
        return Plan((*(other for other in self.visits if other.key != visit.key), visit))

    def without(self, key: VisitKey) -> Plan:
        """Return a plan in which that visit is unfilled."""
        return Plan(tuple(visit for visit in self.visits if visit.key != key))

    def with_status(self, key: VisitKey, status: Status) -> Plan:
        """Return a plan in which that visit has that status."""
        return self.with_visit(replace(self.by_key[key], status=status))


@dataclass(frozen=True, slots=True)
class Relaxation:
    """A smallest set of changes that would mend a visit, verified by solving it; the plan found is with it."""

    what: str
    """In the coordinator's words: 'V07 gives one more evening, Tue 8 Jun'."""
    cost: float
    """How much it asks for; the smallest is offered first."""
    changes: tuple[Change, ...] = ()
    """None of them can be left out; without any, planning again is enough."""
    visits: tuple[PlannedVisit, ...] = ()
    """How the visits of the routes concerned would stand; somebody new has a code that nobody in the season has."""
    moves: tuple[VisitKey, ...] = ()
    """Visits of other routes that would change hands or dates for it."""


@dataclass(frozen=True, slots=True)
class Explanation:
    """Why a visit is unfilled or without a reserve date, and the smallest changes that would mend it."""

    key: VisitKey
    reasons: tuple[str, ...]
    relaxations: tuple[Relaxation, ...] = ()
    lacks_reserve_only: bool = False
    tried: str = ""
    """What was tried in vain, in words, where nothing was found."""
