"""Files that are broken, cut off, far too large, or of another kind altogether."""

from __future__ import annotations

import csv
import os
import random
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from planner.domain.errors import InputError
from planner.exchange import (
    MOST_BYTES,
    read_availability,
    read_gpx,
    read_points,
    read_protocol,
    read_routes,
    read_volunteers,
    recognise,
)
from planner.exchange.source_text import as_text
from planner.exchange.table_files.grids import MOST_LINES
from tests.unit.exchange.samples import GPX, POINTS_CSV, SOURCES, faults_of, read, write

Reader = Callable[[Path], object]
TABLES: tuple[Reader, ...] = (read_points, read_routes, read_volunteers, read_availability)
ALL: tuple[Reader, ...] = (*TABLES, read_gpx, read_protocol, recognise)


@pytest.mark.parametrize("reader", ALL)
def test_that_an_empty_file_is_refused(tmp_path: Path, reader: Reader) -> None:
    (fault,) = faults_of(reader, write(tmp_path / "empty.toml", b""))
    assert fault.found == "an empty file"


@pytest.mark.parametrize("reader", ALL)
def test_that_a_missing_file_and_a_folder_are_refused(tmp_path: Path, reader: Reader) -> None:
    (missing,) = faults_of(reader, tmp_path / "none.csv")
    assert "No such file" in missing.found
    (folder,) = faults_of(reader, tmp_path)
    assert "directory" in folder.found


@pytest.mark.parametrize("reader", ALL)
def test_that_random_bytes_are_refused(tmp_path: Path, reader: Reader) -> None:
    faults_of(reader, write(tmp_path / "noise.bin", random.Random(7).randbytes(5000)))


@pytest.mark.parametrize("reader", [*TABLES, read_protocol])
@pytest.mark.parametrize(
    ("data", "found"),
    [
        (b"PK\x03\x04rest of a workbook", "workbook"),
        ("route,name\n".encode("utf-32"), "UTF-32"),
        (b"route\0name\n", "no text"),
        ("route,name\nR01,Mühle\n".encode("latin-1"), "byte 0xfc, which is no UTF-8"),
        (b"\xff\xfer\0o\0u", "no UTF-16"),
        ("route,name\n".encode("utf-16-le"), "no text"),
    ],
)
def test_that_what_is_no_text_in_a_known_encoding_is_refused(
    tmp_path: Path, reader: Reader, data: bytes, found: str
) -> None:
    (fault,) = faults_of(reader, write(tmp_path / "e.csv", data))
    assert found in fault.found


def test_that_a_wrong_encoding_is_told_with_the_line(tmp_path: Path) -> None:
    data = POINTS_CSV.replace("lay-by", "Böschung").encode("latin-1")
    (fault,) = faults_of(read_points, write(tmp_path / "l.csv", data))
    assert fault.where == "line 4"
    assert "UTF-8" in fault.todo


def test_that_a_wrong_encoding_of_gpx_is_told_with_the_line(tmp_path: Path) -> None:
    data = GPX.replace("Fernhythe", "Förnhythe").encode("latin-1")
    (fault,) = faults_of(read_gpx, write(tmp_path / "l.gpx", data))
    assert fault.where == "line 6"


@pytest.mark.parametrize("reader", [read_points, read_gpx])
def test_that_a_file_of_50_megabytes_is_refused_with_the_limit(tmp_path: Path, reader: Reader) -> None:
    path = tmp_path / "large.csv"
    with path.open("wb") as file:
        file.write(b"route,point,latitude,longitude\n")
        for _ in range(50):
            file.write(b"R01,1,50.123456,-1.1234567890\n" * 34953)
    assert path.stat().st_size > 49 * 2**20
    (fault,) = faults_of(reader, path)
    assert f"at most {MOST_BYTES // 2**20} MB" in fault.expected
    assert "MB" in fault.found


