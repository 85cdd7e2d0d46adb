"""Visit records from the rows of the two tables that came back: of visits, and of the counts at their points."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial

from planner.domain.conditions import Condition
from planner.domain.field.habitat_sheet import UnreadCell
from planner.domain.field.visit_record import RecordKey
from planner.domain.plan import VisitKey
from planner.domain.weather import Quantity
from planner.exchange.field_files.bad_cells import Unclear
from planner.exchange.field_files.clocks_in_cells import clock, moment
from planner.exchange.field_files.field_season import FieldSeason
from planner.exchange.field_files.figures_in_cells import condition, is_figure, kilometres, stopped_by, yes_or_no
from planner.exchange.field_files.form import FIRST, LAST
from planner.exchange.field_files.naming_columns import near_name
from planner.exchange.field_files.parts import COUNT, KM, STRANGE_COLUMN, PartName, PartValue, Said, words_of
from planner.exchange.field_files.row_cells import Carried, RowCells, carried_down, number_of
from planner.exchange.field_files.row_names import RowNames, row_names

_COUNT_TIMES = ("arrived", "began", "ended")


@dataclass(slots=True)
class Evenings:
    """On which evening each visit was, as the rows of visits say; rows of counts leave it to them.

    Where a file has none of a visit, as a table of counts alone has not, the files that came with it are asked.
    """

    season: FieldSeason
    recorded: Mapping[VisitKey, tuple[dt.date, ...]]
    """Of the records that the season holds already."""
    told: dict[VisitKey, list[dt.date]] = field(default_factory=dict)
    """By rows that somebody wrote into."""
    meant: dict[VisitKey, list[dt.date]] = field(default_factory=dict)
    """By rows that are as they were."""
    beside: Evenings | None = None
    """What all files that came together say."""

    def of(self, key: VisitKey) -> dt.date | None:
        """Return the evening of a visit; None where nothing says it, or it could be one or the other."""
        planned = self.season.planned.get(key)
        others = (self.beside.told.get(key), self.beside.meant.get(key)) if self.beside is not None else ()
        for dates in (self.told.get(key), self.meant.get(key), *others, self.recorded.get(key)):
            if dates:
                return dates[0] if len(set(dates)) == 1 else None
        return planned.date if planned is not None else None


@dataclass(slots=True)
class _Row:
    """One row that is being read."""

    cells: RowCells
    season: FieldSeason
    key: RecordKey
    parts: dict[PartName, PartValue] = field(default_factory=dict)
    unread: list[UnreadCell] = field(default_factory=list)

    def lose(self, column: str, name: PartName) -> None:
        """Keep with the record what could not be read."""
        self.unread.append(UnreadCell(words_of(name), self.cells.text(column)))

    def time(self, column: str, name: PartName, *, counting: bool) -> None:
        """Read a time of this evening's night."""
        text = self.cells.text(column)

        def read(text: str) -> dt.datetime | None:
            said = clock(text, number=self.cells.is_number(column))
            if said is None:
                return None
            window = self.season.window(self.key.route, self.key.date)
            return moment(said, self.key.date, window, self.season.season.tzinfo, counting=counting)

        at = self.cells.read(column, read)
        if at is not None:
            self.parts[name] = at
        elif text:
            self.lose(column, name)

    def take(self, column: str, name: PartName, value: PartValue | None) -> None:
        """Keep what was read of a cell; where nothing could be, its text."""
        if value is not None:
            self.parts[name] = value
        elif self.cells.text(column):
            self.lose(column, name)

    @property
    def said(self) -> Said:
        """What the row says."""
        places = dict.fromkeys(self.parts, self.cells.where)
        return Said(self.key, self.parts, places, self.cells.table.grid.source, tuple(self.unread))


def visits_said(rows: Sequence[RowCells], evenings: Evenings, carried: Carried) -> Iterator[Said]:
    """Yield what each row says of a visit; its evening is told to the rows of counts, too.

    What is amiss is noted in the rows.

    Args:
        rows: those that hold something, remarks left out.
        evenings: gathers the evenings.
        carried: what the rows above were of, for cells that were merged.
    """
    for cells in rows:
        if not (cells.filled or cells.text("route")):
            carried_down(cells, carried)
            continue
        names = row_names(cells, evenings.season, carried, point=False)
        if names is None:
            continue
        cells.subject = str(names)
        date = _evening(cells, evenings, names, tell=True)
        if date is not None and (cells.filled or cells.text("team")):
            yield _visit(_Row(cells, evenings.season, RecordKey(names.route, names.visit, date)))


