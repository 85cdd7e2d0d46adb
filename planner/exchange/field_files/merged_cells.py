"""Merged cells of a filled-in workbook: what of them is taken for every row, and what is asked back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from planner.exchange.field_files.figures_in_cells import is_figure
from planner.exchange.table_files.grids import HEADER_WITHIN, Grid, GridRow, Merged

CARRIED = frozenset({"route", "visit"})
"""Columns that every row takes from the one above, merged or not."""
_NAMES = frozenset({"season", "side", "pass", "date", "observer", "team"})
"""Columns that say what a row is of: one merged over several rows holds for each of them."""
_WORDS = frozenset({"note", ""})
"""Free words, also below headings that are not ours: they are put down with each row they were written beside."""
_WITHOUT_VALUES = _NAMES | _WORDS | CARRIED | {"point", "species", "sum", "rest"}
_TOLD_APART = frozenset({"side", "pass"})
"""Where a table has one of these, one point has several rows, and its number may be merged over them."""
_OF_SHEET = frozenset({"grazed", "livestock", "species"})
"""Columns that are of a point as a whole, where each side of the road has a row of its own."""
_SECTION = 3
"""Columns, the first among them, that a line is merged over where it heads the rows below."""


def filled_from(merged: Merged, keys: Sequence[str]) -> bool:
    """Whether every row below the first is shown what stands in a merged cell."""
    key = key_at(keys, merged.positions[0])
    return key not in CARRIED and (key != "point" or bool(_TOLD_APART & set(keys)))


def key_at(keys: Sequence[str], at: int) -> str:
    """Return what a column holds; empty where that is not known."""
    return keys[at] if at < len(keys) else ""


def is_shared(merged: Merged, keys: Sequence[str]) -> bool:
    """Whether a merged cell is a figure for several rows or several columns: which of them it is of cannot be told."""
    covered = [key_at(keys, at) for at in range(merged.positions[0], merged.positions[1] + 1)]
    values = sum(key not in _WITHOUT_VALUES for key in covered)
    if merged.many_rows:
        return values > 0 or covered[0] == "species"
    return values > 1


def of_one_sheet(rows: Sequence[GridRow], keys: Sequence[str]) -> frozenset[Merged]:
    """Return the merged figures that belong to one point, over the rows of its two sides: nothing is unclear there."""
    if "side" not in keys or "point" not in keys:
        return frozenset()
    points: dict[Merged, set[tuple[str, ...]]] = {}
    for row in rows:
        for one in row.merged:
            if key_at(keys, one.positions[0]) in _OF_SHEET and one.positions[0] == one.positions[1]:
                names = tuple(_shown(row, keys.index(key)) for key in ("route", "visit", "point") if key in keys)
                points.setdefault(one, set()).add(names)
    return frozenset(one for one, found in points.items() if len(found) == 1)


def _shown(row: GridRow, at: int) -> str:
    own = row.cells[at] if at < len(row.cells) else ""
    return own or next((one.text for one in row.merged if one.covers(at)), "")


def is_section(row: GridRow) -> bool:
    """Whether a row is one line over several columns: what stands above it then says nothing of the rows below."""
    return any(one.positions[0] == 0 and one.positions[1] + 1 >= _SECTION for one in row.merged if not one.many_rows)


def taken_words(rows: Sequence[GridRow], keys: Sequence[str]) -> Iterator[str]:
    """Yield, for each merged cell that was taken for several rows, what was done."""
    for one in dict.fromkeys(one for row in rows for one in row.merged if one.many_rows):
        key = key_at(keys, one.positions[0])
        if filled_from(one, keys) and not is_shared(one, keys) and key not in ("season", "sum", "rest"):
            yield f"{one.name} is one merged cell; {one.text!r} was taken for each of its rows."


def headed(row: GridRow) -> GridRow:
    """Return a row of headings with those that are merged from a row above it."""
    cells = list(row.cells)
    for one in row.merged:
        at = one.positions[0]
        cells += [""] * (at + 1 - len(cells))
        if one.many_rows and not cells[at]:
            cells[at] = one.text
    return replace(row, cells=tuple(cells))


def with_head(grid: Grid, row: GridRow) -> tuple[Grid, GridRow, tuple[GridRow, ...]]:
    """Return a table whose headings stand in one row, that row, and rows without figures that were part of the head.

    Args:
        grid: the table.
        row: the row of it whose headings were understood.
    """
    if not row.merged:
        return grid, row, ()
    head = headed(row)
    at = grid.rows.index(row)
    own = {one for one in row.merged if one.many_rows and one.rows[1] - one.rows[0] < HEADER_WITHIN}
    below = grid.rows[at + 1 :]
    more = tuple(one for one in below[:HEADER_WITHIN] if own & set(one.merged) and not any(map(is_figure, one.cells)))
    rest = tuple(one for one in below if one not in more)
    return replace(grid, rows=(*grid.rows[:at], head, *rest)), head, more


def spread_headings(head: GridRow, keys: Sequence[str], below: Sequence[GridRow]) -> Iterator[Merged]:
    """Yield headings that are merged over several columns of figures, so that none of these is told by it."""
    for one in head.merged:
        others = range(one.positions[0] + 1, one.positions[1] + 1)
        key = key_at(keys, one.positions[0])
        if (
            key
            and key not in _WITHOUT_VALUES
            and any(at < len(row.cells) and row.cells[at] and not key_at(keys, at) for row in below for at in others)
        ):
            yield one
