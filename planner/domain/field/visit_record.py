"""A visit record: when and how the counts of one visit were done on one evening, and why they stopped."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from enum import StrEnum

from planner.domain.conditions import Condition
from planner.domain.errors import RuleError
from planner.domain.plan import PlannedVisit, VisitKey


class Stopped(StrEnum):
    """Why a team stopped before all points were done."""

    WEATHER = "weather"
    LIGHT = "light"
    SAFETY = "safety"
    ROAD = "road"
    VEHICLE = "vehicle"
    ILLNESS = "illness"
    DISTURBANCE = "disturbance"
    OTHER = "other"


class RecordState(StrEnum):
    """How far a record has come."""

    DRAFT = "draft"
    FINAL = "final"


@dataclass(frozen=True, slots=True)
class PointRecord:
    """One count at one point. Moments are aware and kept in UTC; None: not written down."""

    point: int
    pass_number: int = 1
    arrived_utc: dt.datetime | None = None
    """When the car stopped there."""
    began_utc: dt.datetime | None = None
    """When the count began, settling left out."""
    ended_utc: dt.datetime | None = None
    """When the count ended."""
    done: bool = True
    """Whether the point was counted to the end."""
    note: str = ""

    def __post_init__(self) -> None:
        if self.point < 1 or self.pass_number < 1:
            raise RuleError(f"a count has a point and a pass, both from 1, found {self.point} and {self.pass_number}")
        for field in ("arrived_utc", "began_utc", "ended_utc"):
            moment = getattr(self, field)
            if moment is not None:
                object.__setattr__(self, field, _in_utc(moment))

    @property
    def key(self) -> tuple[int, int]:
        """Point and pass."""
        return self.point, self.pass_number


@dataclass(frozen=True, slots=True, order=True)
class RecordKey:
    """Names one record: a visit that is finished on another evening has two."""

    route: str
    visit: int
    date: dt.date
    """The evening or morning that the counts belong to."""

    @property
    def visit_key(self) -> VisitKey:
        """The visit that it is a record of."""
        return VisitKey(self.route, self.visit)

    def __str__(self) -> str:
        """The record in words."""
        return f"{self.route} visit {self.visit} on {self.date:%a} {self.date.day} {self.date:%b %Y}"


@dataclass(frozen=True, slots=True)
class Stood:
    """How a visit stood in the plan before a record made it done, so that taking the record back restores it."""

    planned: PlannedVisit | None
    """None: it was not planned."""


@dataclass(frozen=True, slots=True)
class VisitRecord:
    """What a team wrote down about one evening's counts."""

    key: RecordKey
    team: tuple[str, ...] = ()
    """Codes of those who went, the lead first."""
    counts: tuple[PointRecord, ...] = ()
    """In the order in which they were done; each point and pass once."""
    weather_first: tuple[Condition, ...] = ()
    """At the first count."""
    weather_last: tuple[Condition, ...] = ()
    """At the last count."""
    stopped: Stopped | None = None
    """None: not stopped early."""
    left_utc: dt.datetime | None = None
    """When the team left home."""
    home_utc: dt.datetime | None = None
    """When the team was home again."""
    distance_km: float | None = None
    """Driven by the lead from home to home, by the car's counter."""
    second_km: float | None = None
    """Driven by the second in a car of their own, from home to home; None: not written down."""
    note: str = ""
    state: RecordState = RecordState.DRAFT
    stood: Stood | None = None
    """Set where this record made the visit done, by the use case that keeps it; nobody else fills it in."""
    let_stand: str = ""
    """Why the coordinator lets the visit stand whatever the protocol asks; empty: nothing was decided."""

    def __post_init__(self) -> None:
        keys = [count.key for count in self.counts]
        if len(set(keys)) != len(keys):
            raise RuleError(f"{self.key}: a point is recorded twice in one pass")
        if len(set(self.team)) != len(self.team) or len(self.team) > 2:
            raise RuleError(f"{self.key}: a team is one or two people, found {', '.join(self.team)}")
        for km in (self.distance_km, self.second_km):
            if km is not None and not 0.0 <= km <= 5000.0:
                raise RuleError(f"{self.key}: distance lies between 0 and 5000 km, found {km:g}")
        for weather in (self.weather_first, self.weather_last):
            if len({one.quantity for one in weather}) != len(weather):
                raise RuleError(f"{self.key}: the weather names a quantity twice")
        for field in ("left_utc", "home_utc"):
            moment = getattr(self, field)
            if moment is not None:
                object.__setattr__(self, field, _in_utc(moment))

    @property
    def done(self) -> tuple[PointRecord, ...]:
        """The counts that were done to the end."""
        return tuple(count for count in self.counts if count.done)

    def km_of(self, person: str) -> float | None:
        """Return what somebody of the team drove; None: not written down, or they were not of it."""
        return dict(zip(self.team, (self.distance_km, self.second_km), strict=False)).get(person)

    def with_team(self, team: tuple[str, ...]) -> VisitRecord:
        """Return the record as one of another team; kilometres go with their person where the two change places."""
        if team[:1] and team[:1] == self.team[1:2]:
            return replace(self, team=team, distance_km=self.second_km, second_km=self.distance_km)
        return replace(self, team=team)


def record_on(record: VisitRecord, date: dt.date, zone: dt.tzinfo) -> VisitRecord:
    """Return a record as one of another date: each time shows the same on the clock, on the night of that date."""
    days = date - record.key.date

    def moved(moment: dt.datetime | None) -> dt.datetime | None:
        return (moment.astimezone(zone) + days).astimezone(dt.UTC) if moment is not None else None

    counts = (
        replace(
            one,
            arrived_utc=moved(one.arrived_utc),
            began_utc=moved(one.began_utc),
            ended_utc=moved(one.ended_utc),
        )
        for one in record.counts
    )
    return replace(
        record,
        key=replace(record.key, date=date),
        counts=tuple(counts),
        left_utc=moved(record.left_utc),
        home_utc=moved(record.home_utc),
    )


def _in_utc(moment: dt.datetime) -> dt.datetime:
    if moment.utcoffset() is None:
        raise RuleError("a recorded moment needs its time zone")
    return moment.astimezone(dt.UTC)
