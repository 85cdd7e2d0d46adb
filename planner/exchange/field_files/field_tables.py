"""Files that came back, as tables: which sheet is which, and what their columns hold."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from planner.domain.calendar import DateRange
from planner.domain.weather import Quantity
from planner.exchange.field_files.bad_cells import BadCell
from planner.exchange.field_files.figures_in_cells import is_figure
from planner.exchange.field_files.form import CLASS, FIRST, LAST, Column, FieldForm, TableKind
from planner.exchange.field_files.merged_cells import headed, of_one_sheet, spread_headings, with_head
from planner.exchange.field_files.naming_columns import kind_words, names_of, near_name, plain
from planner.exchange.field_files.workbook_out import KEY_MARK, READ_ME
from planner.exchange.source_text import read_text
from planner.exchange.table_files.column_words import PLACE_WORDS
from planner.exchange.table_files.grids import HEADER_WITHIN, Grid, GridRow, Merged, begun_grids, text_grid
from planner.exchange.table_files.workbooks import is_workbook, workbook_grids

WANTED = "a filled-in workbook (XLSX) or table (CSV)"
_TIMES = frozenset({"arrived", "began", "ended", "done"})
_OF_VISITS = frozenset({"left", "home", "km", "stopped", "team"})
_MOST_COLUMNS = 1_000
_PLACES = frozenset(word for words in PLACE_WORDS.values() for word in words)
_OPEN_FORM = FieldForm("", "", DateRange(dt.date.min, dt.date.min), None, tuple((one, "") for one in Quantity), 2)
"""What can be told of headings without a season: all but the classes."""


@dataclass(frozen=True, slots=True)
class FieldGrid:
    """One table of a file that came back."""

    kind: TableKind
    grid: Grid
    rows: tuple[GridRow, ...]
    """Those below the headings."""
    keys: tuple[str, ...]
    """What each column holds; empty: it is not known."""
    headings: tuple[str, ...]
    bad: tuple[BadCell, ...] = ()
    """Headings that could not be understood."""
    notes: tuple[str, ...] = ()
    units: Mapping[str, str] = field(default_factory=dict)
    """Of the weather's columns, by their keys: of a figure that stands alone."""
    of_one_sheet: frozenset[Merged] = frozenset()
    """Merged figures that belong to one point: they are taken."""


def read_tables(path: Path, encoding: str = "") -> tuple[Grid, ...]:
    """Return the tables of a file as they stand: each sheet of a workbook, or a text by what best parts its cells.

    Raises:
        InputError: it is missing, broken, hostile, too large, or no table at all.
    """
    if is_workbook(path):
        return workbook_grids(path, as_text=True)
    text = read_text(path, WANTED, encoding=encoding)
    best = max(begun_grids(text, path), key=_named_columns)
    return (text_grid(text, path, best.delimiter),)


def field_grids(grids: Sequence[Grid], form: FieldForm) -> tuple[tuple[FieldGrid, ...], tuple[str, ...]]:
    """Return the tables of a file by what their columns hold, and notes on what of it is no such table."""
    found = [(grid, _understood(grid, form)) for grid in grids]
    tables = tuple(table for _, table in found if table is not None)
    others = [grid for grid, table in found if table is None and grid.sheet != READ_ME]
    notes = [f"{_named(grid)} is no table of habitat or records; it was left." for grid in others]
    return tables, tuple(notes) if tables else ()


def filled_in_words(grid: Grid) -> str:
    """Return what a table is known by as one that was filled in, whatever its season; empty where it is none."""
    begun = [row for row in grid.rows[:HEADER_WITHIN] if len(row.cells) <= _MOST_COLUMNS]
    where = f"the sheet '{grid.sheet}'" if grid.sheet else "it"
    for row in begun:
        kind = next((kind for kind in TableKind if f"{KEY_MARK}{kind.value}" in row.cells), None)
        if kind is not None:
            return f"{where} was written to be filled in with {kind.words}"
        found = _recognised(headed(row))
        kind = next((kind for kind in TableKind if _is_open_kind(kind, found)), None)
        if kind is not None:
            named = ", ".join(one for one in ("route", "visit", "point") if one in found)
            return f"{where} has the columns {named} and others of {kind.words}"
    return ""


def _recognised(row: GridRow) -> set[str]:
    """Return what the headings in a row are, as far as no season is needed to tell; others stand for themselves."""
    known = names_of(_OPEN_FORM.columns(TableKind.VISITS)) | names_of(_OPEN_FORM.columns(TableKind.COUNTS))
    return {known.get(plain(cell), f"{CLASS}{cell}") for cell in row.cells if cell}


def _is_open_kind(kind: TableKind, keys: set[str]) -> bool:
    """Whether headings are of a kind where classes are not known: then whatever is no place may be one."""
    if kind is not TableKind.HABITAT:
        return _is_kind(kind, keys) and "visit" in keys
    others = {plain(key.removeprefix(CLASS)) for key in keys if key.startswith(CLASS)}
    return {"route", "visit", "point"} <= keys and bool(others) and not others & _PLACES and not keys & _TIMES