def counts_said(rows: Sequence[RowCells], evenings: Evenings, carried: Carried) -> Iterator[Said]:
    """Yield what each row says of one count; rows that nobody wrote into say nothing. See :func:`visits_said`."""
    for cells in rows:
        if not cells.filled:
            carried_down(cells, carried)
            continue
        names = row_names(cells, evenings.season, carried, point=True)
        if names is None:
            continue
        cells.subject = str(names)
        date = _evening(cells, evenings, names, tell=False)
        if date is not None:
            yield _count(_Row(cells, evenings.season, RecordKey(names.route, names.visit, date)), names.point)


def _evening(cells: RowCells, evenings: Evenings, names: RowNames, *, tell: bool) -> dt.date | None:
    """Return the evening of a row; None after noting that nothing says it."""
    key = VisitKey(names.route, names.visit)
    date = cells.date("date", evenings.season)
    if date is not None:
        if tell:
            (evenings.told if cells.filled else evenings.meant).setdefault(key, []).append(date)
        return date
    date = evenings.of(key)
    if date is None:
        kept = "The row was not kept: write the date, and record the file again."
        shown = f"{cells.text('date') or 'nothing'} (the row: {cells.whole})"
        cells.note("date", "the date of the evening, for there is none or more than one to choose", kept, stood=shown)
    return date


def _visit(row: _Row) -> Said:
    cells = row.cells
    row.time("left", ("left",), counting=False)
    row.time("home", ("home",), counting=False)
    _kilometres(row)
    row.take("stopped", ("stopped",), cells.read("stopped", stopped_by))
    row.take("team", ("team",), cells.read("team", lambda text: _team(row.season, text)))
    for when in (FIRST, LAST):
        for quantity, _ in row.season.form.weather:
            column = f"{when}{quantity.value}"
            unit = cells.table.units.get(column, "")
            said = cells.read(column, partial(_condition, quantity, unit))
            row.take(column, (when.strip(), quantity.value), said)
    _note(row, ("note",))
    return row.said


def _kilometres(row: _Row) -> None:
    """Read kilometres and, where the row says so, whose they are: two of one visit may each write down their own."""
    cells = row.cells
    text = cells.text("driver") if cells.text("km") else ""
    code = row.season.person_called(text) if text else ""
    if text and not code:
        cells.note("driver", "the code or the name of a volunteer of this season", "Write the code.")
        row.unread.append(UnreadCell(KM, f"{cells.text('km')} of {text}"))
        return
    row.take("km", (KM, code) if code else (KM,), cells.read("km", kilometres))


def _condition(quantity: Quantity, unit: str, text: str) -> Condition | None:
    return condition(quantity, text, unit)


def _team(season: FieldSeason, text: str) -> tuple[str, ...] | None:
    names = [name.strip() for name in text.replace(" and ", ",").replace("&", ",").replace(";", ",").split(",")]
    codes = [season.person_called(name) for name in names if name]
    if not codes:
        return None
    if not all(codes) or len(codes) > 2 or len(set(codes)) < len(codes):
        raise Unclear("one or two volunteers of this season, by their codes, the lead first", "Write their codes.")
    return tuple(codes)


def _count(row: _Row, point: int) -> Said:
    cells = row.cells
    run = number_of(cells.text("pass")) or 1
    if run > row.season.form.passes:
        cells.note("pass", f"a run from 1 to {row.season.form.passes}", "Correct the figure; it was taken for run 1.")
        run = 1
    where = (COUNT, str(point), str(run))
    for column in _COUNT_TIMES:
        row.time(column, (*where, column), counting=True)
    row.take("done", (*where, "done"), cells.read("done", yes_or_no))
    _note(row, (*where, "note"))
    return row.said


def _note(row: _Row, name: PartName) -> None:
    """Read the note; below headings that are not known, words join it, and what the protocol may ask for is unread."""
    more = []
    for heading, text in row.cells.unknown():
        if is_figure(text) or near_name(heading, row.season.form.columns(row.cells.table.kind)):
            where = f" at point {name[1]}" if name[0] == COUNT else ""
            row.unread.append(UnreadCell(f"{STRANGE_COLUMN}{heading}{where}", text))
        else:
            more.append(f"{heading}: {text}")
    note = "\n".join(part for part in (row.cells.text("note"), *more) if part)
    if note:
        row.parts[name] = note
