"""What a volunteer was last told of an outing: so that calendars update and cancel instead of doubling."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from planner.domain.errors import RuleError


class ToldKind(StrEnum):
    """What a calendar entry is for."""

    VISIT = "visit"
    SETUP = "set-up"
    RESERVE = "reserve"


@dataclass(frozen=True, slots=True, order=True)
class ToldKey:
    """Names one calendar entry of one volunteer, for good: its date and hours may change."""

    volunteer: str
    route: str
    visit: int
    kind: ToldKind


@dataclass(frozen=True, slots=True)
class Told:
    """The last state of an entry that went out."""

    key: ToldKey
    sequence: int
    """Number of the revision (RFC 5545, SEQUENCE): 0 first, one more with each change that goes out."""
    content: str
    """The entry as it went out, in a form that compares equal when nothing changed; where it is cancelled, as it
    stood before."""
    cancelled: bool
    when_utc: dt.datetime
    before: str = ""
    """The entry as the revision before had it, so that the letter can be written again; empty: it was new, or new
    again."""

    def __post_init__(self) -> None:
        if self.sequence < 0:
            raise RuleError(f"a sequence is 0 or more, found {self.sequence}")
        if self.when_utc.utcoffset() is None:
            raise RuleError("the moment something was told needs its time zone")


class WrittenFile(NamedTuple):
    """A file that went out, recognised wherever it lies."""

    name: str
    """Without its folder."""
    content_hash: str
    """SHA-256 of its bytes, in hexadecimal digits."""


class SentFrom(NamedTuple):
    """Where a season file lay when files went out from it."""

    machine: str
    """Name of the computer."""
    path: str
    """Of the season file, absolute."""
