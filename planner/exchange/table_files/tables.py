"""The rows of a table by what their cells mean; a strict reader for tables whose columns are named as ours are."""

from __future__ import annotations

import csv
import difflib
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from planner.exchange.faults import FaultList
from planner.exchange.letters import LETTERS_WANTED, unkept_letter
from planner.exchange.source_text import read_text
from planner.exchange.table_files.grids import DELIMITERS, Grid, text_grid
from planner.exchange.table_files.layouts import Layout, plain_name


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a table: its cells by column, trimmed."""

    place: str
    """Where it stands: 'line 3', or 'row 3' in a workbook."""
    cells: Mapping[str, str]
    headings: Mapping[str, str] = field(default_factory=dict)
    """What stands above the columns that the file heads in its own words."""

    def where(self, column: str = "") -> str:
        """Return the place as it is told to the user."""
        return f"{self.place}, column {self.headings.get(column, column)}" if column else self.place


def read_table(path: Path, layout: Layout, faults: FaultList) -> tuple[Row, ...]:
    """Return the rows of a table; blank lines are skipped, the order of the columns is free.

    A row of the wrong length is noted among ``faults`` and left out, so that the others can still be judged.

    Raises:
        InputError: the file cannot be read as text, or its header row is not that of the layout.
    """
    text = read_text(path, layout.name)
    delimiter, header = sniff(text, layout)
    columns = named_columns(header, layout, faults)
    faults.raise_any()
    return rows_of(text_grid(text, path, delimiter), 0, columns, layout, faults)


def rows_of(
    grid: Grid,
    header: int,
    columns: Sequence[str],
    layout: Layout,
    faults: FaultList,
    headings: Mapping[str, str] | None = None,
) -> tuple[Row, ...]:
    """Return the rows below a header; one of the wrong length is noted among ``faults`` and left out.

    Args:
        grid: the table.
        header: position of the header among its rows.
        columns: what each column holds; empty: it is not used.
        layout: what kind of table it is.
        faults: gathers what is wrong.
        headings: of columns that the file heads in its own words.
    """
    faults.take(grid.faults)
    rows = tuple(_rows(grid, header, columns, faults, headings or {}))
    if not rows and not len(faults):
        faults.add("", f"{layout.name} with rows under its header", "a header alone", "Add the rows.")
    return rows


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


def named_columns(header: Sequence[str], layout: Layout, faults: FaultList) -> list[str]:
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
        faults.add("header row", wanted, unknown_words(unknown, layout), "Rename or remove what is not among them.")
    doubled = sorted({column for column in columns if column and columns.count(column) > 1})
    if doubled:
        faults.add("header row", "each column once", f"{', '.join(doubled)} twice", "Keep one of each.")
    return columns


def unknown_words(unknown: Sequence[str], layout: Layout) -> str:
    """Return, in words, headings that are none of a layout's, with what each may have meant."""
    told = []
    for cell in unknown:
        near = difflib.get_close_matches(cell.casefold(), layout.columns, n=1)
        told.append((repr(cell[:40]) if cell else "one without a name") + (f" (meant {near[0]}?)" if near else ""))
    return f"unknown: {', '.join(told[:12])}" + (f" and {len(told) - 12} more" if len(told) > 12 else "")


def _rows(
    grid: Grid, header: int, columns: Sequence[str], faults: FaultList, headings: Mapping[str, str]
) -> Iterator[Row]:
    for row in grid.rows[header + 1 :]:
        cells = row.cells
        if not grid.delimiter:
            cells = (*cells, *[""] * (len(columns) - len(cells)))[: len(columns)]  # a sheet has no end of line
        if len(cells) == len(columns):
            made = Row(row.place, {name: cell for name, cell in zip(columns, cells, strict=True) if name}, headings)
            _judge_letters(made, faults)
            yield made
        else:
            faults.add(row.place, *_wrong_length(cells, columns, grid.delimiter))


def _judge_letters(row: Row, faults: FaultList) -> None:
    for name, cell in row.cells.items():
        bad = unkept_letter(cell)
        if bad:
            faults.add(row.where(name), LETTERS_WANTED, bad, "Write the cell anew.")


def _wrong_length(cells: Sequence[str], columns: Sequence[str], delimiter: str) -> tuple[str, str, str]:
    if len(cells) < len(columns):
        todo = "Fill in the row (empty cells count); the file may be cut off."
    elif delimiter == ",":
        todo = "Put text that holds a comma in quotation marks; with decimal commas part the cells by semicolons."
    else:
        todo = f"Put text that holds a {DELIMITERS[delimiter]} in quotation marks."
    return f"{len(columns)} cells as in the header", f"{len(cells)}", todo
