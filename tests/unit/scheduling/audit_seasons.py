"""Small seasons made by hand: even light, even drives, and a plan that keeps every rule."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from planner.domain.calendar import DateRange
from planner.domain.counting import CountRule, Direction, OrderRule, PointRule, Segment
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.geo import Place
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.protocol import Gap, PeopleRule, Protocol, SetupRule, VisitRule
from planner.domain.route import Point, Route
from planner.domain.season import Season
from planner.domain.volunteer import Availability, Volunteer
from planner.domain.window import Edge, Event, PartOfDay, Pass, Window
from planner.scheduling.problem import (
    DriveMinutes,
    FloatArray,
    PassLight,
    RouteDrives,
    RouteLight,
    SeasonProblem,
    WindowLight,
)

SEASON = DateRange(dt.date(2027, 6, 1), dt.date(2027, 7, 31))
SUNRISE_H, SUNSET_H = 4.0, 20.0
OPEN_AFTER_SUNSET, CLOSE_AFTER_SUNSET = 20.0, 80.0
ALWAYS = Availability(SEASON, frozenset(PartOfDay))


def june(day: int) -> dt.date:
    return dt.date(2027, 6, day)


def july(day: int) -> dt.date:
    return dt.date(2027, 7, day)


DUSK = Window(
    "dusk", PartOfDay.DUSK, (Pass(Edge(Event.SUNSET, OPEN_AFTER_SUNSET), Edge(Event.SUNSET, CLOSE_AFTER_SUNSET)),)
)
DAWN = Window("dawn", PartOfDay.DAWN, (Pass(Edge(Event.SUNRISE, -80), Edge(Event.SUNRISE, -20)),))

PROTOCOL = Protocol(
    name="Dusk churring count",
    taxon="nightjars",
    summary="Invented for tests.",
    points=PointRule(1, 20),
    count=CountRule((Segment("listen", 6.0),)),
    windows=(DUSK, DAWN),
    visits=(VisitRule(1), VisitRule(2, gap=Gap(10, 35))),
    order=OrderRule(Direction.EITHER),
    figures=(),
    people=PeopleRule(lead_training=("course",)),
    setup=SetupRule(required=True, minutes_per_point=15.0, days_before_at_most=7),
    invented=True,
)


def volunteer(code: str, **changes: object) -> Volunteer:
    base = Volunteer(
        code,
        f"{code} Example",
        Place(50.5, -4.0),
        visits_limit=4,
        training=frozenset({"course"}),
        availability=(ALWAYS,),
    )
    return replace(base, **changes)  # type: ignore[arg-type]  # the tests name fields of a volunteer


def route(code: str, points: int = 4, **changes: object) -> Route:
    places = tuple(Point(number, Place(50.5, -4.0 + 0.02 * number)) for number in range(1, points + 1))
    return replace(Route(code, f"{code} Lane", places), **changes)  # type: ignore[arg-type]  # fields of a route


def drives(minutes: FloatArray) -> DriveMinutes:
    """The same figure for every reading, unless a test gives others."""
    return DriveMinutes(minutes, minutes, minutes, np.zeros(minutes.shape, dtype=np.bool_))


def line_legs(points: int, leg_minutes: float = 5.0) -> FloatArray:
    """Drive minutes between points along one road."""
    place = np.arange(points, dtype=np.float64)
    return np.abs(place[:, None] - place[None, :]) * leg_minutes


@dataclass(frozen=True)
class Scene:
    """The parts of a season problem, each of which a test may change."""

    protocol: Protocol = PROTOCOL
    routes: tuple[Route, ...] = field(default_factory=lambda: (route("R1"), route("R2")))
    volunteers: tuple[Volunteer, ...] = field(
        default_factory=lambda: tuple(volunteer(code) for code in ("V1", "V2", "V3"))
    )
    visits: tuple[DateRange, ...] = (DateRange(june(1), june(30)), DateRange(june(12), july(31)))
    out_minutes: Mapping[str, float] = field(default_factory=dict)
    """By volunteer; 20 where nothing is given."""
    legs: FloatArray | None = None
    sun_hours: tuple[float, float] = (SUNRISE_H, SUNSET_H)
    dark: Mapping[dt.date, str] = field(default_factory=dict)
    """Dates without a dusk window, and why."""
    moonless: frozenset[dt.date] = frozenset()
    spans: tuple[tuple[float, float], ...] = ((OPEN_AFTER_SUNSET, CLOSE_AFTER_SUNSET),)
    """Minutes after sunset at which each pass of the dusk window opens and closes."""
    overcast: tuple[tuple[float, float], ...] = ()
    point_shift_minutes: float = 0.0
    """How much later the window comes at each point than at the one before it."""
    today: dt.date | None = None

    def problem(self) -> SeasonProblem:
        season = Season("Test season", self.protocol, "Europe/London", SEASON, self.visits)
        season = replace(season, routes=self.routes, volunteers=self.volunteers)
        return SeasonProblem(
            season,
            light={one.code: self._light(one) for one in self.routes},
            drives={one.code: self._drives(one) for one in self.routes},
            today=self.today,
        )

    def _midnights(self) -> FloatArray:
        days = [dt.datetime.combine(day, dt.time(), dt.UTC).timestamp() for day in SEASON]
        return np.array(days, dtype=np.float64)

    def _pass(self, one: Route, span: tuple[float, float], from_hour: float) -> PassLight:
        shift = np.arange(len(one.points)) * self.point_shift_minutes
        opens, closes = (
            self._midnights()[:, None] + from_hour * 3600 + 60 * (minutes + shift)[None, :] for minutes in span
        )
        for day in self.dark:
            opens[(day - SEASON.first).days], closes[(day - SEASON.first).days] = np.nan, np.nan
        return PassLight(opens, closes)

    def _light(self, one: Route) -> RouteLight:
        sunrise, sunset = self.sun_hours
        moon = np.array([day not in self.moonless for day in SEASON])
        dusk = WindowLight(
            "dusk",
            tuple(self._pass(one, span, sunset) for span in self.spans),
            tuple(self._pass(one, span, sunset) for span in self.overcast),
            moon,
            self.dark,
        )
        dawn = WindowLight("dawn", (self._pass(one, (-80, -20), sunrise),), (), moon, self.dark)
        named = {"dusk": dusk, "dawn": dawn}
        windows = tuple(named[window.name] for window in self.protocol.windows)
        return RouteLight(windows, self._midnights() + sunrise * 3600, self._midnights() + sunset * 3600)

    def _drives(self, one: Route) -> RouteDrives:
        points = len(one.points)
        legs = line_legs(points) if self.legs is None else self.legs
        row = np.array([self.out_minutes.get(person.code, 20.0) for person in self.volunteers])
        out = np.repeat(row[:, None], points, axis=1)
        return RouteDrives(drives(legs), drives(out), drives(out.T.copy()))


def visit(name: str, number: int, lead: str, date: dt.date, **changes: object) -> PlannedVisit:
    base = PlannedVisit(VisitKey(name, number), lead, date, "dusk")
    return replace(base, **changes)  # type: ignore[arg-type]  # fields of a planned visit


CLEAN = Plan(
    (
        visit("R1", 1, "V1", june(5), reserve=june(8), setup=june(3)),
        visit("R1", 2, "V1", june(25), reserve=june(28)),
        visit("R2", 1, "V2", june(6), reserve=june(9), setup=june(4)),
        visit("R2", 2, "V2", june(26), reserve=june(29)),
    )
)


def changed(name: str, number: int, **changes: object) -> Plan:
    """The clean plan with one visit changed."""
    return CLEAN.with_visit(replace(CLEAN.by_key[VisitKey(name, number)], **changes))  # type: ignore[arg-type]


def rules(findings: list[Finding], severity: Severity | None = None) -> set[Rule]:
    return {finding.rule for finding in findings if severity is None or finding.severity is severity}


def only(findings: list[Finding]) -> Finding:
    """The one finding that there is."""
    assert len(findings) == 1, "\n".join(str(finding) for finding in findings)
    return findings[0]
