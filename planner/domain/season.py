"""A season: a protocol, date ranges, routes and volunteers."""

from __future__ import annotations

import zoneinfo
from dataclasses import dataclass, field

from planner.domain.calendar import DateRange
from planner.domain.errors import RuleError
from planner.domain.field.absent_class import AbsentClass
from planner.domain.field.drive_factors import DriveFactors
from planner.domain.lost_evenings import LostEvenings
from planner.domain.protocol import Protocol
from planner.domain.road_speeds import RoadSpeeds
from planner.domain.route import Route
from planner.domain.volunteer import Volunteer


@dataclass(frozen=True, slots=True)
class Coordinator:
    """Whom everybody rings: the only person whose number is on every paper."""

    name: str = ""
    telephone: str = ""
    email: str = ""


@dataclass(frozen=True, slots=True)
class RoadMap:
    """The road network a season uses: kept beside the season file, recognised by the hash of its source."""

    source_name: str
    content_hash: str
    attribution: str


@dataclass(frozen=True, slots=True)
class Season:
    """One survey season. The plan is kept apart: see ``planner.domain.plan``."""

    name: str
    protocol: Protocol
    zone: str
    dates: DateRange
    visits: tuple[DateRange, ...]
    """Date range of visit 1, visit 2 …"""
    coordinator: Coordinator = Coordinator()
    routes: tuple[Route, ...] = ()
    volunteers: tuple[Volunteer, ...] = ()
    roads: RoadMap | None = None
    road_speeds: RoadSpeeds = field(default_factory=RoadSpeeds)
    """How fast its roads are driven, where the coordinator knows better than the table of speeds."""
    lost_evenings: LostEvenings | None = None
    """What the coordinator expects of the weather; None: nothing is said."""
    notes: str = field(default="")
    absent_classes: tuple[AbsentClass, ...] = ()
    """Habitat classes that cannot be where they might be written down, in the order of their parts."""
    drive_factors: DriveFactors = field(default_factory=DriveFactors)
    """What recorded drives came to: what drives are planned with."""

    def __post_init__(self) -> None:
        try:
            zoneinfo.ZoneInfo(self.zone)
        except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError) as error:
            raise RuleError(f"time zone must be an IANA name such as 'Europe/London', found {self.zone!r}") from error
        self._check_visits()
        _refuse_twice("route", [route.code for route in self.routes])
        _refuse_twice("volunteer", [volunteer.code for volunteer in self.volunteers])

    def _check_visits(self) -> None:
        if len(self.visits) != len(self.protocol.visits):
            raise RuleError(
                f"'{self.protocol.name}' has {len(self.protocol.visits)} visits,"
                f" found date ranges for {len(self.visits)}"
            )
        for number, dates in enumerate(self.visits, start=1):
            if dates.first not in self.dates or dates.last not in self.dates:
                raise RuleError(f"visit {number} ({dates}) must lie inside the season ({self.dates})")

    @property
    def tzinfo(self) -> zoneinfo.ZoneInfo:
        """The season's time zone."""
        return zoneinfo.ZoneInfo(self.zone)

    def route(self, code: str) -> Route:
        """Return the route of that code; raises RuleError with the codes that exist."""
        for route in self.routes:
            if route.code == code:
                return route
        raise RuleError(f"no route {code!r} in this season; there are {_some([r.code for r in self.routes])}")

    def volunteer(self, code: str) -> Volunteer:
        """Return the volunteer of that code; raises RuleError with the codes that exist."""
        for volunteer in self.volunteers:
            if volunteer.code == code:
                return volunteer
        codes = _some([v.code for v in self.volunteers])
        raise RuleError(f"no volunteer {code!r} in this season; there are {codes}")

    def visit_dates(self, route: Route, number: int) -> DateRange:
        """Return the date range of that visit of that route: its own where it has one."""
        own = dict(route.visit_dates)
        return own.get(number, self.visits[number - 1])

    def people_for(self, route: Route) -> int:
        """Return how many must go on a visit of that route."""
        return max(route.people, self.protocol.people.fewest)


def _refuse_twice(kind: str, codes: list[str]) -> None:
    seen: set[str] = set()
    for code in codes:
        if code in seen:
            raise RuleError(f"{kind} {code!r} appears twice; give each {kind} a code of its own")
        seen.add(code)


def _some(codes: list[str], most: int = 12) -> str:
    shown = ", ".join(codes[:most]) or "none"
    return shown if len(codes) <= most else f"{shown} and {len(codes) - most} more"
