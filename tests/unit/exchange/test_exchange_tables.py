"""Points, routes, volunteers and dates out of CSV tables."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.domain.geo import Place
from planner.domain.volunteer import Volunteer
from planner.domain.window import PartOfDay
from planner.exchange import read_availability, read_points, read_routes, read_volunteers
from planner.exchange.faults import MOST_FAULTS
from tests.unit.exchange.samples import (
    AVAILABILITY_CSV,
    POINTS_CSV,
    ROUTES_CSV,
    VOLUNTEERS_CSV,
    faults_of,
    write,
)

POINTS_HEAD = "route,point,latitude,longitude,note\n"
VOLUNTEERS_HEAD = VOLUNTEERS_CSV.partition("\n")[0] + "\n"
AVAILABILITY_HEAD = AVAILABILITY_CSV.partition("\n")[0] + "\n"


def test_that_points_are_read_with_their_lines(tmp_path: Path) -> None:
    read = read_points(write(tmp_path / "p.csv", POINTS_CSV))
    assert [(row.route, row.number) for row in read.points] == [
        ("R01", 1),
        ("R01", 2),
        ("R01", 3),
        ("R02", 1),
        ("R02", 2),
    ]
    assert read.points[2].place == Place(50.7003, -1.965)
    assert read.points[2].note == "lay-by, left"
    assert read.points[2].origin.where == "line 4"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_that_encodings_and_delimiters_are_told_apart(tmp_path: Path, encoding: str, delimiter: str) -> None:
    text = f"route{delimiter}point{delimiter}latitude{delimiter}longitude{delimiter}note\r\n"
    text += f'R01{delimiter}1{delimiter}50.7{delimiter}-1.9{delimiter}"Bücke,\r\n; 2"\r\n'
    text += f"R01{delimiter}2{delimiter}50.8{delimiter}-1.8{delimiter}\r\n"
    mark = {"utf-16-le": b"\xff\xfe", "utf-16-be": b"\xfe\xff"}.get(encoding, b"")
    read = read_points(write(tmp_path / "e.csv", mark + text.encode(encoding)))
    assert read.points[0].note == "Bücke, ; 2"
    assert [row.origin.where for row in read.points] == ["line 2", "line 4"]


def test_that_header_names_are_matched_without_case_spaces_and_underscores(tmp_path: Path) -> None:
    text = "\n  ROUTE ,Point,Lati tude,LONGITUDE\n\nR01,1,1,2\n,,,\n"
    read = read_points(write(tmp_path / "h.csv", text))
    assert [row.origin.where for row in read.points] == ["line 4"]
    text = "Code,Name,Latitude,Longitude,Drive limit min\nV01,Ada Example,1,2,30\n"
    (row,) = read_volunteers(write(tmp_path / "v.csv", text)).volunteers
    assert row.volunteer.drive_limit_minutes == 30


def test_that_decimal_commas_and_degrees_minutes_seconds_are_read(tmp_path: Path) -> None:
    text = "route;point;latitude;longitude\nR01;1;50,5;-1,25\nR01;2;50 30 36 N;1°15'W\n"
    read = read_points(write(tmp_path / "d.csv", text))
    assert [row.place for row in read.points] == [Place(50.5, -1.25), Place(50.51, -1.25)]


def test_that_missing_unknown_and_doubled_columns_are_said_together(tmp_path: Path) -> None:
    text = "route,point,lattitude,note,note,\nR01,1,1,2,3,4\n"
    faults = faults_of(read_points, write(tmp_path / "c.csv", text))
    assert [fault.where for fault in faults] == ["header row"] * 3
    assert "latitude, longitude" in faults[0].found
    assert "'lattitude' (meant latitude?)" in faults[1].found
    assert "one without a name" in faults[1].found
    assert "note twice" in faults[2].found


def test_that_many_unknown_columns_are_cut_short(tmp_path: Path) -> None:
    text = "route,point,latitude,longitude," + ",".join(f"zz{number}" for number in range(40)) + "\n"
    (fault,) = faults_of(read_points, write(tmp_path / "c.csv", text))
    assert "and 28 more" in fault.found


@pytest.mark.parametrize(
    ("line", "where", "found"),
    [
        ("R01,1,95,1,", "line 2, column latitude", "out of range"),
        ("R01,1,nan,1,", "line 2, column latitude", "'nan'"),
        ("R01,1,1,inf,", "line 2, column longitude", "'inf'"),
        ("R01,1,1,,", "line 2, column longitude", "nothing"),
        ("R01,1,1 W,51 N,", "line 2, column latitude", "swapped"),
        (",1,1,1,", "line 2, column route", "nothing"),
        ("R01,0,1,1,", "line 2, column point", "'0'"),
        ("R01,1.5,1,1,", "line 2, column point", "'1.5'"),
        ("R01,1000,1,1,", "line 2, column point", "'1000'"),
        ("R01,³,1,1,", "line 2, column point", "'³'"),
        ("R01,1,1,1", "line 2", "4"),
        ("R01,1,50,7,-1,9,", "line 2", "7"),
        ('R01,1,1,1,"open', "line 2", "unexpected end of data"),
        ('R01,1,1,1,"a"b', "line 2", "expected after"),
    ],
)
def test_that_a_bad_row_is_told_with_line_and_column(tmp_path: Path, line: str, where: str, found: str) -> None:
    faults = faults_of(read_points, write(tmp_path / "b.csv", POINTS_HEAD + line + "\n"))
    assert faults[0].where == where
    assert found in faults[0].found


@pytest.mark.parametrize(
    ("delimiter", "words"), [(",", "semicolons"), (";", "holds a semicolon"), ("\t", "holds a tab")]
)
def test_that_a_row_that_is_too_long_says_why_that_may_be(tmp_path: Path, delimiter: str, words: str) -> None:
    text = (POINTS_HEAD + "R01,1,1,1,a,b\n").replace(",", delimiter)
    (fault,) = faults_of(read_points, write(tmp_path / "l.csv", text))
    assert words in fault.todo


def test_that_every_fault_of_a_table_is_told_and_a_flood_is_cut(tmp_path: Path) -> None:
    rows = "R01,x,95,200,\n" * 200
    faults = faults_of(read_points, write(tmp_path / "f.csv", POINTS_HEAD + rows))
    assert len(faults) == MOST_FAULTS + 1
    assert [fault.where for fault in faults[:3]] == [
        "line 2, column point",
        "line 2, column latitude",
        "line 2, column longitude",
    ]
    assert faults[-1].found == f"{600 - MOST_FAULTS} more"


def test_that_a_header_alone_is_refused(tmp_path: Path) -> None:
    (fault,) = faults_of(read_points, write(tmp_path / "o.csv", POINTS_HEAD))
    assert fault.found == "a header alone"


def test_that_routes_are_read(tmp_path: Path) -> None:
    first, second = read_routes(write(tmp_path / "r.csv", ROUTES_CSV)).routes
    assert (first.code, first.name, first.needs, first.people, first.lead) == (
        "R01",
        "Fernhythe Common",
        frozenset({"4x4"}),
        1,
        "V01",
    )
    assert (second.needs, second.people, second.lead) == (frozenset(), 2, "")


def test_that_columns_a_table_of_routes_lacks_say_nothing(tmp_path: Path) -> None:
    (row,) = read_routes(write(tmp_path / "r.csv", "route,name\nR01,Fernhythe\n")).routes
    assert row.area is None
    assert (row.needs, row.people, row.lead) == (None, None, None)


def test_that_bad_routes_are_refused_together(tmp_path: Path) -> None:
    text = "route,name,people\nR01,A,3\n,B,1\nR03,C,two\n"
    faults = faults_of(read_routes, write(tmp_path / "r.csv", text))
    assert [fault.where for fault in faults] == [
        "line 2, column people",
        "line 3, column route",
        "line 4, column people",
    ]


def test_that_volunteers_are_read_and_gaps_filled_with_the_usual(tmp_path: Path) -> None:
    first, second = read_volunteers(write(tmp_path / "v.csv", VOLUNTEERS_CSV)).volunteers
    assert first.volunteer == Volunteer(
        code="V01",
        name="Ada Example",
        home=Place(50.72, -1.98),
        telephone="07700 900001",
        email="ada@example.org",
        drive_limit_minutes=40,
        visits_limit=3,
        training=frozenset({"nightjar identification", "first aid"}),
        vehicle="4x4",
    )
    assert second.volunteer == Volunteer("V02", "Ben Sample", Place(50.73, -1.95), telephone="07700 900002")


@pytest.mark.parametrize(
    ("row", "column"),
    [
        (",Ada,,,1,2,,,,", "code"),
        ("V01,,,,1,2,,,,", "name"),
        ("V01,Ada,,no-address,1,2,,,,", "email"),
        ("V01,Ada,,,1,2,0,,,", "drive_limit_min"),
        ("V01,Ada,,,1,2,-5,,,", "drive_limit_min"),
        ("V01,Ada,,,1,2,45 min,,,", "drive_limit_min"),
        ("V01,Ada,,,1,2,,many,,", "visits_limit"),
        ("V01,Ada,,,1,2,,-1,,", "visits_limit"),
        ("V01,Ada,,,1,200,,,,", "longitude"),
    ],
)
def test_that_a_bad_volunteer_is_told_with_the_column(tmp_path: Path, row: str, column: str) -> None:
    (fault,) = faults_of(read_volunteers, write(tmp_path / "v.csv", VOLUNTEERS_HEAD + row + "\n"))
    assert fault.where == f"line 2, column {column}"


def test_that_dates_are_read_with_weekdays_and_parts(tmp_path: Path) -> None:
    first, second, third = read_availability(write(tmp_path / "a.csv", AVAILABILITY_CSV)).rows
    assert first.volunteer == "V01"
    assert first.line.weekdays == {1, 3, 5}
    assert first.line.parts == {PartOfDay.DUSK}
    assert (first.line.dates.first, first.line.dates.last) == (dt.date(2026, 5, 10), dt.date(2026, 7, 2))
    assert second.line.parts == frozenset()
    assert second.line.weekdays == set(range(7))
    assert third.line.parts == {PartOfDay.DAYLIGHT, PartOfDay.DUSK}


@pytest.mark.parametrize(
    ("row", "column", "found"),
    [
        (",2026-05-10,2026-05-11,,dusk", "volunteer", "nothing"),
        ("V01,2026-06-10,2026-05-11,,dusk", "to", "reversed dates"),
        ("V01,10/05/2026,2026-05-11,,dusk", "from", "'10/05/2026'"),
        ("V01,2026-02-30,2026-05-11,,dusk", "from", "'2026-02-30'"),
        ("V01,2026-05-10,,,dusk", "to", "nothing"),
        ("V01,2026-05-10,2026-05-11,Fry,dusk", "weekdays", "'Fry'"),
        ("V01,2026-05-10,2026-05-11,,evening", "parts", "'evening'"),
        ("V01,2026-05-10,2026-05-11,,", "parts", "nothing"),
        ("V01,2026-05-10,2026-05-11,,none dusk", "parts", "'none dusk'"),
    ],
)
def test_that_a_bad_date_line_is_told_with_the_column(tmp_path: Path, row: str, column: str, found: str) -> None:
    (fault,) = faults_of(read_availability, write(tmp_path / "a.csv", AVAILABILITY_HEAD + row + "\n"))
    assert fault.where == f"line 2, column {column}"
    assert found in fault.found
    assert column != "parts" or fault.todo == "Write one or more of them, or 'none' to take dates away."


@pytest.mark.parametrize("reader", [read_points, read_routes, read_volunteers, read_availability])
def test_that_a_table_of_another_kind_is_refused_by_its_header(
    tmp_path: Path, reader: Callable[[Path], object]
) -> None:
    faults = faults_of(reader, write(tmp_path / "k.csv", "when,wind\n2026-05-10,3\n"))
    assert {fault.where for fault in faults} == {"header row"}


TEXT = st.text(
    st.characters(min_codepoint=32, max_codepoint=0x17F, exclude_categories=["Cc"], exclude_characters="\xa0\xad"),
    max_size=14,
)
POINT = st.tuples(
    st.floats(-90, 90).map(lambda value: round(value, 6)),
    st.floats(-180, 180).map(lambda value: round(value, 6)),
    TEXT,
)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(POINT, min_size=1, max_size=12),
    st.sampled_from([",", ";", "\t"]),
    st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]),
    st.permutations(["route", "point", "latitude", "longitude", "note"]),
)
def test_that_what_the_csv_module_writes_is_read_equal(
    points: list[tuple[float, float, str]], delimiter: str, encoding: str, columns: list[str]
) -> None:
    text = io.StringIO()
    writer = csv.DictWriter(text, columns, delimiter=delimiter)
    writer.writeheader()
    for number, (latitude, longitude, note) in enumerate(points, start=1):
        cells = (" R01 ", number, f"{latitude:.6f}", f"{longitude:.6f}", note)
        writer.writerow(dict(zip(("route", "point", "latitude", "longitude", "note"), cells, strict=True)))
    with TemporaryDirectory() as folder:
        read = read_points(write(Path(folder) / "h.csv", text.getvalue().encode(encoding)))
    assert [(row.route, row.number, row.place, row.note) for row in read.points] == [
        ("R01", number, Place(latitude, longitude), " ".join(note.split()))
        for number, (latitude, longitude, note) in enumerate(points, start=1)
    ]
