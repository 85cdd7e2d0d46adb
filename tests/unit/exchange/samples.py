"""Invented seasons and files that the tests of reading and writing share."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from planner.domain.calendar import DateRange
from planner.domain.errors import Fault, InputError
from planner.domain.geo import Place
from planner.domain.route import Point, Route
from planner.domain.season import Season
from planner.domain.volunteer import Volunteer
from planner.exchange import (
    SourceKind,
    read_availability,
    read_chances,
    read_evenings,
    read_gpx,
    read_points,
    read_routes,
    read_volunteers,
    recognise,
    shipped_protocol,
)
from planner.exchange.reads import Read

SEASON_DATES = DateRange(dt.date(2026, 5, 1), dt.date(2026, 7, 10))
VISIT_1 = DateRange(dt.date(2026, 5, 10), dt.date(2026, 6, 3))
READERS: Mapping[SourceKind, Callable[[Path], Read]] = {
    SourceKind.GPX: read_gpx,
    SourceKind.POINTS: read_points,
    SourceKind.ROUTES: read_routes,
    SourceKind.VOLUNTEERS: read_volunteers,
    SourceKind.AVAILABILITY: read_availability,
    SourceKind.EVENINGS: read_evenings,
    SourceKind.CHANCES: read_chances,
}
VISIT_2 = DateRange(dt.date(2026, 6, 4), dt.date(2026, 7, 2))


def season(*, routes: tuple[Route, ...] = (), volunteers: tuple[Volunteer, ...] = ()) -> Season:
    return Season(
        name="Test heath",
        protocol=shipped_protocol("heath_nightjars"),
        zone="Europe/London",
        dates=SEASON_DATES,
        visits=(VISIT_1, VISIT_2),
        routes=routes,
        volunteers=volunteers,
    )


def route(code: str = "R01", latitude: float = 50.7, count: int = 8) -> Route:
    points = tuple(Point(number, Place(latitude, -2.0 + number / 80)) for number in range(1, count + 1))
    return Route(code, f"Heath {code}", points)


def volunteer(code: str = "V01") -> Volunteer:
    return Volunteer(code, "Ada Example", Place(50.72, -1.98), telephone="07700 900001")


def write(path: Path, text: str | bytes) -> Path:
    if isinstance(text, bytes):
        path.write_bytes(text)
    else:
        path.write_bytes(text.encode())
    return path


def read(path: Path) -> Read:
    return READERS[recognise(path).kind](path)


def faults_of(reader: object, *arguments: object) -> tuple[Fault, ...]:
    """Call a reader that must refuse, and return its faults, every one of them complete."""
    assert callable(reader)
    with pytest.raises(InputError) as caught:
        reader(*arguments)
    for fault in caught.value.faults:
        assert fault.source
        assert fault.expected
        assert fault.found
        assert fault.todo
    return caught.value.faults


POINTS_CSV = """route,point,latitude,longitude,note
R01,1,50.70010,-1.99000,by the field gate
R01,2,50.70020,-1.97750,
R01,3,50.70030,-1.96500,"lay-by, left"
R02,1,50.75010,-1.99000,
R02,2,50.75020,-1.97750,
"""
ROUTES_CSV = """route,name,needs,people,lead
R01,Fernhythe Common,4x4,1,V01
R02,Gallows Hill,,2,
"""
VOLUNTEERS_CSV = """code,name,telephone,email,latitude,longitude,drive_limit_min,visits_limit,training,vehicle
V01,Ada Example,07700 900001,ada@example.org,50.72,-1.98,40,3,Nightjar identification; first aid,4x4
V02,Ben Sample,07700 900002,,50.73,-1.95,,,,
"""
AVAILABILITY_CSV = """volunteer,from,to,weekdays,parts
V01,2026-05-10,2026-07-02,Tue Thu Sat,dusk
V01,2026-05-20,2026-05-25,,none
V02,2026-05-10,2026-06-03,,daylight dusk
"""
EVENINGS_CSV = """date,lost,note
2025-05-10,no,
2025-05-11,yes,gale
2025-05-12,yes,
2025-06-20,no,
"""
CHANCES_CSV = """half_month,lost_percent,persistence_percent
early May,40,35
late May,35,
early June,"30,5",
late June,25 %,
early July,25,
"""
GPX = """<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">
  <wpt lat="50.80" lon="-1.90"><name>R03-01</name><desc>old milestone</desc></wpt>
  <wpt lat="50.81" lon="-1.91"><name>R03-02</name></wpt>
  <rte>
    <name>R01 Fernhythe Common</name>
    <rtept lat="50.7001" lon="-1.99"><name>R01-01</name><cmt>by the field gate</cmt></rtept>
    <rtept lat="50.7002" lon="-1.9775"><name>R01-02</name></rtept>
    <rtept lat="50.7003" lon="-1.965"><name>R01-03</name></rtept>
  </rte>
</gpx>
"""
SOURCES = {
    "points.csv": POINTS_CSV,
    "routes.csv": ROUTES_CSV,
    "volunteers.csv": VOLUNTEERS_CSV,
    "availability.csv": AVAILABILITY_CSV,
    "evenings.csv": EVENINGS_CSV,
    "routes.gpx": GPX,
}
