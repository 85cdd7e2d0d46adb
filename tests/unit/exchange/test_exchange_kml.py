"""Routes, points and lines out of KML, and out of KMZ archives that may be hostile."""

from __future__ import annotations

import re
import struct
from pathlib import Path

import fastkml
import pytest
from fastkml.containers import Document, Folder
from fastkml.features import Placemark
from hypothesis import given, settings
from hypothesis import strategies as st
from pygeoif.geometry import LineString, MultiPoint, Point

from planner.exchange import SourceKind, read_tracks, recognise
from planner.exchange.map_files.archives import MOST_ENTRIES, open_archive
from planner.exchange.map_files.drawn_routes import routes_or_faults
from planner.exchange.map_files.kml import draw_kml
from planner.exchange.reads import RoutesRead
from planner.exchange.safe_xml import DEEPEST
from planner.exchange.source_text import MOST_BYTES
from tests.unit.exchange.map_samples import KML, kmz, reading, routes, rows
from tests.unit.exchange.samples import faults_of, write

HEAD = '<kml xmlns="http://www.opengis.net/kml/2.2">'


def placemark(name: str, coordinates: str = "2,1", more: str = "") -> str:
    return f"<Placemark><name>{name}</name>{more}<Point><coordinates>{coordinates}</coordinates></Point></Placemark>"


def kml(tmp_path: Path, body: str, head: str = HEAD) -> Path:
    return write(tmp_path / "r.kml", f"{head}<Document>\n{body}</Document></kml>")


def _geometries(feature: object) -> list[object]:
    if isinstance(feature, Placemark):
        return [feature.geometry] if feature.geometry is not None else []
    inside = feature.features if isinstance(feature, fastkml.KML | Document | Folder) else []
    return [geometry for one in inside for geometry in _geometries(one)]


def test_that_points_are_of_the_route_that_field_name_or_folder_says(tmp_path: Path) -> None:
    read = routes(write(tmp_path / "s.kml", KML))
    assert sorted(rows(read)) == [
        ("Gallows Hill", 1, 50.75, -1.99, ""),
        ("Gallows Hill", 2, 50.75, -1.98, ""),
        ("R01", 1, 50.7001, -1.99, "by the field gate & oak"),
        ("R01", 2, 50.7002, -1.9775, ""),
        ("R01", 3, 50.7003, -1.965, ""),
        ("R03", 1, 50.8, -1.9, "old milestone"),
        ("R03", 2, 50.81, -1.91, "the ford"),
        ("R04", 1, 50.9, -1.8, ""),
        ("R04", 2, 50.9, -1.81, ""),
    ]
    assert {(name.code, name.name) for name in read.names} == {
        ("R01", "Fernhythe Common"),
        ("Gallows Hill", ""),
        ("R04", "Long Drove"),
    }
    assert {row.route: row.origin.where for row in reversed(read.points)} == {
        "Gallows Hill": "line 14, <Placemark>",
        "R01": "line 5, <Placemark>",
        "R03": "line 19, <Placemark>",
        "R04": "line 25, <Point>",
    }


def test_that_what_is_left_out_is_said(tmp_path: Path) -> None:
    found = reading(write(tmp_path / "s.kml", KML))
    assert found.read is not None
    assert routes(tmp_path / "s.kml").notes == (
        "Left out: 1 link(s) to files elsewhere, which are not followed.",
        "Left out: 1 area(s); only points and lines are read.",
        "Left out, because their names are not like 'R07-03': placemarks 'Car park'.",
        (
            "Left out: 2 line(s), the first on line 27, <LineString>; only points are read."
            " Points can be laid out along one."
        ),
    )
    fields = {use.column: use.meaning for use in found.understood.columns}
    assert fields == {"note": "note", "Route": "route", "POINT": "point", "colour": ""}


