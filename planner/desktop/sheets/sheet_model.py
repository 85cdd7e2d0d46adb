"""The grid of habitat sheets: a row for each point, a column for each cell of the protocol's sheet."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal

from planner.desktop.sheets.cell_words import Shown, cell_tip, column_name, fault_words, state_words
from planner.desktop.sheets.grid_facts import GridFacts
from planner.desktop.sheets.sheet_rows import GridColumn, SheetRows
from planner.desktop.sheets.words import tr
from planner.domain.errors import DimpsyError
from planner.domain.field.habitat_sheet import HabitatSheet
from planner.domain.field.sheet_copies import copied_onto
from planner.usecases.sheets.entry import CellKind, with_rest_in, with_text

_Index = QModelIndex | QPersistentModelIndex
BEFORE_ROLE = Qt.ItemDataRole.UserRole
"""What stood in the cell on the visit before, as text."""
MARK_ROLE = Qt.ItemDataRole.UserRole + 1
"""The Severity of what is wrong in the cell; None: nothing is."""


class SheetModel(QAbstractTableModel):
    """The rows of a grid as Qt's table."""

    typed = Signal(int)
    """The sheet of that row has become another."""
    refused = Signal(str)
    """Why something was not done, in words."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.rows = SheetRows()
        """The sheets, and what is wrong with them."""

    def rowCount(self, parent: _Index = QModelIndex()) -> int:
        """Return how many points there are."""
        return 0 if parent.isValid() else self.rows.count

    def columnCount(self, parent: _Index = QModelIndex()) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self.rows.columns)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the name of a column, and what belongs in it."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(self.rows.columns):
            return None
        column, rule = self.rows.columns[section], self.rows.shown.rule
        if role == Qt.ItemDataRole.DisplayRole:
            name = column_name(column.cell, column.shown, rule, column.side)
            # The side of the road stands over the class: a column is as wide as its figures.
            return "" if column.shown is Shown.STATE else name.replace(" ", "\n", 1)
        return cell_tip(column.cell, column.shown, rule) if role == Qt.ItemDataRole.ToolTipRole else None

    def flags(self, index: _Index) -> Qt.ItemFlag:
        """Return what may be done with a cell."""
        flags = super().flags(index)
        if index.isValid() and self.rows.columns[index.column()].cell is not None:
            flags |= Qt.ItemFlag.NoItemFlags if self.rows.locked(index.row()) else Qt.ItemFlag.ItemIsEditable
        return flags

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what is asked of a cell."""
        if not index.isValid():
            return None
        answers: dict[int, Callable[[int, GridColumn], object]] = {
            Qt.ItemDataRole.DisplayRole: self.rows.text,
            Qt.ItemDataRole.EditRole: self.rows.text,
            BEFORE_ROLE: self.rows.before,
            MARK_ROLE: self.rows.mark,
            Qt.ItemDataRole.ToolTipRole: self._tip,
            Qt.ItemDataRole.AccessibleTextRole: self._spoken,
            Qt.ItemDataRole.TextAlignmentRole: _alignment,
        }
        answer = answers.get(role)
        return None if answer is None else answer(index.row(), self.rows.columns[index.column()])

    def setData(self, index: _Index, value: object, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Write over a cell; it is kept in the file when the row is left."""
        cell = self.rows.columns[index.column()].cell if index.isValid() else None
        if role != Qt.ItemDataRole.EditRole or cell is None or self.rows.locked(index.row()):
            return False
        return self._change(index.row(), lambda sheet: with_text(sheet, cell, str(value)))

    def show(self, facts: GridFacts | None) -> None:
        """Show another grid, or the same as it is kept now; what is typed and not kept yet stays over it."""
        before = self.rows.facts
        if before is not None and facts is not None and _frame(before) == _frame(facts):
            self.rows.show(facts)
            self.tell(0, self.rowCount() - 1)
            return
        self.beginResetModel()
        self.rows.show(facts)
        self.endResetModel()

    def take_rest(self, index: _Index) -> None:
        """Let the class of a cell take what is left of 100."""
        cell = self.rows.columns[index.column()].cell if index.isValid() else None
        if cell is None or cell.kind is not CellKind.CLASS:
            self.refused.emit(tr("Stand on a class: it takes what is left of 100."))
            return
        self._change(index.row(), lambda sheet: with_rest_in(sheet, cell))

    def copy_point(self, row: int) -> None:
        """Copy the estimate of the point before onto a row."""
        source = self.rows.sheet(row - 1) if row > 0 else None
        if source is None or source.empty:
            self.refused.emit(tr("The point before has nothing to copy."))
        else:
            self._copy(row, source)

    def copy_visit(self, row: int) -> None:
        """Copy the estimate of the visit before onto a row."""
        source = self.rows.shown.before.get(self.rows.point(row))
        if source is None:
            self.refused.emit(tr("The visit before has nothing for point %1.", self.rows.point(row)))
        else:
            self._copy(row, source)

    def date_sheet(self, row: int, date: dt.date) -> None:
        """Give the sheet of a row another date; a blank one stays blank."""
        self._change(row, lambda sheet: replace(sheet, date=date))

    def look_again(self) -> None:
        """Have every row judged and drawn anew."""
        self.rows.judge_again()
        self.tell(0, self.rowCount() - 1)

    def tell(self, first: int, last: int) -> None:
        """Have rows drawn anew."""
        if first == last and 0 <= first < self.rowCount():
            # Cell by cell: told of a range, Qt would draw the whole table.
            for index in (self.index(first, column) for column in range(self.columnCount())):
                self.dataChanged.emit(index, index)
        elif 0 <= first <= last < self.rowCount():
            self.dataChanged.emit(self.index(first, 0), self.index(last, self.columnCount() - 1))

    def _copy(self, row: int, source: HabitatSheet) -> None:
        rule = self.rows.shown.rule
        self._change(row, lambda sheet: copied_onto(sheet, source, rule))

    def _change(self, row: int, change: Callable[[HabitatSheet], HabitatSheet]) -> bool:
        """Change the sheet of a row, or say why it cannot be; return whether it is another now."""
        why_not = self.rows.locked(row)
        if why_not:
            self.refused.emit(why_not)
            return False
        try:
            other = self.rows.put(row, change(self.rows.sheet(row)))
        except DimpsyError as error:
            self.refused.emit(str(error))
            return False
        if other:
            self.tell(row, row)
            self.typed.emit(row)
        return other

    def _tip(self, row: int, column: GridColumn) -> str:
        rows = self.rows
        said = [fault_words(fault) for fault in rows.faults_in(row, column)]
        if rows.moved(row, column):
            said.append(tr("It should not change so much between visits: look which is right."))
        if rows.before(row, column):
            said.append(tr("Visit %1: %2", rows.shown.visit - 1, rows.before(row, column)))
        if column.cell is not None:
            said.append(rows.locked(row))
        if column.shown is Shown.STATE:
            said.append(state_words(rows.sheet(row)))
        return "\n".join(filter(None, said)) or cell_tip(column.cell, column.shown, rows.shown.rule)

    def _spoken(self, row: int, column: GridColumn) -> str:
        rows = self.rows
        name = column_name(column.cell, column.shown, rows.shown.rule, column.side)
        text = state_words(rows.sheet(row)) if column.shown is Shown.STATE else rows.text(row, column)
        said = tr("Point %1, %2: %3", rows.point(row), name, text or tr("blank"))
        return ". ".join([said, *(fault_words(fault) for fault in rows.faults_in(row, column))])


def _frame(facts: GridFacts) -> tuple[object, ...]:
    """Return what rows and columns hang on; a grid of the same frame keeps its place."""
    return facts.route.code, len(facts.route.points), facts.rule, facts.visit, facts.observer


def _alignment(_row: int, column: GridColumn) -> Qt.AlignmentFlag:
    words = column.cell is not None and not column.cell.is_figure
    if column.shown is Shown.STATE:
        return Qt.AlignmentFlag.AlignCenter
    side = Qt.AlignmentFlag.AlignLeft if words else Qt.AlignmentFlag.AlignRight
    return side | Qt.AlignmentFlag.AlignVCenter
