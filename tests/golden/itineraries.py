"""Itineraries as they come from a planned season, built by hand from plain values. Everybody in them is invented."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from zoneinfo import ZoneInfo

from planner.domain.counting import CountRule, Segment, SegmentKind
from planner.domain.geo import Place
from planner.domain.habitat import HabitatClass, HabitatRule, KeyQuestion
from planner.domain.itinerary import DayPlan, Itinerary, MapRoad, Partner, RouteMap, Walk
from planner.domain.light import LightWindow, Span, SunLine
from planner.domain.measures import Length
from planner.domain.outing import Outing, Squeeze, Step, StepKind
from planner.domain.route import Point, Route
from planner.domain.season import Coordinator
from planner.domain.travel import DriveFigure, FigureSource
from planner.domain.volunteer import Volunteer

LONDON, HOBART = "Europe/London", "Australia/Hobart"
COORDINATOR = Coordinator("Marigold Pennyfeather", "07700 900001", "marigold@example.org")
SIX_MINUTES = CountRule((Segment("listening", 6.0),))
ATTRIBUTION = "Invented roads of the demo island, free to use"


def moment(zone: str, *parts: int) -> dt.datetime:
    """Return a local time (year, month, day, hour, minute, second) in UTC."""
    return dt.datetime(*parts, tzinfo=ZoneInfo(zone)).astimezone(dt.UTC)  # type: ignore[arg-type,misc]


@dataclass
class Evening:
    """Steps being put together, one after the other, from leaving home on."""

    now: dt.datetime
    source: FigureSource = FigureSource.ROAD
    here: int | None = None
    steps: list[Step] = field(default_factory=list)

    def _step(self, kind: StepKind, minutes: float, point: int | None, **more: object) -> None:
        end = self.now + dt.timedelta(minutes=minutes)
        self.steps.append(Step(kind, self.now, end, point, **more))  # type: ignore[arg-type]
        self.now = end

    def drive(self, minutes: float, point: int | None) -> None:
        leg = DriveFigure(minutes * 0.8, minutes * 0.9, minutes, self.source)
        self._step(StepKind.DRIVE, minutes, point, from_point=self.here, leg=leg)
        self.here = point

    def work(self, kind: StepKind, minutes: float, *, run: int = 1) -> None:
        self._step(kind, minutes, self.here, pass_number=run)

    def wait_until(self, until: dt.datetime) -> None:
        minutes = (until - self.now).total_seconds() / 60
        if minutes > 0:
            self._step(StepKind.WAIT, minutes, self.here)

    def tour(self, kind: StepKind, points: Sequence[int], minutes: float, leg: float, *, run: int = 1) -> None:
        for point in points:
            if point != self.here:
                self.drive(leg + 0.3 * math.sin(point), point)
            self.work(kind, minutes, run=run)


def north_road(code: str, name: str, origin: Place, count: int, step_m: float, notes: Callable[[int], str]) -> Route:
    """Return a route that winds eastward over open ground."""
    points = [
        Point(number, _off(origin, (number - 1) * step_m, 600 * math.sin(number / 1.7)), notes(number))
        for number in range(1, count + 1)
    ]
    return Route(code, name, tuple(points))


def _off(origin: Place, east_m: float, north_m: float) -> Place:
    latitude = origin.latitude + north_m / 111_195
    longitude = origin.longitude + east_m / (111_195 * math.cos(math.radians(origin.latitude)))
    return Place(round(latitude, 5), round(longitude, 5))


def ground(route: Route, order: Sequence[int]) -> RouteMap:
    """Return invented roads under a route, and the way along them in that order."""
    first, last = route.points[0].place, route.points[-1].place
    length = (last.longitude - first.longitude) * 111_195 * math.cos(math.radians(first.latitude))
    curve = [_winding(first, share * length / 60, length / (len(route.points) - 1)) for share in range(-8, 69)]
    roads = [MapRoad("unclassified", "Heath Road", tuple(curve))]
    kinds = (("primary", "Great North Drove"), ("track", ""), ("tertiary", "Mill Lane"), ("residential", "Chapel Row"))
    for number, (kind, name) in enumerate(kinds):
        foot = curve[14 + 15 * number]
        line = tuple(_off(foot, 260 * math.sin(at / 3), (at - 8) * 320) for at in range(17))
        roads.append(MapRoad(kind, name, line))
    places = [route.point(number).place for number in order]
    west, east = sorted((places[0].longitude, places[-1].longitude))
    inner = [place for place in curve if west <= place.longitude <= east]
    way = inner if places[0].longitude == west else inner[::-1]
    return RouteMap(tuple(roads), (places[0], *way, places[-1]), ATTRIBUTION)


def _winding(first: Place, east_m: float, step_m: float) -> Place:
    start = 600 * math.sin(1 / 1.7)
    return _off(first, east_m, 600 * math.sin((east_m / step_m + 1) / 1.7) - start)


def straight(route: Route, order: Sequence[int]) -> RouteMap:
    """Return the ground of a season without roads."""
    return RouteMap((), tuple(route.point(number).place for number in order), "")


CLASSES = (
    HabitatClass("HE", "heather moor", stable=True, hint="Heather to the knee or higher covers half or more."),
    HabitatClass("GR", "rough grass", stable=True, hint="Tussocks, not mown, not sown."),
    HabitatClass("PA", "pasture", stable=True, hint="Short, even grass, fenced."),
    HabitatClass("CR", "crop", stable=False, hint="Anything that was sown this year."),
    HabitatClass("WO", "woodland", stable=True, hint="Trees higher than a house."),
    HabitatClass("WE", "open water, bog", stable=True, hint="You would get wet feet."),
    HabitatClass("BU", "buildings, yard", stable=True),
    HabitatClass("OT", "other", stable=False, needs_note=True),
)
KEY = (
    KeyQuestion(1, "Is it built on, paved, or a yard?", "BU", "2"),
    KeyQuestion(2, "Is it water, or so wet that you would not walk it?", "WE", "3"),
    KeyQuestion(3, "Do trees higher than a house cover half of it or more?", "WO", "4"),
    KeyQuestion(4, "Was it ploughed or sown this year?", "CR", "5"),
    KeyQuestion(5, "Is it heather or other low shrub?", "HE", "6"),
    KeyQuestion(6, "Is it grass: rough and tussocky?", "GR", "7"),
    KeyQuestion(7, "Is it grass: short and fenced?", "PA", "OT"),
)
HABITAT = HabitatRule(Length(200, "m"), 10, 8.0, CLASSES, grazed_share=True, livestock=True, key=KEY)


def _volunteer(code: str, name: str) -> Volunteer:
    return Volunteer(code, name, Place(54.61, 1.52), telephone="07700 900146", email="volunteer@example.org")


def _itinerary(volunteer: Volunteer, zone: str, days: Sequence[DayPlan], **more: object) -> Itinerary:
    values: dict[str, object] = {
        "season": "Heath nightjars 2027",
        "survey": "Roadside nightjar count at dusk",
        "invented": True,
        "coordinator": COORDINATOR,
        "reserves": (),
        "count": SIX_MINUTES,
        "habitat": HABITAT,
        "cautions": ("Fire risk: no stove, no cigarette on the heath.",),
        "weather": ("wind at most 12 mph", "rain: none while counting", "fog: none that hides the next pole"),
        "unverified": (),
        "printed_on": dt.date(2027, 5, 28),
        "revision": 41,
    }
    return Itinerary(volunteer=volunteer, zone=zone, days=tuple(days), **(values | more))  # type: ignore[arg-type]


def _summer_sun(day: int, zone: str = LONDON) -> SunLine:
    return SunLine(
        sunrise_utc=moment(zone, 2027, 6, day, 4, 14, 8),
        sunset_utc=moment(zone, 2027, 6, day, 21, 23, 41),
        civil_dawn_utc=moment(zone, 2027, 6, day, 3, 21, 33),
        civil_dusk_utc=moment(zone, 2027, 6, day, 22, 16, 20),
        nautical_dawn_utc=moment(zone, 2027, 6, day, 1, 46, 2),
        nautical_dusk_utc=moment(zone, 2027, 6, day, 23, 51, 48),
    )


def _heath_route() -> Route:
    notes = ("by the field gate, left side", "lay-by after the bridge", "", "wide verge by the pole with the blue mark")
    return north_road("R07", "Long Heath", Place(54.71, 1.98), 10, 1600.0, lambda number: notes[number % 4])


def _heath_evening(day: int, *, habitat: bool) -> Outing:
    """Home is 34 km away; habitat from the far end back to point 1, then the counts outward."""
    opens, closes = moment(LONDON, 2027, 6, day, 21, 38, 41), moment(LONDON, 2027, 6, day, 23, 16, 20)
    leave = moment(LONDON, 2027, 6, day, 18, 32, 7) if habitat else moment(LONDON, 2027, 6, day, 20, 44, 30)
    evening = Evening(leave)
    if habitat:
        evening.drive(58.4, 10)
        evening.tour(StepKind.HABITAT, range(10, 0, -1), 8.0, 3.4)
    else:
        evening.drive(49.2, 1)
    evening.wait_until(opens)
    evening.tour(StepKind.COUNT, range(1, 11), 6.0, 3.4)
    margin = (closes - evening.now).total_seconds() / 60
    evening.drive(58.4, None)
    window = LightWindow("dusk", dt.date(2027, 6, day), (Span(opens, closes),))
    squeeze = Squeeze(1.24, (9, 10)) if habitat else None
    return Outing("R07", window.date, tuple(evening.steps), window, tuple(range(1, 11)), (), margin, squeeze)


def ten_points() -> Itinerary:
    """Return an ordinary plan: a set-up day, two visits, two reserve dates, a partner; British Summer Time."""
    route, order = _heath_route(), tuple(range(1, 11))
    partner = Partner("Barnaby", "07700 900527")
    first = DayPlan(
        _heath_evening(8, habitat=True), route, 1, False, True, partner, dt.date(2027, 6, 11), _summer_sun(8),
        ground(route, order), False,
    )  # fmt: skip
    second = replace(
        first, outing=_heath_evening(24, habitat=False), visit=2, sun=_summer_sun(24), reserve=dt.date(2027, 6, 29)
    )
    setup_day = Evening(moment(LONDON, 2027, 6, 5, 13, 2, 50))
    setup_day.drive(49.2, 1)
    setup_day.tour(StepKind.SETUP, order, 12.0, 3.4)
    setup_day.drive(58.4, None)
    setup = replace(
        first, outing=Outing("R07", dt.date(2027, 6, 5), tuple(setup_day.steps)), visit=None, setup=True,
        partner=None, sun=_summer_sun(5), reserve=None,
    )  # fmt: skip
    reserves = [
        replace(plan, outing=_heath_evening(day, habitat=plan.visit == 1), sun=_summer_sun(day), is_reserve=True)
        for plan, day in ((first, 11), (second, 29))
    ]
    volunteer = _volunteer("V01", "Tamsin Quillfeather")
    return _itinerary(volunteer, LONDON, (setup, first, second), reserves=tuple(reserves))


def past_midnight() -> Itinerary:
    """Return a plan whose counts begin before midnight and end after it; no roads are known, nobody else goes."""
    route = north_road("R12", "Far Fen", Place(54.66, 2.08), 6, 900.0, lambda _number: "")
    order = tuple(range(6, 0, -1))
    opens, closes = moment(LONDON, 2027, 6, 18, 23, 12, 4), moment(LONDON, 2027, 6, 19, 1, 0, 0)
    evening = Evening(moment(LONDON, 2027, 6, 18, 22, 31, 15), FigureSource.ESTIMATE)
    evening.drive(38.5, 6)
    evening.wait_until(opens)
    evening.tour(StepKind.COUNT, order, 8.0, 4.2)
    margin = (closes - evening.now).total_seconds() / 60
    evening.drive(44.0, None)
    window = LightWindow("night", dt.date(2027, 6, 18), (Span(opens, closes),))
    outing = Outing("R12", window.date, tuple(evening.steps), window, order, (), margin)
    day = DayPlan(outing, route, 1, False, True, None, None, _summer_sun(18), straight(route, order), True)
    rule = CountRule((Segment("listening", 5.0), Segment("call", 1.0, SegmentKind.BROADCAST)), 2.0, 2.0)
    unverified = ("count: minutes to settle: from memory, not verified: check it before relying on it (field manual)",)
    volunteer = _volunteer("V05", "Odo Fenwick")
    return _itinerary(volunteer, LONDON, (day,), habitat=None, count=rule, unverified=unverified, invented=False)


def southern_dawn() -> Itinerary:
    """Return a morning plan south of the equator: two runs over the points, counts up to sunrise."""
    route = north_road("S3", "Saltbush Loop", Place(-45.2, 150.4), 5, 1100.0, lambda number: f"post {number}")
    day = dt.date(2027, 10, 14)

    def at(hour: int, minute: int, second: int = 0) -> dt.datetime:
        return moment(HOBART, 2027, 10, 14, hour, minute, second)

    spans = (Span(at(4, 20, 30), at(5, 15, 0)), Span(at(5, 20, 0), at(6, 12, 20)))
    morning = Evening(at(3, 41, 52))
    morning.drive(33.0, 1)
    morning.wait_until(spans[0].open_utc)
    morning.tour(StepKind.COUNT, range(1, 6), 6.0, 3.0)
    morning.wait_until(spans[1].open_utc)
    morning.tour(StepKind.COUNT, range(5, 0, -1), 6.0, 3.0, run=2)
    margin = (spans[1].close_utc - morning.now).total_seconds() / 60
    morning.drive(33.0, None)
    window = LightWindow("dawn", day, spans)
    outing = Outing("S3", day, tuple(morning.steps), window, (1, 2, 3, 4, 5), (), margin)
    sun = SunLine(at(6, 21, 44), at(19, 31, 10), at(5, 53, 2), at(20, 0, 1), at(5, 18, 9), at(20, 35, 20))
    plan = DayPlan(
        outing, route, 1, False, False, Partner("Wren", "07700 900333"), dt.date(2027, 10, 16), sun,
        ground(route, (1, 2, 3, 4, 5)), False, walks=(Walk(2, 142.0, 1.77), Walk(5, 61.5, 0.76)),
    )  # fmt: skip
    season = {"season": "Saltbush dawn 2027", "survey": "Owl count at dawn", "habitat": None, "cautions": ()}
    return _itinerary(_volunteer("V02", "Isolde Marrow"), HOBART, (plan,), **season)


LONG_NAME = "Maximiliana Featherstonehaugh-Cholmondeley-Wigglesw"
LONG_ROUTE = "Upper Netherwallop Drove by the Old Windpump, north"


def _long_evening(opens: dt.datetime, closes: dt.datetime, leave: dt.datetime, overcast: Outing | None) -> Outing:
    evening = Evening(leave)
    evening.drive(41.0, 15)
    evening.tour(StepKind.HABITAT, range(15, 0, -1), 6.0, 2.6)
    evening.wait_until(opens)
    evening.tour(StepKind.COUNT, range(1, 14), 5.0, 2.6)
    margin = (closes - evening.now).total_seconds() / 60
    evening.drive(41.0, None)
    window = LightWindow("dusk", dt.date(2027, 6, 8), (Span(opens, closes),))
    order, missed = tuple(range(1, 14)), (14, 15)
    squeeze = Squeeze(-0.8, (10, 11, 12, 13))
    return Outing("R21", window.date, tuple(evening.steps), window, order, missed, margin, squeeze, overcast)


def long_names() -> Itinerary:
    """Return the hard case: names of fifty letters, 15 points, times that depend on the sky, two missed points."""

    def at(hour: int, minute: int, second: int = 0) -> dt.datetime:
        return moment(LONDON, 2027, 6, 8, hour, minute, second)

    note = "opposite the second of the three white gates, well before the cattle grid, by the pole numbered {}"
    route = north_road("R21", LONG_ROUTE, Place(54.74, 1.91), 15, 700.0, note.format)
    overcast = _long_evening(at(21, 38, 41), at(23, 16, 55), at(18, 36, 0), None)
    outing = _long_evening(at(21, 45, 41), at(23, 23, 55), at(18, 43, 0), overcast)
    day = DayPlan(
        outing, route, 1, True, False, Partner("Wilhelmina-Alexandrina", "07700 900888"), dt.date(2027, 6, 12),
        _summer_sun(8), ground(route, outing.order), False,
    )  # fmt: skip
    classes = tuple(
        HabitatClass(f"C{number:02d}", name, stable=number % 3 > 0, needs_note=number == 12)
        for number, name in enumerate(
            ("unimproved acid grassland with rushes", "heather", "gorse", "bracken", "conifer plantation",
             "broadleaved woodland edge", "improved pasture", "arable", "bog", "open water", "buildings", "other"),
            start=1,
        )
    )  # fmt: skip
    habitat = HabitatRule(Length(0.25, "mi"), 5, 6.0, classes, sides_of_road=True, grazed_share=True, livestock=True)
    reserve = replace(day, is_reserve=True, setup=False)
    return _itinerary(
        _volunteer("V09", LONG_NAME), LONDON, (day,), reserves=(reserve,), habitat=habitat, invented=False,
        season="Roadside nightjars and woodcock of the eastern heaths 2027",
        count=CountRule((Segment("listening", 5.0),)),
        coordinator=Coordinator("Bartholomew Augustus Winterbottom-Ravensworth III", "+44 7700 900002",
                                "bartholomew.winterbottom-ravensworth@heathsurvey.example.org"),
    )  # fmt: skip


ITINERARIES = {
    "ten_points": ten_points,
    "past_midnight": past_midnight,
    "southern_dawn": southern_dawn,
    "long_names": long_names,
}
