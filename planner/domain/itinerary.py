"""One volunteer's printed plan, as plain values: what the renderer draws and nothing else."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from planner.domain.counting import CountRule
from planner.domain.geo import Place
from planner.domain.habitat import HabitatRule
from planner.domain.light import SunLine
from planner.domain.outing import Outing
from planner.domain.route import Route
from planner.domain.season import Coordinator
from planner.domain.volunteer import Volunteer


@dataclass(frozen=True, slots=True)
class Partner:
    """The other person of a team: first name and number, no more."""

    first_name: str
    telephone: str


@dataclass(frozen=True, slots=True)
class MapRoad:
    """A road as it is drawn on paper."""

    kind: str
    """OpenStreetMap highway class."""
    name: str
    line: tuple[Place, ...]


@dataclass(frozen=True, slots=True)
class RouteMap:
    """The ground of one outing: roads near the points, and the way along them in counting order."""

    roads: tuple[MapRoad, ...]
    way: tuple[Place, ...]
    """Along the roads from the first point counted to the last; straight between points without a road map."""
    attribution: str


@dataclass(frozen=True, slots=True)
class Walk:
    """The way on foot to a point that lies off the road."""

    point: int
    metres: float
    """From the road, where the car stands, to the point."""
    minutes: float
    """One way, as on level ground."""


@dataclass(frozen=True, slots=True)
class DayPlan:
    """One outing on paper."""

    outing: Outing
    route: Route
    visit: int | None
    """None on a set-up day of its own."""
    setup: bool
    leads: bool
    partner: Partner | None
    reserve: dt.date | None
    sun: SunLine
    map: RouteMap
    estimated_drive: bool
    """Whether any drive minutes come from an estimate without roads."""
    writes_habitat: bool = True
    """Whether this volunteer fills in the habitat sheets of the outing: the lead does, where habitat is due."""
    overcast_above_percent: float | None = None
    """Cloud cover above which the overcast times hold; None where the protocol does not say it in figures."""
    setup_pending: bool = False
    """On a reserve date: the set-up was to be on the evening itself, and may have been cancelled with it."""
    recorded_drives: bool = False
    """Whether recorded drives say what these estimates come to."""
    walks: tuple[Walk, ...] = ()
    """To the points of the outing that lie off the road, in the route's order; drives to and from them include it."""
    is_reserve: bool = False
    """The times for the reserve date of the same visit, printed beside it."""


@dataclass(frozen=True, slots=True)
class Itinerary:
    """Everything that one volunteer is given on paper."""

    season: str
    survey: str
    """Name of the protocol."""
    invented: bool
    zone: str
    volunteer: Volunteer
    coordinator: Coordinator
    days: tuple[DayPlan, ...]
    """Set-up days and visits by date."""
    reserves: tuple[DayPlan, ...]
    """One day plan for each reserve date, by date."""
    count: CountRule
    habitat: HabitatRule | None
    cautions: tuple[str, ...]
    weather: tuple[str, ...]
    """The protocol's weather limits in words."""
    unverified: tuple[str, ...]
    """Figures of the protocol that nobody has verified, in words."""
    printed_on: dt.date
    revision: int
    """The season file's step that this paper shows."""
