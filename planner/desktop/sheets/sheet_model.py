"""The grid of habitat sheets: a row for each point, a column for each cell of the protocol's sheet."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal

from planner.desktop.sheets.cell_words import Shown, cell_tip, column_name, fault_words, state_sign, state_words
from planner.desktop.sheets.grid_facts import GridFacts
from planner.desktop.sheets.typed_sheets import TypedSheets
from planner.desktop.sheets.words import tr
from planner.domain.errors import DimpsyError
from planner.domain.field.habitat_sheet import HabitatSheet, SheetState, Side
from planner.domain.field.sheet_copies import copied_onto
from planner.domain.field.sheet_rules import (
    SUM_FIELD,
    SheetFault,
    asked_sides,
    missing_percent,
    sheet_faults,
)
from planner.domain.finding import Severity
from planner.usecases.sheet_entry import (
    CellKind,
    SheetCell,
    blank_sheet,
    cell_text,
    is_unfinished,
    sheet_cells,
    with_rest_in,
    with_text,
)
from planner.usecases.sheet_pairs import moved_cells

_Index = QModelIndex | QPersistentModelIndex
BEFORE_ROLE = Qt.ItemDataRole.UserRole
"""What stood in the cell on the visit before, as text."""
MARK_ROLE = Qt.ItemDataRole.UserRole + 1
"""The Severity of what is wrong in the cell; None: nothing is."""


@dataclass(frozen=True, slots=True)
class GridColumn:
    """One column: a cell that is written in, or something that is shown."""

    cell: SheetCell | None = None
    shown: Shown | None = None
    side: Side = Side.CIRCLE
    """Of the rest that is shown."""


def grid_columns(facts: GridFacts) -> tuple[GridColumn, ...]:
    """Return the columns of a grid; the rest of each side stands behind its classes."""
    cells = sheet_cells(facts.rule)
    columns = [GridColumn(shown=Shown.POINT), GridColumn(shown=Shown.STATE)]
    for side in asked_sides(facts.rule):
        columns += [GridColumn(cell) for cell in cells if cell.kind is CellKind.CLASS and cell.side is side]
        columns.append(GridColumn(shown=Shown.REST, side=side))
    columns += [GridColumn(cell) for cell in cells if cell.kind is not CellKind.CLASS]
    return (*columns, GridColumn(shown=Shown.PHOTOS))


class SheetModel(QAbstractTableModel):
    """The sheets of one grid; what is typed lies over what is kept until the file has it."""

    typed = Signal(int)
    """The sheet of that row has become another."""
    refused = Signal(str)
    """Why something was not done, in words."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._facts: GridFacts | None = None
        self._columns: tuple[GridColumn, ...] = ()
        self.typed_sheets = TypedSheets()
        """What the file does not have yet."""
        self._faults: dict[int, tuple[SheetFault, ...]] = {}
        self._moves: dict[int, frozenset[tuple[Side, str]]] = {}
        self.why_not = ""
        """Why nothing may be written; empty where it may."""
        self.current = -1
        """The row that is stood on: what it only lacks so far is not marked as wrong yet."""

    @property
    def facts(self) -> GridFacts | None:
        """What is shown."""
        return self._facts

    @property
    def columns(self) -> tuple[GridColumn, ...]:
        """What stands in the columns."""
        return self._columns

    def rowCount(self, parent: _Index = QModelIndex()) -> int:
        """Return how many points there are."""
        return 0 if parent.isValid() or self._facts is None else len(self._facts.route.points)

    def columnCount(self, parent: _Index = QModelIndex()) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self._columns)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the name of a column, and what belongs in it."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(self._columns) or not self._facts:
            return None
        column = self._columns[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return "" if column.shown is Shown.STATE else column_name(column.cell, column.shown, self._facts.rule)
        if role == Qt.ItemDataRole.ToolTipRole:
            return cell_tip(column.cell, column.shown, self._facts.rule)
        return None

    def flags(self, index: _Index) -> Qt.ItemFlag:
        """Return what may be done with a cell."""
        flags = super().flags(index)
        if index.isValid() and self._columns[index.column()].cell is not None and not self.locked(index.row()):
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what is asked of a cell."""
        if not index.isValid() or self._facts is None:
            return None
        answers: dict[int, Callable[[int, GridColumn], object]] = {
            Qt.ItemDataRole.DisplayRole: self._text,
            Qt.ItemDataRole.EditRole: self._text,
            BEFORE_ROLE: self._before,
            MARK_ROLE: self._mark,
            Qt.ItemDataRole.ToolTipRole: self._tip,
            Qt.ItemDataRole.AccessibleTextRole: self._spoken,
            Qt.ItemDataRole.TextAlignmentRole: _alignment,
        }
        answer = answers.get(role)
        return None if answer is None else answer(index.row(), self._columns[index.column()])

    def setData(self, index: _Index, value: object, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Write over a cell; it is kept in the file when the row is left."""
        cell = self._columns[index.column()].cell if index.isValid() else None
        if role != Qt.ItemDataRole.EditRole or cell is None or self.locked(index.row()):
            return False
        sheet = self.sheet(index.row())
        try:
            return self._write(index.row(), with_text(sheet, cell, str(value)))
        except DimpsyError as error:
            self.refused.emit(str(error))
            return False

    def show(self, facts: GridFacts | None) -> None:
        """Show another grid, or the same as it is kept now; what is typed and not kept yet stays over it."""
        columns = () if facts is None else grid_columns(facts)
        same = self._facts is not None and facts is not None and _frame(self._facts) == _frame(facts)
        if same:
            self._facts = facts
            self.look_again()
            return
        self.beginResetModel()
        self._facts, self._columns = facts, columns
        self._faults.clear()
        self._moves.clear()
        self.endResetModel()

    def sheet(self, row: int) -> HabitatSheet:
        """Return the sheet of a row as it stands on the screen; a blank one where there is none."""
        facts = self._shown_facts()
        point = facts.route.points[row].number
        return self.typed_sheets.get(facts.key(point)) or self._kept(point)

    def locked(self, row: int) -> str:
        """Return why a row may not be written in; empty where it may."""
        if self.why_not:
            return self.why_not
        if self.sheet(row).state is SheetState.FINAL:
            return tr("Point %1 is handed in. Reopen it to change it.", self.point(row))
        return ""

    def point(self, row: int) -> int:
        """Return the number of the point of a row."""
        return self._shown_facts().route.points[row].number

    def row_of(self, point: int) -> int:
        """Return the row of a point; -1 where it is not there."""
        points = () if self._facts is None else self._facts.route.points
        return next((row for row, one in enumerate(points) if one.number == point), -1)

    def column_of(self, field: str) -> int:
        """Return the first column that a finding's field is written in; -1 where there is none."""
        cells = (at for at, column in enumerate(self._columns) if column.cell and column.cell.field == field)
        return next(cells, -1)

    def faults(self, row: int) -> tuple[SheetFault, ...]:
        """Return what keeps the sheet of a row from being final; nothing for a sheet that is still empty."""
        if row not in self._faults:
            sheet = self.sheet(row)
            self._faults[row] = () if sheet.empty else sheet_faults(sheet, self._shown_facts().rule)
        return self._faults[row]

    def faults_in(self, row: int, column: GridColumn) -> tuple[SheetFault, ...]:
        """Return the faults that stand in one cell."""
        if column.cell is not None:
            return tuple(fault for fault in self.faults(row) if column.cell.has(fault))
        if column.shown is Shown.REST:
            return tuple(f for f in self.faults(row) if f.field == SUM_FIELD and f.side is column.side)
        return ()

    def take_rest(self, index: _Index) -> None:
        """Let the class of a cell take what is left of 100."""
        cell = self._columns[index.column()].cell if index.isValid() else None
        if cell is None or cell.kind is not CellKind.CLASS:
            self.refused.emit(tr("Stand on a class: it takes what is left of 100."))
            return
        self._try(index.row(), lambda sheet: with_rest_in(sheet, cell))

    def copy_point(self, row: int) -> None:
        """Copy the estimate of the point before onto a row."""
        source = self.sheet(row - 1) if row > 0 else None
        if source is None or source.empty:
            self.refused.emit(tr("The point before has nothing to copy."))
        else:
            self._copy(row, source)

    def copy_visit(self, row: int) -> None:
        """Copy the estimate of the visit before onto a row."""
        source = self._shown_facts().before.get(self.point(row))
        if source is None:
            self.refused.emit(tr("The visit before has nothing for point %1.", self.point(row)))
        else:
            self._copy(row, source)

    def date_sheet(self, row: int, date: dt.date) -> None:
        """Give the sheet of a row another date; a blank one stays blank."""
        self._try(row, lambda sheet: replace(sheet, date=date))

    def _shown_facts(self) -> GridFacts:
        if self._facts is None:
            raise RuntimeError("no grid is shown")
        return self._facts

    def _copy(self, row: int, source: HabitatSheet) -> None:
        rule = self._shown_facts().rule
        self._try(row, lambda sheet: copied_onto(sheet, source, rule))

    def _try(self, row: int, change: Callable[[HabitatSheet], HabitatSheet]) -> None:
        """Change the sheet of a row, or say why it cannot be."""
        why_not = self.locked(row)
        if why_not:
            self.refused.emit(why_not)
            return
        try:
            self._write(row, change(self.sheet(row)))
        except DimpsyError as error:
            self.refused.emit(str(error))

    def _write(self, row: int, sheet: HabitatSheet) -> bool:
        if sheet == self.sheet(row):
            return False
        self.typed_sheets.put(sheet, self._kept(sheet.key.point))
        self._faults.pop(row, None)
        self._moves.pop(row, None)
        self.tell(row, row)
        self.typed.emit(row)
        return True

    def _kept(self, point: int) -> HabitatSheet:
        facts = self._shown_facts()
        return facts.sheets.get(point) or blank_sheet(facts.key(point), facts.rule, facts.date)

    def _text(self, row: int, column: GridColumn) -> str:
        sheet = self.sheet(row)
        if column.cell is not None:
            return cell_text(sheet, column.cell)
        if column.shown is Shown.REST:
            cover = next((one for one in sheet.covers if one.side is column.side), None)
            return str(missing_percent(cover)) if cover is not None and not sheet.empty else ""
        if column.shown is Shown.PHOTOS:
            return str(len(sheet.photos)) if sheet.photos else ""
        return str(self.point(row)) if column.shown is Shown.POINT else state_sign(sheet)

    def _before(self, row: int, column: GridColumn) -> str:
        earlier = self._shown_facts().before.get(self.point(row))
        if earlier is None or column.cell is None or not column.cell.is_figure:
            return ""
        return cell_text(earlier, column.cell)

    def _mark(self, row: int, column: GridColumn) -> Severity | None:
        """Return what is wrong in a cell; what the current sheet only lacks so far is not."""
        sheet = self.sheet(row)
        if any(row != self.current or not is_unfinished(sheet, fault) for fault in self.faults_in(row, column)):
            return Severity.BROKEN
        return Severity.DOUBT if self._moved(row, column) else None

    def _moved(self, row: int, column: GridColumn) -> bool:
        facts, cell = self._shown_facts(), column.cell
        earlier = facts.before.get(self.point(row))
        if earlier is None or cell is None or cell.kind is not CellKind.CLASS:
            return False
        if row not in self._moves:
            self._moves[row] = moved_cells(earlier, self.sheet(row), facts.rule)
        return (cell.side, cell.code) in self._moves[row]

    def _tip(self, row: int, column: GridColumn) -> str:
        said = [fault_words(fault) for fault in self.faults_in(row, column)]
        before = self._before(row, column)
        if self._moved(row, column):
            said.append(tr("It should not change so much between visits: look which is right."))
        if before:
            said.append(tr("Visit %1: %2", self._shown_facts().visit - 1, before))
        if column.cell is not None and self.locked(row):
            said.append(self.locked(row))
        if column.shown is Shown.STATE:
            said.append(state_words(self.sheet(row)))
        return "\n".join(filter(None, said)) or cell_tip(column.cell, column.shown, self._shown_facts().rule)

    def _spoken(self, row: int, column: GridColumn) -> str:
        name = column_name(column.cell, column.shown, self._shown_facts().rule)
        text = state_words(self.sheet(row)) if column.shown is Shown.STATE else self._text(row, column)
        said = tr("Point %1, %2: %3", self.point(row), name, text or tr("blank"))
        return ". ".join([said, *(fault_words(fault) for fault in self.faults_in(row, column))])

    def look_again(self) -> None:
        """Have every row judged and drawn anew."""
        self._faults.clear()
        self._moves.clear()
        self.tell(0, self.rowCount() - 1)

    def tell(self, first: int, last: int) -> None:
        """Have rows drawn anew."""
        if 0 <= first <= last < self.rowCount():
            self.dataChanged.emit(self.index(first, 0), self.index(last, len(self._columns) - 1))


def _frame(facts: GridFacts) -> tuple[object, ...]:
    """Return what rows and columns hang on; a grid of the same frame keeps its place."""
    return facts.route.code, len(facts.route.points), facts.rule, facts.visit, facts.observer


def _alignment(_row: int, column: GridColumn) -> Qt.AlignmentFlag:
    words = column.cell is not None and not column.cell.is_figure
    if column.shown is Shown.STATE:
        return Qt.AlignmentFlag.AlignCenter
    side = Qt.AlignmentFlag.AlignLeft if words else Qt.AlignmentFlag.AlignRight
    return side | Qt.AlignmentFlag.AlignVCenter
