"""What the light rule comes to on one date at one place."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from planner.domain.errors import RuleError


@dataclass(frozen=True, slots=True)
class Span:
    """From an opening to a closing moment, both aware and in UTC."""

    open_utc: dt.datetime
    close_utc: dt.datetime

    def __post_init__(self) -> None:
        if self.open_utc.utcoffset() != dt.timedelta(0) or self.close_utc.utcoffset() != dt.timedelta(0):
            raise RuleError("the moments of a span are aware and in UTC")
        if self.close_utc <= self.open_utc:
            raise RuleError(f"a span must close after it opens, found {self.open_utc} to {self.close_utc}")

    @property
    def minutes(self) -> float:
        """Length in minutes."""
        return (self.close_utc - self.open_utc).total_seconds() / 60


@dataclass(frozen=True, slots=True)
class LightWindow:
    """A window that exists: a span for each pass, and for each pass under an overcast sky where that differs."""

    name: str
    date: dt.date
    """Local date of the evening or morning it belongs to; an edge may lie after midnight."""
    passes: tuple[Span, ...]
    overcast: tuple[Span, ...] = ()

    @property
    def open_utc(self) -> dt.datetime:
        """Opening of the first pass."""
        return self.passes[0].open_utc

    @property
    def close_utc(self) -> dt.datetime:
        """Closing of the last pass."""
        return self.passes[-1].close_utc


@dataclass(frozen=True, slots=True)
class NoWindow:
    """A date without a window, and why, in words for the coordinator."""

    name: str
    date: dt.date
    reason: str
    grazing: bool = False
    """The sun's turning point lies within 0.02 degrees of the angle: no almanac can tell."""


@dataclass(frozen=True, slots=True)
class SunLine:
    """The sun's events round one outing, in UTC; None where one does not happen."""

    sunrise_utc: dt.datetime | None
    sunset_utc: dt.datetime | None
    civil_dawn_utc: dt.datetime | None
    civil_dusk_utc: dt.datetime | None
    nautical_dawn_utc: dt.datetime | None
    nautical_dusk_utc: dt.datetime | None
