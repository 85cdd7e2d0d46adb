"""Routes and points out of GPX."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

import gpxpy.gpx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.geo import Place
from planner.exchange import read_gpx
from planner.exchange.reads import RoutesRead
from planner.exchange.safe_xml import DEEPEST
from tests.unit.exchange.samples import GPX, faults_of, write

HEAD = '<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">\n'


def gpx(tmp_path: Path, body: str, head: str = HEAD) -> Path:
    return write(tmp_path / "r.gpx", head + body + "\n</gpx>\n")


def numbers(read: RoutesRead, code: str) -> list[int]:
    return [point.number for point in read.points if point.route == code]


def test_that_routes_and_named_waypoints_are_read_with_their_lines(tmp_path: Path) -> None:
    read = read_gpx(write(tmp_path / "a.gpx", GPX))
    assert [(name.code, name.name) for name in read.names] == [("R01", "Fernhythe Common")]
    assert numbers(read, "R01") == [1, 2, 3]
    assert numbers(read, "R03") == [1, 2]
    first = read.points[0]
    assert first.place == Place(50.7001, -1.99)
    assert first.note == "by the field gate"
    assert first.origin.where == "line 7, <rtept>"
    assert str(first.origin) == f"{tmp_path / 'a.gpx'}, line 7, <rtept>"
    assert read.points[-2].note == "old milestone"
    assert read.notes == ()


def test_that_version_1_0_and_files_without_a_namespace_are_read(tmp_path: Path) -> None:
    body = '<wpt lat="1" lon="2"><name>A1/7</name></wpt>'
    for head in (
        '<gpx version="1.0" xmlns="http://www.topografix.com/GPX/1/0">',
        '<gpx version="1.1">',
        '<g:gpx version="1.1" xmlns:g="http://www.topografix.com/GPX/1/1">',
    ):
        prefixed = body.replace("<", "<g:").replace("<g:/", "</g:") if head.startswith("<g:") else body
        end = "</g:gpx>" if head.startswith("<g:") else "</gpx>"
        read = read_gpx(write(tmp_path / "v.gpx", head + prefixed + end))
        assert numbers(read, "A1") == [7]


def test_that_utf_16_is_read(tmp_path: Path) -> None:
    text = GPX.replace("UTF-8", "UTF-16").replace("Fernhythe", "Fêrnhýthe")
    assert read_gpx(write(tmp_path / "u.gpx", text.encode("utf-16"))).names[0].name == "Fêrnhýthe Common"


@pytest.mark.parametrize(
    ("name", "code", "rest"),
    [
        ("R01 Fernhythe Common", "R01", "Fernhythe Common"),
        ("R01: Fernhythe", "R01", "Fernhythe"),
        ("R01 - Fernhythe", "R01", "Fernhythe"),
        ("12", "12", ""),
        ("Fernhythe Common", "Fernhythe Common", ""),
    ],
)
def test_that_a_route_is_known_by_the_code_before_its_name(tmp_path: Path, name: str, code: str, rest: str) -> None:
    body = f'<rte><name>{name}</name><rtept lat="1" lon="2"/></rte>'
    read = read_gpx(gpx(tmp_path, body))
    assert (read.names[0].code, read.names[0].name) == (code, rest)
    assert numbers(read, code) == [1]


def test_that_points_are_numbered_by_order_where_their_names_do_not_all_say(tmp_path: Path) -> None:
    body = """<rte><name>R01</name>
    <rtept lat="1" lon="2"><name>P3</name></rtept><rtept lat="1" lon="3"><name>twin birches</name></rtept></rte>"""
    read = read_gpx(gpx(tmp_path, body))
    assert numbers(read, "R01") == [1, 2]
    assert read.points[1].note == "twin birches"
    assert "numbered by their order" in read.notes[0]


def test_that_points_keep_the_numbers_that_all_their_names_say(tmp_path: Path) -> None:
    body = """<rte><name>R01</name>
    <rtept lat="1" lon="2"><name>Point 2</name></rtept><rtept lat="1" lon="3"><name>stop 1</name></rtept></rte>"""
    assert numbers(read_gpx(gpx(tmp_path, body)), "R01") == [2, 1]


@pytest.mark.parametrize("name", ["0", "P0", "R01-00"])
def test_that_a_point_named_nought_is_numbered_by_its_order(tmp_path: Path, name: str) -> None:
    body = f'<rte><name>R01</name><rtept lat="1" lon="2"><name>{name}</name></rtept></rte>'
    assert numbers(read_gpx(gpx(tmp_path, body)), "R01") == [1]


def test_that_waypoints_grouped_by_type_are_read(tmp_path: Path) -> None:
    body = '<wpt lat="1" lon="2"><name>4</name><type>R09</type></wpt>'
    assert numbers(read_gpx(gpx(tmp_path, body)), "R09") == [4]


def test_that_other_waypoints_are_left_out_and_named(tmp_path: Path) -> None:
    others = "".join(f'<wpt lat="1" lon="2"><name>Car park {letter}</name></wpt>' for letter in "ABCDEFGH")
    read = read_gpx(gpx(tmp_path, others + '<wpt lat="1" lon="2"><name>R01-00</name></wpt>' + GPX_ONE))
    assert len(read.points) == 1
    assert "'Car park A'" in read.notes[0]
    assert "and 3 more" in read.notes[0]


GPX_ONE = '<wpt lat="1" lon="2"><name>R01-01</name></wpt>'


def test_that_a_waypoint_that_repeats_a_point_of_a_route_counts_once(tmp_path: Path) -> None:
    body = GPX_ONE + '<rte><name>R01</name><rtept lat="1" lon="2"><name>R01-01</name></rtept></rte>'
    assert numbers(read_gpx(gpx(tmp_path, body)), "R01") == [1]


def test_that_elements_of_other_namespaces_are_passed_over(tmp_path: Path) -> None:
    body = (
        '<rte><name>R01</name><extensions><x:name xmlns:x="urn:x">no</x:name></extensions>'
        '<rtept lat="1" lon="2"><extensions><name>inner</name></extensions></rtept></rte>'
    )
    read = read_gpx(gpx(tmp_path, body))
    assert read.names[0].code == "R01"
    assert read.points[0].note == ""


def test_when_there_are_tracks_alone_they_are_refused_with_the_line(tmp_path: Path) -> None:
    body = '\n<trk><trkseg><trkpt lat="1" lon="2"/></trkseg></trk>'
    (fault,) = faults_of(read_gpx, gpx(tmp_path, body))
    assert fault.where == "line 3, <trk>"
    assert "tracks alone" in fault.found
    assert "waypoints" in fault.todo


def test_that_tracks_beside_points_are_left_out_and_said(tmp_path: Path) -> None:
    read = read_gpx(gpx(tmp_path, GPX_ONE + "<trk/><trk/>"))
    assert "2 track(s)" in read.notes[0]


def test_that_routes_inside_other_elements_are_passed_over(tmp_path: Path) -> None:
    body = "<metadata><rte><name>R09</name></rte></metadata>" + GPX_ONE
    assert read_gpx(gpx(tmp_path, body)).names == ()


@pytest.mark.parametrize(
    ("attributes", "found"),
    [
        ('lat="95" lon="1"', "lat='95'"),
        ('lat="nan" lon="1"', "lat='nan'"),
        ('lat="1" lon="inf"', "lon='inf'"),
        ('lat="1e1" lon="1"', "lat='1e1'"),
        ('lat="51,5" lon="1"', "lat='51,5'"),
        ('lat="1" lon="-180.5"', "lon='-180.5'"),
        ('lon="1"', "no lat"),
    ],
)
def test_that_a_bad_coordinate_is_told_with_line_and_element(tmp_path: Path, attributes: str, found: str) -> None:
    body = f"<rte><name>R01</name>\n<rtept {attributes}/>\n</rte>"
    (fault,) = faults_of(read_gpx, gpx(tmp_path, body))
    assert fault.where == "line 3, <rtept>"
    assert fault.found == found
    assert "decimal degrees" in fault.expected


def test_that_all_faults_of_a_file_are_told_together(tmp_path: Path) -> None:
    body = """<rte><rtept lat="1" lon="2"/></rte>
    <rte><name>R02</name></rte>
    <rte><name>R03</name><rtept lat="91" lon="181"><name>R04-01</name></rtept></rte>
    <wpt lat="x" lon="2"><name>R05-01</name></wpt>"""
    faults = faults_of(read_gpx, gpx(tmp_path, body))
    assert [fault.where for fault in faults] == [
        "line 2, <rte>",
        "line 3, <rte>",
        "line 4, <rtept>",
        "line 4, <rtept>",
        "line 4, <rtept>",
        "line 5, <wpt>",
    ]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (GPX.replace('version="1.1" creator', 'version="2.0" creator'), "version 1.0 or 1.1"),
        (GPX.replace('version="1.1" creator', "creator"), "version 1.0 or 1.1"),
        ("<kml/>", "the root element <gpx>"),
        (GPX.replace("GPX/1/1", "GPX/9"), "the root element <gpx>"),
        (HEAD + "</gpx>", "routes <rte>, or waypoints"),
        (HEAD + '<wpt lat="1" lon="2"><name>Car park</name></wpt></gpx>', "routes <rte>, or waypoints"),
        (HEAD + "<x>" * DEEPEST + "</x>" * DEEPEST + "</gpx>", f"nested at most {DEEPEST}"),
        (HEAD + "<x></y></gpx>", "well-formed"),
        ('<?xml version="1.0" encoding="no-such"?>' + HEAD + "</gpx>", ""),
    ],
)
def test_that_what_is_no_gpx_of_points_is_refused(tmp_path: Path, text: str, expected: str) -> None:
    (fault,) = faults_of(read_gpx, write(tmp_path / "x.gpx", text))
    assert expected in fault.expected


@pytest.mark.parametrize(
    "prolog",
    [
        '<!DOCTYPE gpx SYSTEM "http://example.org/x.dtd">',
        '<!DOCTYPE gpx [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;&a;">]>',
        '<!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/passwd">]>',
        "<!DOCTYPE gpx>",
    ],
)
def test_that_any_doctype_is_refused_before_it_can_do_harm(tmp_path: Path, prolog: str) -> None:
    (fault,) = faults_of(read_gpx, write(tmp_path / "bomb.gpx", f'<?xml version="1.0"?>\n{prolog}\n{GPX[39:]}'))
    assert fault.where == "line 2"
    assert fault.found == "a DOCTYPE"


PLACES = st.tuples(
    st.floats(-90, 90).map(lambda value: round(value, 7)),
    st.floats(-180, 180).map(lambda value: round(value, 7)),
)
NOTES = st.text(st.characters(min_codepoint=33, max_codepoint=0x2FF, exclude_categories=["C", "Z"]), max_size=12)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.lists(st.tuples(PLACES, NOTES), min_size=1, max_size=6), min_size=1, max_size=4))
def test_that_what_gpxpy_writes_is_read_equal(routes: list[list[tuple[tuple[float, float], str]]]) -> None:
    written = gpxpy.gpx.GPX()
    for order, points in enumerate(routes, start=1):
        one = gpxpy.gpx.GPXRoute(name=f"R{order:02d} Heath {order}")
        for number, ((latitude, longitude), note) in enumerate(points, start=1):
            name = f"R{order:02d}-{number:02d}"
            one.points.append(gpxpy.gpx.GPXRoutePoint(latitude, longitude, name=name, description=note or None))
        written.routes.append(one)
    with TemporaryDirectory() as folder:
        read = read_gpx(write(Path(folder) / "h.gpx", written.to_xml()))
    found = [(point.route, point.number, point.place, point.note) for point in read.points]
    assert found == [
        (f"R{order:02d}", number, Place(*place), note)
        for order, points in enumerate(routes, start=1)
        for number, (place, note) in enumerate(points, start=1)
    ]
