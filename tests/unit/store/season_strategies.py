"""Seasons and plans of every shape that the domain allows, and one small invented season."""

from __future__ import annotations

import datetime as dt
from typing import TypeVar

from hypothesis import strategies as st

from planner.domain.calendar import DateRange, MonthDay, YearlyRange
from planner.domain.counting import (
    CountRule,
    Direction,
    OrderRule,
    PointRule,
    Segment,
    SegmentKind,
    Spacing,
    SpacingKind,
)
from planner.domain.geo import Place
from planner.domain.habitat import HabitatClass, HabitatRule, HabitatTiming, KeyQuestion
from planner.domain.lost_evenings import HALF_MONTHS, LostEvenings
from planner.domain.measures import Length, Measure, Speed, Temperature
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.domain.protocol import (
    Figure,
    Gap,
    Mark,
    PeopleRule,
    Protocol,
    PublishedDuration,
    SafetyRule,
    SetupRule,
    TravelMode,
    TravelRule,
    Trigger,
    VisitRule,
)
from planner.domain.road_speeds import LEAST_FACTOR, LEAST_KMH, MOST_FACTOR, MOST_KMH, RoadSpeeds
from planner.domain.route import Point, Route
from planner.domain.season import Coordinator, RoadMap, Season
from planner.domain.volunteer import Availability, Volunteer
from planner.domain.weather import LimitKind, Quantity, WeatherLimit
from planner.domain.window import (
    Edge,
    Event,
    FinishRule,
    MoonRule,
    PartOfDay,
    Pass,
    PassDirection,
    StartRule,
    Strength,
    Window,
)

FIRST = dt.date(2027, 4, 1)
LAST = dt.date(2027, 9, 30)
DATES = DateRange(FIRST, LAST)

words = st.text(max_size=8)
codes = st.text(min_size=1, max_size=6).filter(lambda text: bool(text.strip()))
days = st.dates(FIRST, LAST)
positive = st.floats(0.001, 1e6)
places = st.builds(Place, st.floats(-90, 90), st.floats(-180, 180))
date_ranges = st.tuples(days, days).map(lambda pair: DateRange(min(pair), max(pair)))
month_days = st.dates(dt.date(2001, 1, 1), dt.date(2001, 12, 31)).map(lambda day: MonthDay(day.month, day.day))


M = TypeVar("M", bound=Measure)

yearly_ranges = st.lists(
    st.builds(YearlyRange, month_days, month_days, words, st.none() | st.integers(1990, 2040)), max_size=2
).map(tuple)


def measures(kind: type[M], least: float = 0.0) -> st.SearchStrategy[M]:
    return st.builds(kind, st.floats(least, 1e9), st.sampled_from(sorted(kind.FACTORS)))


lengths = measures(Length)
temperatures = measures(Temperature, -1e9)


@st.composite
def spacings(draw: st.DrawFn) -> Spacing:
    kind = draw(st.sampled_from(SpacingKind))
    metres = sorted(draw(st.tuples(positive, positive)))
    most = Length(metres[1], "m") if kind is SpacingKind.RANGE else None
    return Spacing(kind, Length(metres[0], "m"), most, draw(st.floats(0, 50)), draw(st.booleans()), draw(st.booleans()))


@st.composite
def point_rules(draw: st.DrawFn) -> PointRule:
    most = draw(st.integers(0, 20))
    line, line_most = (Length(km, "km") for km in sorted(draw(st.tuples(positive, positive))))
    spacing = draw(st.none() | spacings())
    if most:
        return PointRule(draw(st.integers(0, most)), most, spacing)
    return PointRule(0, 0, spacing, line, draw(st.sampled_from([None, line_most])))


@st.composite
def edges(draw: st.DrawFn) -> Edge:
    event = draw(st.sampled_from(Event))
    clock = draw(st.times()) if event is Event.CLOCK else None
    return Edge(event, draw(st.floats(-1440, 1440)), clock, draw(st.none() | st.floats(-1440, 1440)))


@st.composite
def passes(draw: st.DrawFn) -> Pass:
    """Passes whose length is not fixed by the rule alone, unless it is long enough for any count here."""
    close = draw(st.none() | edges())
    within = draw(st.floats(600, 900)) if close is None else draw(st.none() | st.floats(600, 900))
    start = StartRule.EXACTLY if close is None else draw(st.sampled_from(StartRule))
    run = Pass(draw(edges()), close, start, draw(st.sampled_from(FinishRule)), within, draw(_directions))
    if run.fixed_length_minutes is not None and run.fixed_length_minutes < 600:
        return Pass(Edge(Event.SUNSET), Edge(Event.SUNRISE))
    return run