def _named_columns(grid: Grid) -> tuple[int, int]:
    """Return how many headings a text has that are known, where it is parted so, and how many columns."""
    rows = [row for row in grid.rows if len(row.cells) <= _MOST_COLUMNS]
    known = (sum(not key.startswith(CLASS) for key in _recognised(row)) for row in rows)
    return max(known, default=0), max((len(row.cells) for row in rows), default=0)


def _understood(grid: Grid, form: FieldForm) -> FieldGrid | None:
    begun = [row for row in grid.rows[:HEADER_WITHIN] if len(row.cells) <= _MOST_COLUMNS]
    for row in begun:
        for kind in TableKind:
            if f"{KEY_MARK}{kind.value}" in row.cells:
                return _by_keys(grid, form, kind, row)
    return _by_headings(grid, form, begun)


def _by_keys(grid: Grid, form: FieldForm, kind: TableKind, key_row: GridRow) -> FieldGrid:
    """Return a table of ours by its hidden keys; headings that were changed since are said."""
    columns = form.columns(kind)
    known = {column.key for column in columns}
    mark = f"{KEY_MARK}{kind.value}"
    keys = ["season" if cell == mark else cell if cell in known else "" for cell in key_row.cells]
    names = names_of(columns)
    at = grid.rows.index(key_row)
    below = grid.rows[at + 1 : at + 1 + HEADER_WITHIN]
    row = max(below, key=lambda row: sum(plain(cell) in names for cell in headed(row).cells), default=key_row)
    if sum(plain(cell) in names for cell in headed(row).cells) < len(columns) / 3:
        row = key_row
    grid, head, more = with_head(grid, row)
    shown = [head.cells[n] if n < len(head.cells) else "" for n in range(max(len(keys), len(head.cells)))]
    keys += [""] * (len(shown) - len(keys))
    below = grid.rows[grid.rows.index(head) + 1 :]
    made = FieldGrid(kind, grid, below, tuple(keys), tuple(shown), notes=tuple(_head_notes(grid, more)))
    return _completed(made if row is key_row else _with_renamed(made, head, columns, names), form)


def _with_renamed(table: FieldGrid, head: GridRow, columns: Sequence[Column], names: Mapping[str, str]) -> FieldGrid:
    """Hold the visible headings against the hidden keys: one that says something else again is asked back."""
    keys = list(table.keys)
    bad, notes = list[BadCell](), list[str]()
    own = {column.key: " ".join(column.heading.split()) for column in columns}
    for at, (key, text) in enumerate(zip(table.keys, table.headings, strict=True)):
        meant = names.get(plain(text), "")
        shown = " ".join(text.split())
        if key and meant and meant != key:
            keys[at] = ""
            expected = f"the heading '{own[key]}', as it was written; '{shown}' is that of another column"
            bad.append(_bad_heading(table.grid, head, at, expected))
        elif key and text and not meant:
            notes.append(f"{_named(table.grid)}: the column headed '{shown}' is '{own[key]}', renamed.")
        elif not key and meant and meant not in table.keys:
            keys[at] = meant
        elif not key and text:
            bad += _unknown_heading(table.grid, head, at, columns)
            notes += _more_notes(table.grid, head, at)
    return replace(table, keys=tuple(keys), bad=tuple(bad), notes=(*table.notes, *notes))


def _by_headings(grid: Grid, form: FieldForm, begun: Sequence[GridRow]) -> FieldGrid | None:
    """Return a table that is known by its visible headings alone; None where it is none."""
    best: tuple[int, TableKind, GridRow, list[str]] | None = None
    named = {kind: names_of(form.columns(kind)) for kind in TableKind}
    for row in begun:
        for kind, names in named.items():
            keys = [names.get(plain(cell), "") for cell in headed(row).cells]
            if _is_kind(kind, set(keys)) and (best is None or sum(map(bool, keys)) > best[0]):
                best = sum(map(bool, keys)), kind, row, keys
    if best is None:
        return None
    _, kind, row, keys = best
    columns = form.columns(kind)
    grid, head, more = with_head(grid, row)
    bad, notes = list(_doubled(grid, head, keys, columns)), list(_head_notes(grid, more))
    bad += _over_columns(grid, head, keys, columns)
    doubled = {cell.stood for cell in bad}
    for at, (key, text) in enumerate(zip(keys, head.cells, strict=True)):
        if text and not key and text not in doubled:
            bad += _unknown_heading(grid, head, at, columns)
            notes += _more_notes(grid, head, at)
    bad += _missing(grid, head, kind, keys, form)
    rows = grid.rows[grid.rows.index(head) + 1 :]
    return _completed(FieldGrid(kind, grid, rows, tuple(keys), head.cells, tuple(bad), tuple(notes)), form)


