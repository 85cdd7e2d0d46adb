"""A table as it stands in a file: rows of cells, before anybody says what they mean."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from planner.domain.errors import Fault

DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab"}
HEADER_WITHIN = 10
"""Rows from the first one in which the header may stand: above it people put a title."""
MOST_LINES = 2_000_000
"""Lines of a text, blank ones among them, of which some spreadsheets write a million."""
_BEGUN_WITHIN = 10_000
"""Lines within which a text that is no more than blank before its header must begin."""
MOST_LETTERS = 131_072
"""Letters of a cell: the csv module's own limit, which any library of the process can lift."""
_UNCLOSED = "Look for a quotation mark that is not closed; the file may be cut off."
MOST_ROWS = 50_000
"""Rows that are read of one table: several times what the largest season has, and read in seconds."""


@dataclass(frozen=True, slots=True)
class Merged:
    """Cells of a workbook that are one cell: what stands in it stands in the first of them alone."""

    name: str
    """Such as 'B7:B9'."""
    rows: tuple[int, int]
    """The first and the last, as the workbook counts them."""
    positions: tuple[int, int]
    """The first and the last in a row, from 0."""
    text: str
    """What stands in it."""
    number: bool = False
    """Whether the workbook holds that as a number."""

    @property
    def many_rows(self) -> bool:
        """Whether it reaches over more rows than one."""
        return self.rows[1] > self.rows[0]

    def covers(self, at: int) -> bool:
        """Whether it covers the cell at a position, in the rows that it reaches over."""
        return self.positions[0] <= at <= self.positions[1]


@dataclass(frozen=True, slots=True)
class GridRow:
    """One row that is not blank."""

    place: str
    """Where it stands: 'line 3', or 'row 3' in a sheet."""
    cells: tuple[str, ...]
    """Trimmed."""
    numbers: frozenset[int] = frozenset()
    """Positions of cells that a workbook holds as numbers."""
    merged: tuple[Merged, ...] = ()
    """Cells of several columns or rows that reach into it and hold something; looked for in filled-in files alone."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Rows of one file, or of one sheet of it."""

    source: str
    """The file, as the user named it."""
    rows: tuple[GridRow, ...]
    delimiter: str = ""
    """What parts the cells; empty in a workbook."""
    sheet: str = ""
    """Name of the sheet; empty outside of workbooks."""
    faults: tuple[Fault, ...] = ()
    """What is wrong with it before its cells are looked at."""
    formulas: int = 0
    """Cells whose value was worked out by a formula."""

    def begun(self) -> Grid:
        """Return its beginning alone, in which the header stands."""
        return Grid(self.source, self.rows[:HEADER_WITHIN], self.delimiter, self.sheet)


def text_grid(text: str, source: Path | str, delimiter: str) -> Grid:
    """Return the rows of a text whose cells are parted by a delimiter, with what is wrong with its quotation marks."""
    rows: list[GridRow] = []
    faults: list[Fault] = []
    line = 1
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        for cells in reader:
            here, line = line, reader.line_num + 1
            if any(cell.strip() for cell in cells):
                rows.append(GridRow(f"line {here}", tuple(cell.strip() for cell in cells)))
            longest = max(map(len, cells), default=0)
            if longest > MOST_LETTERS:
                faults.append(_cell_too_long(str(source), f"line {here}", longest))
                break
            if len(rows) > MOST_ROWS or line > MOST_LINES:
                faults.append(too_many_rows(str(source), f"line {here}"))
                break
    except csv.Error as error:
        faults.append(Fault(str(source), f"line {line}", "cells in closed quotation marks", str(error), _UNCLOSED))
    return Grid(str(source), tuple(rows), delimiter, faults=tuple(faults))


def begun_grids(text: str, source: Path | str) -> Iterator[Grid]:
    """Yield the beginning of a text as it would be parted by each delimiter."""
    for delimiter in DELIMITERS:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
        yield Grid(str(source), tuple(islice(_begun_rows(reader), HEADER_WITHIN)), delimiter)


def too_many_rows(source: str, where: str) -> Fault:
    """Return the fault of a table that is longer than any season needs."""
    expected = f"at most {MOST_ROWS:,} rows"
    return Fault(source, where, expected, "more", "Cut it down to the routes of this season.")


def _cell_too_long(source: str, where: str, letters: int) -> Fault:
    expected = f"at most {MOST_LETTERS:,} letters in a cell"
    return Fault(source, where, expected, f"a field larger than that: {letters:,}", _UNCLOSED)


def _begun_rows(reader: Iterator[list[str]]) -> Iterator[GridRow]:
    try:
        for number, cells in enumerate(islice(reader, _BEGUN_WITHIN), start=1):
            if any(cell.strip() for cell in cells):
                yield GridRow(f"line {number}", tuple(cell.strip() for cell in cells))
    except csv.Error:
        return