@pytest.mark.parametrize("tenth", range(10))
def test_that_gpx_cut_off_anywhere_is_refused(tmp_path: Path, tenth: int) -> None:
    data = GPX.encode()
    path = write(tmp_path / "cut.gpx", data[: len(data) * tenth // 10])
    faults_of(read_gpx, path)


@pytest.mark.parametrize("name", SOURCES)
@pytest.mark.parametrize("tenth", range(1, 11))
def test_that_a_file_cut_off_anywhere_is_refused_or_read_up_to_there(tmp_path: Path, name: str, tenth: int) -> None:
    """A table that ends at the end of a cell cannot be told from a whole one; nothing else may pass."""
    data = SOURCES[name].encode()
    cut = data[: len(data) * tenth // 10]
    path = write(tmp_path / name, cut)
    if tenth == 10:
        read(path)
    elif (
        name.endswith(".csv")
        and cut.count(b"\n")
        and cut.splitlines()[-1].count(b",") >= cut.splitlines()[0].count(b",")
    ):
        return
    else:
        faults_of(read, path)


@pytest.fixture(params=[None, 10**9], ids=["usual", "lifted"])
def limit_of_csv(request: pytest.FixtureRequest) -> Iterator[None]:
    """Leave the csv module's limit for a cell as it is, or lift it as other libraries of the process do."""
    before = csv.field_size_limit() if request.param is None else csv.field_size_limit(request.param)
    yield
    csv.field_size_limit(before)


@pytest.mark.usefixtures("limit_of_csv")
@pytest.mark.parametrize("letters", [131_073, 200_000])
def test_that_a_cell_without_end_is_refused(tmp_path: Path, letters: int) -> None:
    text = "route,point,latitude,longitude,note\nR01,1,1,2," + "x" * letters + "\n"
    (fault,) = faults_of(read_points, write(tmp_path / "w.csv", text))
    assert "field larger" in fault.found


def test_that_a_closed_folder_is_refused_without_a_traceback(tmp_path: Path) -> None:
    # A file in the place of a folder fails for every user, root too.
    write(tmp_path / "file", "x")
    (fault,) = faults_of(read_points, tmp_path / "file" / "p.csv")
    assert "Not a directory" in fault.found


def test_that_the_byte_order_mark_is_no_part_of_the_text() -> None:
    assert as_text("å".encode("utf-8-sig"), Path("x"), "text") == "å"
    assert as_text("å".encode("utf-16"), Path("x"), "text") == "å"


def test_that_brackets_nested_without_end_are_refused(tmp_path: Path) -> None:
    text = "a = " + "[" * 100_000 + "]" * 100_000
    (fault,) = faults_of(read_protocol, write(tmp_path / "deep.toml", text))
    assert "nested" in fault.found


def test_that_a_name_of_a_million_letters_in_gpx_does_no_harm(tmp_path: Path) -> None:
    text = GPX.replace("Fernhythe Common", "x" * 1_000_000)
    assert len(read_gpx(write(tmp_path / "n.gpx", text)).names[0].name) == 1_000_000


@pytest.mark.parametrize("reader", ALL)
def test_that_a_pipe_and_a_device_are_refused_unopened(tmp_path: Path, reader: Reader) -> None:
    os.mkfifo(tmp_path / "pipe.csv")
    for path in (tmp_path / "pipe.csv", Path("/dev/zero")):
        (fault,) = faults_of(reader, path)
        assert fault.found == "a device or a pipe"


@pytest.mark.parametrize("name", ["undefined", "a\0b", "rot13", "x" * 5000])
def test_that_a_code_of_letters_that_is_none_is_refused(name: str) -> None:
    with pytest.raises(InputError) as caught:
        as_text("é".encode("cp1252"), Path("a.csv"), "a table", name)
    assert "a code of letters that is known" in caught.value.faults[0].expected


@pytest.mark.parametrize("column", ["route", "note"])
def test_that_control_characters_in_a_table_are_refused_with_their_place(tmp_path: Path, column: str) -> None:
    cells = {"route": "R01", "note": "gate", column: "\x1b[31mred"}
    text = f"route,point,latitude,longitude,note\n{cells['route']},1,50.1,-1.9,{cells['note']}\n"
    (fault,) = faults_of(read_points, write(tmp_path / "p.csv", text))
    assert (fault.where, fault.found) == (f"line 2, column {column}", "U+001B")


def test_that_blank_lines_without_end_are_left_in_time(tmp_path: Path) -> None:
    text = "route,point,latitude,longitude\n" + "\n" * (MOST_LINES + 1) + "R01,1,50.1,-1.9\n"
    (fault,) = faults_of(read_points, write(tmp_path / "blank.csv", text))
    assert "at most 50,000 rows" in fault.expected