_directions = st.sampled_from(PassDirection)
windows = st.builds(
    Window,
    words,
    st.sampled_from([PartOfDay.DUSK, PartOfDay.DAWN]),
    st.lists(passes(), min_size=1, max_size=2).map(tuple),
    st.floats(0, 100),
)
classes = st.lists(
    st.builds(HabitatClass, codes, words, st.booleans(), words, st.booleans()),
    min_size=1,
    max_size=3,
    unique_by=lambda one: one.code,
).map(tuple)


@st.composite
def habitats(draw: st.DrawFn) -> HabitatRule:
    """A rule whose key, if any, goes from one question to the next and ends at classes."""
    own = draw(classes)
    asked = (
        KeyQuestion(90001, "Is there any?", "90002", own[0].code),
        KeyQuestion(90002, "Wet?", own[-1].code, own[0].code),
    )
    return HabitatRule(
        draw(lengths),
        draw(st.sampled_from([1, 5, 10, 25])),
        draw(positive),
        own,
        draw(st.sampled_from(HabitatTiming)),
        circles_may_overlap=True,
        sides_of_road=draw(st.booleans()),
        grazed_share=draw(st.booleans()),
        livestock=draw(st.booleans()),
        key=draw(st.sampled_from([(), asked])),
    )


@st.composite
def weather_limits(draw: st.DrawFn) -> WeatherLimit:
    quantity = draw(st.sampled_from(Quantity))
    at_most = draw(measures(Speed)) if quantity is Quantity.WIND else None
    at_least = draw(temperatures) if "temperature" in quantity else None
    visits = draw(st.lists(st.integers(1, 3), max_size=2).map(tuple))
    return WeatherLimit(quantity, draw(st.sampled_from(LimitKind)), at_most, at_least, draw(codes), draw(words), visits)


@st.composite
def gaps(draw: st.DrawFn) -> Gap:
    least, most = sorted(draw(st.tuples(st.integers(0, 90), st.integers(1, 90))))
    return Gap(least, draw(st.sampled_from([None, most])) if most else None, draw(st.sampled_from(Strength)))


@st.composite
def visit_rules(draw: st.DrawFn, *, habitat: bool) -> tuple[VisitRule, ...]:
    return tuple(
        VisitRule(
            number,
            draw(yearly_ranges),
            draw(st.none() | gaps()),
            habitat and draw(st.booleans()),
            draw(st.none() | st.builds(Trigger, temperatures, words)),
        )
        for number in range(1, draw(st.integers(1, 3)) + 1)
    )


@st.composite
def protocols(draw: st.DrawFn) -> Protocol:
    habitat = draw(st.none() | habitats())
    texts = st.lists(words, max_size=2).map(tuple)
    marks = st.sampled_from(Mark)
    fewest = draw(st.integers(1, 2))
    return Protocol(
        name=draw(words),
        taxon=draw(words),
        summary=draw(words),
        points=draw(point_rules()),
        count=draw(
            st.builds(
                CountRule,
                st.lists(
                    st.builds(Segment, words, st.floats(0.1, 20), st.sampled_from(SegmentKind)), min_size=1, max_size=3
                ).map(tuple),
                st.floats(0, 60),
                st.floats(0, 60),
            )
        ),
        windows=draw(st.lists(windows, min_size=1, max_size=2).map(tuple)),
        visits=draw(visit_rules(habitat=habitat is not None)),
        order=draw(st.builds(OrderRule, st.sampled_from(Direction), st.booleans(), st.integers(0, 9))),
        figures=draw(st.lists(st.builds(Figure, words, marks, words), max_size=2).map(tuple)),
        people=PeopleRule(fewest, 2, draw(texts), draw(st.booleans()), draw(st.booleans()), draw(words), draw(words)),
        travel=draw(st.builds(TravelRule, st.sampled_from(TravelMode), st.floats(0, 9), st.none() | measures(Speed))),
        safety=draw(st.builds(SafetyRule, texts, st.none() | lengths)),
        moon=draw(st.none() | st.builds(MoonRule, st.floats(0, 1), st.booleans(), st.sampled_from(Strength))),
        setup=draw(
            st.none()
            | st.builds(
                SetupRule,
                st.booleans(),
                positive,
                st.integers(0, 30),
                st.booleans(),
                st.booleans(),
                st.sampled_from(PartOfDay),
                yearly_ranges,
            )
        ),
        habitat=habitat,
        weather=draw(st.lists(weather_limits(), max_size=2).map(tuple)),
        published=draw(st.none() | st.builds(PublishedDuration, positive, positive, marks, words)),
        invented=draw(st.booleans()),
    )


