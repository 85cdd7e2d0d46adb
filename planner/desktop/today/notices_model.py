"""Those who must be told, one row each, with a tick for who has been."""

from __future__ import annotations

from collections.abc import Sequence
from enum import IntEnum

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal

from planner.usecases.sending.notice import Notice

_Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()


class NoticeColumn(IntEnum):
    """The columns, from left to right."""

    NAME = 0
    TELEPHONE = 1
    PAPER = 2


class NoticesModel(QAbstractTableModel):
    """The tick stands beside the name; it is kept while the page is open."""

    told_changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._notices: tuple[Notice, ...] = ()
        self._told: set[str] = set()

    @property
    def notices(self) -> tuple[Notice, ...]:
        """The letters, row by row."""
        return self._notices

    @property
    def left(self) -> int:
        """How many have not been told yet."""
        return sum(one.volunteer not in self._told for one in self._notices)

    def show(self, notices: Sequence[Notice]) -> None:
        """Show other letters; nobody has been told yet."""
        self.beginResetModel()
        self._notices, self._told = tuple(notices), set()
        self.endResetModel()
        self.told_changed.emit()

    def is_told(self, row: int) -> bool:
        """Say whether the person of a row has been told."""
        return self._notices[row].volunteer in self._told

    def tell(self, row: int, *, told: bool) -> None:
        """Tick the person of a row, or take the tick away."""
        code = self._notices[row].volunteer
        if told:
            self._told.add(code)
        else:
            self._told.discard(code)
        index = self.index(row, NoticeColumn.NAME)
        self.dataChanged.emit(index, index, [Qt.ItemDataRole.CheckStateRole, Qt.ItemDataRole.AccessibleTextRole])
        self.told_changed.emit()

    def rowCount(self, parent: _Index = _ROOT) -> int:
        """How many people must be told."""
        return 0 if parent.isValid() else len(self._notices)

    def columnCount(self, parent: _Index = _ROOT) -> int:
        """How many columns there are."""
        return 0 if parent.isValid() else len(NoticeColumn)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What a column is called."""
        if orientation is not Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return None
        return {
            NoticeColumn.NAME: self.tr("Told"),
            NoticeColumn.TELEPHONE: self.tr("Telephone"),
            NoticeColumn.PAPER: self.tr("Paper"),
        }[NoticeColumn(section)]

    def flags(self, index: _Index) -> Qt.ItemFlag:
        """The name can be ticked."""
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        if index.isValid() and index.column() == NoticeColumn.NAME:
            flags |= Qt.ItemFlag.ItemIsUserCheckable
        return flags if index.isValid() else Qt.ItemFlag.NoItemFlags

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What stands in a cell, and the tick."""
        if not index.isValid():
            return None
        notice, column = self._notices[index.row()], NoticeColumn(index.column())
        if role == Qt.ItemDataRole.DisplayRole:
            return self._text(notice, column)
        if column is not NoticeColumn.NAME:
            return None
        if role == Qt.ItemDataRole.CheckStateRole:
            return Qt.CheckState.Checked if self.is_told(index.row()) else Qt.CheckState.Unchecked
        if role == Qt.ItemDataRole.AccessibleTextRole:
            state = self.tr("told") if self.is_told(index.row()) else self.tr("not told yet")
            return f"{notice.name}, {state}"
        return None

    def setData(self, index: _Index, value: object, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Take a tick."""
        if not index.isValid() or role != Qt.ItemDataRole.CheckStateRole or index.column() != NoticeColumn.NAME:
            return False
        self.tell(index.row(), told=Qt.CheckState(value) is Qt.CheckState.Checked)
        return True

    def _text(self, notice: Notice, column: NoticeColumn) -> str:
        match column:
            case NoticeColumn.NAME:
                return f"{notice.volunteer} {notice.name}"
            case NoticeColumn.TELEPHONE:
                return notice.telephone or "–"
            case NoticeColumn.PAPER:
                return self.tr("new one") if notice.fresh_paper else self.tr("void")
