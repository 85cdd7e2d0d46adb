"""The sheets of a workbook (XLSX), read without trusting the file: values alone, no formula is ever worked out."""

from __future__ import annotations

import datetime as dt
import math
import warnings
import zipfile
import zlib
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, TypeAlias

from planner.domain.errors import Fault, InputError
from planner.exchange.faults import MOST_FAULTS, refused
from planner.exchange.grids import HEADER_WITHIN, MOST_ROWS, Grid, GridRow, too_many_rows
from planner.exchange.source_text import MOST_BYTES, opened

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.cell.read_only import EmptyCell, ReadOnlyCell

MOST_UNPACKED_BYTES = 256 * 1024 * 1024
"""What all parts of a workbook may come to; 100,000 rows of points take about 30 MB."""
MOST_PARTS = 2_000
_MOST_COLUMNS = 256
_WANTED = "a workbook (XLSX)"
_AGAIN = "Save it again, or save the sheet as CSV."
_MARK = "xl/workbook.xml"
_DOCTYPE = "<!DOCTYPE"
_FORMULAS = ("<f>", "<f ", "<f/", ":f>", ":f ")
_CHUNK_BYTES = 1 << 20
_DECIMALS = 9
"""Kept of a number: a tenth of a millimetre in degrees; further ones are left over from binary arithmetic."""

_BROKEN = (zipfile.BadZipFile, zlib.error, ValueError, NotImplementedError)
_MOST_CELLS = 5_000_000
"""Empty ones included, which a row of one far cell is padded with."""

_Cell: TypeAlias = "ReadOnlyCell | EmptyCell"
_Cells: TypeAlias = "tuple[_Cell, ...]"


def is_workbook(path: Path) -> bool:
    """Whether a file is a zip archive that holds a workbook; never raises for a broken one."""
    try:
        with zipfile.ZipFile(path) as archive:
            return _MARK in archive.namelist()
    except (*_BROKEN, OSError):
        return False


def workbook_grids(path: Path, *, sheet: str = "", begun: bool = False) -> tuple[Grid, ...]:
    """Return the sheets of a workbook that hold anything.

    Numbers become text without an exponent, at most 9 decimals; dates become ISO dates; a formula counts with the
    value that was kept for it when the workbook was saved, and a cell without such a value is a fault.

    Args:
        path: the workbook.
        sheet: the one to read, even where it is empty; without a name all that hold anything.
        begun: the first rows of each alone, in which the header stands.

    Raises:
        InputError: it has no sheet of that name, is broken, cut off, encrypted, too large once unpacked, or a part of
            it declares a DOCTYPE.
    """
    with opened(path, _WANTED) as file:
        _look_over(path, file)
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")  # of parts that are not read here, such as drop-down lists
                return tuple(_grids(path, file, sheet, HEADER_WITHIN if begun else MOST_ROWS + 1))
        except InputError:
            raise
        except Exception as error:
            # A broken part leads the library to raise whatever comes of it.
            raise refused(path, "", _WANTED, f"a broken one ({type(error).__name__}: {error})"[:200], _AGAIN) from error


def _look_over(path: Path, file: BinaryIO) -> None:
    """Refuse what would swell, or would send the parser elsewhere; sizes are those declared, which unpacking keeps."""
    try:
        with zipfile.ZipFile(file) as archive:
            parts = archive.infolist()
            size = sum(part.file_size for part in parts)
            if len(parts) > MOST_PARTS or size > MOST_UNPACKED_BYTES or _packed(parts) > MOST_BYTES:
                expected = f"{_WANTED} of at most {MOST_UNPACKED_BYTES >> 20} MB unpacked"
                found = f"{size / 2**20:,.0f} MB in {len(parts)} parts"
                raise refused(path, "", expected, found, "Cut it down to the routes of this season.")
            for part in parts:
                if part.filename.endswith((".xml", ".rels")) and _holds(archive, part, (_DOCTYPE,)):
                    todo = "Do not trust this file; save it again."
                    raise refused(path, part.filename, "XML without a DOCTYPE", "a DOCTYPE", todo)
    except (*_BROKEN, RuntimeError, OSError, EOFError) as error:
        raise refused(path, "", _WANTED, f"one that cannot be unpacked: {error}", _AGAIN) from error
    file.seek(0)


