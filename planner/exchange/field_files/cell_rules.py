"""What the cells of a fill-in workbook allow, work out and colour."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Literal, TypeAlias

from planner.exchange.field_files.form import ANIMALS_MOST, CLASS, Column, FieldForm, FieldTable, Holds

if TYPE_CHECKING:
    from openpyxl.worksheet.datavalidation import DataValidation
    from openpyxl.worksheet.worksheet import Worksheet

GREEN, RED, AMBER = "C9E7CB", "F6C9C4", "FFE3A3"
LINE = "1F2A44"
_LONGEST_LIST = 255
"""Letters of a list that a cell may choose from: ECMA-376 bounds the text of a formula of data validation so."""
_MOST_KM = 5000
_Kind: TypeAlias = Literal["whole", "decimal", "date", "time"]


def add_rules(sheet: Worksheet, table: FieldTable, form: FieldForm, first_row: int) -> None:
    """Give the columns of a table their lists and bounds, and the habitat sheets their sums and colours.

    Args:
        sheet: the sheet that holds the table.
        table: the table.
        form: what the season has filled in.
        first_row: of the rows below the headings.
    """
    last_row = first_row + len(table.rows) + table.spare_rows - 1
    if last_row < first_row:
        return
    letters = {column.key: _letter(at) for at, column in enumerate(table.columns, start=1)}
    for column in table.columns:
        made = _validation(column, form)
        if made is not None:
            letter = letters[column.key]
            made.add(f"{letter}{first_row}:{letter}{last_row}")
            sheet.add_data_validation(made)
    _part_visits(sheet, letters, (first_row, last_row))
    classes = [letter for key, letter in letters.items() if key.startswith(CLASS)]
    if classes and form.habitat is not None:
        _sums(sheet, letters, (classes[0], classes[-1]), range(first_row, last_row + 1))
        _colours(sheet, letters, form, (first_row, last_row))


def _letter(at: int) -> str:
    from openpyxl.utils import get_column_letter  # noqa: PLC0415 - openpyxl takes 0.2 s, for those alone who write one

    return get_column_letter(at)


def _validation(column: Column, form: FieldForm) -> DataValidation | None:
    """Return what a cell of a column may hold; None where it may hold anything."""
    from openpyxl.worksheet.datavalidation import DataValidation  # noqa: PLC0415 - as above

    bounds: dict[Holds, tuple[_Kind, str, str, str]] = {
        Holds.SHARE: ("whole", "0", "100", "a whole percentage from 0 to 100"),
        Holds.ANIMALS: ("whole", "0", str(ANIMALS_MOST), f"a whole number from 0 to {ANIMALS_MOST}"),
        Holds.FIGURE: ("decimal", "0", str(_MOST_KM), f"a number from 0 to {_MOST_KM}"),
        Holds.TIME: ("time", "0", "0.999988425925926", "a time by the 24-hour clock, such as 21:40 or 00:12"),
        Holds.DATE: ("date", _day(form.dates.first), _day(form.dates.last), f"a date of the season, {form.dates}"),
        Holds.PERCENT: ("whole", "0", "100", "a whole percentage from 0 to 100"),
    }
    listed = ",".join(column.words)
    if column.words and len(listed) <= _LONGEST_LIST:
        wanted = f"one of {', '.join(column.words)}"
        made = DataValidation(type="list", formula1=f'"{listed}"', allow_blank=True)
    elif column.holds in bounds:
        kind, least, most, wanted = bounds[column.holds]
        made = DataValidation(type=kind, operator="between", formula1=least, formula2=most, allow_blank=True)
    elif column.hint:
        made, wanted = DataValidation(type=None, allow_blank=True), ""
    else:
        return None
    made.showErrorMessage, made.errorTitle = bool(wanted), "That does not fit"
    made.error = f"Write {wanted}."[:_LONGEST_LIST] if wanted else None
    if column.hint:
        made.showInputMessage, made.prompt = True, column.hint[:_LONGEST_LIST]
        made.promptTitle = column.heading.replace("\n", " ")[:32]
    return made


def _day(date: dt.date) -> str:
    return f"DATE({date.year},{date.month},{date.day})"


def _part_visits(sheet: Worksheet, letters: dict[str, str], rows: tuple[int, int]) -> None:
    """Draw a line above the first row of each visit."""
    from openpyxl.formatting.rule import Rule  # noqa: PLC0415 - as above
    from openpyxl.styles import Border, Side  # noqa: PLC0415 - as above
    from openpyxl.styles.differential import DifferentialStyle  # noqa: PLC0415 - as above

    first, last = rows
    route, visit = letters["route"], letters["visit"]
    formula = f"OR(${route}{first}<>${route}{first - 1},${visit}{first}<>${visit}{first - 1})"
    look = DifferentialStyle(border=Border(top=Side(style="thin", color=LINE)))
    area = f"A{first}:{_letter(len(letters))}{last}"
    sheet.conditional_formatting.add(area, Rule(type="expression", dxf=look, formula=[formula]))


def _sums(sheet: Worksheet, letters: dict[str, str], classes: tuple[str, str], rows: range) -> None:
    for row in rows:
        cells = f"{classes[0]}{row}:{classes[1]}{row}"
        sheet[f"{letters['sum']}{row}"] = f'=IF(COUNT({cells})=0,"",SUM({cells}))'
        sheet[f"{letters['rest']}{row}"] = f'=IF(COUNT({cells})=0,"",100-SUM({cells}))'


def _colours(sheet: Worksheet, letters: dict[str, str], form: FieldForm, rows: tuple[int, int]) -> None:
    from openpyxl.formatting.rule import Rule  # noqa: PLC0415 - as above
    from openpyxl.styles import Font, PatternFill  # noqa: PLC0415 - as above
    from openpyxl.styles.differential import DifferentialStyle  # noqa: PLC0415 - as above

    assert form.habitat is not None, "only habitat sheets are coloured"
    first, last = rows
    total, rest = letters["sum"], letters["rest"]
    both = f"{total}{first}:{rest}{last}"

    def rule(formula: str, colour: str, *, bold: bool = False) -> Rule:
        look = DifferentialStyle(font=Font(bold=True) if bold else None, fill=PatternFill(bgColor=colour))
        return Rule(type="expression", dxf=look, formula=[formula], stopIfTrue=True)

    sheet.conditional_formatting.add(both, rule(f"${total}{first}=100", GREEN, bold=True))
    sheet.conditional_formatting.add(both, rule(f"ISNUMBER(${total}{first})", RED, bold=True))
    step = form.habitat.step_percent
    for one in form.habitat.classes:
        letter = letters[f"{CLASS}{one.code}"]
        cell, whole = f"{letter}{first}", f"{letter}{first}:{letter}{last}"
        wrong = f'AND({cell}<>"",OR(NOT(ISNUMBER({cell})),IF(ISNUMBER({cell}),MOD({cell},{step})<>0,FALSE)))'
        sheet.conditional_formatting.add(whole, rule(wrong, RED))
        if one.needs_note:
            note = letters["note"]
            lacking = f'AND(ISNUMBER(${letter}{first}),${letter}{first}>0,${note}{first}="")'
            sheet.conditional_formatting.add(f"{note}{first}:{note}{last}", rule(lacking, AMBER))
