"""The cells of one row by what they hold, and which route, visit, point and person the row is of."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

from planner.exchange.field_files.bad_cells import BadCell, Unclear
from planner.exchange.field_files.dates_in_cells import date_of
from planner.exchange.field_files.field_season import FieldSeason
from planner.exchange.field_files.field_tables import FieldGrid, cell_name
from planner.exchange.field_files.merged_cells import filled_from, is_shared
from planner.exchange.formula_text import unguarded
from planner.exchange.letters import unkept_letter
from planner.exchange.table_files.grids import GridRow, Merged

_T = TypeVar("_T")
_NUMBER = re.compile(r"(?:[a-z]{1,7}\.?\s*)?(?P<number>[0-9]{1,3})(?:\.0+)?", re.IGNORECASE)
_MARK = re.compile(r"(?<=\S) #(?P<code>[0-9a-f]{8})")
"""What our own files name their season by, behind its name; sought in one pass, for a cell may be very long."""
_WORD = re.compile(r"[^\W\d_]{2}")
_CAME_WITH_IT = frozenset({"season", "sum", "rest"})
"""Columns that tell nothing of what somebody wrote: the season's mark and the formulas of the sum."""
_OWN_KEYS = frozenset(
    {"season", "route", "visit", "point", "side", "pass", "date", "observer", "driver", "team", "sum", "rest"}
)
"""Columns that are filled in before anybody writes into them, or that the workbook works out."""


@dataclass(slots=True)
class Carried:
    """What the row above was of: cells that were merged over several rows are empty in all but the first."""

    route: str = ""
    visit: str = ""
    rows: list[str] = field(default_factory=list)
    """Rows that took something from above."""


@dataclass(slots=True)
class RowCells:
    """One row that is being read; what cannot be taken is gathered as it is met."""

    table: FieldGrid
    row: GridRow
    subject: str = ""
    bad: list[BadCell] = field(default_factory=list)
    below_section: bool = False
    """Whether a line over several columns stands right above it."""

    def text(self, key: str) -> str:
        """Return the cell of a column, with single spaces in each line; empty where there is no such column."""
        if not key or key not in self.table.keys:
            return ""
        return self.text_at(self.table.keys.index(key))

    def text_at(self, at: int) -> str:
        """Return the cell at a position; letters that cannot be kept are left out."""
        text = self.row.cells[at] if at < len(self.row.cells) else ""
        merged = self._merged_at(at) if not text else None
        if merged is not None and merged.positions[0] == at and filled_from(merged, self.table.keys):
            text = merged.text
        if text.isprintable():
            return unguarded(" ".join(text.split()))
        kept = "".join(letter for letter in text if letter.isspace() or not unkept_letter(letter))
        return unguarded("\n".join(" ".join(line.split()) for line in kept.strip().splitlines()))

    def _merged_at(self, at: int) -> Merged | None:
        return next((one for one in self.row.merged if one.covers(at)), None) if self.row.merged else None

    def _is_shared(self, merged: Merged) -> bool:
        return merged not in self.table.of_one_sheet and is_shared(merged, self.table.keys)

    def merged(self, key: str) -> Merged | None:
        """Return the merged cell that the cell of a column is part of; None where it stands for itself."""
        return self._merged_at(self.table.keys.index(key)) if key in self.table.keys else None

    def is_number(self, key: str) -> bool:
        """Whether the workbook holds the cell as a number."""
        if key not in self.table.keys:
            return False
        merged = self.merged(key)
        return self.table.keys.index(key) in self.row.numbers or (merged is not None and merged.number)

    def place(self, key: str) -> str:
        """Return what the cell of a column is called."""
        if key not in self.table.keys:
            return self.row.place
        return cell_name(self.row, self.table.keys.index(key), self.table.grid)

    @property
    def where(self) -> str:
        """The row, as it is told beside others: 'back.xlsx, sheet 'Habitat', row 7'."""
        sheet = f", sheet '{self.table.grid.sheet}'" if self.table.grid.sheet else ""
        return f"{Path(self.table.grid.source).name}{sheet}, {self.row.place}"

    def note(self, key: str, expected: str, todo: str, *, stood: str | None = None) -> None:
        """Note that a cell cannot be taken; without such a column the row."""
        grid = self.table.grid
        text = self.text(key) if stood is None else stood
        self.bad.append(BadCell(grid.source, grid.sheet, self.place(key), self.subject, text, expected, todo))

    def read(self, key: str, reader: Callable[[str], _T]) -> _T | None:
        """Return what a reader makes of a cell; None after noting that it makes nothing of it.

        A figure that is merged over several rows or columns is noted too: it is guessed for none of them.
        """
        merged = self.merged(key)
        if merged is not None and self.text(key) and self._is_shared(merged):
            of = "row" if merged.many_rows else "column"
            expected = f"a cell of its own in each {of}; {merged.name} is one merged cell"
            todo = f"Unmerge it, write what holds in each {of}, and record the file again; what stands in it is kept."
            self.note(key, expected, todo)
            return None
        try:
            return reader(self.text(key))
        except Unclear as unclear:
            self.note(key, unclear.expected, unclear.todo)
            return None

    def date(self, key: str, season: FieldSeason) -> dt.date | None:
        """Return the date in a cell; None where there is none, or it cannot be read, which is noted."""
        return self.read(key, lambda text: date_of(text, season.form.dates, number=self.is_number(key)))

    @property
    def filled(self) -> tuple[str, ...]:
        """What stands in the cells that somebody wrote into."""
        return tuple(self._filled())

    def _filled(self) -> Iterator[str]:
        keys = (*self.table.keys, *[""] * (self._width - len(self.table.keys)))
        for at, key in enumerate(keys):
            if key not in _OWN_KEYS and (text := self.text_at(at)):
                yield text

    @property
    def _width(self) -> int:
        """How many cells there are, those among them that a merged one reaches over."""
        return max(len(self.row.cells), *(one.positions[0] + 1 for one in self.row.merged), 0)

    def unknown(self) -> Iterator[tuple[str, str]]:
        """Yield heading and text of the cells whose columns are not known."""
        for at in range(self._width):
            if (at >= len(self.table.keys) or not self.table.keys[at]) and (text := self.text_at(at)):
                heading = self.table.headings[at] if at < len(self.table.headings) else ""
                yield " ".join(heading.split()) or f"column {at + 1}", text

    @property
    def whole(self) -> str:
        """The row as text, each cell with its heading, but what the file came with: for what is not kept elsewhere."""
        shown = []
        for at in range(len(self.row.cells)):
            if at < len(self.table.keys) and self.table.keys[at] in _CAME_WITH_IT:
                continue
            heading = " ".join(self.table.headings[at].split()) if at < len(self.table.headings) else ""
            if text := self.text_at(at):
                shown.append(f"{heading} {text}".strip())
        return ", ".join(shown)


