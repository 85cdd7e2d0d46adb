"""All figures of a season at one moment: what the window, the files and the page for the board are made from."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum

from planner.domain.geo import Place
from planner.domain.plan import VisitKey
from planner.domain.reports.driving_saved import DrivingSaved
from planner.domain.reports.habitat_summary import HabitatReport
from planner.domain.reports.hours import HoursReport
from planner.domain.reports.progress import Progress, VisitState


class LossKind(StrEnum):
    """How an evening was lost, wholly or in part."""

    CANCELLED = "cancelled"
    """Weather took it before anybody went out."""
    ROAD = "road"
    """A closed road took it before anybody went out."""
    SETUP = "set-up"
    """Weather took the day of a set-up."""
    WEATHER = "weather"
    """A team stopped early because of the weather."""
    LIGHT = "light"
    """A team stopped early because the light was gone."""
    OTHER = "other"
    """A team stopped early for another reason."""


@dataclass(frozen=True, slots=True)
class LostEvening:
    """One date of one visit, or part of it, that was lost."""

    kind: LossKind
    date: dt.date
    visit: VisitKey


@dataclass(frozen=True, slots=True)
class RouteChance:
    """How likely the weather lets a route be completed."""

    route: str
    title: str
    complete: float
    """Probability, 0 to 1; 0 where a visit is unfilled."""
    weakest_visit: int
    weakest: float
    """Probability that this visit is done."""
    whole: bool
    """Whether every visit is filled."""
    missed: bool = False
    """Whether a visit's date has passed, it is not done, and the plan has no date left for it."""
    past_words: str = ""
    """What has passed and is not done, in words; empty where nothing is."""


@dataclass(frozen=True, slots=True)
class Chances:
    """What the weather leaves of the plan."""

    weather_words: str
    expected_visits: float
    filled: int
    routes: tuple[RouteChance, ...]
    """Every route, the weakest first."""


class RouteMark(StrEnum):
    """How far a whole route has come, as one mark on a small map."""

    DONE = "done"
    """All its visits."""
    STARTED = "started"
    """Something is done, and the rest is planned."""
    PLANNED = "planned"
    """Nothing is done yet, and every visit is planned."""
    WANTING = "wanting"
    """A visit has nobody, or its date has passed without a record."""

    @classmethod
    def of(cls, states: Collection[VisitState]) -> RouteMark:
        """Return the mark of a route from the states of its visits."""
        if any(state in (VisitState.UNFILLED, VisitState.UNRECORDED) for state in states):
            return cls.WANTING
        if all(state is VisitState.DONE for state in states):
            return cls.DONE
        started = any(state in (VisitState.DONE, VisitState.PARTLY) for state in states)
        return cls.STARTED if started else cls.PLANNED


@dataclass(frozen=True, slots=True)
class RoutePlace:
    """A route on a small map."""

    route: str
    middle: Place
    mark: RouteMark


@dataclass(frozen=True, slots=True)
class SeasonReport:
    """Everything that is reported of a season."""

    season: str
    survey: str
    """Name of the protocol."""
    invented: bool
    """Whether the protocol is a demo's own."""
    first: dt.date
    last: dt.date
    today: dt.date
    """The day of the report."""
    revision: int
    """The season file's step that it shows."""
    routes: int
    progress: Progress
    chances: Chances | None
    """None where nothing is planned, or nothing is said of the weather."""
    lost: tuple[LostEvening, ...]
    lost_unknown_until: dt.date | None
    """The day up to which nothing is known of cancelled visits, where an older release kept the file; None: all is."""
    hours: HoursReport
    saved: DrivingSaved
    habitat: HabitatReport | None
    """None where the protocol estimates no habitat."""
    places: tuple[RoutePlace, ...]
    asked: tuple[str, ...]
    """What is asked of the programme's board, the most pressing first."""