availabilities = st.builds(
    Availability,
    date_ranges,
    st.frozensets(st.sampled_from(PartOfDay)),
    st.frozensets(st.integers(0, 6), min_size=1),
)
volunteers = st.builds(
    Volunteer,
    codes,
    codes,
    places,
    words,
    words,
    positive,
    st.integers(0, 20),
    st.frozensets(words, max_size=3),
    words,
    st.lists(availabilities, max_size=4).map(tuple),
)
routes = st.builds(
    Route,
    codes,
    words,
    st.lists(st.builds(Point, st.integers(1, 99), places, words), max_size=4, unique_by=lambda point: point.number).map(
        tuple
    ),
    st.integers(1, 2),
    st.frozensets(words, max_size=3),
    words,
    st.lists(st.tuples(st.integers(1, 3), date_ranges), max_size=3).map(tuple),
    words,
)
shares = st.floats(0.0, 1.0)
road_speeds = st.builds(
    RoadSpeeds,
    st.dictionaries(st.sampled_from(("primary", "tertiary", "track")), st.floats(LEAST_KMH, MOST_KMH)).map(
        lambda speeds: tuple(sorted(speeds.items()))
    ),
    st.floats(LEAST_FACTOR, MOST_FACTOR),
)
lost_evenings = st.builds(LostEvenings, st.lists(shares, min_size=HALF_MONTHS, max_size=HALF_MONTHS).map(tuple), shares)


@st.composite
def seasons(draw: st.DrawFn, protocol: st.SearchStrategy[Protocol] | None = None) -> Season:
    rules = draw(protocols() if protocol is None else protocol)
    number = len(rules.visits)
    return Season(
        name=draw(words),
        protocol=rules,
        zone=draw(st.sampled_from(["Europe/London", "America/Denver", "UTC"])),
        dates=DATES,
        visits=tuple(draw(st.lists(date_ranges, min_size=number, max_size=number))),
        coordinator=draw(st.builds(Coordinator, words, words, words)),
        routes=tuple(draw(st.lists(routes, max_size=3, unique_by=lambda route: route.code))),
        volunteers=tuple(draw(st.lists(volunteers, max_size=3, unique_by=lambda volunteer: volunteer.code))),
        roads=draw(st.none() | st.builds(RoadMap, words, words, words)),
        road_speeds=draw(road_speeds),
        lost_evenings=draw(st.none() | lost_evenings),
        notes=draw(words),
    )


@st.composite
def plans(draw: st.DrawFn, season: Season) -> Plan:
    """Plans that name only what the season has."""
    people = [volunteer.code for volunteer in season.volunteers]
    keys = [VisitKey(route.code, number) for route in season.routes for number in range(1, len(season.visits) + 1)]
    if not people or not keys:
        return Plan()
    visits = []
    for key in draw(st.lists(st.sampled_from(keys), unique=True)):
        team = draw(st.lists(st.sampled_from(people), min_size=1, max_size=2, unique=True))
        visits.append(
            PlannedVisit(
                key,
                team[0],
                draw(days),
                draw(words),
                team[1] if len(team) > 1 else "",
                draw(st.none() | days),
                draw(st.none() | days),
                draw(st.sampled_from(Status)),
                draw(st.booleans()),
            )
        )
    return Plan(tuple(visits))


SMALL_PROTOCOL = Protocol(
    name="Lantern moths of the lanes",
    taxon="moths",
    summary="Invented.",
    points=PointRule(1, 5, Spacing(SpacingKind.EXACT, Length(0.5, "mi"))),
    count=CountRule((Segment("listen", 3.0),)),
    windows=(Window("dusk", PartOfDay.DUSK, (Pass(Edge(Event.SUNSET), Edge(Event.NAUTICAL_DUSK)),)),),
    visits=(VisitRule(1), VisitRule(2)),
    order=OrderRule(Direction.EITHER),
    figures=(),
    invented=True,
)
SMALL_SEASON = Season(
    name="Moths 2027",
    protocol=SMALL_PROTOCOL,
    zone="Europe/London",
    dates=DATES,
    visits=(DateRange(FIRST, dt.date(2027, 6, 30)), DateRange(dt.date(2027, 7, 1), LAST)),
)


def small_route(code: str, points: int = 2) -> Route:
    return Route(code, f"Lane {code}", tuple(Point(k, Place(51.0 + k / 1000, -3.0)) for k in range(1, points + 1)))


def small_volunteer(code: str) -> Volunteer:
    return Volunteer(code, f"Ada {code}", Place(51.1, -3.1), telephone="07700 900123")


def small_visit(route: str, lead: str, number: int = 1, day: dt.date = FIRST) -> PlannedVisit:
    return PlannedVisit(VisitKey(route, number), lead, day, "dusk")