def test_that_places_are_those_that_fastkml_finds(tmp_path: Path) -> None:
    """fastkml, an independent reader; tracks it keeps apart, so they are compared by hand above."""
    drawing = draw_kml(write(tmp_path / "s.kml", KML))
    strict = re.sub(r"\s*,\s*", ",", KML.partition("?>")[2])  # It takes no spaces round a comma, nor a declaration.
    geometries = [one for feature in fastkml.KML.from_string(strict).features for one in _geometries(feature)]
    points = [(one.y, one.x) for one in geometries if isinstance(one, Point)]
    points += [(point.y, point.x) for one in geometries if isinstance(one, MultiPoint) for point in one.geoms]
    lines = [[(at[1], at[0]) for at in one.coords] for one in geometries if isinstance(one, LineString)]
    marks = [*drawing.marks, *(mark for string in drawing.strings for mark in string.marks)]
    assert sorted((float(mark.latitude), float(mark.longitude)) for mark in marks) == sorted(points)
    drawn = [[(place.latitude, place.longitude) for place in track.places] for track in drawing.tracks]
    assert [line for line in drawn if line in lines] == lines


def test_that_a_track_offers_its_stops_and_lines_can_be_laid_out_along(tmp_path: Path) -> None:
    path = write(tmp_path / "s.kml", KML)
    lane, evening = read_tracks(path)
    assert (lane.name, len(lane.places), lane.times) == ("the lane", 3, ())
    assert (evening.name, evening.times[1]) == ("evening", (evening.times[0] or 0) + 300)
    assert "one place where the track stays" in reading(path).understood.offers[-1].words


@pytest.mark.parametrize(
    "head",
    [
        "<kml>",
        '<kml xmlns="http://earth.google.com/kml/2.1">',
        '<kml xmlns="http://www.opengis.net/kml/2.3" version="2.3">',
        '<k:kml xmlns:k="http://www.opengis.net/kml/2.2">',
    ],
)
def test_that_older_and_newer_kml_and_prefixes_are_read(tmp_path: Path, head: str) -> None:
    text = f"{head}{placemark('R01-07')}</kml>"
    if head.startswith("<k:"):
        text = text.replace("</", "</k:").replace("<", "<k:").replace("<k:/k:", "</k:").replace("<k:k:", "<k:")
    assert [row[:2] for row in rows(routes(write(tmp_path / "k.kml", text)))] == [("R01", 7)]


def test_that_points_of_a_folder_without_numbers_are_offered_in_their_order(tmp_path: Path) -> None:
    body = "<Folder><name>R05 East</name>" + placemark("gate", "2,1") + placemark("oak", "3,1") + "</Folder>"
    path = kml(tmp_path, body)
    (fault,) = reading(path).faults
    assert "such as 'gate'" in fault.found
    (offer,) = reading(path).understood.offers
    assert offer.words == "Number the placemarks of route R05 in the order of the file"
    assert rows(routes(path, number_by_order=True)) == [("R05", 1, 1.0, 2.0, "gate"), ("R05", 2, 1.0, 3.0, "oak")]


@pytest.mark.parametrize(
    ("coordinates", "found"),
    [
        ("200,1", "longitude='200'"),
        ("1,95", "latitude='95'"),
        ("1", "no longitude"),
        ("", "no latitude"),
        ("1,2 3,4", "latitude='1,2 3,4'"),
        ("1,2,3,4", "latitude='1,2,3,4'"),
        ("nan,2", "longitude='nan'"),
    ],
)
def test_that_a_bad_coordinate_is_told_with_the_line(tmp_path: Path, coordinates: str, found: str) -> None:
    fault = reading(kml(tmp_path, placemark("R01-01", coordinates))).faults[0]
    assert (fault.where, fault.found) == ("line 2, <Placemark>", found)


