"""Merged cells of a workbook that came back: names hold for all their rows, figures for none, and each is told."""

from __future__ import annotations

import datetime as dt
import io
import zipfile
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import openpyxl
import pytest

from planner.domain.errors import InputError
from planner.domain.field.habitat_sheet import SheetKey, Side, UnreadCell
from planner.domain.field.visit_record import RecordKey
from planner.domain.plan import VisitKey
from planner.exchange.field_files.field_season import FieldSeason
from planner.exchange.field_files.field_tables import filled_in_words
from planner.exchange.field_files.reading_back import FileSaid
from planner.exchange.field_files.workbook_out import workbook_bytes
from planner.exchange.table_files.workbooks import workbook_grids
from planner.usecases.field_files.rows import fill_in_of
from tests.unit.exchange.field_samples import (
    EVENING,
    FIRST_ROW,
    PLAN,
    SEASON,
    WHOLE,
    Typist,
    back,
    book,
    cells,
    known,
    records_of,
    sheets_of,
)
from tests.unit.exchange.samples import write

Row = Sequence[object]


@lru_cache(maxsize=1)
def gone_out() -> bytes:
    return workbook_bytes(fill_in_of(book(), "V01"))


@pytest.fixture
def typist(tmp_path: Path) -> Typist:
    """Somebody at the fill-in workbook of V01."""
    return Typist(write(tmp_path / "back.xlsx", gone_out()))


def by_hand(folder: Path, rows: Sequence[Row], *merged: str) -> Path:
    """A workbook that somebody made, with merged cells."""
    made = openpyxl.Workbook()
    sheet = made.worksheets[0]
    for row in rows:
        sheet.append(list(row))
    for area in merged:
        sheet.merge_cells(area)
    made.save(folder / "merged.xlsx")
    return folder / "merged.xlsx"


def key(point: int, visit: int = 1, observer: str = "V01") -> SheetKey:
    return SheetKey("R01", visit, point, observer)


def percents(said: FileSaid, one: SheetKey) -> dict[str, int]:
    return dict(sheets_of(said)[one].covers[0].percents)


def test_that_a_percentage_merged_over_points_is_taken_for_none_of_them_and_told_in_each(typist: Typist) -> None:
    for row in range(FIRST_ROW, FIRST_ROW + 4):
        typist.type(row, WHOLE)
    area = f"{typist.at(FIRST_ROW, 'class TH')}:{typist.at(FIRST_ROW + 2, 'class TH')}"
    typist.sheet.merge_cells(area)
    said = back(typist.save())
    assert cells(said.bad) == [("Habitat", typist.at(row, "class TH"), "60") for row in range(4, 7)]
    assert all(f"{area} is one merged cell" in cell.expected for cell in said.bad)
    assert [cell.subject for cell in said.bad] == [f"R01 visit 1 point {point}" for point in (1, 2, 3)]
    for point in (1, 2, 3):
        assert percents(said, key(point)) == {"SH": 40}
        assert sheets_of(said)[key(point)].unread == (UnreadCell("TH", "60"),)
    assert percents(said, key(4)) == {"TH": 60, "SH": 40}


def test_that_rows_nobody_wrote_into_but_for_a_merged_figure_are_kept_as_drafts(typist: Typist) -> None:
    typist.type(FIRST_ROW, {"class TH": 100})
    typist.sheet.merge_cells(f"{typist.at(FIRST_ROW, 'class TH')}:{typist.at(FIRST_ROW + 1, 'class TH')}")
    said = back(typist.save())
    assert {one.point for one in sheets_of(said)} == {1, 2}
    assert len(said.bad) == 2


def test_that_a_figure_merged_over_two_classes_is_taken_for_neither(typist: Typist) -> None:
    typist.type(FIRST_ROW, {**WHOLE, "class TH": 100, "class SH": None})
    first, second = sorted((typist.column("class TH"), typist.column("class SH")))
    typist.sheet.cell(FIRST_ROW, first).value = 100
    begins, ends = (typist.sheet.cell(FIRST_ROW, column).coordinate for column in (first, second))
    typist.sheet.merge_cells(f"{begins}:{ends}")
    said = back(typist.save())
    assert [cell.cell for cell in said.bad] == [begins]
    assert "each column" in said.bad[0].expected
    assert percents(said, key(1)) == {}


