"""Habitat sheets from the rows of a table that came back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from planner.domain.field.habitat_sheet import MOST_FIGURE, Cover, SheetKey, Side, UnreadCell
from planner.exchange.field_files.bad_cells import Unclear
from planner.exchange.field_files.field_season import FieldSeason
from planner.exchange.field_files.figures_in_cells import (
    Share,
    animals,
    in_percent,
    is_figure,
    of_fractions,
    percent_of,
    share,
)
from planner.exchange.field_files.form import CLASS, unread_name
from planner.exchange.field_files.parts import COVER, PartName, PartValue, Said
from planner.exchange.field_files.row_cells import Carried, RowCells, carried_down
from planner.exchange.field_files.row_names import RowNames, row_names

_SIDES: Mapping[str, Side] = {
    **dict.fromkeys(("left", "l", "links", "left side"), Side.LEFT),
    **dict.fromkeys(("right", "r", "rechts", "right side"), Side.RIGHT),
    **dict.fromkeys(("circle", "", "both", "all"), Side.CIRCLE),
}


@dataclass(slots=True)
class _Row:
    """One row that is being read."""

    cells: RowCells
    season: FieldSeason
    names: RowNames
    side: Side
    fractions: bool
    """Whether the figures of its whole table are shares of 1."""
    parts: dict[PartName, PartValue]
    unread: list[UnreadCell]

    def lose(self, key: str, text: str) -> None:
        """Keep with the sheet what could not be read."""
        self.unread.append(UnreadCell(unread_name(key, self.side), text))


def habitat_said(rows: Sequence[RowCells], season: FieldSeason, carried: Carried) -> Iterator[Said]:
    """Yield what each row says of a sheet; rows that nobody wrote into say nothing.

    What is amiss is noted in the rows.

    Args:
        rows: those that hold something, remarks left out.
        season: what they are held against.
        carried: what the rows above were of, for cells that were merged.
    """
    fractions = of_fractions([one for cells in rows for one in _shares_in(cells)])
    for cells in rows:
        if not cells.filled:
            carried_down(cells, carried)
            continue
        names = row_names(cells, season, carried, point=True)
        if names is not None:
            cells.subject = str(names)
            said = _said(cells, season, names, fractions=fractions)
            if said is not None:
                yield said


def _said(cells: RowCells, season: FieldSeason, names: RowNames, *, fractions: bool) -> Said | None:
    side = _side(cells, season)
    if side is None:
        return None
    row = _Row(cells, season, names, side, fractions, {}, [])
    observer = _observer(row)
    _read_classes(row)
    _read_date(row)
    _read_figures(row)
    _read_words(row)
    key = SheetKey(names.route, names.visit, names.point, observer)
    places = dict.fromkeys(row.parts, cells.where)
    return Said(key, row.parts, places, cells.table.grid.source, tuple(row.unread))


def _side(cells: RowCells, season: FieldSeason) -> Side | None:
    """Return which estimate a row is; None after noting that it does not say."""
    asked = season.form.sides
    if len(asked) == 1:
        return asked[0]
    side = _SIDES.get(cells.text("side").casefold())
    if side in asked:
        return side
    todo = "The row was not kept: write the side, and record the file again."
    cells.note("side", "left or right", todo, stood=f"{cells.text('side') or 'nothing'} (the row: {cells.whole})")
    return None


def _observer(row: _Row) -> str:
    """Return who estimated; where nobody is named, who is planned to lead the visit."""
    text = row.cells.text("observer")
    lead = row.season.lead_of(row.names.route, row.names.visit)
    if not text:
        return lead
    code = row.season.person_called(text)
    if not code:
        row.cells.note("observer", "the code or the name of a volunteer of this season", "Write the code.")
        row.lose("observer", text)
    return code or lead


def _shares_in(cells: RowCells) -> Iterator[Share]:
    for key in cells.table.keys:
        if key.startswith(CLASS) and is_figure(text := cells.text(key)) and not text.startswith("="):
            one = share(text)
            if one is not None:
                yield one


def _read_classes(row: _Row) -> None:
    """Read the percentages: each by itself first, then by what the others of the row say of it."""
    found: dict[str, Share] = {}
    keys = [key for key in row.cells.table.keys if key.startswith(CLASS)]
    for key in keys:
        one = row.cells.read(key, share)
        if one is not None:
            found[key] = one
        elif row.cells.text(key):
            row.lose(key, row.cells.text(key))
    fractions = row.fractions or of_fractions(list(found.values()))
    percents = dict(_percents(row, found, fractions=fractions))
    if percents:
        cover = Cover.of(row.side, ((key.removeprefix(CLASS), percent) for key, percent in percents.items()))
        row.parts[COVER, row.side.value] = cover


def _percents(row: _Row, found: Mapping[str, Share], *, fractions: bool) -> Iterator[tuple[str, int]]:
    for key, one in found.items():
        others = sum(in_percent(two, fractions=fractions) for other, two in found.items() if other != key)
        try:
            yield key, percent_of(one, fractions=fractions, others=others)
        except Unclear as unclear:
            row.cells.note(key, unclear.expected, unclear.todo)
            row.lose(key, row.cells.text(key))


def _read_date(row: _Row) -> None:
    date = row.cells.date("date", row.season)
    if date is not None:
        row.parts["date",] = date
    elif row.cells.text("date"):
        row.lose("date", row.cells.text("date"))


def _read_figures(row: _Row) -> None:
    grazed = row.cells.read("grazed", lambda text: _grazed(row, text))
    livestock = row.cells.read("livestock", animals)
    for key, figure in (("grazed", grazed), ("livestock", livestock)):
        if figure is not None:
            row.parts[key,] = figure
        elif row.cells.text(key):
            row.lose(key, row.cells.text(key))


def _grazed(row: _Row, text: str) -> int | None:
    one = share(text)
    if one is None:
        return None
    whole = percent_of(one, fractions=row.fractions, others=100)
    if not 0 <= whole <= MOST_FIGURE:
        raise Unclear("a whole percentage from 0 to 100", "Correct the figure.")
    return whole


def _read_words(row: _Row) -> None:
    """Read the words; below headings that are not known, figures stay as they are and words join the note."""
    more = []
    for heading, text in row.cells.unknown():
        if is_figure(text):
            row.unread.append(UnreadCell(heading, text))
        else:
            more.append(f"{heading}: {text}")
    note = "; ".join(part for part in (row.cells.text("note"), *more) if part)
    species = row.cells.read("species", str)
    if species is None:
        row.lose("species", row.cells.text("species"))
    for key, words in (("note", note), ("species", species)):
        if words:
            row.parts[key,] = words
