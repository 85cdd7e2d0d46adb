"""Read files that came back: what they say of sheets and records, every cell that cannot be taken, and remarks."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from planner.domain.plan import VisitKey
from planner.exchange.faults import refused
from planner.exchange.field_files.bad_cells import BadCell
from planner.exchange.field_files.field_season import FieldSeason
from planner.exchange.field_files.field_tables import WANTED, FieldGrid, field_grids
from planner.exchange.field_files.form import TableKind
from planner.exchange.field_files.habitat_rows import habitat_said
from planner.exchange.field_files.merged_cells import is_section, taken_words
from planner.exchange.field_files.naming_columns import kind_words
from planner.exchange.field_files.parts import Said
from planner.exchange.field_files.record_rows import Evenings, counts_said, visits_said
from planner.exchange.field_files.row_cells import Carried, RowCells, is_remark, of_other_season, table_rows
from planner.exchange.table_files.grids import Grid

_SHOWN = 200
"""Letters of a remark that are shown."""


@dataclass(frozen=True, slots=True)
class FileSaid:
    """What one file says."""

    path: Path
    said: tuple[Said, ...]
    bad: tuple[BadCell, ...]
    notes: tuple[str, ...]


@dataclass(slots=True)
class _Gathered:
    """What is gathered while a file is read."""

    said: list[Said] = field(default_factory=list)
    bad: list[BadCell] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def evenings_told(files: Iterable[Sequence[Grid]], season: FieldSeason) -> Evenings:
    """Return on which evenings the visits were by all files that came together: their counts may lie in another one.

    Args:
        files: the tables of each, as :func:`planner.exchange.field_files.field_tables.read_tables` returns them.
        season: what they are held against.
    """
    evenings = Evenings(season, {})
    for grids in files:
        for table in field_grids(grids, season.form)[0]:
            if table.kind is TableKind.VISITS:
                _read_table(table, season, evenings, _Gathered())
    return evenings


def file_said(
    path: Path,
    grids: Sequence[Grid],
    season: FieldSeason,
    recorded: Mapping[VisitKey, tuple[dt.date, ...]],
    beside: Evenings | None = None,
) -> FileSaid:
    """Return what a file says of sheets and records.

    Args:
        path: the file.
        grids: its tables, as :func:`planner.exchange.field_files.field_tables.read_tables` returns them.
        season: what it is held against.
        recorded: evenings of the records that the season holds already.
        beside: evenings that the files say that came with it, see :func:`evenings_told`; None: it came alone.

    Raises:
        InputError: it holds no table of habitat or records.
    """
    tables, notes = field_grids(grids, season.form)
    if not tables:
        kinds = "; or ".join(kind_words(kind, season.form) for kind in TableKind if season.form.columns(kind))
        raise refused(path, "", f"{WANTED}: {kinds}", "none of these", "Choose another file, or head its columns so.")
    found = _Gathered(notes=list(notes))
    evenings = Evenings(season, recorded, beside=beside)
    for table in sorted(tables, key=lambda one: list(TableKind).index(one.kind)):
        _read_table(table, season, evenings, found)
    return FileSaid(path, tuple(found.said), tuple(found.bad), tuple(found.notes))


def _read_table(table: FieldGrid, season: FieldSeason, evenings: Evenings, found: _Gathered) -> None:
    found.bad += [*table.bad, *_grid_faults(table)]
    found.notes += table.notes
    found.notes += [f"{_named(table)}: {words}" for words in taken_words(table.rows, table.keys)]
    rows = list(_own_rows(table, season, found))
    carried = Carried()
    if table.kind is TableKind.HABITAT:
        found.said += habitat_said(rows, season, carried)
    elif table.kind is TableKind.VISITS:
        found.said += visits_said(rows, evenings, carried)
    else:
        found.said += counts_said(rows, evenings, carried)
    found.bad += [cell for row in rows for cell in row.bad]
    if carried.rows:
        places = _listed(carried.rows)
        found.notes.append(f"{_named(table)}: {places} had no route or visit; it was taken from the row above.")


def _own_rows(table: FieldGrid, season: FieldSeason, found: _Gathered) -> Iterator[RowCells]:
    """Yield the rows that are of this season and no remarks; the others are said."""
    strange: list[RowCells] = []
    below_section = False
    for cells in table_rows(table):
        if is_remark(cells):
            below_section = below_section or is_section(cells.row)
            found.notes.append(f"{cells.where}: a remark of no sheet or record, not kept: {cells.whole[:_SHOWN]!r}.")
        elif of_other_season(cells, season):
            strange.append(cells)
        else:
            cells.below_section, below_section = below_section, False
            yield cells
    if strange:
        places = _listed([cells.row.place for cells in strange])
        todo = "Choose the file of this season, or record it in the season that it names."
        expected = f"rows of the season '{season.form.mark}'"
        stood = f"{strange[0].text('season')} ({places})"
        grid = table.grid
        found.bad.append(BadCell(grid.source, grid.sheet, strange[0].place("season"), "", stood, expected, todo))


def _grid_faults(table: FieldGrid) -> Iterator[BadCell]:
    """Yield what is wrong with a table before its cells are looked at."""
    sheet = table.grid.sheet
    for fault in table.grid.faults:
        where = "as a whole" if sheet and fault.where == f"sheet '{sheet}'" else fault.where
        yield BadCell(fault.source, sheet, where, "", fault.found, fault.expected, fault.todo)


def _named(table: FieldGrid) -> str:
    name = Path(table.grid.source).name
    return f"{name}, sheet '{table.grid.sheet}'" if table.grid.sheet else name


def _listed(places: Sequence[str]) -> str:
    return ", ".join(places[:6]) + (f" and {len(places) - 6} more" if len(places) > 6 else "")
