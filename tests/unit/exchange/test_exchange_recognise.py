"""The kind of a file, by its content."""

from __future__ import annotations

import bz2
import gzip
import sqlite3
from pathlib import Path

import osmium
import pytest

from planner.exchange import PLAN_COLUMNS, SourceKind, recognise
from planner.exchange.importers import HEAD_BYTES
from planner.shipped import resources
from tests.unit.exchange.samples import (
    AVAILABILITY_CSV,
    CHANCES_CSV,
    EVENINGS_CSV,
    GPX,
    POINTS_CSV,
    ROUTES_CSV,
    VOLUNTEERS_CSV,
    faults_of,
    write,
)

OSM = '<?xml version="1.0"?>\n<!-- a road -->\n<osm version="0.6"><node id="1" lat="1" lon="2"/></osm>\n'


@pytest.mark.parametrize(
    ("text", "kind", "reason"),
    [
        (GPX, SourceKind.GPX, "<gpx>"),
        ("\ufeff" + GPX, SourceKind.GPX, "<gpx>"),
        (OSM, SourceKind.ROADS, "<osm>"),
        (POINTS_CSV, SourceKind.POINTS, "columns route, point, latitude, longitude, note"),
        (ROUTES_CSV, SourceKind.ROUTES, "columns route, name"),
        (VOLUNTEERS_CSV, SourceKind.VOLUNTEERS, "columns code, name"),
        (AVAILABILITY_CSV, SourceKind.AVAILABILITY, "columns volunteer, from, to"),
        (EVENINGS_CSV, SourceKind.EVENINGS, "columns date, lost, note of a table of past evenings"),
        (CHANCES_CSV, SourceKind.CHANCES, "columns half_month, lost_percent"),
        ("date,route,wind,rain\n", SourceKind.CONDITIONS, "date, wind, route, rain of a table of conditions"),
        ("Date;Lost\n", SourceKind.EVENINGS, "a table of past evenings"),
        ("Route;Point;Latitude;Longitude\n", SourceKind.POINTS, "a table of points"),
        ("route,point,latitude,note,longitud\n", SourceKind.POINTS, "a table of points"),
    ],
)
def test_that_a_file_is_known_by_its_content(tmp_path: Path, text: str, kind: SourceKind, reason: str) -> None:
    found = recognise(write(tmp_path / "some.file", text))
    assert found.kind is kind
    assert reason in found.reason


def test_that_utf_16_is_recognised(tmp_path: Path) -> None:
    assert recognise(write(tmp_path / "a", GPX.replace("UTF-8", "UTF-16").encode("utf-16"))).kind is SourceKind.GPX
    assert recognise(write(tmp_path / "b", POINTS_CSV.encode("utf-16"))).kind is SourceKind.POINTS


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
@pytest.mark.parametrize("shift", range(4))
def test_that_a_long_table_is_recognised_wherever_the_first_look_ends(
    tmp_path: Path, encoding: str, shift: int
) -> None:
    text = POINTS_CSV + "R09,1,50.1,-1.9," + "ö" * shift + "\n" + "R09,2,50.1,-1.9,ööööö\n" * 5000
    path = write(tmp_path / "long.csv", text.encode(encoding))
    assert path.stat().st_size > HEAD_BYTES
    assert recognise(path).kind is SourceKind.POINTS


def test_that_roads_are_recognised_packed_and_as_pbf(tmp_path: Path) -> None:
    packed = write(tmp_path / "r.osm.bz2", bz2.compress(OSM.encode()))
    assert recognise(packed).kind is SourceKind.ROADS
    assert "bzip2" in recognise(packed).reason
    pbf = tmp_path / "r.osm.pbf"
    with osmium.SimpleWriter(str(pbf)) as writer:
        writer.add_node(osmium.osm.mutable.Node(id=1, version=1, location=(2.0, 1.0)))
    assert recognise(pbf).kind is SourceKind.ROADS


