"""How far the visits and their habitat sheets have come."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from planner.domain.plan import VisitKey


class VisitState(StrEnum):
    """Where a visit stands on the day of the report; in the order in which it comes along."""

    UNFILLED = "unfilled"
    """Nobody is planned for it."""
    PLANNED = "planned"
    """Somebody is planned for it, on a date to come."""
    CONFIRMED = "confirmed"
    """They have said yes, and the date is to come."""
    UNRECORDED = "unrecorded"
    """Its date has passed, and no finished record has come back."""
    PARTLY = "partly"
    """A record has come back, and the visit does not stand as done."""
    DONE = "done"

    @property
    def words(self) -> str:
        """The state as it is said."""
        return {
            VisitState.UNFILLED: "nobody planned",
            VisitState.UNRECORDED: "date passed, no record",
            VisitState.PARTLY: "partly done",
        }.get(self, self.value)


@dataclass(frozen=True, slots=True)
class SheetCount:
    """The habitat sheets of some visits, one for each point where the protocol asks for habitat."""

    due: int = 0
    """Points whose habitat the protocol wants on these visits."""
    final: int = 0
    """Of these, points with a sheet that is handed in."""
    draft: int = 0
    """Of these, points whose sheet is only begun."""
    missing: int = 0
    """Of these, points of visits done or partly done that have no sheet at all."""

    @property
    def to_come(self) -> int:
        """Points of visits to come that have no sheet yet."""
        return self.due - self.final - self.draft - self.missing

    def __add__(self, other: SheetCount) -> SheetCount:
        return SheetCount(
            self.due + other.due, self.final + other.final, self.draft + other.draft, self.missing + other.missing
        )


@dataclass(frozen=True, slots=True)
class VisitStanding:
    """One visit of one route, filled or not."""

    key: VisitKey
    title: str
    """Code and name of the route."""
    area: str
    state: VisitState
    date: dt.date | None
    """When it is planned or was done; None while unfilled."""
    reserve: dt.date | None
    points: int
    """Of the route."""
    counted: int
    """Points counted to the end in at least one final record."""
    standing: int
    """Of these, points that stand by the protocol, all evenings taken together."""
    evenings: int
    """Final records: evenings on which somebody was there to count."""
    sheets: SheetCount
    draft_lacks: str = ""
    """Of a visit without a finished record whose draft waits: what the draft lacks, in words. Empty: no draft."""

    @property
    def words(self) -> str:
        """Where it stands, as it is said."""
        return f"date passed, draft waits; it lacks: {self.draft_lacks}" if self.draft_lacks else self.state.words


@dataclass(frozen=True, slots=True)
class Tally:
    """Some visits added up."""

    name: str
    states: tuple[tuple[VisitState, int], ...]
    """Every state with its number of visits, in the order of the states."""
    sheets: SheetCount
    points: int
    """Points to be counted on these visits."""
    counted: int
    """Of these, points that were."""
    standing: int
    """Of these, points that stand by the protocol."""
    drafts: int = 0
    """Visits past without a finished record of which a draft waits."""

    @classmethod
    def of(cls, name: str, standings: Iterable[VisitStanding]) -> Tally:
        """Add visits up."""
        some = list(standings)
        counts = Counter(one.state for one in some)
        return cls(
            name=name,
            states=tuple((state, counts[state]) for state in VisitState),
            sheets=sum((one.sheets for one in some), SheetCount()),
            points=sum(one.points for one in some),
            counted=sum(one.counted for one in some),
            standing=sum(one.standing for one in some),
            drafts=sum(bool(one.draft_lacks) for one in some),
        )

    @property
    def visits(self) -> int:
        """All of them."""
        return sum(count for _, count in self.states)

    def count(self, *states: VisitState) -> int:
        """Return how many visits stand in these states."""
        return sum(count for state, count in self.states if state in states)

    @property
    def in_words(self) -> tuple[str, ...]:
        """How many visits stand where, states without any left out; past ones with a draft on their own."""
        told = []
        for state, count in self.states:
            drafts = self.drafts if state is VisitState.UNRECORDED else 0
            told += [f"{count - drafts} {state.words}"] if count > drafts else []
            told += [f"{drafts} date passed, draft waits"] if drafts else []
        return tuple(told)

    @property
    def filled(self) -> int:
        """Visits that somebody does or did."""
        return self.visits - self.count(VisitState.UNFILLED)


@dataclass(frozen=True, slots=True)
class Progress:
    """The whole season, by visit and by area."""

    standings: tuple[VisitStanding, ...]
    """Every visit of every route, by the season's order of routes, then by visit."""
    whole: Tally
    by_visit: tuple[Tally, ...]
    """'visit 1', 'visit 2' …"""
    by_area: tuple[Tally, ...]
    area_words: str
    """What the areas are, in a sentence."""
