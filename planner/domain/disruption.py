"""What can break in a season that is planned, and what the season is afterwards."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TypeAlias

from planner.domain.calendar import DateRange
from planner.domain.counting import OrderRule
from planner.domain.errors import RuleError
from planner.domain.plan import VisitKey
from planner.domain.season import Season
from planner.domain.volunteer import Availability

_MOST_NAMED = 3
"""Visits named in a label; the others are counted."""


@dataclass(frozen=True, slots=True)
class VisitCancelled:
    """Weather takes one visit's date; other routes go out."""

    key: VisitKey

    def __str__(self) -> str:
        """Say what broke, in plain words."""
        return f"weather cancels {self.key}"


@dataclass(frozen=True, slots=True)
class VisitsCancelled:
    """Weather takes the dates of several visits, of an area perhaps; other routes go out."""

    keys: tuple[VisitKey, ...]

    def __post_init__(self) -> None:
        if not self.keys or len(set(self.keys)) != len(self.keys):
            raise RuleError("name the visits that are cancelled, each once")
        object.__setattr__(self, "keys", tuple(sorted(self.keys)))

    def __str__(self) -> str:
        """Say what broke, in plain words."""
        named = [str(key) for key in self.keys[:_MOST_NAMED]]
        more = len(self.keys) - len(named)
        if more:
            return f"weather cancels {', '.join(named)} and {more} more"
        return f"weather cancels {' and '.join(', '.join(named).rsplit(', ', 1))}"


@dataclass(frozen=True, slots=True)
class SetupCancelled:
    """Weather takes the set-up day of a visit, which is a day of its own; the visit's own date stands if it can."""

    key: VisitKey

    def __str__(self) -> str:
        """Say what broke, in plain words."""
        return f"weather cancels the set-up day of {self.key}"


@dataclass(frozen=True, slots=True)
class EveningCancelled:
    """Weather takes a whole date: nobody goes out to count on it."""

    date: dt.date

    def __str__(self) -> str:
        """Say what broke, in plain words."""
        return f"weather cancels {_day(self.date)} for everybody"


@dataclass(frozen=True, slots=True)
class VolunteerLeaves:
    """A volunteer drops out: from a date on they give no day any more."""

    volunteer: str
    since: dt.date

    def __str__(self) -> str:
        """Say what broke, in plain words."""
        return f"{self.volunteer} drops out from {_day(self.since)} on"


@dataclass(frozen=True, slots=True)
class RoadClosed:
    """A route cannot be reached or driven on these dates, for set-up or survey."""

    route: str
    dates: DateRange

    def __str__(self) -> str:
        """Say what broke, in plain words."""
        return f"the road of {self.route} is closed from {_day(self.dates.first)} to {_day(self.dates.last)}"


@dataclass(frozen=True, slots=True)
class PartlyDone:
    """A team went out and counted only some of the points."""

    key: VisitKey
    points: int
    """Points counted, fewer than the route has."""

    def __str__(self) -> str:
        """Say what broke, in plain words."""
        return f"{self.key} was partly done ({self.points} counted)"


Disruption: TypeAlias = (
    VisitCancelled | VisitsCancelled | SetupCancelled | EveningCancelled | VolunteerLeaves | RoadClosed | PartlyDone
)


class Remains(StrEnum):
    """What a visit that was partly done still asks for."""

    NOTHING = "nothing"
    REST = "rest"
    WHOLE = "whole"


def remains(rule: OrderRule, points: int) -> Remains:
    """Return what the protocol asks after some points were counted and not all.

    Enough points, where the protocol says how many that is, make the visit stand. Where it lets a route be finished
    on another day the rest is counted then. Else, and so where it says nothing, the whole visit is repeated.
    """
    enough = points >= rule.least_points
    if rule.finish_another_day and enough and points > 0:
        return Remains.REST
    return Remains.NOTHING if rule.least_points and enough else Remains.WHOLE


def season_after(season: Season, disruption: Disruption, today: dt.date | None = None) -> Season:
    """Return the season as a disruption leaves it: someone who drops out gives no dates any more.

    What they did before ``today`` stays as it was.
    """
    if not isinstance(disruption, VolunteerLeaves):
        return season
    since = max(disruption.since, season.dates.first, today or disruption.since)
    if since > season.dates.last:
        return season
    gone = Availability(DateRange(since, season.dates.last), frozenset())
    people = (
        replace(one, availability=(*one.availability, gone)) if one.code == disruption.volunteer else one
        for one in season.volunteers
    )
    return replace(season, volunteers=tuple(people))


def _day(day: dt.date) -> str:
    return f"{day:%a} {day.day} {day:%b}"