def test_that_a_number_that_is_none_is_told(tmp_path: Path) -> None:
    fields = {"route": "R01", "point": "1000"}
    data = "".join(f'<Data name="{name}"><value>{text}</value></Data>' for name, text in fields.items())
    more = f"<ExtendedData>{data}</ExtendedData>"
    (fault,) = reading(kml(tmp_path, placemark("x", more=more))).faults
    assert (fault.expected, fault.found) == ("the number of a point, from 1 to 999", "'1000'")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (HEAD + "</kml>", "placemarks named like"),
        ("<gpx/>", "the root element <kml>"),
        ('<kml xmlns="urn:other"/>', "the root element <kml>"),
        (HEAD + "<Folder>" * DEEPEST + "</Folder>" * DEEPEST + "</kml>", f"nested at most {DEEPEST}"),
        (HEAD + "<Document>", "well-formed"),
        (f'<!DOCTYPE kml [<!ENTITY a "aa"><!ENTITY b "&a;&a;">]>{HEAD}<name>&b;</name></kml>', "without a DOCTYPE"),
        (f'<!DOCTYPE kml SYSTEM "file:///etc/passwd">{HEAD}</kml>', "without a DOCTYPE"),
    ],
)
def test_that_what_is_no_kml_of_points_is_refused(tmp_path: Path, text: str, expected: str) -> None:
    def read(path: Path) -> RoutesRead:
        return routes_or_faults(reading(path))

    (fault,) = faults_of(read, write(tmp_path / "x.kml", text))
    assert expected in fault.expected


def test_that_a_kmz_is_read_by_its_content_without_touching_the_disk(tmp_path: Path) -> None:
    path = write(tmp_path / "a.kmz", kmz({"images/x.png": b"x", "doc.kml": KML, "other.kml": "no"}))
    assert recognise(path).kind is SourceKind.KML
    read = routes(path)
    assert len(read.points) == 9
    assert read.points[0].origin.where.startswith("doc.kml, line ")
    assert read.notes[0] == "Of the KML files in the archive doc.kml was read, 1 others not."
    assert [one.name for one in tmp_path.iterdir()] == ["a.kmz"]
    renamed = write(tmp_path / "b.zip", kmz({"folder/first.KML": KML}))
    assert recognise(renamed).reason == "an archive with a KML file in it"
    assert len(draw_kml(renamed).marks) == 8


@pytest.mark.parametrize(
    "name", ["../doc.kml", "a/../../doc.kml", "/etc/doc.kml", "C:/doc.kml", "..\\doc.kml", "\\\\host\\doc.kml"]
)
def test_that_a_name_that_leads_out_of_the_archive_is_refused(tmp_path: Path, name: str) -> None:
    path = write(tmp_path / "a.kmz", kmz({"doc.kml": KML, name: "x"}))
    (fault,) = faults_of(draw_kml, path)
    assert fault.expected == "files inside the archive's own folder"
    assert [one.name for one in tmp_path.iterdir()] == ["a.kmz"]


def test_that_a_large_file_in_a_small_archive_is_refused_unpacked(tmp_path: Path) -> None:
    path = write(tmp_path / "a.kmz", kmz({"doc.kml": b" " * (MOST_BYTES + 1)}))
    assert path.stat().st_size < 100_000
    (fault,) = faults_of(draw_kml, path)
    assert (fault.where, fault.expected) == ("doc.kml", "at most 32 MB when unpacked")


def test_that_an_archive_that_lies_about_its_sizes_is_refused(tmp_path: Path) -> None:
    data = kmz({"doc.kml": b" " * (MOST_BYTES + 1000)})
    lying = data.replace(struct.pack("<I", MOST_BYTES + 1000), struct.pack("<I", 10))
    assert lying != data
    (fault,) = faults_of(draw_kml, write(tmp_path / "a.kmz", lying))
    assert fault.where == "doc.kml"


def test_that_an_encrypted_file_is_refused(tmp_path: Path) -> None:
    data = bytearray(kmz({"doc.kml": KML}))
    for mark, at in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        data[data.index(mark) + at] |= 1
    (fault,) = faults_of(draw_kml, write(tmp_path / "a.kmz", bytes(data)))
    assert fault.expected == "a file without a password"


@pytest.mark.parametrize(
    ("data", "found"),
    [
        (kmz({"x.txt": "x"}), "none"),
        (kmz({"inner.kmz": kmz({"doc.kml": KML})}), "archives inside the archive, which are not opened"),
        (kmz({"doc.kml": KML})[:200], "a broken archive"),
        (kmz({"doc.kml": KML}).replace(b"\x08\x00", b"\x63\x00"), "compression"),
    ],
)
def test_that_an_archive_without_a_kml_file_that_can_be_read_is_refused(
    tmp_path: Path, data: bytes, found: str
) -> None:
    (fault,) = faults_of(draw_kml, write(tmp_path / "a.kmz", data))
    assert found in fault.found


