"""Tables among the importers: CSV, TSV and the sheets of workbooks, their columns guessed where that is safe."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeAlias

from planner.exchange.faults import FaultList
from planner.exchange.importers import Choices, Head, Reading, SourceKind
from planner.exchange.reads import AnyRead
from planner.exchange.source_text import read_text
from planner.exchange.table_files.condition_tables import conditions_of
from planner.exchange.table_files.grids import Grid, begun_grids, text_grid
from planner.exchange.table_files.layouts import Layout, plain_name
from planner.exchange.table_files.places import Places
from planner.exchange.table_files.remark_rows import leave_out_offers, without_left_out
from planner.exchange.table_files.route_tables import points_of, routes_of
from planner.exchange.table_files.table_faults import judge_header
from planner.exchange.table_files.table_fit import LAYOUTS, Fit, best_fits, fit_of
from planner.exchange.table_files.table_understanding import TableRead, understood_table
from planner.exchange.table_files.tables import Row, rows_of
from planner.exchange.table_files.volunteer_tables import availability_of, volunteers_of
from planner.exchange.table_files.weather_tables import chances_of, evenings_of
from planner.exchange.table_files.workbooks import is_workbook, workbook_grids

_Build: TypeAlias = Callable[[Sequence[Row], FaultList, Places], AnyRead]


@dataclass(frozen=True, slots=True)
class TableImporter:
    """Reads a table of one layout."""

    kind: SourceKind
    words: str
    build: _Build
    endings: tuple[str, ...] = (".csv", ".tsv", ".txt", ".xlsx", ".xlsm")

    @property
    def layout(self) -> Layout:
        """The columns of this kind of table."""
        return LAYOUTS[self.kind]

    def recognises(self, head: Head) -> str:
        """Return what the table is known by: the columns that no other kind of table fits better."""
        fit = None if head.root is not None else best_fits(head).get(self.kind)
        if fit is None:
            return ""
        layout = self.layout
        own = {plain_name(column) for column in layout.columns}
        header = {plain_name(one.text) for one in fit.columns.headings}
        where = f"the first line of the sheet '{fit.grid.sheet}'" if fit.grid.sheet else "its first line"
        if header <= own or not fit.columns.complete:
            found = [column for column in layout.columns if plain_name(column) in header]
            if found:
                return f"{where} has the columns {', '.join(found)} of {layout.name}"
        taken = [use.column for use in fit.columns.uses if use.meaning]
        return f"{where} has the columns {', '.join(taken)}, which make {layout.name}"

    def read(self, path: Path, choices: Choices) -> Reading:
        """Read the table; raises InputError where it cannot be read on, else hands its faults over with the offers."""
        text = "" if is_workbook(path) else read_text(path, self.layout.name, encoding=choices.encoding)
        if text:
            fit = fit_of(tuple(begun_grids(text, path)), self.layout, choices)
            return self.read_grid(text_grid(text, path, fit.grid.delimiter), fit, choices)
        sheets = workbook_grids(path, begun=True)
        meant = [sheet for sheet in sheets if sheet.sheet == choices.sheet] if choices.sheet else sheets
        if not meant:
            # Raises where no sheet has that name; an empty one is as good as none.
            meant = workbook_grids(path, sheet=choices.sheet) or (Grid(str(path), ()),)
        fit = _sheet_fit(meant, self.layout, choices)
        others = [sheet for sheet in sheets if sheet.sheet != fit.grid.sheet]
        grid = workbook_grids(path, sheet=fit.grid.sheet)[0] if fit.grid.rows else fit.grid
        return self.read_grid(grid, fit, choices, others)

    def read_grid(self, grid: Grid, fit: Fit, choices: Choices, others: Sequence[Grid] = ()) -> Reading:
        """Read one table.

        Args:
            grid: the whole of it.
            fit: which of its rows is the header, and what its columns hold.
            choices: what a person decided.
            others: the other sheets of the workbook.
        """
        faults = FaultList(grid.source)
        columns = fit.columns
        headings = {meaning: one for one, meaning in zip(columns.headings, columns.meanings, strict=True) if meaning}
        places = Places(choices, headings, columns.utm_zone)
        readable = judge_header(fit, self.layout, choices, faults)
        kept = without_left_out(grid, fit.header, choices, faults)
        own_words = {name: one.text for name, one in headings.items() if plain_name(one.text) != plain_name(name)}
        rows = rows_of(kept, fit.header, columns.meanings, self.layout, faults, own_words) if readable else ()
        read = self.build(rows, faults, places)
        table = TableRead(grid, fit, rows, places, tuple(others))
        understood = understood_table(table, self.layout, choices)
        if readable:
            offers = leave_out_offers(grid.rows[fit.header + 1 :], faults.all, self.layout, choices)
            understood = replace(understood, offers=(*understood.offers, *offers))
        return Reading(None if len(faults) else read, understood, faults.all)


def _sheet_fit(sheets: Sequence[Grid], layout: Layout, choices: Choices) -> Fit:
    """Return the fit of the first sheet that can be read, else the best there is."""
    fits = [fit_of([sheet], layout, choices) for sheet in sheets]
    return next((fit for fit in fits if fit.columns.complete), max(fits, key=lambda fit: fit.value))


TABLE_IMPORTERS = (
    TableImporter(SourceKind.POINTS, "points of routes", points_of),
    TableImporter(SourceKind.ROUTES, "routes", lambda rows, faults, _places: routes_of(rows, faults)),
    TableImporter(SourceKind.VOLUNTEERS, "volunteers", volunteers_of),
    TableImporter(SourceKind.AVAILABILITY, "volunteers' dates", lambda rows, faults, _: availability_of(rows, faults)),
    TableImporter(SourceKind.EVENINGS, "past evenings", lambda rows, faults, _: evenings_of(rows, faults)),
    TableImporter(SourceKind.CHANCES, "chances of a lost evening", lambda rows, faults, _: chances_of(rows, faults)),
    TableImporter(SourceKind.CONDITIONS, "conditions of evenings", lambda rows, faults, _: conditions_of(rows, faults)),
)
