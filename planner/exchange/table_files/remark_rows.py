"""Rows of a table that are remarks and nothing else: found, to be left out once a person says so, never before."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from planner.domain.errors import Fault
from planner.exchange.faults import FaultList
from planner.exchange.importers import Choices, Doubt, Offer
from planner.exchange.point_names import is_code
from planner.exchange.table_files.grids import Grid, GridRow
from planner.exchange.table_files.layouts import Layout

_MOST_SHOWN = 6
"""Rows that are named in an offer; the others are counted."""
_LONGEST = 40
"""Letters of a remark that are shown."""
_LETTER = re.compile(r"[^\W\d_]")


def without_left_out(grid: Grid, header: int, choices: Choices, faults: FaultList) -> Grid:
    """Return a table without the rows that a person chose to leave out; one that is not there is noted.

    Args:
        grid: the table.
        header: position of its header: neither that nor what stands above it can be left out.
        choices: what a person decided.
        faults: gathers what is wrong.
    """
    if not choices.leave_out:
        return grid
    below = grid.rows[header + 1 :]
    for where in sorted(choices.leave_out - {row.place for row in below}):
        example = below[-1].place if below else "row 14"
        faults.add(where, f"a row under the headings to leave out, such as '{example}'", "no such row", "Name another.")
    kept = tuple(row for row in below if row.place not in choices.leave_out)
    return replace(grid, rows=(*grid.rows[: header + 1], *kept))


def left_out_doubts(grid: Grid, choices: Choices) -> Iterator[Doubt]:
    """Yield what was left out of a whole table, row by row."""
    left_out = [row for row in grid.rows if row.place in choices.leave_out]
    yield from (Doubt(row.place, f"left out, as was chosen: {_shown(row)}") for row in left_out[:_MOST_SHOWN])
    if len(left_out) > _MOST_SHOWN:
        yield Doubt(f"{len(left_out) - _MOST_SHOWN} more rows", "left out, as was chosen")


def leave_out_offers(
    rows: Sequence[GridRow], faults: Sequence[Fault], layout: Layout, choices: Choices
) -> Iterator[Offer]:
    """Offer to leave out the rows that hold text in one cell alone and cannot be what the table is of.

    A row that only lacks something, such as a point without its coordinates, is not among them: it holds a code or
    a figure. Of a table of routes, whose rows need a code alone, several words in place of one are a remark.

    Args:
        rows: those below the header, also those that are left out already.
        faults: what is wrong with the others.
        layout: what kind of table it is.
        choices: what a person decided already.
    """
    faulty = {fault.where.partition(", column ")[0] for fault in faults}
    gone = choices.leave_out & {row.place for row in rows}
    short = layout.required == ("route", "name")
    rows = [row for row in rows if row.place not in gone]
    remarks = [row for row in rows if _is_remark(row) and (row.place in faulty or (short and " " in _text(row)))]
    if not remarks or len(remarks) == len(rows):
        return
    named = ", ".join(f"{row.place}: {_shown(row)}" for row in remarks[:_MOST_SHOWN])
    more = f" and {len(remarks) - _MOST_SHOWN} more" if len(remarks) > _MOST_SHOWN else ""
    are = "1 row that is" if len(remarks) == 1 else f"{len(remarks)} rows that are"
    words = f"Leave out the {are} no {layout.entry} ({named}{more})"
    yield Offer(words, replace(choices, leave_out=gone | {row.place for row in remarks}))


def _is_remark(row: GridRow) -> bool:
    text = _text(row)
    return sum(map(bool, row.cells)) == 1 and _LETTER.search(text) is not None and not is_code(text)


def _text(row: GridRow) -> str:
    return " ".join(cell for cell in row.cells if cell)


def _shown(row: GridRow) -> str:
    text = _text(row)
    return repr(text if len(text) <= _LONGEST else f"{text[: _LONGEST - 1]}…")
