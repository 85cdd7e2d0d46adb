"""One strict reader for every table that is handed in as CSV."""

from __future__ import annotations

import csv
import difflib
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from planner.exchange.faults import FaultList
from planner.exchange.source_text import read_text

DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab"}


@dataclass(frozen=True, slots=True)
class Layout:
    """The columns of one kind of table."""

    name: str
    """What the table is, in words: 'a table of points'."""
    required: tuple[str, ...]
    optional: tuple[str, ...]

    @property
    def columns(self) -> tuple[str, ...]:
        """All columns, those that must be there first."""
        return self.required + self.optional


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a table: its cells by column, trimmed."""

    line: int
    cells: Mapping[str, str]

    def where(self, column: str = "") -> str:
        """Return the place as it is told to the user."""
        return f"line {self.line}, column {column}" if column else f"line {self.line}"


def read_table(path: Path, layout: Layout, faults: FaultList) -> tuple[Row, ...]:
    """Return the rows of a table; blank lines are skipped, the order of the columns is free.

    A row of the wrong length is noted among ``faults`` and left out, so that the others can still be judged.

    Raises:
        InputError: the file cannot be read as text, or its header row is not that of the layout.
    """
    text = read_text(path, layout.name)
    delimiter, header = sniff(text, layout)
    columns = _columns(header, layout, faults)
    faults.raise_any()
    rows = tuple(_rows(text, delimiter, columns, faults))
    if not rows and not len(faults):
        faults.add("", f"{layout.name} with rows under its header", "a header alone", "Add the rows.")
    return rows


def plain_name(name: str) -> str:
    """Return a column's name as it is compared: without case, spaces and underscores."""
    return "".join(name.casefold().split()).replace("_", "")


def sniff(text: str, layout: Layout) -> tuple[str, list[str]]:
    """Return the delimiter under which the header row has most of the layout's columns, and that row's cells."""
    known = {plain_name(column) for column in layout.columns}
    headers = {delimiter: _first_row(text, delimiter) for delimiter in DELIMITERS}
    best = max(headers, key=lambda delimiter: len({plain_name(cell) for cell in headers[delimiter]} & known))
    return best, headers[best]


def _first_row(text: str, delimiter: str) -> list[str]:
    for line in io.StringIO(text):
        if line.strip():
            try:
                return next(csv.reader([line], delimiter=delimiter, strict=True))
            except csv.Error:
                return [line]
    return []


def _columns(header: Sequence[str], layout: Layout, faults: FaultList) -> list[str]:
    """Return the layout's name of each column; a missing, unknown or doubled one is noted."""
    names = {plain_name(column): column for column in layout.columns}
    columns = [names.get(plain_name(cell), "") for cell in header]
    wanted = f"the columns {', '.join(layout.required)} (and if wanted {', '.join(layout.optional)})"
    missing = [column for column in layout.required if column not in columns]
    if missing:
        found = f"no column {', '.join(missing)}"
        faults.add("header row", wanted, found, f"Add {'it' if len(missing) == 1 else 'them'} to the first line.")
    unknown = [cell.strip() for cell, column in zip(header, columns, strict=True) if not column]
    if unknown:
        faults.add("header row", wanted, _unknown(unknown, layout), "Rename or remove what is not among them.")
    doubled = sorted({column for column in columns if column and columns.count(column) > 1})
    if doubled:
        faults.add("header row", "each column once", f"{', '.join(doubled)} twice", "Keep one of each.")
    return columns


def _unknown(unknown: Sequence[str], layout: Layout) -> str:
    told = []
    for cell in unknown:
        near = difflib.get_close_matches(cell.casefold(), layout.columns, n=1)
        told.append((repr(cell[:40]) if cell else "one without a name") + (f" (meant {near[0]}?)" if near else ""))
    return f"unknown: {', '.join(told[:12])}" + (f" and {len(told) - 12} more" if len(told) > 12 else "")


def _rows(text: str, delimiter: str, columns: Sequence[str], faults: FaultList) -> Iterator[Row]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    header_seen = False
    line = 1
    try:
        for cells in reader:
            here, line = line, reader.line_num + 1
            if not any(cell.strip() for cell in cells):
                continue
            if not header_seen:
                header_seen = True
            elif len(cells) == len(columns):
                yield Row(here, {name: cell.strip() for name, cell in zip(columns, cells, strict=True)})
            else:
                faults.add(f"line {here}", *_wrong_length(cells, columns, delimiter))
    except csv.Error as error:
        todo = "Look for a quotation mark that is not closed; the file may be cut off."
        faults.add(f"line {line}", "cells in closed quotation marks", str(error), todo)


def _wrong_length(cells: Sequence[str], columns: Sequence[str], delimiter: str) -> tuple[str, str, str]:
    if len(cells) < len(columns):
        todo = "Fill in the row (empty cells count); the file may be cut off."
    elif delimiter == ",":
        todo = "Put text that holds a comma in quotation marks; with decimal commas part the cells by semicolons."
    else:
        todo = f"Put text that holds a {DELIMITERS[delimiter]} in quotation marks."
    return f"{len(columns)} cells as in the header", f"{len(cells)}", todo
