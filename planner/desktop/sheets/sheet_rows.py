"""The rows of a grid: the sheets of a route's points as they stand on the screen, and what is wrong with them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from planner.desktop.sheets.cell_words import Shown, state_sign
from planner.desktop.sheets.grid_facts import GridFacts
from planner.desktop.sheets.typed_sheets import TypedSheets
from planner.desktop.sheets.words import tr
from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey, SheetState, Side
from planner.domain.field.sheet_rules import SUM_FIELD, SheetFault, asked_sides, missing_percent, sheet_faults
from planner.domain.finding import Severity
from planner.usecases.sheets.entry import (
    CellKind,
    SheetCell,
    blank_sheet,
    cell_text,
    is_unfinished,
    sheet_cells,
)
from planner.usecases.sheets.pairs import moved_cells


@dataclass(frozen=True, slots=True)
class GridColumn:
    """One column: a cell that is written in, or something that is shown."""

    cell: SheetCell | None = None
    shown: Shown | None = None
    side: Side = Side.CIRCLE
    """Of a class, and of the rest that is shown."""

    @property
    def is_class(self) -> bool:
        """Whether the cover of a class is written in it."""
        return self.cell is not None and self.cell.kind is CellKind.CLASS


def grid_columns(facts: GridFacts) -> tuple[GridColumn, ...]:
    """Return the columns of a grid; the rest of each side stands behind its classes."""
    cells = sheet_cells(facts.rule)
    columns = [GridColumn(shown=Shown.POINT), GridColumn(shown=Shown.STATE)]
    for side in asked_sides(facts.rule):
        columns += [GridColumn(cell, side=side) for cell in cells if cell.kind is CellKind.CLASS and cell.side is side]
        columns.append(GridColumn(shown=Shown.REST, side=side))
    columns += [GridColumn(cell) for cell in cells if cell.kind is not CellKind.CLASS]
    return (*columns, GridColumn(shown=Shown.PHOTOS))


class SheetRows:
    """The sheets of one grid; what is typed lies over what is kept until the file has it."""

    def __init__(self) -> None:
        self.facts: GridFacts | None = None
        """What is shown; None: nothing."""
        self.columns: tuple[GridColumn, ...] = ()
        """What stands in the columns."""
        self.typed = TypedSheets()
        """What the file does not have yet."""
        self.why_not = ""
        """Why nothing may be written; empty where it may."""
        self.current = -1
        """The row that is stood on: what it only lacks so far is not marked as wrong yet."""
        self._faults: dict[int, tuple[SheetFault, ...]] = {}
        self._known: dict[int, HabitatSheet] = {}
        self._reopening: set[SheetKey] = set()
        self._moves: dict[int, frozenset[tuple[Side, str]]] = {}

    @property
    def shown(self) -> GridFacts:
        """What is shown.

        Raises:
            RuntimeError: nothing is.
        """
        if self.facts is None:
            raise RuntimeError("no grid is shown")
        return self.facts

    @property
    def count(self) -> int:
        """How many points there are."""
        return 0 if self.facts is None else len(self.facts.route.points)

    def show(self, facts: GridFacts | None) -> None:
        """Show another grid, or the same as it is kept now."""
        if facts is None or self.facts is None or facts.rule != self.facts.rule:
            self.columns = () if facts is None else grid_columns(facts)
        self.facts = facts
        self._known.clear()
        self.judge_again()

    def judge_again(self) -> None:
        """Forget what was found wrong: it is looked for anew."""
        self._faults.clear()
        self._moves.clear()

    def reopen_ahead(self, keys: Iterable[SheetKey], *, under_way: bool) -> None:
        """Take sheets for drafts while the file makes drafts of them: what is typed meanwhile is not lost."""
        if under_way:
            self._reopening.update(keys)
        else:
            self._reopening.difference_update(keys)
        self._known.clear()

    def put(self, row: int, sheet: HabitatSheet) -> bool:
        """Take a sheet as it was typed; return whether it is another than before."""
        if sheet == self.sheet(row):
            return False
        self.typed.put(sheet, self._kept(sheet.key.point))
        self._faults.pop(row, None)
        self._moves.pop(row, None)
        return True

    def sheet(self, row: int) -> HabitatSheet:
        """Return the sheet of a row as it stands on the screen; a blank one where there is none."""
        facts = self.shown
        point = facts.route.points[row].number
        return self.typed.get(facts.key(point)) or self._kept(point)

    def point(self, row: int) -> int:
        """Return the number of the point of a row."""
        return self.shown.route.points[row].number

    def row_of(self, point: int) -> int:
        """Return the row of a point; -1 where it is not there."""
        points = () if self.facts is None else self.facts.route.points
        return next((row for row, one in enumerate(points) if one.number == point), -1)

    def column_of(self, field: str, near: int = -1) -> int:
        """Return the column that a fault's field is written in; -1 where there is none.

        Args:
            field: as faults name it.
            near: a column; where both sides of the road have the field, it is that of the same side.
        """
        fields = [at for at, column in enumerate(self.columns) if column.cell and column.cell.field == field]
        here = self.columns[near].cell if 0 <= near < len(self.columns) else None
        same = [at for at in fields if here is not None and self.columns[at].cell in (here, replace(here, code=field))]
        return next(iter([*same, *fields]), -1)

    def locked(self, row: int) -> str:
        """Return why a row may not be written in; empty where it may."""
        if self.why_not:
            return self.why_not
        if self.sheet(row).state is SheetState.FINAL:
            return tr("Point %1 is handed in. Reopen it to change it.", self.point(row))
        return ""

    def faults(self, row: int) -> tuple[SheetFault, ...]:
        """Return what keeps the sheet of a row from being final; nothing for a sheet that is still empty."""
        if row not in self._faults:
            sheet = self.sheet(row)
            self._faults[row] = () if sheet.empty else sheet_faults(sheet, self.shown.rule)
        return self._faults[row]

    def faults_in(self, row: int, column: GridColumn) -> tuple[SheetFault, ...]:
        """Return the faults that stand in one cell."""
        if column.cell is not None:
            return tuple(fault for fault in self.faults(row) if column.cell.has(fault))
        if column.shown is Shown.REST:
            return tuple(f for f in self.faults(row) if f.field == SUM_FIELD and f.side is column.side)
        return ()

    def text(self, row: int, column: GridColumn) -> str:
        """Return what stands in a cell."""
        sheet = self.sheet(row)
        if column.cell is not None:
            return cell_text(sheet, column.cell)
        if column.shown is Shown.REST:
            cover = next((one for one in sheet.covers if one.side is column.side), None)
            return str(missing_percent(cover)) if cover is not None and not sheet.empty else ""
        if column.shown is Shown.PHOTOS:
            return str(len(sheet.photos)) if sheet.photos else ""
        return str(self.point(row)) if column.shown is Shown.POINT else state_sign(sheet)

    def before(self, row: int, column: GridColumn) -> str:
        """Return what stood in a cell on the visit before; empty where that is not known, or no figure."""
        earlier = self.shown.before.get(self.point(row))
        if earlier is None or column.cell is None or not column.cell.is_figure:
            return ""
        return cell_text(earlier, column.cell)

    def mark(self, row: int, column: GridColumn) -> Severity | None:
        """Return what is wrong in a cell; what the current sheet only lacks so far is not."""
        sheet = self.sheet(row)
        if any(row != self.current or not is_unfinished(sheet, fault) for fault in self.faults_in(row, column)):
            return Severity.BROKEN
        return Severity.DOUBT if self.moved(row, column) else None

    def moved(self, row: int, column: GridColumn) -> bool:
        """Return whether the figure of a cell stands otherwise than it should, by the visit before."""
        facts, cell = self.shown, column.cell
        earlier = facts.before.get(self.point(row))
        if earlier is None or cell is None or cell.kind is not CellKind.CLASS:
            return False
        if row not in self._moves:
            self._moves[row] = moved_cells(earlier, self.sheet(row), facts.rule)
        return (cell.side, cell.code) in self._moves[row]

    def _kept(self, point: int) -> HabitatSheet:
        facts = self.shown
        if point not in self._known:
            kept = facts.sheets.get(point) or blank_sheet(facts.key(point), facts.rule, facts.date)
            self._known[point] = replace(kept, state=SheetState.DRAFT) if kept.key in self._reopening else kept
        return self._known[point]
