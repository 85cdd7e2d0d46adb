"""A volunteer: home, limits, skills, and the dates and parts of day they have given."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, field

from planner.domain.calendar import DateRange
from planner.domain.errors import RuleError
from planner.domain.geo import Place
from planner.domain.window import PartOfDay

_TITLES = frozenset({"dr", "prof", "mr", "mrs", "ms", "miss", "mx", "sir", "dame", "rev"})

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


@dataclass(frozen=True, slots=True)
class Availability:
    """One line of a volunteer's dates: these weekdays of this range, for these parts of the day.

    Lines are read in order and a later one wins; a line without parts takes dates away.
    """

    dates: DateRange
    parts: frozenset[PartOfDay]
    weekdays: frozenset[int] = frozenset(range(7))
    """Monday is 0."""

    def __post_init__(self) -> None:
        if not self.weekdays <= frozenset(range(7)) or not self.weekdays:
            raise RuleError("weekdays run from 0 (Monday) to 6 (Sunday), at least one of them")

    def covers(self, day: dt.date) -> bool:
        """Whether the line speaks of that date."""
        return day in self.dates and day.weekday() in self.weekdays


@dataclass(frozen=True, slots=True)
class Volunteer:
    """Someone who goes out. Personal data: stays in the season file and on this person's own paper."""

    code: str
    name: str
    home: Place
    telephone: str = ""
    email: str = ""
    drive_limit_minutes: float = 45.0
    """Longest drive one way from home."""
    visits_limit: int = 2
    """Most visits in the season, as lead or second."""
    training: frozenset[str] = field(default_factory=frozenset)
    vehicle: str = "car"
    availability: tuple[Availability, ...] = ()

    def __post_init__(self) -> None:
        if not self.code.strip() or not self.name.strip():
            raise RuleError("a volunteer needs a code and a name")
        if self.drive_limit_minutes <= 0:
            raise RuleError(f"{self.code}: the drive limit must be above 0 minutes")
        if self.visits_limit < 0:
            raise RuleError(f"{self.code}: the visits limit must not be negative")

    def parts_on(self, day: dt.date) -> frozenset[PartOfDay]:
        """Return the parts of that date which the volunteer has given."""
        parts: frozenset[PartOfDay] = frozenset()
        for line in self.availability:
            if line.covers(day):
                parts = line.parts
        return parts

    def dates_for(self, part: PartOfDay, days: DateRange) -> Iterator[dt.date]:
        """Yield the dates of a range that are given for that part of the day."""
        return (day for day in days if part in self.parts_on(day))

    @property
    def first_name(self) -> str:
        """The given name, titles left out: all that a partner's paper shows. 'Lee, Ann' is read as 'Ann Lee'."""
        family, comma, given = self.name.partition(",")
        words = (given if comma and given.strip() else family).split()
        plain = [word for word in words if word.casefold().rstrip(".") not in _TITLES]
        return (plain or words)[0]

    @property
    def abilities(self) -> frozenset[str]:
        """Training and vehicle together: what a route's needs are held against."""
        return self.training | {self.vehicle}
