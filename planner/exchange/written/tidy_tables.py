"""Tables with the dictionary of their columns: CSV for people, and a data package (https://specs.frictionlessdata.io)."""

from __future__ import annotations

import csv
import datetime as dt
import io
import json
from collections.abc import Iterable, Sequence
from pathlib import Path

from planner.domain.reports.tables import Cell, Column, ColumnType, Table
from planner.exchange.formula_text import guarded
from planner.exchange.map_files.json_safe import Json
from planner.exchange.written.letters import plain

DICTIONARY = "dictionary"
PACKAGE_FILE = "datapackage.json"
PRODUCER = "Dimpsy"
"""Stands in the package, so that a folder of ours is known for one."""
_MOST_PACKAGE_BYTES = 1_000_000
GUARD_WORDS = "Text that a spreadsheet would calculate (it begins with = + - @) has an apostrophe before it."


def table_bytes(table: Table) -> bytes:
    """Return a table as CSV: UTF-8, commas, ISO dates, an empty cell where nothing is known."""
    return _csv(
        [column.name for column in table.columns],
        ([cell_text(cell, column) for cell, column in zip(row, table.columns, strict=True)] for row in table.rows),
    )


def cell_text(cell: Cell, column: Column) -> str:
    """Return a cell as it is written."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    if isinstance(cell, dt.datetime):
        return cell.isoformat().replace("+00:00", "Z")
    if isinstance(cell, dt.date):
        return f"{cell:%Y-%m}" if column.kind is ColumnType.MONTH else cell.isoformat()
    if isinstance(cell, str):
        return guarded(clean(cell))
    return repr(cell)


def clean(text: str) -> str:
    """Return text on one line, without letters that no file carries: control characters and halves of letters."""
    return "".join(letter for letter in plain(text) if letter.isprintable())


def dictionary_table(tables: Sequence[Table]) -> Table:
    """Return the dictionary of some tables: a row for each of their columns, and for its own."""
    rows = [_row(table.file, column) for table in tables for column in table.columns]
    own = [_row(f"{DICTIONARY}.csv", column) for column in _COLUMNS]
    return Table(DICTIONARY, "one column of one file", _COLUMNS, (*rows, *own))


def _row(file: str, column: Column) -> tuple[Cell, ...]:
    return (
        file,
        column.name,
        column.words,
        column.unit or None,
        column.kind.value,
        column.allowed_words,
        column.required,
        column.source,
    )


_OURS = "the program"
_COLUMNS = (
    Column("file", ColumnType.STRING, "name of the file", _OURS, required=True),
    Column(
        "field", ColumnType.STRING, "name of the column, or of the property of a map's feature", _OURS, required=True
    ),
    Column("description", ColumnType.STRING, "what it means", _OURS, required=True),
    Column("unit", ColumnType.STRING, "unit of its figures", _OURS),
    Column("type", ColumnType.STRING, "what it holds", _OURS, allowed=tuple(ColumnType), required=True),
    Column("allowed_values", ColumnType.STRING, "the only values there may be, or their range", _OURS, required=True),
    Column("required", ColumnType.BOOLEAN, "whether no cell is empty", _OURS, required=True),
    Column("source", ColumnType.STRING, "where the values come from", _OURS, required=True),
)


def package_bytes(season: str, created: dt.date, tables: Sequence[Table]) -> bytes:
    """Return the descriptor of tables in CSV as a Frictionless data package, version 1.

    Args:
        season: its name.
        created: the day of the report.
        tables: those that are written as CSV, the dictionary among them.
    """
    described: Json = {
        "profile": "tabular-data-package",
        "name": "season-report",
        "title": clean(season),
        "description": f"{GUARD_WORDS} Fields are described in {DICTIONARY}.csv too.",
        "created": f"{created.isoformat()}T00:00:00Z",
        "producer": PRODUCER,
        "resources": [_resource(table) for table in tables],
    }
    return (json.dumps(described, ensure_ascii=False, allow_nan=False, indent=1) + "\n").encode()


def is_package(path: Path) -> bool:
    """Whether a file is the descriptor of a report that this program wrote."""
    try:
        with path.open("rb") as file:
            described = json.loads(file.read(_MOST_PACKAGE_BYTES))
    except (OSError, ValueError, RecursionError):
        return False
    return isinstance(described, dict) and described.get("producer") == PRODUCER


def _resource(table: Table) -> Json:
    fields: Json = [_field(column) for column in table.columns]
    return {
        "profile": "tabular-data-resource",
        "name": table.name.replace("_", "-"),
        "path": table.file,
        "description": table.words,
        "encoding": "utf-8",
        "format": "csv",
        "mediatype": "text/csv",
        "schema": {"fields": fields, "missingValues": [""]},
    }


def _field(column: Column) -> Json:
    limits: dict[str, Json] = {}
    if column.required:
        limits["required"] = True
    if column.allowed:
        limits["enum"] = [str(value) for value in column.allowed]
    if column.least is not None:
        limits["minimum"] = column.least
    if column.most is not None:
        limits["maximum"] = column.most
    field: dict[str, Json] = {"name": column.name, "type": column.kind.value, "description": column.words}
    if column.kind is ColumnType.MOMENT:
        field["format"] = "any"
    if column.kind is ColumnType.INTEGER:
        limits = {key: int(limit) if isinstance(limit, float) else limit for key, limit in limits.items()}
    if column.unit:
        field["unit"] = column.unit
    return {**field, "constraints": limits} if limits else field


def _csv(header: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\n").writerows([header, *rows])
    return text.getvalue().encode()
