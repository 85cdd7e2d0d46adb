"""Routes, points and lines out of GeoJSON."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import shapely

from planner.domain.errors import InputError
from planner.exchange import SourceKind, read_tracks, recognise
from planner.exchange.map_files.drawn_routes import routes_or_faults
from planner.exchange.map_files.geojson import draw_geojson
from planner.exchange.map_files.json_safe import MOST_PARTS
from planner.exchange.reads import RoutesRead
from tests.unit.exchange.map_samples import GEOJSON, reading, routes, rows
from tests.unit.exchange.samples import faults_of, write

ONE = '{"type": "Feature", "properties": {"route": "R01", "point": 1}, "geometry": %s}'


def read(path: Path) -> RoutesRead:
    return routes_or_faults(reading(path))


def collection(*features: str) -> str:
    return f'{{"type": "FeatureCollection", "features": [{", ".join(features)}]}}'


def test_that_points_are_of_the_route_that_properties_or_names_say(tmp_path: Path) -> None:
    path = write(tmp_path / "s.geojson", GEOJSON)
    assert recognise(path).kind is SourceKind.GEOJSON
    found = routes(path)
    assert rows(found) == [
        ("R04", 1, 50.9, -1.8, ""),
        ("R04", 2, 50.9, -1.81, ""),
        ("R01", 1, 50.7001, -1.99, "by the field gate"),
        ("R01", 2, 50.7002, -1.9775, ""),
        ("R03", 1, 50.8, -1.9, ""),
    ]
    assert {(name.code, name.name) for name in found.names} == {("R01", "Fernhythe Common"), ("R04", "Long Drove")}
    assert found.points[2].origin.where == "features[0].geometry.coordinates"


def test_that_the_area_of_a_route_is_read_and_how_large_something_is_is_not(tmp_path: Path) -> None:
    features: list[dict[str, object]] = [
        {"type": "Feature", "properties": {"route": code, "area": area}, "geometry": None}
        for code, area in (("R01", "Wyke, =side"), ("R02", "1250.5 m2"), ("R03", 31.5), ("R04", ""))
    ]
    point = {"type": "Point", "coordinates": [-1.9, 50.8]}
    features.append({"type": "Feature", "properties": {"route": "R01", "point": 1, "area": "other"}, "geometry": point})
    found = routes(write(tmp_path / "s.geojson", json.dumps({"type": "FeatureCollection", "features": features})))
    assert [(name.code, name.area) for name in found.names] == [
        ("R01", "Wyke, =side"),
        ("R02", ""),
        ("R03", ""),
        ("R04", ""),
    ]


def test_that_what_is_not_used_is_said(tmp_path: Path) -> None:
    path = write(tmp_path / "s.geojson", GEOJSON)
    assert routes(path).notes == (
        "Left out: 1 area(s); only points and lines are read.",
        "Left out, because their names are not like 'R07-03': points 'Car park'.",
        (
            "Left out: 2 line(s), the first on features[6].geometry.geometries[0].coordinates[0]; only points are read."
            " Points can be laid out along one."
        ),
    )
    fields = {use.column: use.meaning for use in reading(path).understood.columns}
    assert fields == {
        "route": "route",
        "point": "point",
        "note": "note",
        "colour": "",
        "Route": "route",
        "POINT": "point",
        "name": "name",
    }


def test_that_places_are_those_that_shapely_finds(tmp_path: Path) -> None:
    """The oracle is shapely (GEOS), an independent reader of geometries."""
    drawing = draw_geojson(write(tmp_path / "s.geojson", GEOJSON))
    parts = [
        part
        for feature in json.loads(GEOJSON)["features"]
        for part in shapely.get_parts(shapely.from_geojson(json.dumps(feature["geometry"]))).tolist()
    ]
    flat = [inner for part in parts for inner in shapely.get_parts(part).tolist()]
    points = [(one.y, one.x) for one in flat if one.geom_type == "Point"]
    marks = [*drawing.marks, *(mark for string in drawing.strings for mark in string.marks)]
    assert sorted((float(mark.latitude), float(mark.longitude)) for mark in marks) == sorted(points)
    lines = [[(y, x) for x, y in one.coords] for one in flat if one.geom_type == "LineString"]
    assert [[(place.latitude, place.longitude) for place in track.places] for track in drawing.tracks] == lines
    assert read_tracks(tmp_path / "s.geojson") == tuple(drawing.tracks)


@pytest.mark.parametrize(
    ("text", "places"),
    [
        (ONE % '{"type": "Point", "coordinates": [2, 1]}', [("1", "2")]),
        ("\ufeff" + collection(ONE % '{"coordinates": [2.0, 1e0, 7, 8], "type": "Point"}'), [("1", "2")]),
        ('{"type": "Point", "coordinates": [-2.50, 1e-7]}', [("0.0000001", "-2.5")]),
        ('{"type": "MultiPoint", "coordinates": [[2, 1]]}', []),
    ],
)
def test_that_one_feature_and_one_geometry_are_read(tmp_path: Path, text: str, places: list[tuple[str, str]]) -> None:
    drawing = draw_geojson(write(tmp_path / "o.geojson", text))
    assert [(mark.latitude, mark.longitude) for mark in drawing.marks] == places
    assert not len(drawing.faults)


@pytest.mark.parametrize("route", [7, 7.0, "7"])
def test_that_a_route_may_be_called_by_a_figure(tmp_path: Path, route: object) -> None:
    feature = json.loads(ONE % '{"type": "Point", "coordinates": [2, 1]}')
    feature["properties"]["route"] = route
    assert rows(routes(write(tmp_path / "r.geojson", json.dumps(feature)))) == [("7", 1, 1.0, 2.0, "")]


@pytest.mark.parametrize(
    ("name", "refused"),
    [
        ("urn:ogc:def:crs:OGC:1.3:CRS84", False),
        ("OGC:CRS84", False),
        ("EPSG:4326", False),
        ("urn:ogc:def:crs:EPSG::4326", False),
        ("EPSG:27700", True),
        ("urn:ogc:def:crs:EPSG::3857", True),
        (None, True),
    ],
)
def test_that_another_system_than_wgs84_is_refused(tmp_path: Path, name: str | None, refused: bool) -> None:
    whole = json.loads(GEOJSON)
    whole["crs"] = {"type": "name", "properties": {"name": name}}
    path = write(tmp_path / "c.geojson", json.dumps(whole))
    if refused:
        (fault,) = faults_of(read, path)
        assert fault.where == "crs"
    else:
        assert len(routes(path).points) == 5


@pytest.mark.parametrize(
    ("feature", "where", "found"),
    [
        ('{"type": "Feature", "geometry": {"type": "Circle"}}', "features[1].geometry", "{'type': 'Circle'}"),
        ('{"type": "Feature", "properties": [1]}', "features[1].properties", "[1]"),
        ("7", "features[1]", "7"),
        (ONE % '{"type": "Point"}', "features[1].geometry.coordinates", "nothing"),
        (ONE % '{"type": "Point", "coordinates": [1]}', "features[1].geometry.coordinates", "[1]"),
        (ONE % '{"type": "Point", "coordinates": ["1", "2"]}', "features[1].geometry.coordinates", "['1', '2']"),
        (ONE % '{"type": "Point", "coordinates": [true, 2]}', "features[1].geometry.coordinates", "[True, 2]"),
        (ONE % '{"type": "Point", "coordinates": [1, 95]}', "features[1].geometry.coordinates", "latitude='95'"),
        (ONE % '{"type": "Point", "coordinates": [1e300, 5]}', "features[1].geometry.coordinates", "longitude='1000"),
        (ONE % '{"type": "Point", "coordinates": [1e999, 5]}', "features[1].geometry.coordinates", "'Infinity'"),
        (ONE % '{"type": "LineString", "coordinates": 4}', "features[1].geometry.coordinates", "4"),
        (ONE % '{"type": "LineString", "coordinates": [[1, 2], 3]}', "features[1].geometry.coordinates[1]", "3"),
        (ONE % '{"type": "MultiPoint", "coordinates": [[1, 2], [3]]}', "features[1].geometry.coordinates[1]", "[3]"),
    ],
)
def test_that_a_fault_is_told_with_its_path(tmp_path: Path, feature: str, where: str, found: str) -> None:
    good = ONE % '{"type": "Point", "coordinates": [2, 1]}'
    (fault,) = faults_of(read, write(tmp_path / "f.geojson", collection(good, feature)))
    assert fault.where == where
    assert found in fault.found


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("[" * 100_000 + "]" * 100_000, "very many"),
        ('{"type": "Feature", "type": "Feature"}', "the key 'type' twice in one object"),
        ('{"type": "Point", "coordinates": [NaN, 1]}', "the figure NaN"),
        ('{"type": "Point", "coordinates": [-Infinity, 1]}', "the figure -Infinity"),
        ('{"type": "Point", "coordinates": [' + "9" * 5000 + ", 1]}", "integer string conversion"),
        ('{"type": "Topology"}', "the type 'Topology'"),
        ("[1, 2]", "no object"),
        ('{"type": "FeatureCollection", "features": 7}', "7"),
        (GEOJSON[: len(GEOJSON) // 2], "Expecting"),
        ("[" + "[]," * MOST_PARTS + "[]]", "1,000,002"),
        (collection(), "nothing of that kind"),
    ],
)
def test_that_what_is_no_geojson_is_refused(tmp_path: Path, text: str, found: str) -> None:
    (fault,) = faults_of(read, write(tmp_path / "x.geojson", text))
    assert found in fault.found


def test_that_a_collection_inside_collections_without_end_is_a_fault(tmp_path: Path) -> None:
    inner = '{"type": "Point", "coordinates": [2, 1]}'
    for _ in range(20):
        inner = f'{{"type": "GeometryCollection", "geometries": [{inner}]}}'
    (fault,) = faults_of(read, write(tmp_path / "n.geojson", ONE % inner))
    assert "GeometryCollection" in fault.found


@pytest.mark.parametrize("letter", ["\\u0007", "\\ud800"])
def test_that_letters_that_cannot_be_kept_are_told(tmp_path: Path, letter: str) -> None:
    feature = (ONE % '{"type": "Point", "coordinates": [2, 1]}').replace('"point"', f'"note": "a{letter}", "point"')
    (fault,) = faults_of(read, write(tmp_path / "l.geojson", feature))
    assert fault.expected == "text without control characters"


def test_that_points_that_say_no_route_are_left_out_and_offered(tmp_path: Path) -> None:
    point = '{"type": "Feature", "properties": {"point": %d}, "geometry": {"type": "Point", "coordinates": [2, %d]}}'
    path = write(tmp_path / "R08.geojson", collection(point % (1, 1), point % (2, 2)))
    (offer,) = reading(path).understood.offers
    assert offer.choices.route == "R08"
    assert [row[:2] for row in rows(routes(path, route="R08"))] == [("R08", 1), ("R08", 2)]
    many = '{"type": "MultiPoint", "coordinates": [[2, 1], [3, 1]]}'
    with pytest.raises(InputError, match="nothing of that kind"):
        read(write(tmp_path / "m.geojson", many))


def test_that_a_line_alone_is_no_route_but_can_be_laid_out_along(tmp_path: Path) -> None:
    path = write(tmp_path / "l.geojson", '{"type": "LineString", "coordinates": [[2, 1], [3, 1]]}')
    (fault,) = faults_of(read, path)
    assert fault.found == "lines alone, which are not read as points"
    assert "lay points out along it" in fault.todo
    assert len(read_tracks(path)[0].places) == 2


def test_that_a_file_without_a_line_has_none_to_lay_out_along(tmp_path: Path) -> None:
    (fault,) = faults_of(read_tracks, write(tmp_path / "p.geojson", ONE % '{"type": "Point", "coordinates": [2, 1]}'))
    assert fault.found == "no line with two places or more"
    (fault,) = faults_of(read_tracks, write(tmp_path / "p.csv", "a,b\n"))
    assert fault.found == "a file of another kind"


@pytest.mark.parametrize("text", ['{"a": 1}', '{"type": "module", "name": "x"}', "[1]"])
def test_that_json_of_another_kind_is_not_taken_for_geojson(tmp_path: Path, text: str) -> None:
    (fault,) = faults_of(recognise, write(tmp_path / "package.json", text))
    assert "GeoJSON" in fault.expected


@pytest.mark.parametrize(
    ("number", "name", "taken"),
    [
        ("P3", "", 3),
        ("x", "R01-04", 4),
        ("1.5", "", None),
        ("0", "", None),
        ("house", "", None),
        ("12345678", "", None),
    ],
)
def test_that_a_property_that_is_no_number_is_told_unless_the_name_says_one(
    tmp_path: Path, number: str, name: str, taken: int | None
) -> None:
    feature = json.loads(ONE % '{"type": "Point", "coordinates": [2, 1]}')
    feature["properties"] |= {"point": number, "name": name}
    path = write(tmp_path / "n.geojson", json.dumps(feature))
    if taken is None:
        (fault,) = faults_of(read, path)
        assert (fault.expected, fault.found) == ("the number of a point, from 1 to 999", repr(number))
    else:
        assert [row[:2] for row in rows(routes(path))] == [("R01", taken)]


def test_that_properties_that_are_no_text_say_nothing_and_very_many_are_not_all_listed(tmp_path: Path) -> None:
    feature = json.loads(ONE % '{"type": "Point", "coordinates": [2, 1]}')
    feature["properties"] |= {"note": ["a"], "name": True} | {f"field {number}": number for number in range(100)}
    path = write(tmp_path / "p.geojson", json.dumps(feature))
    assert rows(routes(path)) == [("R01", 1, 1.0, 2.0, "")]
    assert len(reading(path).understood.columns) == 40


def test_that_properties_are_known_by_the_words_of_spreadsheets(tmp_path: Path) -> None:
    feature = json.loads(ONE % '{"type": "Point", "coordinates": [2, 1]}')
    feature["properties"] = {"Transect": "R07", "Stop no": 3, "Remarks": "by the ditch"}
    path = write(tmp_path / "w.geojson", json.dumps(feature))
    assert rows(routes(path)) == [("R07", 3, 1.0, 2.0, "by the ditch")]
