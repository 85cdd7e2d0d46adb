"""The tables of one volunteer as CSV files, for those who have no spreadsheet program."""

from __future__ import annotations

import csv
import datetime as dt
import io

from planner.exchange.field_files.form import Column, FieldTable, Value
from planner.exchange.formula_text import guarded


def table_bytes(table: FieldTable) -> bytes:
    """Return one table as CSV: a line of headings, then its rows; columns that a workbook works out are left out.

    It begins with a byte order mark, by which spreadsheets know the letters to be UTF-8.
    """
    kept = [at for at, column in enumerate(table.columns) if not column.computed]
    rows = [[_text(row[at]) for at in kept] for row in table.rows]
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\r\n").writerows([[_heading(table.columns[at]) for at in kept], *rows])
    return text.getvalue().encode("utf-8-sig")


def _heading(column: Column) -> str:
    return guarded(" ".join(column.heading.split()))


def _text(value: Value) -> str:
    if value is None:
        return ""
    if isinstance(value, dt.time):
        return value.isoformat("auto" if value.second else "minutes")
    if isinstance(value, float):
        return f"{value:g}"
    return guarded(str(value)) if isinstance(value, str) else str(value)
