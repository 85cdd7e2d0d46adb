"""A season as rows of the file's tables, and back."""

from __future__ import annotations

import datetime as dt
import json
from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import Any

import apsw

from planner.domain.calendar import DateRange
from planner.domain.field.absent_class import AbsentClass
from planner.domain.field.drive_factors import DriveFactor, DriveFactors
from planner.domain.geo import Place
from planner.domain.lost_evenings import LostEvenings
from planner.domain.protocol import Protocol
from planner.domain.road_speeds import RoadSpeeds
from planner.domain.route import Point, Route
from planner.domain.season import Coordinator, RoadMap, Season
from planner.domain.volunteer import Availability, Volunteer
from planner.domain.window import PartOfDay
from planner.forms import protocol_from_plain, protocol_to_plain
from planner.store.tables import SEASON_TABLES, Row

_ORDERS = {
    "visit_range": "number",
    "route": "position",
    "point": "route, position",
    "route_visit_range": "route, position",
    "volunteer": "position",
    "availability": "volunteer, line",
}
"""The order that rows are read in, where it carries meaning; elsewhere by the key."""

Read = dict[str, list[Any]]
"""Rows by table name."""


def write_season(connection: apsw.Connection, season: Season) -> None:
    """Make the file hold that season; rows that stay as they are, are not touched."""
    rows: dict[str, Iterator[Row]] = {
        "season": _season_rows(season),
        "road_speed": iter(season.road_speeds.class_kmh),
        "absent_class": ((one.route, one.class_code, one.point) for one in season.absent_classes),
        "drive_factor": _factor_rows(season.drive_factors),
        "lost_evening": _lost_evening_rows(season.lost_evenings),
        "visit_range": ((k, *_dates(dates)) for k, dates in enumerate(season.visits, start=1)),
        **_route_rows(season.routes),
        **_volunteer_rows(season.volunteers),
    }
    for table in SEASON_TABLES:
        table.write(connection, rows[table.name])


def read_season(connection: apsw.Connection) -> Season:
    """Read the season back, equal to the one that was written.

    Raises:
        LookupError: the file holds no season.
        RuleError: a row was changed from outside into something impossible.
        FormError: the protocol was.
        ValueError: a date or a word was.
    """
    read: Read = {
        table.name: table.read(connection, _ORDERS.get(table.name, ", ".join(table.columns[: table.keys])))
        for table in SEASON_TABLES
    }
    if not read["season"]:
        raise LookupError("the table 'season' is empty")
    _, name, zone, first, last, protocol, *contact = read["season"][0][:9]
    roads_source, roads_hash, attribution, notes, persistence, factor, factor_source = read["season"][0][9:]
    return Season(
        name=name,
        protocol=_protocol(protocol),
        zone=zone,
        dates=_range(first, last),
        visits=tuple(_range(first, last) for _, first, last in read["visit_range"]),
        coordinator=Coordinator(*contact),
        routes=_routes(read),
        volunteers=_volunteers(read),
        roads=None if roads_source is None else RoadMap(roads_source, roads_hash, attribution),
        road_speeds=RoadSpeeds(tuple((kind, kmh) for kind, kmh in read["road_speed"]), factor),
        lost_evenings=_lost_evenings(persistence, read),
        notes=notes,
        absent_classes=tuple(AbsentClass(*row) for row in read["absent_class"]),
        drive_factors=_drive_factors(read["drive_factor"], factor_source),
    )


def _season_rows(season: Season) -> Iterator[Row]:
    roads, coordinator = season.roads, season.coordinator
    yield (
        1,
        season.name,
        season.zone,
        *_dates(season.dates),
        json.dumps(protocol_to_plain(season.protocol), ensure_ascii=False, allow_nan=False),
        coordinator.name,
        coordinator.telephone,
        coordinator.email,
        *((roads.source_name, roads.content_hash, roads.attribution) if roads else (None, None, None)),
        season.notes,
        None if season.lost_evenings is None else season.lost_evenings.persistence,
        season.road_speeds.factor,
        season.drive_factors.source,
    )


def _factor_rows(factors: DriveFactors) -> Iterator[Row]:
    whole = (factors.season,) if factors.season is not None else ()
    for scope, some in (("season", whole), ("route", factors.routes), ("class", factors.classes)):
        yield from ((scope, one.name, one.factor, one.legs, one.most) for one in some)