def _head_notes(grid: Grid, more: Sequence[GridRow]) -> Iterator[str]:
    for row in more:
        merged = next(one.name for one in row.merged if one.many_rows)
        yield f"{_named(grid)}: {row.place} was taken for a part of the headings; {merged} is one merged cell."


def _over_columns(grid: Grid, head: GridRow, keys: list[str], columns: Sequence[Column]) -> Iterator[BadCell]:
    """Ask back headings over several columns that hold something, and use none of these."""
    own = {column.key: " ".join(column.heading.split()) for column in columns}
    for one in list(spread_headings(head, keys, grid.rows[grid.rows.index(head) + 1 :])):
        first, last = one.positions
        expected = f"a heading of its own over each column; {one.name} is one merged cell over {last + 1 - first}"
        yield _bad_heading(grid, head, first, f"{expected}, '{own[keys[first]]}'")
        keys[first] = ""


def _is_kind(kind: TableKind, keys: set[str]) -> bool:
    classes = any(key.startswith(CLASS) for key in keys)
    named = len(keys & {"route", "visit", "point"})
    if kind is TableKind.HABITAT:
        return classes and "point" in keys and named >= 2
    if kind is TableKind.COUNTS:
        return bool(keys & _TIMES) and "point" in keys and named >= 2
    weather = any(key.startswith((FIRST, LAST)) for key in keys)
    return "point" not in keys and {"route", "visit"} <= keys and (weather or bool(keys & _OF_VISITS))


def _doubled(grid: Grid, head: GridRow, keys: list[str], columns: Sequence[Column]) -> Iterator[BadCell]:
    """Ask back columns that are there twice, and use neither."""
    own = {column.key: " ".join(column.heading.split()) for column in columns}
    for key in {key for key in keys if key and keys.count(key) > 1}:
        places = [at for at, one in enumerate(keys) if one == key]
        for at in places:
            keys[at] = ""
        yield _bad_heading(grid, head, places[-1], f"the column '{own[key]}' once; it is there {len(places)} times")


def _unknown_heading(grid: Grid, head: GridRow, at: int, columns: Sequence[Column]) -> Iterator[BadCell]:
    """Ask back a heading below which figures stand, or that looks like a slip of one that is known."""
    near = near_name(head.cells[at], columns)
    below = _below(grid, head, at)
    if near or any(is_figure(text) for text in below):
        meant = f"; '{near}' may be meant" if near else ""
        yield _bad_heading(grid, head, at, f"a heading that is known{meant}")


def _more_notes(grid: Grid, head: GridRow, at: int) -> Iterator[str]:
    """Say of a column that somebody added, and that holds words alone, where it goes."""
    below = _below(grid, head, at)
    if below and not any(is_figure(text) for text in below):
        yield f"{_named(grid)}: the column headed '{head.cells[at]}' is none of ours; its words go into the notes."


def _below(grid: Grid, head: GridRow, at: int) -> list[str]:
    rows = grid.rows[grid.rows.index(head) + 1 :]
    return [row.cells[at] for row in rows if at < len(row.cells) and row.cells[at]]


def _missing(grid: Grid, head: GridRow, kind: TableKind, keys: Sequence[str], form: FieldForm) -> Iterator[BadCell]:
    lacking = [key for key in ("route", "visit") if key not in keys]
    if lacking:
        todo = f"Add a column headed {' and one headed '.join(map(repr, lacking))}."
        yield BadCell(grid.source, grid.sheet, head.place, "", " | ".join(head.cells), kind_words(kind, form), todo)


def _bad_heading(grid: Grid, head: GridRow, at: int, expected: str) -> BadCell:
    todo = "Head the column as it was, and record the file again; what stands below it is kept with each row."
    return BadCell(grid.source, grid.sheet, cell_name(head, at, grid), "", head.cells[at], expected, todo)


def _completed(table: FieldGrid, form: FieldForm) -> FieldGrid:
    """Find the units in the headings of the weather, and the merged figures that are of one point."""
    units = {}
    for key, text in zip(table.keys, table.headings, strict=True):
        for quantity, unit in form.weather:
            said = text.replace("°", " ").replace(",", " ").replace("(", " ").replace(")", " ").split()
            if unit and key in (f"{FIRST}{quantity.value}", f"{LAST}{quantity.value}") and unit in said:
                units[key] = unit
    return replace(table, units=units, of_one_sheet=of_one_sheet(table.rows, table.keys))


def _named(grid: Grid) -> str:
    name = Path(grid.source).name
    return f"{name}, sheet '{grid.sheet}'" if grid.sheet else name


def cell_name(row: GridRow, at: int, grid: Grid) -> str:
    """Return what a cell is called: B7 in a workbook, else its line and the number of its column."""
    if grid.delimiter:
        return f"{row.place}, column {at + 1}"
    return f"{_letters(at)}{row.place.removeprefix('row ')}"


def _letters(at: int) -> str:
    """Return the letters of a column: A for 0, AA for 26."""
    letters = ""
    at += 1
    while at:
        at, rest = divmod(at - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
