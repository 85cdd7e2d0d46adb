"""Which kind of table a file holds: for each layout how well the headings fit, the best first."""

from __future__ import annotations

import codecs
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from planner.exchange.importers import HEAD_BYTES, WANTED, Choices, Head, SourceKind
from planner.exchange.source_text import as_text
from planner.exchange.table_files.column_guessing import PLACE_COLUMNS, Columns, guess_columns
from planner.exchange.table_files.condition_tables import CONDITIONS
from planner.exchange.table_files.grids import HEADER_WITHIN, Grid, begun_grids
from planner.exchange.table_files.layouts import Layout, plain_name
from planner.exchange.table_files.route_tables import POINTS, ROUTES
from planner.exchange.table_files.volunteer_tables import AVAILABILITY, PERSON_COLUMNS, VOLUNTEERS
from planner.exchange.table_files.weather_tables import CHANCES, EVENINGS
from planner.exchange.table_files.workbooks import is_workbook, workbook_grids

LAYOUTS: Mapping[SourceKind, Layout] = {
    SourceKind.POINTS: POINTS,
    SourceKind.ROUTES: ROUTES,
    SourceKind.VOLUNTEERS: VOLUNTEERS,
    SourceKind.AVAILABILITY: AVAILABILITY,
    SourceKind.EVENINGS: EVENINGS,
    SourceKind.CHANCES: CHANCES,
    SourceKind.CONDITIONS: CONDITIONS,
}
_MOST_COLUMNS = 1_000
"""A row of more cells heads no table here."""
_FITS = 0.5
"""Below that a table is of another kind."""
_HALF = 0.62
"""Of a table that says where points are, but not of which route or in which order, or the other way round: a little
less than a table of volunteers with one of its four columns misspelt, more than one of routes with places beside."""
_PLACES_BESIDE = 0.8


@dataclass(frozen=True, slots=True)
class Fit:
    """A table held against a layout."""

    grid: Grid
    """Its beginning."""
    header: int
    """Position of the headings among the rows."""
    columns: Columns
    value: float
    """How well it fits: above 1 where it can be read."""


@lru_cache(maxsize=8)
def best_fits(head: Head) -> Mapping[SourceKind, Fit]:
    """Return the kind of table that a file holds, with its fit; empty where it is none.

    Of a workbook the first sheet that can be read as any kind of table counts.

    Raises:
        InputError: the file is neither text nor a workbook, or is broken.
    """
    best: dict[SourceKind, Fit] = {}
    for grids in _tables_of(head):
        fits = {kind: fit_of(grids, layout, head.choices) for kind, layout in LAYOUTS.items()}
        kind = max(fits, key=lambda one: fits[one].value)
        if not best or fits[kind].value > 1:
            best = {kind: fits[kind]}
        if fits[kind].value > 1:
            break
    return {kind: fit for kind, fit in best.items() if fit.value > _FITS}


def fit_of(grids: Iterable[Grid], layout: Layout, choices: Choices) -> Fit:
    """Return the best fit of a table to a layout: over what may part its cells, and where its headings may stand."""
    return max((fit for grid in grids for fit in _fits(grid, layout, choices)), key=lambda fit: fit.value)


def head_text(head: Head) -> str:
    """Return the whole lines of a beginning as text; raises InputError where it is none."""
    return as_text(_whole_lines(head.data), head.path, WANTED, head.choices.encoding)


def _tables_of(head: Head) -> Iterator[tuple[Grid, ...]]:
    """Yield each table of a file, in each way in which it may be parted."""
    if not is_workbook(head.path):
        yield tuple(begun_grids(head_text(head), head.path))
        return
    for grid in workbook_grids(head.path, sheet=head.choices.sheet, begun=True):
        yield (grid,)


def _fits(grid: Grid, layout: Layout, choices: Choices) -> Iterator[Fit]:
    yield Fit(grid, 0, guess_columns((), layout, choices), 0.0)
    rows = grid.rows[:HEADER_WITHIN]
    for at, row in enumerate(rows):
        if len(row.cells) > _MOST_COLUMNS:
            continue
        sample = rows[at + 1].cells if at + 1 < len(rows) else ()
        columns = guess_columns(row.cells, layout, choices, sample)
        yield Fit(grid, at, columns, _value(columns, layout))
        if columns.complete:
            return


def _value(columns: Columns, layout: Layout) -> float:
    headings = [use.column for use in columns.uses]
    names = {plain_name(one) for one in headings}
    known = {plain_name(column) for column in layout.columns}
    required = {plain_name(column) for column in layout.required}
    exact = len(names & required) / len(required) - len(names - known) / max(len(names), 1) / 2
    if "latitude" not in layout.required and names - known and _has_places(columns, layout):
        return exact * _PLACES_BESIDE
    if layout is VOLUNTEERS and not names <= known and not set(columns.meanings) & PERSON_COLUMNS:
        return exact
    if columns.complete:
        return 1 + sum(1 for use in columns.uses if use.meaning) / len(headings)
    half = (
        set(columns.missing) <= {"route", "point"}
        or set(columns.meanings) >= {"route", "point"}
        or any(one.other_datum for one in columns.headings)
    )
    return max(exact, _HALF if layout is POINTS and half else 0.0)


def _has_places(columns: Columns, layout: Layout) -> bool:
    beside = Layout(layout.name, ("latitude", "longitude"), ())
    own = guess_columns([one.text for one in columns.headings], beside, Choices())
    return own.complete and bool(set(own.meanings) & set(PLACE_COLUMNS))


def _whole_lines(head: bytes) -> bytes:
    """Cut a head that the buffer ended to whole lines, so that no letter is cut in two."""
    if len(head) < HEAD_BYTES:
        return head
    end = head.rfind(b"\n") + 1
    if head.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        end += end % 2  # The two bytes of a letter stay together.
    return head[:end] if end else head
