"""Sheets of workbooks: what openpyxl writes is read as it was meant, and a hostile workbook is refused unopened."""

from __future__ import annotations

import datetime as dt
import re
import zipfile
from collections.abc import Callable, Sequence
from pathlib import Path

import openpyxl
import pytest

from planner.domain.geo import Place
from planner.domain.window import PartOfDay
from planner.exchange import AvailabilityRead, ChancesRead, Choices, Reading, RoutesRead, SourceKind, recognise
from planner.exchange.table_files.grids import MOST_ROWS
from planner.exchange.table_files.workbook_parts import MOST_MARKS, MOST_OTHER_MARKS, MOST_UNPACKED_BYTES
from planner.exchange.table_files.workbooks import MOST_CELLS, MOST_SHEETS, workbook_grids
from tests.unit.exchange.samples import faults_of, write

Rows = Sequence[Sequence[object]]
SHEET = "xl/worksheets/sheet1.xml"
POINTS: list[list[object]] = [
    ["route", "point", "latitude", "longitude"],
    ["R01", 1, 50.1, -1.9],
    ["R01", 2, 50.2, -1.8],
]


def book(path: Path, **sheets: Rows) -> Path:
    made = openpyxl.Workbook()
    assert made.active is not None
    made.remove(made.active)
    for name, rows in sheets.items():
        sheet = made.create_sheet(name)
        for row in rows:
            sheet.append(list(row))
    made.save(path)
    return path


def reading(path: Path, choices: Choices | None = None) -> Reading:
    found = recognise(path, None, choices)
    assert found.importer is not None
    return found.importer.read(path, choices or Choices())


def points_of(got: Reading) -> list[tuple[str, int, Place]]:
    assert isinstance(got.read, RoutesRead), got.faults
    return [(row.route, row.number, row.place) for row in got.read.points]


def rewritten(path: Path, part: str, change: Callable[[str], str]) -> Path:
    """Change one part of a workbook, as another program or an attacker would have written it."""
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    parts[part] = change(parts[part].decode()).encode()
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in parts.items():
            archive.writestr(name, data)
    return path


def test_that_points_are_read_with_their_rows(tmp_path: Path) -> None:
    path = book(tmp_path / "p.xlsx", Points=POINTS)
    found = recognise(path)
    assert (found.kind, "sheet 'Points'" in found.reason) == (SourceKind.POINTS, True)
    got = reading(path)
    assert points_of(got) == [("R01", 1, Place(50.1, -1.9)), ("R01", 2, Place(50.2, -1.8))]
    assert isinstance(got.read, RoutesRead)
    assert got.read.points[1].origin.where == "row 3"


def test_that_numbers_keep_their_figures_and_lose_what_arithmetic_added(tmp_path: Path) -> None:
    rows: Rows = [POINTS[0], ["R01", 1.0, 0.1 + 0.2, -1.0000000000000002], ["R01", 2, 51.123456789, -0.0]]
    (grid,) = workbook_grids(book(tmp_path / "p.xlsx", A=rows))
    assert [row.cells for row in grid.rows[1:]] == [("R01", "1", "0.3", "-1"), ("R01", "2", "51.123456789", "0")]


def test_that_dates_and_percentages_are_what_the_sheet_shows(tmp_path: Path) -> None:
    dates: Rows = [
        ["volunteer", "from", "to", "parts"],
        ["V01", dt.datetime(2027, 5, 10), dt.date(2027, 5, 12), "dusk"],  # noqa: DTZ001
    ]
    got = reading(book(tmp_path / "a.xlsx", Dates=dates)).read
    assert isinstance(got, AvailabilityRead)
    assert (got.rows[0].line.dates.first, got.rows[0].line.dates.last) == (dt.date(2027, 5, 10), dt.date(2027, 5, 12))
    assert got.rows[0].line.parts == {PartOfDay.DUSK}
    path = book(tmp_path / "c.xlsx", Chances=[["half_month", "lost_percent"], ["early May", 0.35], ["late May", 30]])
    made = openpyxl.load_workbook(path)
    made["Chances"]["B2"].number_format = "0%"
    made.save(path)
    chances = reading(path).read
    assert isinstance(chances, ChancesRead)
    assert [row.chance for row in chances.rows] == [pytest.approx(0.35), pytest.approx(0.30)]


