"""One thing that could be otherwise in a season: a person who gives more, or a rule that is eased for one route."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum

from planner.domain.window import PartOfDay


class ChangeKind(StrEnum):
    """What a change is about."""

    GIVES = "gives"
    """Somebody gives more dates."""
    VISITS = "visits"
    """Somebody takes more visits than they offered."""
    DRIVES = "drives"
    """Somebody drives longer than they offered."""
    LEARNS = "learns"
    """Somebody learns what a lead must know."""
    BRINGS = "brings"
    """Somebody comes with what the route needs."""
    LATER = "later"
    """The dates of the route's visits end later."""
    EARLIER = "earlier"
    """The dates of the route's visits begin earlier."""
    GAP = "gap"
    """The gaps between the route's visits are shorter."""
    SETUP = "setup"
    """The set-up may be earlier before visit 1."""
    ONE_PERSON = "one person"
    """One person goes instead of two."""
    ANY_LEAD = "any lead"
    """Somebody other than the one who has agreed may lead."""
    NEWCOMER = "newcomer"
    """Somebody new joins."""


@dataclass(frozen=True, slots=True)
class Change:
    """One change, as exactly as it was verified."""

    kind: ChangeKind
    volunteer: str = ""
    """Code of whom it asks; empty: nobody of the season."""
    amount: int = 0
    """Days, visits or minutes more, as the kind says; a newcomer's one-way drive in minutes."""
    given: tuple[tuple[dt.date, PartOfDay], ...] = ()
    """What somebody gives more."""
    skills: tuple[str, ...] = ()
    """What somebody learns, brings, or has when they join."""
