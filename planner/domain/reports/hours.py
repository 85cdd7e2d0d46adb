"""Hours and kilometres that volunteers give, each with where the figure comes from."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class Basis(StrEnum):
    """What a figure of hours or kilometres rests on."""

    RECORDED = "recorded"
    """Written down by those who went."""
    AS_PLANNED = "as planned"
    """It was done, and nobody wrote the figure down: that of the plan is taken."""
    PLANNED = "planned"
    """Still to come."""

    @property
    def past(self) -> bool:
        """Whether the work has been done."""
        return self is not Basis.PLANNED


class DistanceSource(StrEnum):
    """How kilometres were found."""

    RECORDED = "recorded"
    """Read from the car's counter."""
    ROADS = "roads"
    """Length of the quickest way on the season's road map."""
    ESTIMATE = "estimate"
    """As the crow flies times a detour: no road map, or none that leads there."""


class Work(StrEnum):
    """What somebody went out for."""

    SETUP = "set-up"
    LEAD = "lead"
    SECOND = "second"


@dataclass(frozen=True, slots=True)
class OutingHours:
    """One outing of one person, from leaving home to being home again."""

    person: str
    """Code of the volunteer."""
    date: dt.date
    route: str
    visit: int
    work: Work
    hours: float | None
    """None where neither the plan nor a record tells."""
    hours_basis: Basis
    km: float | None
    """In the person's own car; a second drives to where work begins and home from where it ends."""
    km_source: DistanceSource
    drive_minutes: float | None
    """Driving that the plan expects, the legs between points included for the lead."""

    @property
    def month(self) -> dt.date:
        """First day of its month."""
        return self.date.replace(day=1)


@dataclass(frozen=True, slots=True)
class PersonMonth:
    """What one person gave, or is to give, in one month."""

    person: str
    month: dt.date
    """Its first day."""
    outings: int
    recorded_hours: float
    as_planned_hours: float
    planned_hours: float
    past_km: float
    planned_km: float
    km_sources: tuple[DistanceSource, ...]
    """All that are in the kilometres, in their order."""
    untold: int
    """Outings whose hours nobody can tell; they are in no sum."""

    @property
    def past_hours(self) -> float:
        """Hours of what was done."""
        return self.recorded_hours + self.as_planned_hours

    @classmethod
    def of(cls, person: str, month: dt.date, outings: Iterable[OutingHours]) -> PersonMonth:
        """Add outings of one person in one month up."""
        some = list(outings)
        return cls(
            person=person,
            month=month,
            outings=len(some),
            recorded_hours=_hours(some, Basis.RECORDED),
            as_planned_hours=_hours(some, Basis.AS_PLANNED),
            planned_hours=_hours(some, Basis.PLANNED),
            past_km=sum(one.km or 0.0 for one in some if one.hours_basis.past),
            planned_km=sum(one.km or 0.0 for one in some if not one.hours_basis.past),
            km_sources=tuple(
                source
                for source in DistanceSource
                if any(one.km_source is source for one in some if one.km is not None)
            ),
            untold=sum(one.hours is None for one in some),
        )


@dataclass(frozen=True, slots=True)
class HoursReport:
    """All outings of a season."""

    outings: tuple[OutingHours, ...]
    """By person, date, route."""
    by_month: tuple[PersonMonth, ...]
    """By person and month."""
    unrecorded: int
    """Visits whose date has passed without a record: their hours are in no sum."""
    said: str
    """What the figures are, in sentences."""

    def hours(self, *bases: Basis) -> float:
        """Return the hours that rest on these."""
        return sum(_hours(self.outings, basis) for basis in bases)

    def km(self, *, past: bool) -> float:
        """Return the kilometres that were driven, or are to come."""
        return sum(one.km or 0.0 for one in self.outings if one.hours_basis.past is past)

    @property
    def people(self) -> int:
        """How many go out, or went."""
        return len({one.person for one in self.outings})

    @property
    def gave(self) -> int:
        """How many have been out by now."""
        return len({one.person for one in self.outings if one.hours_basis.past})

    @property
    def untold(self) -> int:
        """Outings whose hours nobody can tell."""
        return sum(one.hours is None for one in self.outings)


def _hours(outings: Iterable[OutingHours], basis: Basis) -> float:
    return sum(one.hours or 0.0 for one in outings if one.hours_basis is basis)
