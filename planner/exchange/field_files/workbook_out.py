"""The fill-in workbook of one volunteer: lists, sums and colours in its cells, what is not to be changed locked."""

from __future__ import annotations

import io
import re
import textwrap
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.exchange.field_files.cell_rules import add_rules
from planner.exchange.field_files.form import Column, FieldTable, FillIn, Holds, TableKind, Value
from planner.exchange.field_files.read_me import Line, read_me_lines
from planner.exchange.formula_text import guarded

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.cell import Cell
    from openpyxl.styles import NamedStyle
    from openpyxl.worksheet.worksheet import Worksheet

SHEET_NAMES = {TableKind.HABITAT: "Habitat", TableKind.VISITS: "Visits", TableKind.COUNTS: "Counts"}
READ_ME = "Read me"
KEY_MARK = "dimpsy "
"""Begins the first cell of the hidden row that holds the keys of the columns, before the kind of the table."""
KEY_ROW, TITLE_ROW, HEADING_ROW = 1, 2, 3
INK, PALE, LOCKED, HEAD = "1F2A44", "FFF9E8", "ECEEF3", "D5DBEA"
_FORMATS = {
    Holds.DATE: "yyyy-mm-dd",
    Holds.TIME: "hh:mm",
    Holds.PERCENT: "0",
    Holds.SHARE: "0",
    Holds.ANIMALS: "0",
    Holds.SUM: "0",
    Holds.REST: '"still "0;0" too many";"complete"',
    Holds.FIGURE: "0.0",
}
_CONTROLS = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f]")
_LINE_HEIGHT, _HEAD_LINE_HEIGHT = 15, 13.5
"""In points, of 11 and 10 point letters."""
_WRAPPED_FROM = 16
"""Columns of words that are wider wrap theirs, in letters."""


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a cell stands."""

    row: int
    column: int


def workbook_bytes(fill_in: FillIn) -> bytes:
    """Return the fill-in workbook as the bytes of an XLSX file."""
    from openpyxl import Workbook  # noqa: PLC0415 - takes 0.2 s, which only those pay who write one

    book = Workbook()
    book.properties.title = f"{fill_in.form.season}: {fill_in.volunteer}"
    book.properties.creator = "Dimpsy"
    _add_styles(book)
    first = book.worksheets[0]
    first.title = READ_ME
    _write_read_me(first, read_me_lines(fill_in))
    for table in fill_in.tables:
        _write_table(book, table, fill_in)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _write_table(book: Workbook, table: FieldTable, fill_in: FillIn) -> None:
    sheet = book.create_sheet(SHEET_NAMES[table.kind])
    keys = [f"{KEY_MARK}{table.kind.value}", *(column.key for column in table.columns[1:])]
    for at, (key, column) in enumerate(zip(keys, table.columns, strict=True), start=1):
        _put(sheet, _Place(KEY_ROW, at), key)
        _heading(_put(sheet, _Place(HEADING_ROW, at), column.heading))
    _title(_put(sheet, _Place(TITLE_ROW, 2), f"{table.kind.words.capitalize()}: {_whose(fill_in)}"))
    for number, row in enumerate(table.rows, start=HEADING_ROW + 1):
        for at, (column, value) in enumerate(zip(table.columns, row, strict=True), start=1):
            _body(_put(sheet, _Place(number, at), value), column, locked=column.holds is Holds.KEY)
    _spare_rows(sheet, table, fill_in)
    add_rules(sheet, table, fill_in.form, HEADING_ROW + 1)
    _lay_out(sheet, table, fill_in)


def _spare_rows(sheet: Worksheet, table: FieldTable, fill_in: FillIn) -> None:
    """Leave rows in which the route and the visit may be written, too: of a visit's second evening."""
    first = HEADING_ROW + 1 + len(table.rows)
    for number in range(first, first + table.spare_rows):
        for at, column in enumerate(table.columns, start=1):
            value = fill_in.form.mark if column.key == "season" else None
            _body(_put(sheet, _Place(number, at), value), column, locked=column.key == "season")


def _lay_out(sheet: Worksheet, table: FieldTable, fill_in: FillIn) -> None:
    from openpyxl.utils import get_column_letter  # noqa: PLC0415 - as above

    for at, column in enumerate(table.columns, start=1):
        sheet.column_dimensions[get_column_letter(at)].width = column.width
    sheet.column_dimensions["A"].hidden = True
    sheet.row_dimensions[KEY_ROW].hidden = True
    sheet.row_dimensions[TITLE_ROW].height = 24
    lines = max(sum(map(len, _wrapped(column))) for column in table.columns[1:])
    sheet.row_dimensions[HEADING_ROW].height = max(2, lines) * _HEAD_LINE_HEIGHT + 6
    keys = sum(column.holds is Holds.KEY for column in table.columns)
    sheet.freeze_panes = f"{get_column_letter(keys + 1)}{HEADING_ROW + 1}"
    _for_paper(sheet, _whose(fill_in))
    protection = sheet.protection
    protection.sheet = True
    protection.formatColumns = protection.formatRows = protection.formatCells = False


