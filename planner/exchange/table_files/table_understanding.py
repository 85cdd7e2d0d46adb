"""What is said of a table: its columns, how its places are written, what is doubtful, what a person may choose."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from planner.exchange.coordinates import CoordinateError
from planner.exchange.importers import Choices, ColumnUse, Doubt, Offer, Understanding
from planner.exchange.point_names import proposed_code
from planner.exchange.table_files.column_guessing import meanings_of
from planner.exchange.table_files.grids import Grid
from planner.exchange.table_files.layouts import Layout
from planner.exchange.table_files.places import Places
from planner.exchange.table_files.remark_rows import left_out_doubts
from planner.exchange.table_files.table_faults import needs_zone
from planner.exchange.table_files.table_fit import Fit
from planner.exchange.table_files.tables import Row
from planner.exchange.table_files.utm import UnsureZoneError, zone_of

_MOST_DOUBTS = 6
"""Rows that are named for one reason; the others are counted."""
_LOOKED_AT = 50
"""Rows in which an example of a column is looked for."""
_MOST_SHOWN = 60
"""Letters of an example."""


@dataclass(frozen=True, slots=True)
class TableRead:
    """A table and how it was read."""

    grid: Grid
    fit: Fit
    rows: tuple[Row, ...]
    places: Places
    others: tuple[Grid, ...]
    """The other sheets of the workbook."""


def understood_table(table: TableRead, layout: Layout, choices: Choices) -> Understanding:
    """Return what is said of a table."""
    ways = table.places.ways.most_common()
    lacks = {column for column in table.fit.columns.missing if column == "route"}
    if needs_zone(table.fit.columns, choices):
        lacks.add("utm_zone")
    return Understanding(
        columns=tuple(_uses(table)),
        coordinates=" and ".join(way for way, _ in ways),
        doubts=(
            *_header_doubts(table),
            *left_out_doubts(table.grid, choices),
            *_cell_doubts(table),
            *_way_doubts(ways),
        ),
        offers=(
            *table.fit.columns.offers(choices),
            *_order_offers(table, layout, choices),
            *_zone_offers(table, choices),
            *swap_offers(table.places),
            *_sheet_offers(table, choices),
        ),
        lacks=frozenset(lacks),
        metres=_first_metres(table) if "utm_zone" in lacks else ("", ""),
        meanings=meanings_of(layout),
    )


def _first_metres(table: TableRead) -> tuple[str, str]:
    """Return the first easting and northing that stand beside each other."""
    held = table.fit.columns.meanings
    if not {"easting", "northing"} <= set(held):
        return "", ""
    at = held.index("easting"), held.index("northing")
    below = table.grid.rows[table.fit.header + 1 : table.fit.header + 1 + _LOOKED_AT]
    pairs = ((row.cells[at[0]], row.cells[at[1]]) for row in below if max(at) < len(row.cells))
    return next((pair for pair in pairs if all(pair)), ("", ""))


def _uses(table: TableRead) -> Iterator[ColumnUse]:
    """Yield each column that is headed, with the first of its cells that is not empty."""
    fit = table.fit
    below = table.grid.rows[fit.header + 1 : fit.header + 1 + _LOOKED_AT]
    for at, (one, meaning) in enumerate(zip(fit.columns.headings, fit.columns.meanings, strict=True)):
        if one.text:
            cells = (row.cells[at] for row in below if at < len(row.cells) and row.cells[at])
            yield ColumnUse(one.text, meaning, next(cells, "")[:_MOST_SHOWN])


def _header_doubts(table: TableRead) -> Iterator[Doubt]:
    fit = table.fit
    if fit.header:
        where = fit.grid.rows[fit.header].place
        yield Doubt(where, "the headings were found here; what stands above was left out")
    if fit.columns.axes:
        latitude, longitude = fit.columns.of("latitude"), fit.columns.of("longitude")
        if latitude is not None and longitude is not None:
            said = f"'{latitude.text}' was taken for the latitude and '{longitude.text}' for the longitude, as on maps"
            yield Doubt("header row", said)
    for meaning, headings in fit.columns.unsure.items():
        said = f"several columns could be the {meaning}, none was taken: {', '.join(map(repr, headings))}"
        yield Doubt("header row", said)
    if table.others:
        names = ", ".join(f"'{one.sheet}'" for one in table.others)
        yield Doubt("", f"the sheet '{table.grid.sheet}' was read; not read: {names}")
    if table.grid.formulas:
        count = table.grid.formulas
        cells = "1 cell holds a formula" if count == 1 else f"{count} cells hold formulas"
        yield Doubt("", f"{cells}: the value that was kept when the workbook was saved was taken")


def _cell_doubts(table: TableRead) -> Iterator[Doubt]:
    """Point out texts that look like formulas, and telephone numbers that a workbook holds as numbers."""
    formulas = [row.where(name) for row in table.rows for name, text in row.cells.items() if text.startswith("=")]
    yield from _named(formulas, "begins with '=': it is kept as text, no formula is worked out")
    meanings = table.fit.columns.meanings
    if "telephone" in meanings:
        at = meanings.index("telephone")
        numbers = [row.place for row in table.grid.rows if at in row.numbers]
        yield from _named(numbers, "the telephone number is kept as a number, which has lost any 0 before it")


def _named(places: Sequence[str], what: str) -> Iterator[Doubt]:
    yield from (Doubt(place, what) for place in places[:_MOST_DOUBTS])
    if len(places) > _MOST_DOUBTS:
        yield Doubt(f"{len(places) - _MOST_DOUBTS} more rows", what)


def _way_doubts(ways: Sequence[tuple[str, int]]) -> Iterator[Doubt]:
    if len(ways) > 1:
        said = ", ".join(f"{way} ({count} row{'' if count == 1 else 's'})" for way, count in ways)
        yield Doubt("", f"coordinates are written in several ways: {said}")


def _order_offers(table: TableRead, layout: Layout, choices: Choices) -> Iterator[Offer]:
    """Offer to number points as they stand, and to take all for one route, whose code the file's name may give."""
    missing = set(table.fit.columns.missing) if "point" in layout.required else set()
    numberless = "point" in missing or _without_numbers(table)
    code = proposed_code(Path(table.grid.source).stem) if "route" in missing else ""
    by_order = replace(choices, number_by_order=True) if numberless and not choices.number_by_order else choices
    if code:
        words = f"Take every row as a point of route {code}"
        words += ", numbered as they stand" if by_order is not choices else ""
        yield Offer(words, replace(by_order, route=code))
    elif by_order is not choices:
        yield Offer("Number the points of each route as they stand", by_order)


