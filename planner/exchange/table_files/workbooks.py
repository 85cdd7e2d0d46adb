"""The sheets of a workbook (XLSX), read without trusting the file: values alone, no formula is ever worked out."""

from __future__ import annotations

import datetime as dt
import math
import warnings
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, TypeAlias

from planner.domain.errors import Fault, InputError
from planner.exchange.faults import MOST_FAULTS, refused
from planner.exchange.source_text import opened
from planner.exchange.table_files.grids import HEADER_WITHIN, MOST_ROWS, Grid, GridRow, too_many_rows
from planner.exchange.table_files.merged_ranges import MergedRanges, ranges_by_sheet
from planner.exchange.table_files.workbook_parts import AGAIN, BROKEN, WORKBOOK, Looked, look_over

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.cell.read_only import EmptyCell, ReadOnlyCell

MOST_SHEETS = 256
"""Each takes a moment to look into."""
_MOST_COLUMNS = 256
_MARK = "xl/workbook.xml"
_DECIMALS = 9
"""Kept of a number: a tenth of a millimetre in degrees; further ones are left over from binary arithmetic."""

MOST_CELLS = 2_000_000
"""Of all sheets, empty ones included, which a row of one far cell is padded with."""

_Cell: TypeAlias = "ReadOnlyCell | EmptyCell"
_Cells: TypeAlias = "tuple[_Cell, ...]"


@dataclass(frozen=True, slots=True)
class _Reading:
    """What is read, and how."""

    path: Path
    most_rows: int
    """Of each sheet."""
    as_text: bool
    """Whether a formula without a value becomes its own text."""


@dataclass(slots=True)
class _Room:
    """How many cells of a workbook may still be read; sheets may share one part, which is then read for each."""

    cells: int = MOST_CELLS

    def take(self, cells: int, path: Path, where: str) -> None:
        """Take cells; raises InputError where too few are left."""
        self.cells -= cells
        if self.cells < 0:
            expected = f"at most {MOST_CELLS:,} cells, empty ones included"
            raise refused(path, where, expected, "more", "Cut it down to the routes of this season.")


def is_workbook(path: Path) -> bool:
    """Whether a file is a zip archive that holds a workbook; never raises for a broken one, and opens no pipe."""
    if not path.is_file():
        return False
    try:
        with zipfile.ZipFile(path) as archive:
            return _MARK in archive.namelist()
    except (*BROKEN, OSError):
        return False


def workbook_grids(path: Path, *, sheet: str = "", begun: bool = False, as_text: bool = False) -> tuple[Grid, ...]:
    """Return the sheets of a workbook that hold anything.

    Numbers become text without an exponent, at most 9 decimals; dates become ISO dates; a formula counts with the
    value that was kept for it when the workbook was saved, and a cell without such a value is a fault.

    Args:
        path: the workbook.
        sheet: the one to read, even where it is empty; without a name all that hold anything.
        begun: the first rows of each alone, in which the header stands.
        as_text: a formula without a value is no fault, and becomes its own text; so does an error. Rows know of
            merged cells.

    Raises:
        InputError: it has no sheet of that name, is broken, cut off, encrypted, too large once unpacked, or a part of
            it declares a DOCTYPE.
    """
    with opened(path, WORKBOOK) as file:
        looked = look_over(path, file)
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")  # of parts that are not read here, such as drop-down lists
                reading = _Reading(path, HEADER_WITHIN if begun else MOST_ROWS + 1, as_text)
                return tuple(_grids(reading, (file, looked), sheet))
        except InputError:
            raise
        except Exception as error:
            # A broken part leads the library to raise whatever comes of it.
            raise refused(path, "", WORKBOOK, f"a broken one ({type(error).__name__}: {error})"[:200], AGAIN) from error


def _grids(reading: _Reading, source: tuple[BinaryIO, Looked], wanted: str) -> Iterator[Grid]:
    from openpyxl import load_workbook  # noqa: PLC0415 - takes 0.2 s, which only those pay who have a workbook

    path = reading.path
    file, looked = source
    values = load_workbook(file, read_only=True, data_only=True, keep_links=False)
    formulas = load_workbook(file, read_only=True, keep_links=False) if looked.formulas else values
    merged = ranges_by_sheet(file, looked.merged) if reading.as_text else {}
    names, room = _sheets(values), _Room()
    if len(names) > MOST_SHEETS:
        todo = "Save the sheets of this season's routes as a workbook of their own."
        raise refused(path, "", f"{WORKBOOK} of at most {MOST_SHEETS} sheets", str(len(names)), todo)
    if wanted and wanted not in names:
        raise refused(path, "", f"the sheet {wanted!r}", f"the sheets {', '.join(map(repr, names))}", "Choose one.")
    for name in names:
        if wanted in {"", name}:
            grid = _grid(reading, name, (values, formulas), room)
            if grid.rows or wanted:
                yield _with_merged(grid, MergedRanges(path, name, merged.get(name, ())))


