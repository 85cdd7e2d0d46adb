"""Damaged tables and workbooks: whatever a file holds, it is read or refused with words, and nothing else happens.

A quick part runs with the suite; ``pytest -m fuzz`` runs ten thousand cases and more.
"""

from __future__ import annotations

import io
import random
import tracemalloc
import zipfile
from pathlib import Path

import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.exchange import Choices
from planner.usecases.importing.preview import Held, understand
from planner.usecases.importing.reading_sources import read_sources
from tests.unit.exchange.samples import SOURCES, season, volunteer, write

GUESSED = {
    "german.csv": "Route;Punkt;Breite;Länge;Bemerkung\nR01;1;51,5;-1,25;Tor\nR01;2;51°31'N;1°15'W;\n",
    "metres.csv": "route,point,Easting (UTM 30N),Northing,Zone\nR01,1,567890.5,5700000,30U\nR01,2,567891,5700100,30U\n",
    "names.csv": "Name,Lat,Lon\nR01-01,51.5,-1.25\nR01-02,51.6,-1.25\n",
    "one.csv": "route\tpoint\tCoordinates\nR01\t1\t51.5, -1.25\nR01\t2\t30U 567890 5700000\n",
    "lines.txt": "R01 1 51.5 -1.25 by the gate\nR01 2 51°30'17\"N 1°16'23\"W lay-by\n",
    "people.csv": "ID,Full name,Lat,Lon,Mobile\nV01,Ada Example,51.5,-1.25,07700 900001\n",
}
TABLES = {name: text.encode() for name, text in {**SOURCES, **GUESSED}.items() if not name.endswith(".gpx")}
CHOICES = (
    Choices(), Choices(swap=True), Choices(route="R09", number_by_order=True), Choices(utm_zone="30N"),
    Choices(columns={"latitude": "Lat", "note": ""}), Choices(encoding="cp1252"), Choices(sheet="B"),
)  # fmt: skip
SPLICES = (
    *(
        b"\0",
        b'"',
        b"\n",
        b"\r",
        b",",
        b";",
        b"\t",
        b"=1+1",
        b"-",
        b"-0",
        b"nan",
        b"inf",
        b"1e309",
        b"30S",
        b"<!DOCTYPE a>",
    ),
    *(b"\xef\xbb\xbf", b"\xff\xfe", b"\xed\xa0\x80", "°′″".encode(), "٣".encode()),
    *(b"9" * 400, b"'" * 9, b"," * 300, b"\n" * 50),
)
SEASON = season(volunteers=(volunteer("V01"), volunteer("V02")))


def damaged(data: bytes, dice: random.Random) -> bytes:
    """Cut, flip, double or splice bytes, once or a few times."""
    for _ in range(dice.choice((1, 1, 2, 4))):
        at = dice.randrange(len(data) + 1)
        upto = min(len(data), at + dice.choice((0, 1, 3, 40)))
        what = dice.randrange(4)
        if what == 0:
            data = data[:at]
        elif what == 1:
            data = data[:at] + bytes(byte ^ (1 << dice.randrange(8)) for byte in data[at:upto]) + data[upto:]
        elif what == 2:
            data = data[:at] + data[at:upto] * dice.choice((2, 30)) + data[upto:]
        else:
            data = data[:at] + dice.choice(SPLICES) + data[upto:]
    return data


def judge(path: Path, choices: Choices) -> None:
    """Read a file as an import does; only faults with words, or rows, may come of it."""
    (source,) = read_sources([path], {path: choices}).sources
    assert (source.read is None) == bool(source.faults)
    understood = understand(
        Held(season(volunteers=(volunteer("V01"), volunteer("V02")))), read_sources([path], {path: choices})
    )
    for fault in understood.faults:
        assert fault.source
        assert fault.expected
        assert fault.found
        assert fault.todo
        assert len(str(fault)) < 3000
    for offer in source.understood.offers:
        assert offer.choices != choices
        read_sources([path], {path: offer.choices})


def workbook() -> bytes:
    made = openpyxl.Workbook()
    sheet = made.active
    assert sheet is not None
    rows: tuple[tuple[str | float | None, ...], ...] = (
        ("Route", "Stop", "Lat", "Lon", "Notes"), ("R01", 1, 51.5, -1.25, "gate"), ("R01", 2, "=51+0.6", -1.25, None),
    )  # fmt: skip
    for row in rows:
        sheet.append(row)
    made.create_sheet("B").append(("route", "name"))
    made.save(out := io.BytesIO())
    return out.getvalue()


BOOK = workbook()


def damaged_book(dice: random.Random) -> bytes:
    """Damage a workbook as a file, or one of its parts inside a sound archive."""
    if dice.random() < 0.3:
        return damaged(BOOK, dice)
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(BOOK)) as before, zipfile.ZipFile(out, "w") as after:
        names = before.namelist()
        hit = dice.choice(names)
        for name in names:
            data = before.read(name)
            after.writestr(name, damaged(data, dice) if name == hit else data)
    return out.getvalue()


def run_tables(folder: Path, cases: int, seed: int) -> None:
    for case in range(cases):
        dice = random.Random(seed + case)
        name = dice.choice(sorted(TABLES))
        judge(write(folder / name, damaged(TABLES[name], dice)), dice.choice(CHOICES))


def run_books(folder: Path, cases: int, seed: int) -> None:
    for case in range(cases):
        dice = random.Random(seed + case)
        judge(write(folder / "book.xlsx", damaged_book(dice)), dice.choice(CHOICES))


def test_that_damaged_tables_are_read_or_refused(tmp_path: Path) -> None:
    run_tables(tmp_path, 25, seed=1)


def test_that_damaged_workbooks_are_read_or_refused(tmp_path: Path) -> None:
    run_books(tmp_path, 8, seed=2)


@pytest.mark.fuzz
@pytest.mark.timeout(3600)
def test_that_eight_thousand_damaged_tables_are_read_or_refused(tmp_path: Path) -> None:
    tracemalloc.start()
    run_tables(tmp_path, 8_000, seed=1_000)
    assert tracemalloc.get_traced_memory()[1] < 200 * 2**20
    tracemalloc.stop()


@pytest.mark.fuzz
@pytest.mark.timeout(3600)
def test_that_two_thousand_damaged_workbooks_are_read_or_refused(tmp_path: Path) -> None:
    run_books(tmp_path, 2_000, seed=20_000)


CELLS = ("51.5", "-1,25", "30N", "R01", "", "1", "51 30 N", "567890", "=A1", '"', "5700000")
HEADINGS = ("Lat", "lon", "x", "Y", "Zone", "UTM", "Easting (UTM 30S)", "Northing", "name", "No", "code", "E")
CELL = st.one_of(st.text(max_size=12), st.sampled_from(CELLS))
HEADING = st.one_of(st.text(max_size=8), st.sampled_from(HEADINGS))


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(HEADING, min_size=1, max_size=6),
    st.lists(st.lists(CELL, max_size=7), max_size=4),
    st.sampled_from([",", ";", "\t"]),
    st.sampled_from(CHOICES),
)
def test_that_any_table_of_any_cells_is_read_or_refused(
    tmp_path: Path, header: list[str], rows: list[list[str]], delimiter: str, choices: Choices
) -> None:
    lines = "\n".join(delimiter.join(row) for row in [header, *rows])
    path = write(tmp_path / "any.csv", lines.encode("utf-8", "surrogatepass") or b"x")
    judge(path, choices)
