"""A small season made by hand, with what was measured of its routes, for the checks before planning."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from planner.domain.calendar import DateRange
from planner.domain.counting import CountRule, Direction, OrderRule, PointRule, Segment, Spacing, SpacingKind
from planner.domain.finding import Finding, Rule
from planner.domain.geo import Place
from planner.domain.habitat import HabitatClass, HabitatRule
from planner.domain.measures import Length
from planner.domain.protocol import PeopleRule, Protocol, VisitRule
from planner.domain.route import Point, Route
from planner.domain.season import Season
from planner.domain.volunteer import Availability, Volunteer
from planner.domain.window import Edge, Event, PartOfDay, Pass, Window
from planner.usecases.route_checks import RouteFacts, check_routes
from planner.usecases.route_checks.facts import FloatArray

DATES = DateRange(dt.date(2027, 6, 1), dt.date(2027, 6, 20))
DUSK = Window("dusk", PartOfDay.DUSK, (Pass(Edge(Event.SUNSET, 20), Edge(Event.NAUTICAL_DUSK)),))
HABITAT = HabitatRule(Length(200.0, "m"), 10, 5.0, (HabitatClass("W", "woodland", stable=True),))
SPACING = Spacing(SpacingKind.EXACT, Length(800.0, "m"), tolerance_percent=10.0)
PROTOCOL = Protocol(
    name="Dusk churring count",
    taxon="nightjars",
    summary="Invented for tests.",
    points=PointRule(3, 5, SPACING),
    count=CountRule((Segment("listen", 6.0),)),
    windows=(DUSK,),
    visits=(VisitRule(1), VisitRule(2)),
    order=OrderRule(Direction.EITHER),
    figures=(),
    people=PeopleRule(lead_training=("course",)),
    habitat=HABITAT,
    invented=True,
)


def june(day: int) -> dt.date:
    return dt.date(2027, 6, day)


def route(code: str, points: int = 4, **changes: object) -> Route:
    """A route of its own along a parallel; R1 along 50.5 N, R2 some 2 km north of it."""
    north = 50.5 + 0.02 * (int(code[1:]) - 1) if code[1:].isdecimal() else 50.5
    places = tuple(Point(number, Place(north, -4.0 + 0.01 * number)) for number in range(1, points + 1))
    return replace(Route(code, f"{code} Lane", places), **changes)  # type: ignore[arg-type]  # fields of a route


def moved(base: Route, number: int, place: Place) -> Route:
    """The route with one point somewhere else."""
    points = tuple(replace(point, place=place) if point.number == number else point for point in base.points)
    return replace(base, points=points)


def free(*days: int, part: PartOfDay = PartOfDay.DUSK) -> tuple[Availability, ...]:
    """Those days of June, for one part."""
    return tuple(Availability(DateRange(june(day), june(day)), frozenset({part})) for day in days)


ALWAYS = (Availability(DATES, frozenset({PartOfDay.DUSK})),)


def volunteer(code: str, **changes: object) -> Volunteer:
    base = Volunteer(code, f"{code} Example", Place(50.5, -4.1), training=frozenset({"course"}), availability=ALWAYS)
    return replace(base, **changes)  # type: ignore[arg-type]  # fields of a volunteer


def line_m(points: int, step_m: float = 800.0) -> FloatArray:
    """Metres between points along a straight road."""
    place = np.arange(points, dtype=np.float64)
    return np.abs(place[:, None] - place[None, :]) * step_m


def good_facts(points: int = 4, volunteers: int = 3, **changes: object) -> RouteFacts:
    """A route that stands as it should, with two minutes to spare on every date."""
    base = RouteFacts(
        straight_m=line_m(points),
        legs_minutes=line_m(points) / 400,
        one_way_minutes=np.full(volunteers, 20.0),
        margin_minutes=np.full((1, len(DATES)), 2.0),
        no_window=({},),
        road_m=line_m(points),
        snap_m=np.full(points, 5.0),
        on_main=np.ones(points, dtype=np.bool_),
    )
    return replace(base, **changes)  # type: ignore[arg-type]  # fields of the facts


@dataclass(frozen=True)
class Checked:
    """The parts of a check, each of which a test may change."""

    protocol: Protocol = PROTOCOL
    routes: tuple[Route, ...] = field(default_factory=lambda: (route("R1"), route("R2")))
    volunteers: tuple[Volunteer, ...] = field(
        default_factory=lambda: tuple(volunteer(code) for code in ("V1", "V2", "V3"))
    )
    visits: tuple[DateRange, ...] = (DateRange(june(1), june(10)), DateRange(june(11), june(20)))
    facts: Mapping[str, RouteFacts] = field(default_factory=dict)
    """By route; good ones where nothing is given."""

    @property
    def season(self) -> Season:
        season = Season("Test season", self.protocol, "Europe/London", DATES, self.visits)
        return replace(season, routes=self.routes, volunteers=self.volunteers)

    def findings(self) -> list[Finding]:
        plain = {one.code: good_facts(len(one.points), len(self.volunteers)) for one in self.routes}
        return list(check_routes(self.season, {**plain, **self.facts}))

    def rules(self) -> list[Rule]:
        return [finding.rule for finding in self.findings()]

    def only(self) -> Finding:
        """The one finding that there is."""
        found = self.findings()
        assert len(found) == 1, "\n".join(str(finding) for finding in found)
        return found[0]
