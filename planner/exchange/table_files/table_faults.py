"""What is wrong with the headings of a table, before any row of it is read."""

from __future__ import annotations

import difflib

from planner.exchange.coordinates import CoordinateError
from planner.exchange.faults import FaultList
from planner.exchange.importers import Choices
from planner.exchange.table_files.column_guessing import PLACE_COLUMNS, Columns, meanings_of
from planner.exchange.table_files.layouts import Layout, plain_name
from planner.exchange.table_files.table_fit import Fit
from planner.exchange.table_files.tables import unknown_words
from planner.exchange.table_files.utm import zone_of

_NEAR = 0.8
"""How like a heading must be to the name of a column to be taken for a slip; difflib's ratio, our choice."""


def judge_header(fit: Fit, layout: Layout, choices: Choices, faults: FaultList) -> bool:
    """Note what is wrong with the headings, and return whether the rows can be read at all."""
    columns = fit.columns
    where = "header row" if not fit.header else f"header in {_place(fit)}"
    _judge_chosen(columns, layout, choices, where, faults)
    _judge_doubled(columns, where, faults)
    _judge_datums(columns, where, faults)
    if columns.missing:
        _judge_missing(columns, layout, where, faults)
    else:
        _judge_slips(columns, layout, where, faults)
        _judge_zone(columns, choices, where, faults)
    return not len(faults)


def needs_zone(columns: Columns, choices: Choices) -> bool:
    """Whether the table has UTM metres, and nothing says in which zone."""
    return "easting" in columns.meanings and not (
        choices.utm_zone or columns.utm_zone or "utm_zone" in columns.meanings
    )


def _place(fit: Fit) -> str:
    return fit.grid.rows[fit.header].place if fit.header < len(fit.grid.rows) else "the table"


def _judge_chosen(columns: Columns, layout: Layout, choices: Choices, where: str, faults: FaultList) -> None:
    known = meanings_of(layout)
    headings = [one.text for one in columns.headings]
    for meaning, text in choices.columns.items():
        if meaning not in known:
            faults.add(where, f"one of {', '.join(sorted(known))}", repr(meaning), "Say what the column holds.")
        elif text and plain_name(text) not in map(plain_name, headings):
            found = f"the columns {', '.join(map(repr, headings[:12]))}"
            faults.add(where, f"the column {text!r} that was chosen for {meaning}", found, "Choose one of these.")


def _judge_doubled(columns: Columns, where: str, faults: FaultList) -> None:
    for meaning, headings in columns.doubled.items():
        found = " and ".join(map(repr, headings))
        if len({plain_name(one) for one in headings}) == 1:
            faults.add(where, "each column once", f"{meaning} twice", "Keep one of each.")
        else:
            faults.add(where, f"one column for the {meaning}", found, "Say which of them to take.")


def _judge_datums(columns: Columns, where: str, faults: FaultList) -> None:
    if "latitude" not in columns.missing and not set(columns.meanings) & {"easting", "place", "latitude"}:
        return
    for one, meaning in zip(columns.headings, columns.meanings, strict=True):
        if one.other_datum and (meaning in PLACE_COLUMNS or "latitude" in columns.missing):
            todo = "Convert them to degrees on WGS84, which GPS units and web maps use, and export the table again."
            faults.add(where, "coordinates on WGS84", f"{one.text!r}, another datum or grid", todo)


def _judge_missing(columns: Columns, layout: Layout, where: str, faults: FaultList) -> None:
    wanted = f"the columns {', '.join(layout.required)} (and if wanted {', '.join(layout.optional)})"
    todo = f"Add {'it' if len(columns.missing) == 1 else 'them'} to the first line, or say which column it is."
    faults.add(where, wanted, f"no column {', '.join(columns.missing)}", todo)
    if columns.unused:
        faults.add(where, wanted, unknown_words(columns.unused, layout), "Rename or remove what is not among them.")


def _judge_slips(columns: Columns, layout: Layout, where: str, faults: FaultList) -> None:
    """Refuse a heading that is nearly that of a column: left out in silence, it would be missed."""
    free = [column for column in layout.optional if column not in columns.meanings]
    for text in columns.unused:
        near = difflib.get_close_matches(plain_name(text), [plain_name(column) for column in free], 1, _NEAR)
        if near:
            column = next(column for column in free if plain_name(column) == near[0])
            faults.add(where, f"the column {column}", f"unknown: {text!r} (meant {column}?)", "Rename or remove it.")


def _judge_zone(columns: Columns, choices: Choices, where: str, faults: FaultList) -> None:
    expected = "the UTM zone of the metres: a heading such as 'Easting (UTM 30N)', or a column 'UTM zone'"
    if needs_zone(columns, choices):
        faults.add(where, expected, "no zone", "Say which zone they are in.")
    elif columns.utm_zone and not choices.utm_zone and "easting" in columns.meanings:
        try:
            zone_of(columns.utm_zone)
        except CoordinateError as error:
            faults.add(where, error.expected, error.found, "Say on which side of the equator it lies.")