def test_that_a_file_packed_with_gzip_is_told_to_be_unpacked(tmp_path: Path) -> None:
    packed = write(tmp_path / "r.osm.gz", gzip.compress(OSM.encode()))
    (fault,) = faults_of(recognise, packed)
    assert fault.found == "a file packed with gzip"
    assert "gunzip" in fault.todo


@pytest.mark.parametrize("path", sorted((resources() / "protocols").glob("*.toml")), ids=lambda path: path.stem)
def test_that_every_shipped_protocol_is_recognised(path: Path) -> None:
    found = recognise(path)
    assert found.kind is SourceKind.PROTOCOL
    assert "points, count, windows" in found.reason


def test_that_a_protocol_with_a_slip_is_left_to_its_reader(tmp_path: Path) -> None:
    assert recognise(write(tmp_path / "p.toml", "name = ")).kind is SourceKind.PROTOCOL


@pytest.mark.parametrize(
    ("name", "text", "found"),
    [
        ("x.csv", "date,tide,rain\n1,2,3\n", "begins 'date,tide,rain'"),
        ("x.csv", '"open', "begins"),
        ("x.csv", "\n\n", "begins ''"),
        ("x.xml", "<svg/>", "<svg>"),
        ("x.xml", "<!-- nothing -->", "no element found"),
        ("x.xml", "<!DOCTYPE gpx><gpx/>", "a DOCTYPE"),
        ("x.toml", 'name = "a"\nzone = "b"\n', "keys name, zone"),
        ("x.toml", "# nothing\n", "keys none"),
        ("x.bz2", b"BZh9 and no more", ""),
        ("x.bz2", bz2.compress(b"<kml/>"), "<kml>"),
        ("x.bz2", bz2.compress(OSM.encode())[:20], "ended before"),
    ],
)
def test_that_what_is_of_no_known_kind_is_refused(tmp_path: Path, name: str, text: str | bytes, found: str) -> None:
    (fault,) = faults_of(recognise, write(tmp_path / name, text))
    assert found in fault.found


@pytest.mark.parametrize(
    ("data", "found", "todo"),
    [
        (b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj\n", "a PDF document", "Ask for the table as CSV"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "a picture", "Ask for the table as CSV"),
        (b"\xff\xd8\xff\xe0\0\x10JFIF\0", "a picture", "Ask for the table as CSV"),
        (b"GIF89a\x01\0\x01\0", "a picture", "Ask for the table as CSV"),
        (b"PK\x03\x04\x14\0\x06\0[Content_Types].xml", "a workbook", "Save the spreadsheet as CSV"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "a workbook", "Save the spreadsheet as CSV"),
    ],
)
def test_that_what_is_often_taken_for_a_table_is_called_what_it_is(
    tmp_path: Path, data: bytes, found: str, todo: str
) -> None:
    (fault,) = faults_of(recognise, write(tmp_path / "volunteers.csv", data))
    assert found in fault.found
    assert todo in fault.todo
    assert "UTF-8" not in fault.todo
    assert fault.where == ""


def test_that_a_database_is_told_to_be_opened_and_not_brought_in(tmp_path: Path) -> None:
    with sqlite3.connect(tmp_path / "autumn.dimpsy") as connection:
        connection.execute("CREATE TABLE a (b)")
    connection.close()
    (fault,) = faults_of(recognise, tmp_path / "autumn.dimpsy")
    assert fault.found.startswith("a season file")
    assert "File, Open" in fault.todo


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_that_a_plan_written_for_spreadsheets_is_not_taken_for_routes(tmp_path: Path, mark: bytes) -> None:
    text = ",".join(PLAN_COLUMNS) + "\nR01,Heath,1,2027-05-10,dusk,V01,,,,planned\n"
    (fault,) = faults_of(recognise, write(tmp_path / "plan.csv", mark + text.encode()))
    assert fault.found == "a plan, as it is written for spreadsheets"
