"""The table that the times of a record are typed into: made for the keyboard first."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPersistentModelIndex, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPen
from PySide6.QtWidgets import (
    QHeaderView,
    QLineEdit,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from planner.desktop.desk import Desk
from planner.desktop.look.marks import paint_mark
from planner.desktop.sheets.typing_table import TypingTable
from planner.desktop.sheets.visits.count_model import MARK_ROLE, TIMES, CountColumn, CountModel
from planner.desktop.sheets.words import tr
from planner.domain.field.record_ground import CountKey
from planner.domain.finding import Severity

_Index = QModelIndex | QPersistentModelIndex
_ROW_PADDING = 5
_MARK = 14.0
_WIDEST = "00:00"


class CountDelegate(QStyledItemDelegate):
    """A mark stands before what the protocol says; a time that cannot be read has an edge round it."""

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        """Paint the cell and its mark."""
        mark, colours = index.data(MARK_ROLE), self._desk.colours
        box = QRectF(option.rect)
        model = index.model()
        judged = isinstance(model, CountModel) and model.columns[index.column()] is CountColumn.JUDGED
        if judged:
            option.rect.adjust(round(_MARK) + 4, 0, 0, 0)
        super().paint(painter, option, index)
        if mark is None:
            return
        severity = mark if isinstance(mark, Severity) else None
        if judged:
            place = QRectF(box.left() + 4, box.center().y() - _MARK / 2, _MARK, _MARK)
            paint_mark(painter, place, severity, colours)
        else:
            painter.save()
            painter.setPen(QPen(QColor(colours.broken), 1.5))
            painter.drawRect(box.adjusted(1, 1, -1.5, -1.5))
            painter.restore()

    def createEditor(self, parent: QWidget, _option: QStyleOptionViewItem, index: _Index) -> QWidget:
        """Return a line to type in."""
        line = QLineEdit(parent)
        line.setAccessibleName(str(index.data(Qt.ItemDataRole.AccessibleTextRole)))
        line.setStyleSheet("padding: 0 3px; border-radius: 0;")
        return line

    def setEditorData(self, editor: QWidget, index: _Index) -> None:
        """Fill the line once: what is being typed is never written over by what comes of the row before."""
        if isinstance(editor, QLineEdit) and not editor.property("filled"):
            editor.setText(str(index.data(Qt.ItemDataRole.EditRole)))
            editor.setProperty("filled", True)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Enter ends typing and goes down."""
        if (
            isinstance(watched, QLineEdit)
            and isinstance(event, QKeyEvent)
            and event.type() is QEvent.Type.KeyPress
            and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        ):
            self.commitData.emit(watched)
            self.closeEditor.emit(watched, self.EndEditHint.SubmitModelCache)
            return True
        return super().eventFilter(watched, event)


class CountGrid(TypingTable):
    """Tab goes from time to time, Enter to the next point where the row was begun, Space ticks, Escape leaves."""

    left = Signal()
    """A person wants out of the table, by Escape."""

    def __init__(self, desk: Desk, model: CountModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._counts = model
        self._begun_at = -1
        self.setModel(model)
        self.setItemDelegate(CountDelegate(desk, self))
        self.setAccessibleName(tr("Counts of the visit"))
        self.setAccessibleDescription(
            tr("Type 2143 for 21:43. Tab goes to the next time, Enter to the next point, Space ticks, Escape leaves.")
        )
        self.verticalHeader().setDefaultSectionSize(self.fontMetrics().height() + _ROW_PADDING)
        self.horizontalHeader().setMinimumSectionSize(30)
        self._stood: tuple[object, CountKey | None, int] = (None, None, -1)
        model.modelAboutToBeReset.connect(self._remember)
        model.modelReset.connect(self._begin)
        self._lay_out_columns()

    def go_to(self, row: int, column: CountColumn = CountColumn.ARRIVED) -> None:
        """Stand on a cell."""
        index = self._counts.index(row, list(self._counts.columns).index(column))
        if index.isValid():
            self.setCurrentIndex(index)
            self.scrollTo(index)
            self._begun_at = index.column()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Do what a key stands for."""
        key = event.key()
        back = key == Qt.Key.Key_Backtab or bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if key in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab):
            self.step(-1 if back else 1)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.modifiers():
            self.go_down()
        elif key == Qt.Key.Key_Escape:
            self.left.emit()
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self._counts.setData(self.currentIndex(), "")
        else:
            super().keyPressEvent(event)
            if key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
                self._begun_at = self.currentIndex().column()

    def step(self, way: int) -> None:
        """Go to the next time, over the end of a row too; past the last one, out of the table."""
        here, columns = self.currentIndex(), self._counts.columns
        times = [at for at, column in enumerate(columns) if column in TIMES]
        row, wanted = here.row(), [at for at in times if (at - here.column()) * way > 0]
        if not wanted:
            row, wanted = row + way, times
            self._begun_at = times[0]
        if 0 <= row < self._counts.rowCount():
            self.setCurrentIndex(self._counts.index(row, wanted[0] if way > 0 else wanted[-1]))
        else:
            self.leave(onward=way > 0)

    def go_down(self) -> None:
        """Go to the next point, to the column where this one was begun."""
        row = self.currentIndex().row() + 1
        column = self._begun_at if self._begun_at >= 0 else self.currentIndex().column()
        if row < self._counts.rowCount():
            self.setCurrentIndex(self._counts.index(row, column))
        else:
            self.leave(onward=True)

    def _remember(self) -> None:
        """Remember which count was gone to: the rows of one record may come in another order."""
        here = self.currentIndex()
        gone_to = self._counts.key(here.row()) if here.row() > 0 else None
        self._stood = self._counts.shown_of, gone_to, here.column()

    def _begin(self) -> None:
        """Stand on the count that was gone to; in another record on the first."""
        self._lay_out_columns()
        shown_of, key, column = self._stood
        row = self._counts.rows.index(key) if key in self._counts.rows and shown_of == self._counts.shown_of else 0
        if 0 <= column < self._counts.columnCount() and row:
            self.go_to(row, self._counts.columns[column])
        elif self._counts.rowCount():
            self.go_to(0)

    def _lay_out_columns(self) -> None:
        """Give each column the width of what belongs in it; what the protocol says has what is left."""
        header, metrics = self.horizontalHeader(), self.fontMetrics()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignCenter)
        font = header.font()
        font.setBold(True)
        modes = QHeaderView.ResizeMode
        for at, column in enumerate(self._counts.columns):
            name = str(self._counts.headerData(at, Qt.Orientation.Horizontal))
            header.setSectionResizeMode(at, modes.Stretch if column is CountColumn.JUDGED else modes.Interactive)
            width = max(metrics.horizontalAdvance(f"{name}n") * 1.1, metrics.horizontalAdvance(_WIDEST)) + 10
            header.resizeSection(at, round(width * (1.6 if column is CountColumn.NOTE else 1)))
