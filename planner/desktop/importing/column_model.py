"""The columns of a table: what each is called, what stands in it first, and what it was taken for."""

from __future__ import annotations

from collections.abc import Sequence
from enum import IntEnum

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QColor

from planner.desktop.importing.words import meaning_words, tr
from planner.desktop.look.colours import Colours
from planner.exchange import ColumnUse

Index = QModelIndex | QPersistentModelIndex
_NONE = QModelIndex()
_DISPLAY = Qt.ItemDataRole.DisplayRole


class Column(IntEnum):
    """What is shown of a column."""

    NAME = 0
    EXAMPLE = 1
    MEANING = 2


class ColumnModel(QAbstractTableModel):
    """A row for each column of a file; a person may say what it holds, where the file lets them."""

    chosen = Signal(object, str)
    """A ColumnUse, and the meaning that a person gave it; the model shows it once the file has been read again."""

    def __init__(self, colours: Colours, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._colours = colours
        self._uses: Sequence[ColumnUse] = ()
        self.meanings: Sequence[str] = ()
        """What a column may hold; empty where nothing can be chosen."""

    @property
    def names(self) -> tuple[str, ...]:
        """What the columns are called in the file."""
        return tuple(use.column for use in self._uses)

    def show_columns(self, uses: Sequence[ColumnUse], meanings: Sequence[str]) -> None:
        """Show other columns."""
        self.beginResetModel()
        self._uses, self.meanings = uses, meanings
        self.endResetModel()

    def rowCount(self, parent: Index = _NONE) -> int:  # Qt's name
        """A row for each column of the file."""
        return 0 if parent.isValid() else len(self._uses)

    def columnCount(self, parent: Index = _NONE) -> int:  # Qt's name
        """As many as there are in :class:`Column`."""
        return 0 if parent.isValid() else len(Column)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = _DISPLAY) -> str | None:  # Qt's name
        """What the columns of this model show."""
        if orientation is not Qt.Orientation.Horizontal or role != _DISPLAY:
            return None
        return (tr("Column"), tr("First in it"), tr("Taken for"))[section]

    def data(self, index: Index, role: int = _DISPLAY) -> object:
        """What stands in a cell; to be edited, the meaning as the importers name it."""
        if not index.isValid():
            return None
        use = self._uses[index.row()]
        said = {
            Column.NAME: use.column,
            Column.EXAMPLE: use.example,
            Column.MEANING: meaning_words(use.meaning),
        }[Column(index.column())]
        if role == _DISPLAY:
            return said
        if role == Qt.ItemDataRole.ToolTipRole:
            return self._tip(use, said) if index.column() == Column.MEANING else said
        if role == Qt.ItemDataRole.EditRole and index.column() == Column.MEANING:
            return use.meaning
        if role == Qt.ItemDataRole.ForegroundRole and not use.meaning:
            return QColor(self._colours.quiet)
        return None

    def setData(self, index: Index, value: object, role: int = Qt.ItemDataRole.EditRole) -> bool:  # Qt's name
        """Take a column for something else."""
        use = self._uses[index.row()]
        if role != Qt.ItemDataRole.EditRole or index.column() != Column.MEANING or not isinstance(value, str):
            return False
        if value != use.meaning:
            self.chosen.emit(use, value)
        return True

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Every cell can be looked at, what a column holds be chosen."""
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        usual = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        return usual | Qt.ItemFlag.ItemIsEditable if self.meanings and index.column() == Column.MEANING else usual

    def _tip(self, use: ColumnUse, said: str) -> str:
        return tr("%1: %2. Click or press F2 to choose what it holds.", use.column, said) if self.meanings else said