def _sheets(book: Workbook) -> list[str]:
    """Return the names of sheets with cells: charts have none."""
    return [sheet.title for sheet in book.worksheets]


def _grid(reading: _Reading, name: str, books: tuple[Workbook, Workbook], room: _Room) -> Grid:
    path = reading.path
    rows: list[GridRow] = []
    faults: list[Fault] = []
    formulas = 0
    for number, pair in enumerate(_both(name, books), start=1):
        room.take(len(pair[0]), path, f"sheet {name!r}, row {number}")
        if number > MOST_ROWS:
            faults.append(too_many_rows(str(path), f"sheet {name!r}"))
            break
        pair = pair[0][:_MOST_COLUMNS], pair[1][:_MOST_COLUMNS]  # noqa: PLW2901 - what stands farther is no table
        row = _row(number, pair if reading.as_text else (pair[0], pair[0]))
        if row.cells:
            rows.append(row)
        formulas += sum(cell.data_type == "f" for cell in pair[1])
        faults += () if reading.as_text else _valueless(path, number, pair)
        if len(rows) >= reading.most_rows or len(faults) > MOST_FAULTS:
            break
    return Grid(str(path), tuple(rows), "", name, tuple(faults), formulas)


def _with_merged(grid: Grid, ranges: MergedRanges) -> Grid:
    """Return a sheet whose rows know of the merged cells that reach into them."""
    if not ranges:
        return grid
    rows = (replace(row, merged=ranges.over(row)) for row in grid.rows)
    return replace(grid, rows=tuple(rows))


def _both(name: str, books: tuple[Workbook, Workbook]) -> Iterator[tuple[_Cells, _Cells]]:
    """Yield each row twice: with the values that were kept, and with the formulas that made them."""
    for book in books:
        book[name].reset_dimensions()  # some programs write a size that is not true
    rows = (book[name].iter_rows() for book in (books if books[0] is not books[1] else books[:1]))
    for pair in zip(*rows, strict=True):
        yield pair[0], pair[-1]


def _row(number: int, pair: tuple[_Cells, _Cells]) -> GridRow:
    """Return a row; where a cell has no value, what stands in the other of the pair counts: its formula."""
    cells = pair[0]
    texts = [_shown(cell, other) for cell, other in zip(*pair, strict=True)]
    while texts and not texts[-1]:
        texts.pop()
    figures = frozenset(at for at, cell in enumerate(cells) if isinstance(cell.value, int | float))
    return GridRow(f"row {number}", tuple(texts), figures)


def _shown(cell: _Cell, other: _Cell) -> str:
    if cell.value is not None:
        return _text(cell.value, str(cell.number_format or ""))
    return "" if other.value is None else str(getattr(other.value, "text", other.value)).strip()


def _valueless(path: Path, number: int, pair: tuple[_Cells, _Cells]) -> Iterator[Fault]:
    from openpyxl.utils import get_column_letter  # noqa: PLC0415 - as above

    for at, (cell, formula) in enumerate(zip(*pair, strict=True), start=1):
        where = f"row {number}, cell {get_column_letter(at)}{number}"
        if cell.data_type == "e":
            yield Fault(str(path), where, "a value", f"the error {cell.value}", "Mend the formula in the workbook.")
        elif formula.data_type == "f" and cell.value is None:
            todo = "Open the workbook in a spreadsheet and save it, or write the value in place of the formula."
            yield Fault(str(path), where, "a value", "a formula whose value was never kept", todo)


def _text(value: object, number_format: str) -> str:
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, int | float):
        return _number(value * 100, "%") if "%" in number_format else _number(value, "")
    if isinstance(value, dt.datetime):
        return value.date().isoformat() if value.time() == dt.time() else value.isoformat(" ")
    return value.isoformat() if isinstance(value, dt.date | dt.time) else str(value).strip()


def _number(value: float, unit: str) -> str:
    if not math.isfinite(value):
        return str(value)
    text = f"{value:.{_DECIMALS}f}".rstrip("0").rstrip(".")
    return ("0" if text == "-0" else text) + unit
