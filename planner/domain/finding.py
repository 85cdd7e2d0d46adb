"""A finding: one thing that a check says."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import IntEnum, StrEnum


class Severity(IntEnum):
    """How serious a finding is; the worst sorts first."""

    BROKEN = 0
    """A rule is broken: a plan with it is not accepted."""
    TROUBLE = 1
    """Something will not work as it stands; a person must decide."""
    DOUBT = 2
    """Worth a look."""
    NOTE = 3
    """Good to know."""

    @property
    def words(self) -> str:
        """The severity in a word."""
        return self.name.lower()


class Rule(StrEnum):
    """The rule a finding belongs to; also its stable name in JSON."""

    ROUTE_POINTS = "route.points"
    ROUTE_SPACING = "route.spacing"
    ROUTE_CIRCLES = "route.circles"
    ROUTE_OFF_ROAD = "route.off_road"
    ROUTE_ONE_WAY = "route.one_way"
    ROUTE_TWO_ROADS = "route.two_roads"
    ROUTE_UNREACHABLE = "route.unreachable"
    ROUTE_TOO_LONG = "route.too_long"
    ROUTE_FAR_AWAY = "route.far_away"
    ROUTE_LEAD = "route.lead"
    ROUTE_TWICE = "route.twice"
    ROUTE_SHARED = "route.shared"
    ROUTE_NAMES = "route.names"
    ROUTE_NUMBERS = "route.numbers"
    ROUTE_ORDER = "route.order"
    ROUTE_LONG_LEG = "route.long_leg"
    ROUTE_BUSY_ROAD = "route.busy_road"
    AREA_NOBODY = "area.nobody"
    VOLUNTEER_NO_EVENING = "volunteer.no_usable_date"
    VOLUNTEER_OFF_ROAD = "volunteer.off_road"
    VOLUNTEER_FAR_AWAY = "volunteer.far_away"
    VOLUNTEER_TWICE = "volunteer.twice"
    VISIT_NOBODY = "visit.nobody"
    VISIT_NO_LIGHT = "visit.no_light"
    VISIT_UNFILLED = "visit.unfilled"
    VISIT_NO_RESERVE = "visit.no_reserve"
    VISIT_DATE = "visit.date"
    VISIT_WINDOW = "visit.window"
    VISIT_GAP = "visit.gap"
    VISIT_PEOPLE = "visit.people"
    VISIT_TRAINING = "visit.training"
    VISIT_VEHICLE = "visit.vehicle"
    VISIT_AVAILABLE = "visit.available"
    VISIT_DRIVE = "visit.drive"
    VISIT_MOON = "visit.moon"
    VISIT_UNKNOWN = "visit.unknown"
    SETUP_DATE = "setup.date"
    SETUP_LIGHT = "setup.light"
    RESERVE_DATE = "reserve.date"
    DAY_TWICE = "day.twice"
    LOAD_LIMIT = "load.limit"
    SHEET_SUM = "sheet.sum"
    SHEET_STEP = "sheet.step"
    SHEET_CLASS = "sheet.class"
    SHEET_NOTE = "sheet.note"
    SHEET_GRAZED = "sheet.grazed"
    SHEET_UNREAD = "sheet.unread"
    SHEET_MISSING = "sheet.missing"
    SHEET_STRANGE = "sheet.strange"
    SHEET_MOVED = "sheet.moved"
    SHEET_TURNED = "sheet.turned"
    SHEET_SWAPPED = "sheet.swapped"
    SHEET_COPIED = "sheet.copied"
    SHEET_ABSENT_CLASS = "sheet.absent_class"
    SHEET_OBSERVERS = "sheet.observers"
    SHEET_DATE = "sheet.date"
    PHOTO_FAR = "photo.far"
    PHOTO_LOST = "photo.lost"
    PHOTO_SPARE = "photo.spare"
    RECORD_UNPLANNED = "record.unplanned"
    RECORD_PEOPLE = "record.people"
    RECORD_TIMES = "record.times"
    RECORD_WINDOW = "record.window"
    RECORD_SHORT = "record.short"
    RECORD_ORDER = "record.order"
    RECORD_WEATHER = "record.weather"
    RECORD_POINTS = "record.points"
    RECORD_MISSING = "record.missing"
    RECORD_FOLLOWS = "record.follows"
    ROADS_MISSING = "roads.missing"
    ROADS_RECORDED = "roads.recorded"
    SEASON_EMPTY = "season.empty"
    SEASON_ZONE = "season.zone"
    SEASON_COORDINATOR = "season.coordinator"
    PROTOCOL_UNVERIFIED = "protocol.unverified"


@dataclass(frozen=True, slots=True)
class Subject:
    """What a finding is about; whatever applies is filled in."""

    route: str = ""
    point: int | None = None
    visit: int | None = None
    volunteer: str = ""
    date: dt.date | None = None
    more_routes: tuple[str, ...] = ()
    """Routes beside the first that it is about as well."""

    @property
    def routes(self) -> tuple[str, ...]:
        """The codes of all routes that it is about."""
        return (self.route, *self.more_routes) if self.route else ()

    def __str__(self) -> str:
        """The subject in words."""
        codes = f"{', '.join(self.routes[:-1])} and {self.routes[-1]}" if self.more_routes else self.route
        parts = [
            f"route{'s' if self.more_routes else ''} {codes}" if self.route else "",
            f"point {self.point}" if self.point is not None else "",
            f"visit {self.visit}" if self.visit is not None else "",
            f"volunteer {self.volunteer}" if self.volunteer else "",
            f"{self.date:%a} {self.date.day} {self.date:%b %Y}" if self.date else "",
        ]
        return ", ".join(part for part in parts if part) or "the season"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that a check says: what, where, how serious, what to do."""

    rule: Rule
    severity: Severity
    subject: Subject
    what: str
    todo: str

    def __str__(self) -> str:
        """One line for a coordinator."""
        return f"{self.severity.words}: {self.subject}: {self.what} {self.todo}".rstrip()


def worst_first(findings: list[Finding]) -> tuple[Finding, ...]:
    """Return the findings, worst first; those of one severity stay in the order they came."""
    return tuple(sorted(findings, key=lambda finding: finding.severity))