def test_that_what_lies_hidden_below_a_merged_cell_is_kept_with_its_own_row(tmp_path: Path) -> None:
    path = by_hand(tmp_path, [["route", "visit", "point", "TH", "SH"], ["R01", 1, 1, 60, 40], ["R01", 1, 2, 55, 45]])
    # Some programs leave what the cells below held: openpyxl takes it away, so the range is written in by hand.
    out = io.BytesIO()
    with zipfile.ZipFile(path) as read, zipfile.ZipFile(out, "w") as made:
        for name in read.namelist():
            merge = b'</sheetData><mergeCells count="1"><mergeCell ref="D2:D3"/></mergeCells>'
            made.writestr(name, read.read(name).replace(b"</sheetData>", merge))
    path.write_bytes(out.getvalue())
    said = back(path)
    assert [cell.stood for cell in said.bad] == ["60", "55"]
    assert sheets_of(said)[key(2)].unread == (UnreadCell("TH", "55"),)


def test_that_observer_and_date_merged_over_rows_hold_for_each_and_it_is_said(tmp_path: Path) -> None:
    head = ["route", "visit", "point", "date", "observer", "TH", "SH"]
    rows: list[Row] = [["R01", 1, 1, dt.date(2026, 5, 21), "V02", 60, 40], ["R01", 1, 2, None, None, 50, 50]]
    said = back(by_hand(tmp_path, [head, *rows], "D2:D3", "E2:E3"))
    assert said.bad == ()
    assert [(one.point, one.observer) for one in sheets_of(said)] == [(1, "V02"), (2, "V02")]
    assert {sheet.date for sheet in sheets_of(said).values()} == {dt.date(2026, 5, 21)}
    assert "sheet 'Sheet': E2:E3 is one merged cell; 'V02' was taken for each of its rows." in said.notes[1]


def test_that_a_note_merged_over_points_goes_to_each_and_one_over_columns_stays_where_it_begins(tmp_path: Path) -> None:
    head = ["route", "visit", "point", "TH", "SH", "note", "species"]
    rows: list[Row] = [
        ["R01", 1, 1, 60, 40, "burnt in March"],
        ["R01", 1, 2, 60, 40],
        ["R01", 1, 3, 60, 40, "a long remark"],
        ["R01", 1, 4, 60, 40, None, "a curlew"],
    ]
    said = back(by_hand(tmp_path, [head, *rows], "F2:F3", "F4:G4"))
    sheets = sheets_of(said)
    assert [sheets[key(point)].note for point in (1, 2, 3)] == ["burnt in March", "burnt in March", "a long remark"]
    assert [sheets[key(point)].species for point in (1, 2, 3, 4)] == ["", "", "", "a curlew"]
    assert said.bad == ()
    assert len(said.notes) == 1


def test_that_other_species_merged_over_points_are_not_made_into_more_of_them(tmp_path: Path) -> None:
    head = ["route", "visit", "point", "TH", "SH", "species"]
    said = back(by_hand(tmp_path, [head, ["R01", 1, 1, 60, 40, "a curlew"], ["R01", 1, 2, 60, 40]], "F2:F3"))
    assert [cell.stood for cell in said.bad] == ["a curlew"] * 2
    assert {sheet.species for sheet in sheets_of(said).values()} == {""}
    assert {sheet.unread for sheet in sheets_of(said).values()} == {(UnreadCell("species", "a curlew"),)}


def test_that_a_point_merged_over_rows_is_told_and_over_its_two_sides_is_that_point(tmp_path: Path) -> None:
    head: Row = ["route", "visit", "point", "TH", "SH"]
    said = back(by_hand(tmp_path, [head, ["R01", 1, 1, 60, 40], ["R01", 1, None, 50, 50]], "C2:C3"))
    assert [one.point for one in sheets_of(said)] == [1]
    assert [cell.cell for cell in said.bad] == ["C3"]
    assert "C2:C3 is one merged cell" in said.bad[0].expected
    assert "TH 50" in said.bad[0].stood

    sided = sided_season()
    rows: list[Row] = [["R01", 1, 1, "left", 60, 40], ["R01", 1, None, "right", 50, 50]]
    two = back(by_hand(tmp_path, [["route", "visit", "point", "side", "TH", "SH"], *rows], "C2:C3"), sided)
    assert two.bad == ()
    (sheet,) = sheets_of(two, sided).values()
    assert [(cover.side, dict(cover.percents)["TH"]) for cover in sheet.covers] == [(Side.LEFT, 60), (Side.RIGHT, 50)]


