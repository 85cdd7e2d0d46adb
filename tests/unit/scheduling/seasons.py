"""Builders of small seasons whose light and drives are given by hand, so that every answer can be worked out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from planner.domain.calendar import DateRange
from planner.domain.counting import CountRule, Direction, OrderRule, PointRule, Segment, Spacing, SpacingKind
from planner.domain.geo import Place
from planner.domain.habitat import HabitatClass, HabitatRule, HabitatTiming
from planner.domain.measures import Length
from planner.domain.plan import PlannedVisit, Status, VisitKey
from planner.domain.protocol import Gap, PeopleRule, Protocol, SetupRule, VisitRule
from planner.domain.route import Point, Route
from planner.domain.season import Season
from planner.domain.volunteer import Availability, Volunteer
from planner.domain.window import Edge, Event, FinishRule, PartOfDay, Pass, PassDirection, StartRule, Window
from planner.scheduling.problem import DriveMinutes, PassLight, RouteDrives, RouteLight, SeasonProblem, WindowLight

FIRST = dt.date(2027, 6, 1)
"""A Tuesday: the first day of the small seasons."""

ALL_PARTS = frozenset(PartOfDay)

Floats = npt.NDArray[np.float64]


def day(number: int) -> dt.date:
    """The date of day 0, 1, 2 … of the small seasons."""
    return FIRST + dt.timedelta(days=number)


def days(first: int, last: int) -> DateRange:
    """From day to day, both included."""
    return DateRange(day(first), day(last))


def seconds(number: int, clock: str) -> float:
    """Unix seconds of a UTC clock time on a day of the small seasons."""
    return dt.datetime.combine(day(number), dt.time.fromisoformat(clock), tzinfo=dt.UTC).timestamp()


def dusk(start: StartRule = StartRule.NO_EARLIER, within: float | None = None, name: str = "dusk") -> Window:
    """A window at dusk of one pass."""
    run = Pass(Edge(Event.SUNSET, 20), Edge(Event.SUNSET, 140), start, FinishRule.ALL_INSIDE, within)
    return Window(name, PartOfDay.DUSK, (run,))


def dawn(name: str = "dawn") -> Window:
    """A window at dawn of one pass."""
    run = Pass(Edge(Event.SUNRISE, -100), Edge(Event.SUNRISE, -10))
    return Window(name, PartOfDay.DAWN, (run,))


def out_and_back() -> Window:
    """Two passes in one night, the second against the first."""
    first = Pass(Edge(Event.SUNSET, 0), Edge(Event.SUNSET, 50))
    second = Pass(Edge(Event.SUNSET, 60), Edge(Event.SUNSET, 140), direction=PassDirection.REVERSE)
    return Window("night", PartOfDay.DUSK, (first, second))


def habitat_rule(minutes: float = 4.0, timing: HabitatTiming = HabitatTiming.BEFORE_COUNTS) -> HabitatRule:
    """Habitat of two classes."""
    classes = (HabitatClass("W", "wood", stable=True), HabitatClass("O", "open", stable=False))
    return HabitatRule(Length(100, "m"), 10, minutes, classes, timing)


def setup_rule(days_before: int = 3, *, same_day: bool = True, minutes: float = 6.0) -> SetupRule:
    """A set-up that is asked for."""
    return SetupRule(True, minutes, days_before_at_most=days_before, same_day_allowed=same_day)


def protocol(
    *,
    visits: int = 2,
    gap: Gap | None = None,
    windows: tuple[Window, ...] = (),
    direction: Direction = Direction.ANY,
    count: float = 5.0,
    habitat: HabitatRule | None = None,
    setup: SetupRule | None = None,
    people: PeopleRule | None = None,
) -> Protocol:
    """An invented protocol; the gap holds before every visit but the first."""
    return Protocol(
        name="Invented evening count",
        taxon="moths",
        summary="",
        points=PointRule(1, 60, Spacing(SpacingKind.AT_LEAST, Length(300, "m"))),
        count=CountRule((Segment("count", count),)),
        windows=windows or (dusk(),),
        visits=tuple(
            VisitRule(number, gap=gap if number > 1 else None, habitat=habitat is not None)
            for number in range(1, visits + 1)
        ),
        order=OrderRule(direction),
        figures=(),
        people=people or PeopleRule(),
        setup=setup,
        habitat=habitat,
        invented=True,
    )


def route(code: str = "R1", points: int = 3, **changes: object) -> Route:
    """A route of points 1, 2, 3 … in a line."""
    places = tuple(Point(n, Place(51.0 + n * 0.01, -3.5)) for n in range(1, points + 1))
    return replace(Route(code, f"Lane {code}", places), **changes)  # type: ignore[arg-type]  # fields by name


def volunteer(
    code: str, free: Sequence[int] | None = None, *, parts: frozenset[PartOfDay] = ALL_PARTS, **changes: object
) -> Volunteer:
    """A volunteer free on those days (all of them where none are given) for those parts of the day."""
    ranges = [days(0, 364)] if free is None else [days(number, number) for number in free]
    lines = tuple(Availability(one, parts) for one in ranges)
    person = Volunteer(code, f"Ann {code}", Place(51.0, -3.5), availability=lines, visits_limit=9)
    return replace(person, **changes)  # type: ignore[arg-type]  # fields by name


def same(minutes: npt.ArrayLike, *, estimated: bool = False) -> DriveMinutes:
    """Drive minutes without a band."""
    figures = np.asarray(minutes, dtype=np.float64)
    return DriveMinutes(figures, figures, figures, np.full(figures.shape, estimated))


def line_legs(points: int, minutes: float) -> Floats:
    """Legs of a straight road: so many minutes from each point to the next."""
    at = np.arange(points, dtype=np.float64)
    return np.asarray(np.abs(at[:, None] - at[None, :]) * minutes, dtype=np.float64)


def drives(homes: Sequence[float], points: int, leg_minutes: float = 2.0) -> RouteDrives:
    """Drives of a straight road whose first point lies so many minutes from each home."""
    legs = line_legs(points, leg_minutes)
    out = np.asarray(homes, dtype=np.float64)[:, None] + legs[:1].sum(axis=0)[None, :]
    return RouteDrives(same(legs), same(out), same(out.T))


def pass_light(length: int, points: int, opens: str, minutes: float, without: Sequence[int] = ()) -> PassLight:
    """The same clock span on every day, at every point; none on the days ``without``."""
    opening = np.array([[seconds(number, opens)] * points for number in range(length)]).reshape(length, points)
    opening[list(without)] = np.nan
    return PassLight(opening, opening + minutes * 60.0)


def window_light(
    name: str, passes: tuple[PassLight, ...], overcast: tuple[PassLight, ...] = (), moonless: Sequence[int] = ()
) -> WindowLight:
    """One window on one route; the moon fails on the days ``moonless``."""
    length = len(passes[0].open_utc)
    meets = np.ones(length, dtype=np.bool_)
    meets[list(moonless)] = False
    missing = np.flatnonzero(np.isnan(passes[0].open_utc).any(axis=1))
    return WindowLight(name, passes, overcast, meets, {day(int(one)): "the sun stays above" for one in missing})


def route_light(windows: tuple[WindowLight, ...], sunrise: str = "04:00", sunset: str = "20:40") -> RouteLight:
    """Light of a route with the same sunrise and sunset on every day."""
    length = len(windows[0].moon_meets)
    rise, down = ([seconds(number, clock) for number in range(length)] for clock in (sunrise, sunset))
    return RouteLight(windows, np.asarray(rise), np.asarray(down))


def problem(
    *,
    rules: Protocol | None = None,
    visits: Sequence[DateRange] = (days(0, 6), days(7, 13)),
    length: int = 14,
    routes: Sequence[Route] = (),
    volunteers: Sequence[Volunteer] = (),
    homes: Mapping[str, Sequence[float]] | None = None,
    light: Mapping[str, RouteLight] | None = None,
    today: dt.date | None = None,
    leg_minutes: float = 2.0,
) -> SeasonProblem:
    """A season in which dusk runs from 21:00 to 23:00 UTC and every home is 10 minutes from every route.

    ``homes`` gives the minutes from each volunteer's home to the first point of a route, ``light`` a route's own
    light, both by route code.
    """
    rules = rules or protocol(visits=len(visits))
    routes = tuple(routes) or (route(),)
    people = tuple(volunteers)
    season = Season("Small", rules, "UTC", days(0, length - 1), tuple(visits), routes=routes, volunteers=people)
    own_light, own_homes = light or {}, homes or {}
    return SeasonProblem(
        season,
        light={one.code: own_light.get(one.code) or _usual_light(rules, one, length) for one in routes},
        drives={
            one.code: drives(own_homes.get(one.code) or [10.0] * len(people), len(one.points), leg_minutes)
            for one in routes
        },
        today=today,
    )


def _usual_light(rules: Protocol, one: Route, length: int) -> RouteLight:
    points = len(one.points)
    found = []
    for window in rules.windows:
        opens = ["02:20"] if window.part is PartOfDay.DAWN else ["21:00", "22:00"]
        minutes = 90.0 if window.part is PartOfDay.DAWN else 120.0 / len(window.passes) - 5 * (len(window.passes) - 1)
        passes = tuple(pass_light(length, points, opens[n], minutes) for n in range(len(window.passes)))
        found.append(window_light(window.name, passes))
    return route_light(tuple(found))


def planned(key: str, lead: str, on: int, **changes: object) -> PlannedVisit:
    """A planned visit, ``key`` such as ``"R1/2"``; reserve and set-up are day numbers."""
    code, number = key.split("/")
    dates = {name: day(value) for name, value in changes.items() if isinstance(value, int) and name != "pinned"}
    others = {name: value for name, value in changes.items() if name not in dates}
    visit = PlannedVisit(VisitKey(code, int(number)), lead, day(on), "dusk")
    return replace(visit, **{**others, **dates})  # type: ignore[arg-type]  # fields by name


def fixed(visit: PlannedVisit) -> PlannedVisit:
    """The visit, confirmed."""
    return replace(visit, status=Status.CONFIRMED)
