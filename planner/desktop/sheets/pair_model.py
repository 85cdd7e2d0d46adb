"""Two sheets side by side: a row for each class, figures and bars."""

from __future__ import annotations

from enum import IntEnum

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, QRectF, Qt
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

from planner.desktop.desk import Desk
from planner.desktop.look.marks import paint_mark
from planner.desktop.sheets.words import tr
from planner.domain.field.habitat_sheet import Side
from planner.domain.finding import Severity
from planner.usecases.sheets.pairs import PairRow, SheetPair

_Index = QModelIndex | QPersistentModelIndex
ROW_ROLE = Qt.ItemDataRole.UserRole
_BAR = 0.52
_MARK = 12.0


class PairColumn(IntEnum):
    """What stands in each column."""

    NAME = 0
    FIRST = 1
    SECOND = 2
    DIFFERENCE = 3


class PairModel(QAbstractTableModel):
    """The classes of two sheets."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pair: SheetPair | None = None
        self._names = ("", "")

    def rowCount(self, parent: _Index = QModelIndex()) -> int:
        """Return how many classes there are."""
        return 0 if parent.isValid() or self._pair is None else len(self._pair.rows)

    def columnCount(self, parent: _Index = QModelIndex()) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(PairColumn)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the name of a column: that of the sheet."""
        if orientation is not Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return None
        return (tr("Class"), *self._names, tr("Change"))[section] if 0 <= section < len(PairColumn) else None

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what is asked of a cell."""
        if not index.isValid() or self._pair is None:
            return None
        row, column = self._pair.rows[index.row()], PairColumn(index.column())
        if role == ROW_ROLE:
            return row
        if role == Qt.ItemDataRole.DisplayRole:
            return _text(row, column)
        if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole):
            return _told(row)
        if role == Qt.ItemDataRole.TextAlignmentRole and column is PairColumn.DIFFERENCE:
            return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        return None

    def show(self, pair: SheetPair | None, names: tuple[str, str]) -> None:
        """Show two sheets, called by these names."""
        self.beginResetModel()
        self._pair, self._names = pair, names
        self.endResetModel()


class PairPainter(QStyledItemDelegate):
    """Paints a figure as a bar as long as it is large, and a mark where a class moved."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._desk = desk

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        """Paint the bar, then the cell over it."""
        row, column, colours = index.data(ROW_ROLE), PairColumn(index.column()), self._desk.colours
        figure = {PairColumn.FIRST: row.first, PairColumn.SECOND: row.second}.get(column)
        box = QRectF(option.rect)
        super().paint(painter, option, index)
        if figure:
            text = option.fontMetrics.horizontalAdvance("100") + 14
            long = max(0.0, box.width() - text - 8) * min(figure, 100) / 100
            bar = QRectF(box.left() + text, box.center().y() - box.height() * _BAR / 2, long, box.height() * _BAR)
            painter.fillRect(bar, QColor(colours.doubt if row.moved else colours.accent))
        if column is PairColumn.DIFFERENCE and row.moved:
            mark = QRectF(box.left() + 4, box.center().y() - _MARK / 2, _MARK, _MARK)
            paint_mark(painter, mark, Severity.DOUBT, colours)


def _text(row: PairRow, column: PairColumn) -> str:
    if column is PairColumn.NAME:
        side = {Side.CIRCLE: "", Side.LEFT: tr("left: "), Side.RIGHT: tr("right: ")}[row.side]
        return f"{side}{row.name}{' ▪' if row.stable else ''}"
    if column is PairColumn.DIFFERENCE:
        return f"{row.difference:+d}" if row.difference else "–"
    figure = row.first if column is PairColumn.FIRST else row.second
    return "–" if figure is None else str(figure)


def _told(row: PairRow) -> str:
    said = tr("%1: %2, then %3", row.name, row.first or 0, row.second or 0)
    if not row.moved:
        return said
    return tr("%1. It should not change so much between visits.", said) if row.stable else tr("%1. All of it.", said)
