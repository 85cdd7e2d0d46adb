"""The table that sheets are typed into: made for the keyboard first."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QFont, QFontMetrics, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHeaderView, QWidget

from planner.desktop.desk import Desk
from planner.desktop.sheets.cell_delegate import CellDelegate
from planner.desktop.sheets.cell_words import Shown
from planner.desktop.sheets.sheet_model import SheetModel
from planner.desktop.sheets.sheet_rows import GridColumn
from planner.desktop.sheets.typing_table import TypingTable
from planner.desktop.sheets.words import tr
from planner.domain.field.habitat_sheet import Side
from planner.usecases.sheets.entry import CellKind, SheetCell

_ROW_PADDING = 11
_NOTE_LETTERS = 8
_CELL_PADDING, _NARROW_PADDING = 15, 11
"""Beside the figures; the second where two sides of the road are summed."""
_WIDEST: dict[CellKind | Shown | None, str] = {
    CellKind.CLASS: "0000",
    Shown.POINT: "100",
    Shown.REST: "0000",
    Shown.STATE: "✎ ",
}
"""What must find room in a column."""


class SheetGrid(TypingTable):
    """Figures and Tab go from class to class, Enter to the next point; R or = gives a class the rest.

    K asks the class key, Delete clears a cell, Escape leaves the table.
    """

    key_wanted = Signal()
    """The class key is wanted for the current point."""
    finished = Signal()
    """The last point was left by Enter, for which there is no next one."""
    left = Signal()
    """A person wants out of the table, by Escape."""
    side_shown = Signal(object)
    """The Side of the road whose classes are shown now; the whole circle where there are no two."""

    def __init__(self, desk: Desk, model: SheetModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._sheets = model
        self._side = Side.CIRCLE
        self.setModel(model)
        self._delegate = CellDelegate(desk, self)
        self._delegate.commanded.connect(self._command)
        self.setItemDelegate(self._delegate)
        self.setAccessibleName(tr("Habitat sheets of the route"))
        self.setAccessibleDescription(
            tr("Tab goes to the next class, Enter to the next point, R gives a class the rest, Escape leaves.")
        )
        self.verticalHeader().setDefaultSectionSize(self.fontMetrics().height() + _ROW_PADDING)
        header = self.horizontalHeader()
        header.setMinimumSectionSize(26)
        header.setStyleSheet("QHeaderView::section { padding: 4px 4px; }")
        model.modelReset.connect(self._lay_out_columns)
        self.selectionModel().currentChanged.connect(lambda now, _before: self._follow(now))

    @property
    def sides(self) -> tuple[Side, ...]:
        """What is estimated: the whole circle, or the left and the right of the road."""
        return tuple(dict.fromkeys(column.side for column in self._sheets.rows.columns if column.is_class))

    def show_side(self, side: Side) -> None:
        """Show the classes of one side of the road: those of both have no room side by side. Both rests stay."""
        self._side = side
        for at, column in enumerate(self._sheets.rows.columns):
            self.setColumnHidden(at, column.is_class and column.side is not side)
        self._fit_note()
        self.side_shown.emit(side)

    def turn_to_side(self, side: Side) -> None:
        """Go to the first class of a side of the road, at the point that is stood on."""
        columns = self._sheets.rows.columns
        first = next((at for at, column in enumerate(columns) if column.is_class and column.side is side), -1)
        if first >= 0 and self._sheets.rowCount():
            self.go_to(max(self.currentIndex().row(), 0), first)
            self.setFocus(Qt.FocusReason.OtherFocusReason)

    def _follow(self, now: QModelIndex) -> None:
        """Show the side of the road that is stood on."""
        column = self._sheets.rows.columns[now.column()] if now.isValid() else None
        if column is not None and column.is_class and column.side is not self._side:
            self.show_side(column.side)

    @property
    def class_code(self) -> str:
        """Code of the class whose cell is stood on; empty: none."""
        cell = self._cell(self.currentIndex())
        return cell.code if cell is not None else ""

    def go_to(self, row: int, column: int = -1) -> None:
        """Stand on a cell; without a column, on the first that is written in."""
        index = self._sheets.index(row, column if column >= 0 else self._first_column())
        if index.isValid():
            self.setCurrentIndex(index)
            self.scrollTo(index)

    def go_down(self) -> None:
        """Go to the first class of the next point; at the last one, say that it is finished."""
        row = self.currentIndex().row() + 1
        if row >= self._sheets.rowCount():
            self.finished.emit()
        self.go_to(min(row, self._sheets.rowCount() - 1))

    def take_rest(self) -> None:
        """Let the class of the current cell take what is left of 100."""
        self._sheets.take_rest(self.currentIndex())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Do what a key stands for."""
        key, modifiers = event.key(), event.modifiers()
        plain = not modifiers & ~(Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier)
        if key in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab):
            self.step(-1 if key == Qt.Key.Key_Backtab or modifiers & Qt.KeyboardModifier.ShiftModifier else 1)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and plain:
            self.go_down()
        elif key == Qt.Key.Key_Escape:
            self.left.emit()
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self._sheets.setData(self.currentIndex(), "")
        elif plain and event.text().isprintable() and event.text() and not self._takes(event.text()):
            self._command(event.text())
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the note into another width."""
        super().resizeEvent(event)
        self._fit_note()

    def _takes(self, text: str) -> bool:
        """Return whether a letter belongs in the current cell; a locked one says why it takes nothing."""
        index = self.currentIndex()
        cell = self._cell(index)
        why_not = self._sheets.rows.locked(index.row()) if index.isValid() else ""
        if why_not and cell is not None and (text.isdigit() or not cell.is_figure):
            self._sheets.refused.emit(why_not)
        return cell is not None and (text.isdigit() or not cell.is_figure)

    def _command(self, text: str) -> None:
        """Do what a letter means in a column of figures."""
        if text.lower() == "r" or text == "=":
            self.take_rest()
        elif text.lower() == "k":
            self.key_wanted.emit()

    def _cell(self, index: QModelIndex) -> SheetCell | None:
        return self._sheets.rows.columns[index.column()].cell if index.isValid() else None

    def step(self, way: int) -> None:
        """Go to the next cell that is written in, over the end of a row too; past the last one, out of the table."""
        columns, here = self._sheets.rows.columns, self.currentIndex()
        written = [at for at, column in enumerate(columns) if column.cell is not None]
        row, wanted = here.row(), [at for at in written if (at - here.column()) * way > 0]
        if not wanted:
            row, wanted = row + way, written
        if 0 <= row < self._sheets.rowCount():
            self.go_to(row, wanted[0] if way > 0 else wanted[-1])
        else:
            self.leave(onward=way > 0)

    def _first_column(self) -> int:
        return next((at for at, column in enumerate(self._sheets.rows.columns) if column.cell is not None), 0)

    def _lay_out_columns(self) -> None:
        """Give each column the width of what belongs in it; the note has what is left."""
        metrics, header = self.fontMetrics(), self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        bold = QFont(header.font())
        bold.setBold(True)
        named = QFontMetrics(bold)
        padding = _CELL_PADDING if len(self.sides) < 2 else _NARROW_PADDING
        for at, column in enumerate(self._sheets.rows.columns):
            name = str(self._sheets.headerData(at, Qt.Orientation.Horizontal))
            widest = metrics.horizontalAdvance(_WIDEST.get(_kind(column), ""))
            over = max(named.horizontalAdvance(word) for word in name.split("\n"))
            header.resizeSection(at, max(over + 10, widest + padding))
        self.show_side(next(iter(self.sides), Side.CIRCLE))
        if self._sheets.rowCount():
            self.go_to(0)

    def _fit_note(self) -> None:
        """Give the note what room is left, and never less than some words need."""
        header = self.horizontalHeader()
        for at, column in enumerate(self._sheets.rows.columns):
            if column.cell is not None and column.cell.kind is CellKind.NOTE:
                left = self.viewport().width() - header.length() + header.sectionSize(at)
                header.resizeSection(at, max(left, self.fontMetrics().horizontalAdvance("n" * _NOTE_LETTERS)))


def _kind(column: GridColumn) -> CellKind | Shown | None:
    return column.cell.kind if column.cell is not None else column.shown