def _packed(parts: Sequence[zipfile.ZipInfo]) -> int:
    return sum(part.compress_size for part in parts)


def _has_formulas(file: BinaryIO) -> bool:
    """Whether any part may hold the element <f>: without one, the formulas need not be read beside the values."""
    with zipfile.ZipFile(file) as archive:
        return any(_holds(archive, part, _FORMULAS) for part in archive.infolist() if part.filename.endswith(".xml"))


def _holds(archive: zipfile.ZipFile, part: zipfile.ZipInfo, marks: Sequence[str]) -> bool:
    """Look through a part chunk by chunk for marks, in the encodings that XML parsers take without being told."""
    wanted = [mark.encode(encoding) for mark in marks for encoding in ("utf-8", "utf-16-le", "utf-16-be")]
    before = b""
    with archive.open(part) as stream:
        while chunk := stream.read(_CHUNK_BYTES):
            seen = before + chunk
            if any(mark in seen for mark in wanted):
                return True
            before = chunk[-max(map(len, wanted)) :]
    return False


def _grids(path: Path, file: BinaryIO, wanted: str, most_rows: int) -> Iterator[Grid]:
    from openpyxl import load_workbook  # noqa: PLC0415 - takes 0.2 s, which only those pay who have a workbook

    values = load_workbook(file, read_only=True, data_only=True, keep_links=False)
    formulas = load_workbook(file, read_only=True, keep_links=False) if _has_formulas(file) else values
    names = _sheets(values)
    if wanted and wanted not in names:
        raise refused(path, "", f"the sheet {wanted!r}", f"the sheets {', '.join(map(repr, names))}", "Choose one.")
    for name in names:
        if wanted in {"", name}:
            grid = _grid(path, name, (values, formulas), most_rows)
            if grid.rows or wanted:
                yield grid


def _sheets(book: Workbook) -> list[str]:
    """Return the names of sheets with cells: charts have none."""
    return [sheet.title for sheet in book.worksheets]


def _grid(path: Path, name: str, books: tuple[Workbook, Workbook], most_rows: int) -> Grid:
    rows: list[GridRow] = []
    faults: list[Fault] = []
    formulas = cells = 0
    for number, pair in enumerate(_both(name, books), start=1):
        cells += len(pair[0])
        if number > MOST_ROWS or cells > _MOST_CELLS:
            faults.append(too_many_rows(str(path), f"sheet {name!r}"))
            break
        row = _row(number, pair[0])
        if row.cells:
            rows.append(row)
        formulas += sum(cell.data_type == "f" for cell in pair[1])
        faults += _valueless(path, number, pair)
        if len(rows) >= most_rows or len(faults) > MOST_FAULTS:
            break
    return Grid(str(path), tuple(rows), "", name, tuple(faults), formulas)


def _both(name: str, books: tuple[Workbook, Workbook]) -> Iterator[tuple[_Cells, _Cells]]:
    """Yield each row twice: with the values that were kept, and with the formulas that made them."""
    for book in books:
        book[name].reset_dimensions()  # some programs write a size that is not true
    rows = (book[name].iter_rows() for book in (books if books[0] is not books[1] else books[:1]))
    for pair in zip(*rows, strict=True):
        yield pair[0][:_MOST_COLUMNS], pair[-1][:_MOST_COLUMNS]


def _row(number: int, cells: Sequence[_Cell]) -> GridRow:
    texts = [_text(cell.value, str(cell.number_format or "")) if cell.value is not None else "" for cell in cells]
    while texts and not texts[-1]:
        texts.pop()
    figures = frozenset(at for at, cell in enumerate(cells) if isinstance(cell.value, int | float))
    return GridRow(f"row {number}", tuple(texts), figures)


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