def test_that_the_first_sheet_that_can_be_read_is_read_and_the_others_are_said_and_offered(tmp_path: Path) -> None:
    readme, routes_table = [["how this was made"], ["by hand"]], [["route", "name"], ["R01", "A"]]
    path = book(tmp_path / "b.xlsx", Readme=readme, Points=POINTS, More=routes_table)
    got = reading(path)
    assert len(points_of(got)) == 2
    assert "the sheet 'Points' was read; not read: 'Readme', 'More'" in [doubt.what for doubt in got.understood.doubts]
    (more,) = [offer for offer in got.understood.offers if "'More'" in offer.words]
    assert recognise(path, None, more.choices).kind is SourceKind.ROUTES
    routes = reading(path, more.choices).read
    assert isinstance(routes, RoutesRead)
    assert [row.name for row in routes.routes] == ["A"]


def test_that_a_title_above_the_headings_is_passed_over_and_said(tmp_path: Path) -> None:
    got = reading(book(tmp_path / "t.xlsx", A=[["Spring survey"], [], *POINTS]))
    assert len(points_of(got)) == 2
    assert [(doubt.where, "left out" in doubt.what) for doubt in got.understood.doubts] == [("row 3", True)]


def test_that_a_formula_counts_with_the_value_that_was_kept_and_is_said(tmp_path: Path) -> None:
    path = book(tmp_path / "f.xlsx", A=[POINTS[0], ["R01", 1, "=50+0.1", -1.9]])
    unkept = reading(path)
    assert unkept.faults[0].where == "row 2, cell C2"
    assert "never kept" in unkept.faults[0].found
    rewritten(path, SHEET, lambda text: re.sub(r"(<f>.*?</f>)<v ?/?>(</v>)?", r"\1<v>50.1</v>", text))
    got = reading(path)
    assert points_of(got) == [("R01", 1, Place(50.1, -1.9))]
    assert any("1 cell holds a formula" in doubt.what for doubt in got.understood.doubts)


def test_that_an_error_in_a_cell_is_told_with_the_cell(tmp_path: Path) -> None:
    (fault, *_) = reading(book(tmp_path / "e.xlsx", A=[POINTS[0], ["R01", 1, "#REF!", -1.9]])).faults
    assert (fault.where, fault.found) == ("row 2, cell C2", "the error #REF!")


def test_that_a_size_that_the_sheet_lies_about_hides_nothing(tmp_path: Path) -> None:
    path = book(tmp_path / "p.xlsx", A=POINTS)
    rewritten(path, SHEET, lambda text: re.sub(r'<dimension ref="[^"]*"', '<dimension ref="A1"', text))
    assert len(points_of(reading(path))) == 2


def test_that_a_telephone_number_kept_as_a_number_is_pointed_out(tmp_path: Path) -> None:
    rows: Rows = [
        ["code", "name", "latitude", "longitude", "telephone"],
        ["V01", "Ada Example", 50.1, -1.9, 7700900001],
    ]
    doubts = reading(book(tmp_path / "v.xlsx", People=rows)).understood.doubts
    assert [(doubt.where, "lost any 0" in doubt.what) for doubt in doubts] == [("row 2", True)]


@pytest.mark.parametrize("part", ["xl/workbook.xml", SHEET, "[Content_Types].xml"])
def test_that_a_doctype_in_any_part_is_refused(tmp_path: Path, part: str) -> None:
    path = book(tmp_path / "d.xlsx", A=POINTS)
    rewritten(
        path, part, lambda text: f'<!DOCTYPE x [<!ENTITY a "b">]>{text[text.find("?>") + 2 if "?>" in text else 0 :]}'
    )
    (fault,) = faults_of(workbook_grids, path)
    assert (fault.where, fault.found) == (part, "a DOCTYPE")


