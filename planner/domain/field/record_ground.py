"""What a visit record is held against: the light of every count, the drives between points, and the season's rules."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

from planner.domain.field.visit_record import PointRecord, VisitRecord
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.light import Span
from planner.domain.protocol import Protocol
from planner.domain.route import Route
from planner.domain.season import Season
from planner.domain.window import Window

READING = dt.timedelta(seconds=59)
"""Times are written to the minute: what is off by less than a minute is not off. Our own assumption."""

_LONG_MINUTES = 180
"""From here on a length of time is told in hours."""

CountKey: TypeAlias = tuple[int, int]
"""Point and pass."""


@dataclass(frozen=True, slots=True)
class CountLight:
    """The light of one point in one pass."""

    clear: Span
    overcast: Span | None = None
    """None: the sky changes nothing."""


@dataclass(frozen=True, slots=True, eq=False)
class WindowLightOfDate:
    """One of the protocol's windows on the date of a record."""

    window: Window
    light: Mapping[CountKey, CountLight]
    """Of every point in every pass; empty where the date has no such window."""
    reason: str = ""
    """Why there is none, in words."""


@dataclass(frozen=True, slots=True, eq=False)
class RecordGround:
    """What the records of one route on one date are held against."""

    season: Season
    route: Route
    windows: tuple[WindowLightOfDate, ...]
    """In the order of the protocol's windows; empty: the date lies outside the season, nothing is known of it."""
    legs_minutes: Mapping[tuple[int, int], float]
    """Optimistic drive from point to point; a pair that no road joins is not here."""
    out_minutes: Mapping[tuple[str, int], float]
    """Optimistic drive from a volunteer's home to a point."""

    @property
    def protocol(self) -> Protocol:
        """The survey's rules."""
        return self.season.protocol

    @property
    def points(self) -> tuple[int, ...]:
        """Numbers of the route's points, in its own order."""
        return tuple(point.number for point in self.route.points)

    @property
    def counted(self) -> dt.timedelta:
        """How long a count lasts, settling left out; nothing on a driven line, where nobody stops."""
        return dt.timedelta(minutes=self.protocol.count.counted_minutes if self.protocol.points.most else 0.0)

    @property
    def settle(self) -> dt.timedelta:
        """How long a team is still before it counts."""
        return dt.timedelta(minutes=self.protocol.count.settle_minutes if self.protocol.points.most else 0.0)

    def clock(self, moment: dt.datetime) -> str:
        """Return a moment as a clock at the route shows it."""
        return f"{moment.astimezone(self.season.tzinfo):%H:%M}"


def record_finding(
    record: VisitRecord,
    rule: Rule,
    severity: Severity,
    what: str,
    todo: str,
    *,
    point: int | None = None,
    volunteer: str = "",
) -> Finding:
    """Return a finding on a record, on one of its points, or on one of its people."""
    key = record.key
    subject = Subject(route=key.route, point=point, visit=key.visit, volunteer=volunteer, date=key.date)
    return Finding(rule, severity, subject, what, todo)


def begin_of(count: PointRecord, ground: RecordGround) -> dt.datetime | None:
    """Return when a count began; where that is not written down, as its end or the arrival has it."""
    if count.began_utc is not None:
        return count.began_utc
    if count.ended_utc is not None:
        return count.ended_utc - ground.counted
    return count.arrived_utc + ground.settle if count.arrived_utc is not None else None


def end_of(count: PointRecord, ground: RecordGround) -> dt.datetime | None:
    """Return when a count ended; where that is not written down, as its beginning has it."""
    if count.ended_utc is not None:
        return count.ended_utc
    began = begin_of(count, ground)
    return began + ground.counted if began is not None else None


def arrival_of(count: PointRecord, ground: RecordGround) -> dt.datetime | None:
    """Return when the team was at the point; where that is not written down, settling before it began to count."""
    if count.arrived_utc is not None:
        return count.arrived_utc
    began = begin_of(count, ground)
    return began - ground.settle if began is not None else None


def minutes_words(span: dt.timedelta) -> str:
    """Return a length of time in whole minutes, 1 at least, or in hours where it is long: '12 min', '26 hours'."""
    minutes = max(1, round(span.total_seconds() / 60))
    return f"{minutes} min" if minutes < _LONG_MINUTES else f"{minutes / 60:.0f} hours"


def points_words(numbers: tuple[int, ...]) -> str:
    """Return points by number: 'point 3', 'points 3, 4 and 5'."""
    listed = [str(number) for number in numbers]
    if len(listed) == 1:
        return f"point {listed[0]}"
    return f"points {', '.join(listed[:-1])} and {listed[-1]}"


def count_words(count: PointRecord, ground: RecordGround) -> str:
    """Return which count is meant, by pass where there are several."""
    several = any(len(one.window.passes) > 1 for one in ground.windows)
    return f"point {count.point}, pass {count.pass_number}" if several else f"point {count.point}"