def test_that_a_figure_merged_over_the_two_sides_of_one_point_is_that_points(tmp_path: Path) -> None:
    sided = sided_season()
    head: Row = ["route", "visit", "point", "side", "TH", "SH", "grazed", "livestock"]
    rows: list[Row] = [
        ["R01", 1, 1, "left", 60, 40, 20, 3],
        ["R01", 1, 1, "right", 50, 50, None, None],
        ["R01", 1, 2, "left", 60, 40, 10, None],
        ["R01", 1, 2, "right", 50, 50, 10, None],
    ]
    said = back(by_hand(tmp_path, [head, *rows], "G2:G3", "H2:H5"), sided)
    first, second = sheets_of(said, sided).values()
    assert (first.grazed_percent, second.grazed_percent) == (20, 10)
    assert [cell.cell for cell in said.bad] == ["H2", "H3", "H4", "H5"], "animals merged over two points are of neither"
    assert first.unread == (UnreadCell("livestock", "3"),)
    classes = back(by_hand(tmp_path, [head, *rows[:2]], "E2:E3"), sided)
    assert [cell.cell for cell in classes.bad] == ["E2", "E3"], "each side has its own classes"


def sided_season() -> FieldSeason:
    assert SEASON.protocol.habitat is not None
    rule = replace(SEASON.protocol.habitat, sides_of_road=True)
    return known(replace(SEASON, protocol=replace(SEASON.protocol, habitat=rule)))


def test_that_headings_over_two_rows_are_read_together_and_their_second_row_is_no_row_of_figures(
    tmp_path: Path,
) -> None:
    upper: Row = ["route", "visit", "point", "cover in percent", None, "grazed"]
    lower: Row = [None, None, None, "TH", "SH", "share"]
    rows: list[Row] = [upper, lower, ["R01", 1, 1, 60, 40, 20], ["R01", 1, 2, 50, 50, 10]]
    path = by_hand(tmp_path, rows, "A1:A2", "B1:B2", "C1:C2", "D1:E1")
    assert "route, visit, point" in filled_in_words(workbook_grids(path, begun=True, as_text=True)[0])
    said = back(path)
    assert {one.point: percents(said, one) for one in sheets_of(said)} == {
        1: {"TH": 60, "SH": 40},
        2: {"TH": 50, "SH": 50},
    }
    assert [cell.stood for cell in said.bad] == ["share"]


def test_that_a_line_of_units_below_merged_headings_is_part_of_them(tmp_path: Path) -> None:
    rows: list[Row] = [["route", "visit", "point", "TH", "SH"], [None, None, None, "%", "%"], ["R01", 1, 1, 60, 40]]
    said = back(by_hand(tmp_path, rows, "A1:A2", "B1:B2", "C1:C2"))
    assert said.bad == ()
    assert len(sheets_of(said)) == 1
    assert "row 2 was taken for a part of the headings" in said.notes[0]


def test_that_a_heading_over_two_columns_of_figures_is_asked_back_and_one_over_an_empty_column_is_not(
    tmp_path: Path,
) -> None:
    head: Row = ["route", "visit", "point", "TH", None, "SH"]
    said = back(by_hand(tmp_path, [head, ["R01", 1, 1, 60, 10, 30]], "D1:E1"))
    assert [cell.cell for cell in said.bad] == ["D1"]
    assert "D1:E1 is one merged cell over 2" in said.bad[0].expected
    assert sheets_of(said)[key(1)].unread == (UnreadCell("TH", "60"), UnreadCell("column 5", "10"))
    harmless = back(by_hand(tmp_path, [head, ["R01", 1, 1, 60, None, 40]], "D1:E1"))
    assert (harmless.bad, percents(harmless, key(1))) == ((), {"TH": 60, "SH": 40})