def _wrapped(column: Column) -> Iterable[list[str]]:
    """Return the lines that each part of a heading takes in its column."""
    return (textwrap.wrap(part, max(4, int(column.width) - 1)) or [""] for part in column.heading.split("\n"))


def _for_paper(sheet: Worksheet, whose: str) -> None:
    from openpyxl.worksheet.properties import PageSetupProperties  # noqa: PLC0415 - as above

    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = "9"  # A4
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.print_title_rows = f"{HEADING_ROW}:{HEADING_ROW}"
    footer = sheet.oddFooter
    if footer is not None and footer.left is not None and footer.right is not None:
        footer.left.text, footer.right.text = whose.replace("&", "&&"), "&A, page &P of &N"
    sheet.page_margins.left = sheet.page_margins.right = 0.4


def _whose(fill_in: FillIn) -> str:
    return f"{fill_in.form.season}, {fill_in.volunteer} {fill_in.name}".strip()


def _put(sheet: Worksheet, place: _Place, value: Value) -> Cell:
    from openpyxl.cell import Cell as OneCell  # noqa: PLC0415 - as above

    cell = sheet.cell(place.row, place.column)
    assert isinstance(cell, OneCell), "nothing is merged here"
    cell.value = guarded(_CONTROLS.sub(" ", value)) if isinstance(value, str) else value
    return cell


def _title(cell: Cell) -> None:
    from openpyxl.styles import Alignment, Font  # noqa: PLC0415 - as above

    cell.font = Font(name="Calibri", size=14, bold=True, color=INK)
    cell.alignment = Alignment(vertical="center")


def _heading(cell: Cell) -> None:
    from openpyxl.styles import Alignment, Border, Font, PatternFill, Side  # noqa: PLC0415 - as above

    cell.font = Font(name="Calibri", size=10, bold=True, color=INK)
    cell.fill = PatternFill("solid", start_color=HEAD)
    cell.alignment = Alignment(wrap_text=True, vertical="bottom", horizontal="left")
    cell.border = Border(bottom=Side(style="medium", color=INK))


def _body(cell: Cell, column: Column, *, locked: bool) -> None:
    """Give a cell its look by a style of its name: thousands of cells share a handful."""
    closed = locked or column.computed
    wrapped = column.holds is Holds.TEXT and column.width > _WRAPPED_FROM
    cell.style = f"{column.holds.value}{' locked' if closed else ''}{' wrapped' if wrapped else ''}"


def _add_styles(book: Workbook) -> None:
    for holds in Holds:
        for closed in (False, True):
            for wrapped in (False, True):
                book.add_named_style(_style(holds, closed=closed, wrapped=wrapped))


def _style(holds: Holds, *, closed: bool, wrapped: bool) -> NamedStyle:
    from openpyxl.styles import (  # noqa: PLC0415 - as above
        Alignment,
        Border,
        Font,
        NamedStyle,
        PatternFill,
        Protection,
        Side,
    )

    line = Side(style="thin", color="C4CAD8")
    across = dict.fromkeys((Holds.TEXT, Holds.WORD, Holds.KEY), "left") | dict.fromkeys(
        (Holds.DATE, Holds.TIME), "center"
    )
    return NamedStyle(
        name=f"{holds.value}{' locked' if closed else ''}{' wrapped' if wrapped else ''}",
        font=Font(name="Calibri", size=11),
        fill=PatternFill("solid", start_color=LOCKED if closed else PALE),
        border=Border(left=line, right=line, top=line, bottom=line),
        alignment=Alignment(wrap_text=wrapped, vertical="top", horizontal=across.get(holds, "right")),
        number_format=_FORMATS.get(holds, "General"),
        protection=Protection(locked=closed),
    )


def _write_read_me(sheet: Worksheet, lines: Iterable[Line]) -> None:
    from openpyxl.styles import Alignment, Font  # noqa: PLC0415 - as above

    sheet.column_dimensions["A"].width, sheet.column_dimensions["B"].width = 16, 104
    for number, line in enumerate(lines, start=1):
        if line.heading:
            _title(_put(sheet, _Place(number, 1), line.said))
            sheet.row_dimensions[number].height = 28
            continue
        about, said = _put(sheet, _Place(number, 1), line.about or None), _put(sheet, _Place(number, 2), line.said)
        about.font = Font(name="Calibri", size=11, bold=True, color=INK)
        about.alignment = Alignment(vertical="top", wrap_text=True)
        said.alignment = Alignment(vertical="top", wrap_text=True)
        sheet.row_dimensions[number].height = _LINE_HEIGHT * (1 + len(line.said) // 112) + 3
    sheet.sheet_view.showGridLines = False
    sheet.protection.sheet = True
    _for_paper(sheet, "")
    sheet.print_title_rows = None