def _drive_factors(rows: list[Any], source: str) -> DriveFactors:
    by_scope = _grouped(rows)
    season, routes, classes = (
        tuple(DriveFactor(*one) for one in by_scope[scope]) for scope in ("season", "route", "class")
    )
    return DriveFactors(season[0] if season else None, routes, classes, source)


def _lost_evening_rows(weather: LostEvenings | None) -> Iterator[Row]:
    yield from enumerate(weather.chances if weather is not None else (), start=1)


def _lost_evenings(persistence: float | None, read: Read) -> LostEvenings | None:
    chances = tuple(chance for _, chance in read["lost_evening"])
    return None if persistence is None else LostEvenings(chances, persistence)


def _protocol(text: str) -> Protocol:
    return protocol_from_plain(json.loads(text))


def _route_rows(routes: Sequence[Route]) -> dict[str, Iterator[Row]]:
    return {
        "route": ((r.code, place, r.name, r.people, r.lead, r.area) for place, r in enumerate(routes)),
        "point": (
            (r.code, point.number, place, point.place.latitude, point.place.longitude, point.note)
            for r in routes
            for place, point in enumerate(r.points)
        ),
        "route_need": ((r.code, need) for r in routes for need in r.needs),
        "route_visit_range": (
            (r.code, place, number, *_dates(dates))
            for r in routes
            for place, (number, dates) in enumerate(r.visit_dates)
        ),
    }


def _routes(read: Read) -> tuple[Route, ...]:
    points = _grouped(read["point"])
    needs = _grouped(read["route_need"])
    visit_dates = _grouped(read["route_visit_range"])
    return tuple(
        Route(
            code=code,
            name=name,
            points=tuple(Point(number, Place(lat, lon), note) for number, _, lat, lon, note in points[code]),
            people=people,
            needs=frozenset(need for (need,) in needs[code]),
            lead=lead,
            visit_dates=tuple((number, _range(first, last)) for _, number, first, last in visit_dates[code]),
            area=area,
        )
        for code, _, name, people, lead, area in read["route"]
    )


def _volunteer_rows(volunteers: Sequence[Volunteer]) -> dict[str, Iterator[Row]]:
    return {
        "volunteer": (_volunteer_row(v, place) for place, v in enumerate(volunteers)),
        "training": ((v.code, training) for v in volunteers for training in v.training),
        "availability": (
            (v.code, number, *_dates(line.dates), _digits(line.weekdays), *(int(part in line.parts) for part in _PARTS))
            for v in volunteers
            for number, line in enumerate(v.availability, start=1)
        ),
    }


def _volunteer_row(volunteer: Volunteer, place: int) -> Row:
    return (
        volunteer.code,
        place,
        volunteer.name,
        volunteer.home.latitude,
        volunteer.home.longitude,
        volunteer.telephone,
        volunteer.email,
        volunteer.drive_limit_minutes,
        volunteer.visits_limit,
        volunteer.vehicle,
    )


def _volunteers(read: Read) -> tuple[Volunteer, ...]:
    training = _grouped(read["training"])
    availability = _grouped(read["availability"])
    return tuple(
        Volunteer(
            code=code,
            name=name,
            home=Place(lat, lon),
            telephone=telephone,
            email=email,
            drive_limit_minutes=drive_limit,
            visits_limit=visits_limit,
            training=frozenset(one for (one,) in training[code]),
            vehicle=vehicle,
            availability=tuple(_line(*line) for _, *line in availability[code]),
        )
        for code, _, name, lat, lon, telephone, email, drive_limit, visits_limit, vehicle in read["volunteer"]
    )


_PARTS = (PartOfDay.DAYLIGHT, PartOfDay.DUSK, PartOfDay.DAWN)


def _line(first: str, last: str, weekdays: str, *given: int) -> Availability:
    parts = frozenset(part for part, yes in zip(_PARTS, given, strict=True) if yes)
    return Availability(_range(first, last), parts, frozenset(int(digit) for digit in weekdays))


def _digits(weekdays: frozenset[int]) -> str:
    return "".join(str(day) for day in sorted(weekdays))


def _grouped(rows: list[Any]) -> defaultdict[str, list[Any]]:
    """Gather rows by their first column, which is then left out."""
    groups: defaultdict[str, list[Any]] = defaultdict(list)
    for owner, *rest in rows:
        groups[owner].append(rest)
    return groups


def _dates(dates: DateRange) -> tuple[str, str]:
    return dates.first.isoformat(), dates.last.isoformat()


def _range(first: str, last: str) -> DateRange:
    return DateRange(dt.date.fromisoformat(first), dt.date.fromisoformat(last))