def test_that_rows_below_a_line_over_all_columns_take_nothing_from_above_it(tmp_path: Path) -> None:
    rows: list[Row] = [
        ["route", "visit", "point", "TH", "SH"],
        ["R01", 1, 1, 60, 40],
        ["the second time round"],
        [None, None, 1, 50, 50],
    ]
    said = back(by_hand(tmp_path, rows, "A3:E3"))
    assert [percents(said, one) for one in sheets_of(said)] == [{"TH": 60, "SH": 40}]
    assert {cell.cell for cell in said.bad} == {"A4", "B4"}


def test_that_times_merged_over_counts_are_told_for_each_and_kept_in_the_note(typist: Typist) -> None:
    typist.turn_to("Counts")
    for row in (FIRST_ROW, FIRST_ROW + 1):
        typist.type(row, {"began": dt.time(21, 5), "ended": dt.time(21, 12)})
    typist.sheet.merge_cells(f"{typist.at(FIRST_ROW, 'began')}:{typist.at(FIRST_ROW + 1, 'began')}")
    said = back(typist.save())
    assert [cell.cell for cell in said.bad] == [typist.at(row, "began") for row in (FIRST_ROW, FIRST_ROW + 1)]
    record = records_of(said)[RecordKey("R01", 1, EVENING)]
    assert [count.began_utc for count in record.counts] == [None, None]
    assert record.note.count("Could not be read: began at point") == 2


def test_that_a_time_home_merged_over_two_visits_is_told_for_each(typist: Typist) -> None:
    typist.turn_to("Visits")
    typist.type(FIRST_ROW, {"home": dt.time(22, 40)})
    typist.sheet.merge_cells(f"{typist.at(FIRST_ROW, 'home')}:{typist.at(FIRST_ROW + 1, 'home')}")
    said = back(typist.save())
    assert [cell.subject for cell in said.bad] == ["R01 visit 1", "R01 visit 2"]
    assert {one.visit_key for one in records_of(said)} == {VisitKey("R01", 1), VisitKey("R01", 2)}
    assert len(PLAN.of_route("R01")) == 2


def test_that_merged_cells_without_end_or_one_over_the_other_are_refused(tmp_path: Path) -> None:
    path = by_hand(tmp_path, [["route", "visit", "point", "TH", "SH"], ["R01", 1, 1, 60, 40]])

    def with_merged(*areas: str) -> Path:
        out = io.BytesIO()
        with zipfile.ZipFile(path) as read, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
            for name in read.namelist():
                marks = "".join(f'<mergeCell ref="{area}"/>' for area in areas)
                made.writestr(name, read.read(name).replace(b"</sheetData>", f"</sheetData>{marks}".encode()))
        return write(tmp_path / "hostile.xlsx", out.getvalue())

    with pytest.raises(InputError, match="at most 20,000 merged cells"):
        back(with_merged(*(f"A{row}:A{row + 1}" for row in range(1, 20_002))))
    with pytest.raises(InputError, match="do not overlap"):
        back(with_merged(*(f"D2:E{row}" for row in range(3, 400))))
    assert [cell.cell for cell in back(with_merged("A2:XFD1048576")).bad] == ["D2", "E2"]


def test_that_merged_cells_are_known_by_their_sheet_whatever_part_it_lies_in(tmp_path: Path) -> None:
    made = openpyxl.Workbook()
    for at, name in enumerate(("one", "two")):
        sheet = made.create_sheet(name, at)
        sheet["A1"], sheet["A3"] = name, "below"
    made["two"].merge_cells("A1:B3")
    made.move_sheet("two", -1)
    made.save(tmp_path / "parts.xlsx")
    grids = {grid.sheet: grid for grid in workbook_grids(tmp_path / "parts.xlsx", as_text=True)}
    assert [one.name for row in grids["two"].rows for one in row.merged] == ["A1:B3"]
    assert grids["one"].rows[0].merged == ()
    assert workbook_grids(tmp_path / "parts.xlsx")[0].rows[0].merged == ()