def number_of(text: str) -> int:
    """Return the number in '3', '3.0', 'Point 3' or 'P3'; 0 where there is none."""
    match = _NUMBER.fullmatch(text)
    return int(match["number"]) if match else 0


def is_remark(cells: RowCells) -> bool:
    """Whether a row is a remark: words in one or two cells, and no route, visit and point that go with them."""
    texts = [text for at in range(len(cells.row.cells)) if (text := cells.text_at(at)) and not _MARK.search(text)]
    in_keys = [cells.text(key) for key in ("route", "visit", "point") if cells.text(key)]
    return len(texts) <= 2 and len(in_keys) <= 1 and any(_WORD.search(text) for text in texts)


def of_other_season(cells: RowCells, season: FieldSeason) -> bool:
    """Whether a row says that it is of another season: by what names the season for good, else by its name."""
    said = cells.text("season")
    named = _MARK.search(said)
    if named:
        return named["code"] != season.form.identity[:8]
    return said not in ("", season.form.season)


def carried_down(cells: RowCells, carried: Carried) -> tuple[str, str]:
    """Return what a row says of its route and visit; where nothing, what stands above, as far as a line over all."""
    if cells.below_section:
        carried.route = carried.visit = ""
    route, visit = cells.text("route"), cells.text("visit")
    if cells.filled and ((not route and carried.route) or (not visit and carried.visit)):
        carried.rows.append(cells.row.place)
    carried.route, carried.visit = route or carried.route, visit or carried.visit
    return carried.route, carried.visit


def table_rows(table: FieldGrid) -> Sequence[RowCells]:
    """Return the rows of a table."""
    return [RowCells(table, row) for row in table.rows]
