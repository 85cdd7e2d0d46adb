"""One entry of a volunteer's calendar: an outing, a set-up day of its own, or a date held in reserve."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from planner.domain.errors import RuleError
from planner.domain.field.told import ToldKind
from planner.domain.geo import Place
from planner.domain.itinerary import Partner
from planner.domain.season import Coordinator


@dataclass(frozen=True, slots=True)
class CalendarEntry:
    """What an entry says; whose it is stands in its key. Moments are whole minutes, as on paper."""

    kind: ToldKind
    season: str
    route: str
    """Code and name of the route."""
    visit: int
    date: dt.date
    zone: str
    """Time zone that its hours are told in."""
    leave_utc: dt.datetime
    """Latest departure from home, by either sky."""
    arrive_utc: dt.datetime
    """When they stand at the first point."""
    count_utc: dt.datetime | None
    """When the first count begins; None without counts."""
    due_utc: dt.datetime
    """When they are due back, by either sky."""
    by_sky: bool
    """Whether the sky of the evening decides between two sets of hours."""
    first_point: int
    place: Place
    """Of the first point."""
    order: tuple[int, ...]
    """Points in counting order; on a set-up day in the order they are worked."""
    setup: bool
    """Whether points are set up on it."""
    habitat_first: bool
    """Whether habitat is done at the points before the first count."""
    leads: bool
    partner: Partner | None
    reserve: dt.date | None
    """Date in reserve of the visit."""
    coordinator: Coordinator
    cautions: tuple[str, ...]
    invented: bool

    def __post_init__(self) -> None:
        if any(moment.utcoffset() is None for moment in (self.leave_utc, self.arrive_utc, self.due_utc)):
            raise RuleError("the moments of a calendar entry need their time zone")
        if not self.leave_utc < self.due_utc:
            raise RuleError("a calendar entry ends after it begins")

    @property
    def what(self) -> str:
        """What it is for: 'Set-up', 'Visit 1', 'Set-up and visit 1', 'Reserve for visit 1'."""
        if self.kind is ToldKind.SETUP:
            return "Set-up"
        if self.kind is ToldKind.RESERVE:
            return f"Reserve for visit {self.visit}"
        return f"Set-up and visit {self.visit}" if self.setup else f"Visit {self.visit}"