def _without_numbers(table: TableRead) -> bool:
    """Whether the column of numbers is there and holds none."""
    held = [row.cells["point"] for row in table.rows if "point" in row.cells]
    return bool(held) and not any(held)


def _zone_offers(table: TableRead, choices: Choices) -> Iterator[Offer]:
    unsure = set(table.places.unsure_zones)
    try:
        if table.fit.columns.utm_zone:
            zone_of(table.fit.columns.utm_zone)
    except UnsureZoneError as error:
        unsure.add(error.number)
    except CoordinateError:
        return
    if len(unsure) == 1 and not choices.utm_zone:
        number = unsure.pop()
        for letter, side in (("N", "north"), ("S", "south")):
            words = f"Read the metres in UTM zone {number}, {side} of the equator"
            yield Offer(words, replace(choices, utm_zone=f"{number}{letter}"))


def swap_offers(places: Places) -> Iterator[Offer]:
    """Offer to swap latitude and longitude, where a row gives no place as it stands and gives one swapped."""
    wrong, choices = places.only_swapped, places.choices
    if not wrong:
        return
    if not places.unswappable and not choices.swap_at:
        yield Offer("Swap latitude and longitude of the whole file", replace(choices, swap=True))
    if len(wrong) < places.rows:
        more = f" and {len(wrong) - _MOST_DOUBTS} more" if len(wrong) > _MOST_DOUBTS else ""
        words = f"Swap latitude and longitude on {', '.join(wrong[:_MOST_DOUBTS])}{more} alone"
        yield Offer(words, replace(choices, swap_at=choices.swap_at | set(wrong)))


def _sheet_offers(table: TableRead, choices: Choices) -> Iterator[Offer]:
    for other in table.others:
        yield Offer(f"Read the sheet '{other.sheet}' instead", replace(choices, sheet=other.sheet))
