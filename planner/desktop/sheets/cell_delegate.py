"""Paints a cell of a sheet, with the figure of the visit before and its mark, and edits it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPersistentModelIndex, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QFont, QIntValidator, QKeyEvent, QPainter, QPen
from PySide6.QtWidgets import QLineEdit, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.marks import paint_mark
from planner.desktop.sheets.sheet_model import BEFORE_ROLE, MARK_ROLE, SheetModel
from planner.domain.field.habitat_sheet import MOST_FIGURE
from planner.domain.finding import Severity

_SMALL = 0.7
_MARK = 11.0
_Index = QModelIndex | QPersistentModelIndex


class CellDelegate(QStyledItemDelegate):
    """A figure stands at the right, that of the visit before small at the left, a mark over it."""

    commanded = Signal(str)
    """A letter that is a command was pressed while a figure was typed; the figure stands in the cell by now."""

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        """Paint the cell, then what stands beside its figure."""
        super().paint(painter, option, index)
        colours, box = self._desk.colours, QRectF(option.rect)
        before, mark = index.data(BEFORE_ROLE), index.data(MARK_ROLE)
        selected = bool(option.state & QStyle.StateFlag.State_Selected)
        painter.save()
        if before:
            font = QFont(option.font)
            font.setPointSizeF(font.pointSizeF() * _SMALL)
            painter.setFont(font)
            painter.setPen(QColor(colours.on_selection if selected else colours.quiet))
            painter.drawText(
                box.adjusted(4, 0, 0, -3), Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom, str(before)
            )
        if isinstance(mark, Severity):
            painter.setPen(QPen(QColor(colours.severity(mark)), 1.5))
            painter.drawRect(box.adjusted(1, 1, -1.5, -1.5))
            paint_mark(painter, QRectF(box.left() + 4, box.top() + 3, _MARK, _MARK), mark, colours)
        painter.restore()

    def createEditor(self, parent: QWidget, _option: QStyleOptionViewItem, index: _Index) -> QWidget:
        """Return a line; one for figures lets nothing else in."""
        line = QLineEdit(parent)
        line.setAccessibleName(str(index.data(Qt.ItemDataRole.AccessibleTextRole)))
        line.setStyleSheet("padding: 0 3px; border-radius: 0;")
        model = index.model()
        cell = model.rows.columns[index.column()].cell if isinstance(model, SheetModel) else None
        if cell is not None and cell.is_figure:
            line.setValidator(QIntValidator(0, MOST_FIGURE, line))
            line.setAlignment(Qt.AlignmentFlag.AlignRight)
        line.setProperty("before", str(index.data(Qt.ItemDataRole.EditRole)))
        line.textEdited.connect(lambda _text: self.commitData.emit(line))
        return line

    def setEditorData(self, editor: QWidget, index: _Index) -> None:
        """Fill the line once: what is being typed is never written over by what it comes to."""
        if isinstance(editor, QLineEdit) and not editor.property("filled"):
            editor.setText(str(index.data(Qt.ItemDataRole.EditRole)))
            editor.setProperty("filled", True)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """End typing at once on Enter and on a command; Escape puts back what stood in the cell."""
        if not isinstance(watched, QLineEdit) or not isinstance(event, QKeyEvent):
            return super().eventFilter(watched, event)
        if event.type() is not QEvent.Type.KeyPress:
            return super().eventFilter(watched, event)
        hints, key = self.EndEditHint, event.key()
        if key == Qt.Key.Key_Escape:
            watched.setText(str(watched.property("before")))
            self.commitData.emit(watched)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._end(watched, hints.SubmitModelCache)
            return True
        elif watched.validator() is not None and event.text().lower() in ("r", "=", "k"):
            self._end(watched, hints.NoHint)
            self.commanded.emit(event.text())
            return True
        return super().eventFilter(watched, event)

    def _end(self, line: QLineEdit, hint: QStyledItemDelegate.EndEditHint) -> None:
        self.commitData.emit(line)
        self.closeEditor.emit(line, hint)
