"""Routes as files of every format: read back equal by others' readers and by our own, and valid by the schemas."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from itertools import groupby
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import fastkml
import gpxpy
import pandas as pd
import pytest
import shapely
from fastkml.containers import Document, Folder
from fastkml.features import Placemark
from fastkml.validator import validate
from hypothesis import example, given, settings
from hypothesis import strategies as st
from lxml import etree

from planner.domain.geo import Place
from planner.domain.plan import Plan
from planner.domain.route import Point, Route
from planner.exchange import (
    RouteFormat,
    letter_faults,
    plan_frame,
    read_points,
    read_routes,
    route_files,
    write_plan_table,
)
from planner.exchange.formula_text import guarded, unguarded
from tests.unit.exchange.map_samples import routes as read_map
from tests.unit.exchange.samples import route, season, write

HARD = (
    "=1+1",
    "'=x",
    "-1",
    "+44",
    "@home",
    'a "b", c',
    "<b>&amp;</b>",
    "🦉 owl",
    "名",
    "x]]>y",
    "'",
    "R",
    "07",
    "a\\b",
)
LETTERS = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Cn", "Co"]), max_size=20)
TEXTS = st.one_of(st.sampled_from(HARD), LETTERS).map(lambda text: " ".join(text.split()))
PLACES = st.builds(
    Place,
    st.floats(-90, 90).map(lambda value: round(value, 9)),
    st.floats(-180, 180).map(lambda value: round(value, 9)),
)
POINTS = st.lists(
    st.builds(Point, st.integers(1, 999), PLACES, TEXTS), max_size=5, unique_by=lambda point: point.number
).map(tuple)
ROUTES = st.lists(
    st.builds(
        Route,
        TEXTS.filter(bool),
        TEXTS,
        POINTS,
        st.sampled_from([1, 2]),
        st.frozensets(st.sampled_from(["4x4", "gps", "=high seat", "two, three"])),
        area=TEXTS,
    ),
    min_size=1,
    max_size=3,
    unique_by=lambda one: one.code,
)
HARD_ROUTES = [
    Route(
        "R01", 'Fernhythe "Common", <north> & south', (Point(2, Place(50.7, -1.99), "=1+1"), Point(1, Place(1e-7, 0)))
    ),
    Route("North Heath", "", (Point(7, Place(-33.5, 179.999999999)),)),
    Route("=A1", "North", (Point(1, Place(0.0, -0.0), "🦉"), Point(12, Place(1.0, 180.0)))),
    Route("Z", "Z tail", ()),
]
# Every constraint of https://www.topografix.com/GPX/1/1/gpx.xsd on what is written here: order and number of elements,
# attributes that must be there, decimals and their bounds. Nothing of ours has a dateTime, a link or an extension, and
# so none is allowed. That the files of a demo and of these tests keep the schema itself was looked at once with two
# validators; no package that could be declared here carries it without bringing a heap of others along.
GPX_RULES = """<grammar xmlns="http://relaxng.org/ns/structure/1.0" ns="http://www.topografix.com/GPX/1/1"
 datatypeLibrary="http://www.w3.org/2001/XMLSchema-datatypes"><start><element name="gpx">
 <attribute name="version" ns=""><value>1.1</value></attribute><attribute name="creator" ns=""/>
 <element name="metadata"><optional><element name="name"><text/></element></optional>
  <optional><element name="desc"><text/></element></optional></element>
 <zeroOrMore><element name="wpt"><ref name="point"/></element></zeroOrMore>
 <zeroOrMore><element name="rte"><ref name="texts"/>
  <zeroOrMore><element name="rtept"><ref name="point"/></element></zeroOrMore></element></zeroOrMore>
 </element></start>
 <define name="point"><ref name="at"/><ref name="texts"/></define>
 <define name="at">
  <attribute name="lat" ns=""><data type="decimal"><param name="minInclusive">-90</param>
   <param name="maxInclusive">90</param></data></attribute>
  <attribute name="lon" ns=""><data type="decimal"><param name="minInclusive">-180</param>
   <param name="maxExclusive">180</param></data></attribute></define>
 <define name="texts"><optional><element name="name"><text/></element></optional>
  <optional><element name="desc"><text/></element></optional>
  <optional><element name="type"><text/></element></optional></define></grammar>"""

Rows = list[tuple[str, int, float, float, str]]


def rows_of(given_routes: Sequence[Route]) -> Rows:
    return [
        (one.code, point.number, point.place.latitude, point.place.longitude, point.note)
        for one in given_routes
        for point in one.points
    ]


def in_gpx(rows: Rows) -> Rows:
    """Return rows as GPX has them, whose longitudes end before 180: that meridian is 180 west."""
    return [(code, number, north, -180.0 if east == 180.0 else east, note) for code, number, north, east, note in rows]


def names_of(given_routes: Sequence[Route]) -> dict[str, str]:
    return {one.code: one.name for one in given_routes}


def only(kind: RouteFormat, given_routes: Sequence[Route]) -> bytes:
    (data,) = route_files(kind, "Heath <1> & more", given_routes).values()
    return data


def back(kind: RouteFormat, given_routes: Sequence[Route]) -> tuple[Rows, dict[str, str]]:
    """Read back by our own importer: rows and names of routes."""
    with TemporaryDirectory() as folder:
        found = read_map(write(Path(folder) / f"r.{kind}", only(kind, given_routes)))
    rows = [(row.route, row.number, row.place.latitude, row.place.longitude, row.note) for row in found.points]
    return rows, {name.code: name.name for name in found.names}


@settings(max_examples=20)
@given(ROUTES)
@example(HARD_ROUTES)
def test_that_kml_and_geojson_are_read_back_equal(given_routes: list[Route]) -> None:
    for kind in (RouteFormat.KML, RouteFormat.GEOJSON):
        assert back(kind, given_routes) == (rows_of(given_routes), names_of(given_routes))


@settings(max_examples=20)
@given(ROUTES.filter(lambda all_of: any(one.points for one in all_of)))
@example(HARD_ROUTES)
def test_that_gpx_is_read_back_equal_but_for_routes_without_points(given_routes: list[Route]) -> None:
    with_points = [one for one in given_routes if one.points]
    assert back(RouteFormat.GPX, given_routes) == (in_gpx(rows_of(with_points)), names_of(with_points))


@settings(max_examples=20)
@given(ROUTES.filter(lambda all_of: any(one.points for one in all_of)))
@example(HARD_ROUTES)
def test_that_tables_are_read_back_equal(given_routes: list[Route]) -> None:
    files = route_files(RouteFormat.CSV, "Heath", given_routes)
    with TemporaryDirectory() as folder:
        points = read_points(write(Path(folder) / "p.csv", files["-points.csv"])).points
        routes = read_routes(write(Path(folder) / "r.csv", files["-routes.csv"])).routes
    found = [(row.route, row.number, row.place.latitude, row.place.longitude, row.note) for row in points]
    assert found == rows_of(given_routes)
    assert [(row.code, row.name, row.needs, row.people, row.lead, row.area) for row in routes] == [
        (one.code, one.name, one.needs, one.people, None, one.area) for one in given_routes
    ]


@settings(max_examples=15)
@given(ROUTES)
@example(HARD_ROUTES)
def test_that_gpxpy_reads_routes_and_waypoints_equal(given_routes: list[Route]) -> None:
    found = gpxpy.parse(only(RouteFormat.GPX, given_routes).decode())
    with_points = [one for one in given_routes if one.points]
    assert [one.name for one in found.routes] == [one.title for one in with_points]
    expected = [(*row[2:4], row[4] or None, row[0]) for row in in_gpx(rows_of(given_routes))]
    waypoints = [(one.latitude, one.longitude, one.description, one.type) for one in found.waypoints]
    route_points = [
        (one.latitude, one.longitude, one.description, one.type) for line in found.routes for one in line.points
    ]
    assert waypoints == route_points == expected


@settings(max_examples=20)
@given(ROUTES)
@example(HARD_ROUTES)
def test_that_fastkml_reads_folders_and_points_equal(given_routes: list[Route]) -> None:
    (document,) = fastkml.KML.from_string(only(RouteFormat.KML, given_routes).decode().partition("?>")[2]).features
    assert isinstance(document, Document)
    found: list[Any] = []
    for folder, one in zip(document.features, given_routes, strict=True):
        assert isinstance(folder, Folder)
        assert folder.name == one.title
        line, *marks = (mark for mark in folder.features if isinstance(mark, Placemark))
        coords = [] if line.geometry is None else [(at[1], at[0]) for at in line.geometry.coords]
        places = [(point.place.latitude, point.place.longitude) for point in one.points]
        # It drops a place that is the same as the one before.
        assert coords == ([place for place, _ in groupby(places)] if len(places) > 1 else [])
        for mark in marks:
            assert mark.geometry is not None
            longitude, latitude = mark.geometry.coords[0][:2]
            found.append(
                (one.code, int((mark.name or "")[-3:].lstrip("-")), latitude, longitude, mark.description or "")
            )
    expected = [(code, number % 1000, *rest) for code, number, *rest in rows_of(given_routes)]
    assert found == expected


@settings(max_examples=20)
@given(ROUTES)
@example(HARD_ROUTES)
def test_that_json_and_shapely_read_features_equal(given_routes: list[Route]) -> None:
    found = json.loads(only(RouteFormat.GEOJSON, given_routes))["features"]
    marks = [one for one in found if one["geometry"] and one["geometry"]["type"] == "Point"]
    points = [shapely.from_geojson(json.dumps(one["geometry"])) for one in marks]
    properties = [one["properties"] for one in marks]
    assert [
        (said["route"], said["point"], *reversed(at.coords[0]), said["note"])
        for said, at in zip(properties, points, strict=True)
    ] == rows_of(given_routes)
    whole = [one["properties"] for one in found if one not in marks]
    assert [(said["route"], said["area"]) for said in whole] == [(one.code, one.area) for one in given_routes]
    lines = [shapely.from_geojson(json.dumps(one["geometry"])) for one in found if one not in marks and one["geometry"]]
    assert [[(y, x) for x, y in line.coords] for line in lines] == [
        [(point.place.latitude, point.place.longitude) for point in one.points]
        for one in given_routes
        if len(one.points) > 1
    ]


@settings(max_examples=20)
@given(ROUTES)
@example(HARD_ROUTES)
def test_that_pandas_reads_tables_equal_and_finds_no_formula(given_routes: list[Route]) -> None:
    data = route_files(RouteFormat.CSV, "Heath", given_routes)["-points.csv"]
    frame = pd.read_csv(io.BytesIO(data), dtype=str, keep_default_na=False, na_filter=False)
    assert list(frame.columns) == ["route", "point", "latitude", "longitude", "note"]
    found = [
        (unguarded(code), int(number), float(latitude), float(longitude), unguarded(note))
        for code, number, latitude, longitude, note in frame.itertuples(index=False)
    ]
    assert found == rows_of(given_routes)
    assert not any(text.startswith(("=", "+", "-", "@")) for text in [*frame["route"], *frame["note"]])


@settings(max_examples=20)
@given(ROUTES)
@example(HARD_ROUTES)
def test_that_gpx_and_kml_are_valid(given_routes: list[Route]) -> None:
    """KML by the schema of the OGC that fastkml ships; GPX by rules after its published schema."""
    rules = etree.RelaxNG(etree.fromstring(GPX_RULES))
    rules.assertValid(etree.fromstring(only(RouteFormat.GPX, given_routes)))
    element = fastkml.KML.from_string(only(RouteFormat.KML, given_routes).decode().partition("?>")[2])
    assert validate(element=element.etree_element())


def test_that_the_rules_of_gpx_can_fail() -> None:
    rules = etree.RelaxNG(etree.fromstring(GPX_RULES))
    good = only(RouteFormat.GPX, HARD_ROUTES)
    for bad in (good.replace(b"<desc>", b"<type>1</type><desc>"), good.replace(b'lat="', b'lat="9e'), good[:0]):
        with pytest.raises((etree.DocumentInvalid, etree.XMLSyntaxError)):
            rules.assertValid(etree.fromstring(bad))


@given(st.one_of(TEXTS, st.from_regex(r"'*[=+\-@\n\uff1d\uff0b\uff0d\uff20].*", fullmatch=True)))
def test_that_guarded_text_is_no_formula_and_comes_back(text: str) -> None:
    assert unguarded(guarded(text)) == text
    assert not guarded(text).startswith(("=", "+", "-", "@", "\t", "\r", "\n", *"\uff1d\uff0b\uff0d\uff20"))


def test_that_letters_that_no_format_carries_are_named() -> None:
    place = Place(1, 2)
    bad = Route("R\x00", "a\x85b", (Point(3, place, "x\ud800"), Point(4, place, "y\ufffe"), Point(5, place, "a\tb\nc")))
    faults = letter_faults("heath.dimpsy", [bad])
    assert [(fault.where.rpartition(", ")[2], fault.found) for fault in faults] == [
        ("code", "U+0000"),
        ("name", "U+0085"),
        ("note", "U+D800"),
        ("note", "U+FFFE"),
    ]


def test_that_names_in_the_table_of_the_plan_are_no_formulas(tmp_path: Path) -> None:
    whole = season(routes=(Route("R01", "=cmd()", ()), route("R02")))
    path = write_plan_table(tmp_path / "plan.csv", whole, Plan())
    with path.open(newline="", encoding="utf-8") as file:
        names = [row[1] for row in csv.reader(file)]
    assert names == ["name", "'=cmd()", "'=cmd()", "Heath R02", "Heath R02"]
    assert plan_frame(whole, Plan())["name"][0] == "=cmd()"