def test_that_a_list_of_very_many_files_is_refused_before_it_is_read(tmp_path: Path) -> None:
    data = kmz({"doc.kml": KML}) + b"PK\x01\x02" * MOST_ENTRIES
    (fault,) = faults_of(open_archive, data, tmp_path / "a.kmz", "a KMZ file")
    assert fault.found == str(MOST_ENTRIES + 1)


def test_that_a_kmz_whose_kml_is_broken_tells_the_line_inside(tmp_path: Path) -> None:
    (fault,) = faults_of(draw_kml, write(tmp_path / "a.kmz", kmz({"doc.kml": HEAD + "\n<Document>"})))
    assert fault.where == "doc.kml, line 2"


def test_that_several_points_without_a_route_are_left_out_and_said(tmp_path: Path) -> None:
    two = "<Point><coordinates>1,2</coordinates></Point><Point><coordinates>3,2</coordinates></Point>"
    more = f"<Placemark><name>gates</name><MultiGeometry>{two}</MultiGeometry></Placemark>"
    read = routes(kml(tmp_path, placemark("R01-01") + more))
    assert read.notes == ("Left out: the 2 points of placemark 'gates', no route by its name.",)


def test_that_places_of_a_line_that_are_none_are_passed_over_and_said(tmp_path: Path) -> None:
    line = "<LineString><coordinates>1,2 200,1 3,4\n x 7 , 8 , 9 ,1,2</coordinates></LineString>"
    path = kml(tmp_path, f"<Placemark><name>lane</name>{line}</Placemark>" + placemark("R01-01"))
    (track,) = read_tracks(path)
    assert [(place.longitude, place.latitude) for place in track.places] == [(1.0, 2.0), (3.0, 4.0)]
    assert routes(path).notes[0] == (
        "Track 'lane': 3 points that are no places were passed over, the first on line 2, <LineString>."
    )


@pytest.mark.parametrize("gap", [" " * 1_000_000, "," * 1_000_000, ", " * 500_000])
def test_that_blanks_and_commas_without_end_in_coordinates_are_passed_over_in_time(tmp_path: Path, gap: str) -> None:
    line = f"<LineString><coordinates>1,2 3,4 5{gap}6 7,8</coordinates></LineString>"
    (track,) = read_tracks(kml(tmp_path, f"<Placemark><name>lane</name>{line}</Placemark>"))
    assert [place.longitude for place in track.places] == [1.0, 3.0, 7.0]


AT = st.tuples(
    st.floats(-180, 180).map(lambda value: round(value, 6)), st.floats(-90, 90).map(lambda value: round(value, 6))
)
WORDS = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), max_size=12)


@settings(max_examples=20)
@given(st.lists(st.tuples(AT, WORDS), min_size=1, max_size=5), st.lists(AT, min_size=2, max_size=5, unique=True))
def test_that_what_fastkml_writes_is_read_equal(
    tmp_path_factory: pytest.TempPathFactory,
    points: list[tuple[tuple[float, float], str]],
    line: list[tuple[float, float]],
) -> None:
    folder = Folder(name="R01 Heath")
    for number, (at, note) in enumerate(points, start=1):
        # Angle brackets are HTML in a description; both readers take them for that.
        words = note.replace("<", "").replace("&", "")
        folder.append(Placemark(name=f"R01-{number:02d}", description=words or None, geometry=Point(*at)))
    folder.append(Placemark(name="lane", geometry=LineString(line)))
    whole = fastkml.KML(features=[folder])
    path = write(tmp_path_factory.getbasetemp() / "w.kml", whole.to_string(precision=6))
    assert rows(routes(path)) == [
        ("R01", number, at[1], at[0], note.replace("<", "").replace("&", ""))
        for number, (at, note) in enumerate(points, start=1)
    ]
    assert [(place.longitude, place.latitude) for place in read_tracks(path)[0].places] == line
