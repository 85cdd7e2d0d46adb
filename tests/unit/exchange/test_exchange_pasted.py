"""Lines of text as people paste them."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.geo import Place
from planner.exchange import Choices, PointRow, RoutesRead, SourceKind, pasted_rows, recognise
from planner.usecases.importing.reading_sources import PASTED, read_pasted, read_sources
from tests.unit.exchange.samples import faults_of, write

PLACE = Place(51.5, -1.25)


def rows(text: str, choices: Choices | None = None) -> tuple[PointRow, ...]:
    _, reading = pasted_rows(text, "pasted text", choices or Choices())
    assert isinstance(reading.read, RoutesRead), reading.faults
    return reading.read.points


@pytest.mark.parametrize(
    "line",
    [
        "R01 1 51.5 -1.25 by the gate",
        "R01 1 51.5, -1.25, by the gate",
        "R01-01: 51.5 -1.25 by the gate",
        "R01\t1\t51.5\t-1.25\tby the gate",
        "R01;1;51,5;-1,25;by the gate",
        "R01,1,51.5,-1.25,by the gate",
        "R01 1 51°30'N 1°15'W by the gate",
        "R01 1 51°30'00\"N, 1°15'00.0\"W by the gate",
        "R01 1 N 51.5° W 1.25° by the gate",
        "R01 point 1 1°15'W 51°30'N".replace("1°15'W 51°30'N", "51°30'N 1°15'W by the gate"),
        "R01 1 51.5N 1.25W by the gate",
        "R01 1 +51.50 −1.25 by the gate",
    ],
)
def test_that_a_line_gives_route_number_place_and_note(line: str) -> None:
    (row,) = rows(line)
    assert (row.route, row.number, row.place, row.note) == ("R01", 1, PLACE, "by the gate")
    assert row.origin.where == "line 1"


def test_that_a_table_with_headings_may_be_pasted_too() -> None:
    why, _ = pasted_rows("Route\tStop\tBreite\tLänge\nR01\t1\t51,5\t-1,25\n", "pasted text", Choices())
    assert why == "its first line heads the columns of a table of points"
    assert rows("Route\tStop\tBreite\tLänge\nR01\t1\t51,5\t-1,25\n")[0].place == PLACE


def test_that_lines_without_route_and_number_are_taken_as_a_person_says() -> None:
    text = "51.5, -1.25\n\n51.6, -1.25 lay-by\n"
    _, reading = pasted_rows(text, "pasted text", Choices())
    assert reading.read is None
    assert reading.understood.lacks == {"route"}
    taken = rows(text, Choices(route="R07", number_by_order=True))
    assert [(row.route, row.number, row.origin.where) for row in taken] == [("R07", 1, "line 1"), ("R07", 2, "line 3")]


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("R01 1 51 1", "R01 1 51 1"),
        ("R01 1 51.5 -1.25 or 51.6 -1.25", "or 51.6"),
        ("R01 1 51,5 1,25 2,5 3,5", "R01 1 51,5"),
        ("R01 1", "R01 1"),
        ("R01 1 51.5 -181.25", "'-181.25'"),
        ("R01 1 51°61'N 1°15'W", "60 or more"),
        ("R01 1 30S 567890 5700000", "may be south"),
        ("gate 51.5 -1.25", "'gate'"),
        ("R01 0 51.5 -1.25", "'R01 0'"),
    ],
)
def test_that_a_line_that_could_be_read_in_two_ways_is_told(line: str, found: str) -> None:
    _, reading = pasted_rows(f"R01 9 51.0 -1.0\n{line}\n", "pasted text", Choices())
    (fault,) = reading.faults
    assert (fault.source, fault.where) == ("pasted text", "line 2")
    assert found in fault.found


def test_that_swapped_lines_are_offered_to_be_swapped() -> None:
    text = "R01 1 151.5 -21.25\nR01 2 151.6 -21.25\n"
    _, reading = pasted_rows(text, "pasted text", Choices())
    (offer,) = reading.understood.offers
    assert [row.place for row in rows(text, offer.choices)] == [Place(-21.25, 151.5), Place(-21.25, 151.6)]


def test_that_nothing_pasted_is_refused() -> None:
    (fault,) = faults_of(pasted_rows, " \n", "pasted text", Choices())
    assert fault.found == "nothing"
    assert read_pasted("no table\n").faults


def test_that_a_file_of_such_lines_is_recognised_and_pasted_text_stands_beside_files(tmp_path: Path) -> None:
    path = write(tmp_path / "notes.txt", "R01 1 51.5 -1.25\n")
    found = recognise(path)
    assert (found.kind, found.reason) == (SourceKind.POINTS, "its first line has coordinates in it")
    both = read_sources([path], pasted="R02 1 51.6 -1.25\n").sources
    assert [(source.path, source.faults) for source in both] == [(path, ()), (PASTED, ())]


@given(
    st.floats(-90, 90).map(lambda value: f"{value:.5f}"),
    st.floats(-180, 180).map(lambda value: f"{value:.5f}"),
    st.sampled_from([" ", ", ", "\t", ";", "; "]),
    st.integers(1, 999),
)
def test_that_what_is_written_out_is_read_back(latitude: str, longitude: str, parting: str, number: int) -> None:
    (row,) = rows(f"R01{parting}{number}{parting}{latitude}{parting}{longitude}{parting}a note")
    assert (row.number, row.place, row.note) == (number, Place(float(latitude), float(longitude)), "a note")


@given(st.text(max_size=80))
def test_that_no_text_leads_to_anything_but_rows_or_faults(text: str) -> None:
    source = read_pasted(text)
    assert (source.read is None) == bool(source.faults)