def test_that_a_workbook_that_would_swell_is_refused_unopened(tmp_path: Path) -> None:
    path = book(tmp_path / "bomb.xlsx", A=POINTS)
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as archive, archive.open("xl/big.bin", "w") as part:
        for _ in range(MOST_UNPACKED_BYTES // 2**20 + 1):
            part.write(bytes(2**20))
    assert path.stat().st_size < 2**20
    (fault,) = faults_of(workbook_grids, path)
    assert "at most 256 MB unpacked" in fault.expected


def test_that_a_row_beyond_every_sheet_does_not_run_for_ever(tmp_path: Path) -> None:
    path = book(tmp_path / "far.xlsx", A=POINTS)
    rewritten(path, SHEET, lambda text: text.replace('<row r="3"', '<row r="999999999999"'))
    (fault,) = workbook_grids(path)[0].faults
    assert f"at most {MOST_ROWS:,} rows" in fault.expected


@pytest.mark.parametrize("cut", [40, 400, 2000])
def test_that_a_workbook_that_is_cut_off_is_refused(tmp_path: Path, cut: int) -> None:
    data = book(tmp_path / "p.xlsx", A=POINTS).read_bytes()
    faults_of(recognise, write(tmp_path / "cut.xlsx", data[:-cut]))
    faults_of(workbook_grids, tmp_path / "cut.xlsx")


def test_that_a_damaged_part_is_refused(tmp_path: Path) -> None:
    path = book(tmp_path / "p.xlsx", A=POINTS)
    rewritten(path, SHEET, lambda text: text.replace("</row>", "", 1))
    (fault,) = faults_of(workbook_grids, path)
    assert "a broken one" in fault.found


def test_that_a_sheet_that_is_not_there_or_empty_is_told(tmp_path: Path) -> None:
    path = book(tmp_path / "p.xlsx", Points=POINTS, Blank=[])
    (fault,) = faults_of(recognise, path, None, Choices(sheet="Pints"))
    assert (fault.expected, fault.found) == ("the sheet 'Pints'", "the sheets 'Points', 'Blank'")
    importer = recognise(path).importer
    assert importer is not None
    faults_of(importer.read, path, Choices(sheet="Pints"))
    assert importer.read(path, Choices(sheet="Blank")).faults
    (blank,) = faults_of(recognise, path, None, Choices(sheet="Blank"))
    assert blank.found == "a workbook without a table that is known here"
    faults_of(recognise, book(tmp_path / "none.xlsx", A=[], B=[]))
    assert importer.read(tmp_path / "none.xlsx", Choices()).faults


@pytest.mark.parametrize(
    ("part", "mark", "filling", "most"),
    [
        (SHEET, "<sheetData>", "<row/>", MOST_MARKS),
        ("xl/styles.xml", "<cellXfs>", "<xf/>", MOST_OTHER_MARKS),
        ("xl/workbook.xml", "<sheets>", '<sheet name="A" sheetId="1"/>', MOST_OTHER_MARKS),
    ],
)
def test_that_a_part_of_elements_without_end_is_refused_unopened(
    tmp_path: Path, part: str, mark: str, filling: str, most: int
) -> None:
    path = book(tmp_path / "marks.xlsx", A=POINTS)
    rewritten(path, part, lambda text: re.sub(rf"(?={mark[:-1]})", filling * (most + 1), text, count=1))
    (fault,) = faults_of(workbook_grids, path)
    assert (fault.where, f"at most {most:,} marks" in fault.expected) == (part, True)


@pytest.mark.parametrize("filling", ["1" * 3_000_000, '<c a="' + "b" * 3_000_000 + '"/>'])
def test_that_a_part_that_goes_on_without_elements_is_refused_unopened(tmp_path: Path, filling: str) -> None:
    path = book(tmp_path / "long.xlsx", A=POINTS)
    rewritten(path, SHEET, lambda text: text.replace("<v>", f"<v>{filling}", 1))
    (fault,) = faults_of(workbook_grids, path)
    assert fault.found == "one of a million and more"


def test_that_rows_of_far_cells_do_not_fill_the_memory(tmp_path: Path) -> None:
    path = book(tmp_path / "wide.xlsx", A=POINTS)
    far = '<row><c r="XFD1"/></row>' * 150
    rewritten(path, SHEET, lambda text: text.replace("</sheetData>", f"{far}</sheetData>"))
    (fault,) = faults_of(workbook_grids, path)
    assert f"at most {MOST_CELLS:,} cells" in fault.expected


def test_that_a_workbook_of_very_many_sheets_is_refused(tmp_path: Path) -> None:
    path = book(tmp_path / "sheets.xlsx", A=POINTS)
    more = "".join(f'<sheet name="S{n}" sheetId="{n + 9}" r:id="rId1"/>' for n in range(MOST_SHEETS))
    namespace = 'xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"'
    rewritten(
        path,
        "xl/workbook.xml",
        lambda text: text.replace("<workbook ", f"<workbook {namespace} ", 1).replace("</sheets>", f"{more}</sheets>"),
    )
    (fault,) = faults_of(workbook_grids, path)
    assert f"at most {MOST_SHEETS} sheets" in fault.expected
