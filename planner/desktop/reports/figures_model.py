"""Rows of figures for a table: what is shown, and what it is ordered by."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()


@dataclass(frozen=True, slots=True)
class Figure:
    """One cell."""

    text: str
    order: str | float | None = None
    """What the column is ordered by; None: the text."""


class FiguresModel(QAbstractTableModel):
    """A table whose columns are given once, and its rows again and again."""

    def __init__(self, headers: Sequence[str], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._headers = tuple(headers)
        self._given: Sequence[Sequence[Figure]] = ()
        self._rows: Sequence[Sequence[Figure]] = ()
        self._ordered_by: tuple[int, Qt.SortOrder] = (-1, Qt.SortOrder.AscendingOrder)

    @property
    def rows(self) -> Sequence[Sequence[Figure]]:
        """What it shows, in the order in which it is shown."""
        return self._rows

    def show_rows(self, rows: Sequence[Sequence[Figure]]) -> None:
        """Show other rows, ordered as those before."""
        self.beginResetModel()
        self._given = rows
        self._rows = self._ordered()
        self.endResetModel()

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        """Order the rows by a column; a column below 0: as they were given.

        A model of Qt's own that sorts this one asks for each figure many times: with 300 routes that took a second.
        """
        self.beginResetModel()
        self._ordered_by = column, order
        self._rows = self._ordered()
        self.endResetModel()

    def _ordered(self) -> Sequence[Sequence[Figure]]:
        column, order = self._ordered_by
        if column < 0:
            return self._given
        falling = order is Qt.SortOrder.DescendingOrder
        return sorted(self._given, key=lambda row: _sort_key(row[column]), reverse=falling)

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """Return how many rows there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self._headers)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the title of a column."""
        if orientation is not Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return super().headerData(section, orientation, role)
        return self._headers[section]

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what a cell shows; figures stand at the right."""
        if not index.isValid():
            return None
        cell = self._rows[index.row()][index.column()]
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            return cell.text
        if role == Qt.ItemDataRole.TextAlignmentRole and isinstance(cell.order, float):
            return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        return None


def _sort_key(cell: Figure) -> tuple[float, str]:
    """Return what orders figures by size and words by their letters, also where a column has both."""
    if isinstance(cell.order, float):
        return cell.order, ""
    return 0.0, cell.text if cell.order is None else cell.order
