"""Every visit that a way on changes, before and after, as a table."""

from __future__ import annotations

from enum import IntEnum

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from planner.desktop.today.way_words import change, stand, who
from planner.domain.season import Season
from planner.scheduling import Move, WayOn

_Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()


class MoveColumn(IntEnum):
    """The columns, from left to right."""

    VISIT = 0
    BEFORE = 1
    AFTER = 2
    WHO = 3


class MovesModel(QAbstractTableModel):
    """Those that broke first, then those that move for them."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._way: WayOn | None = None
        self._season: Season | None = None

    def show(self, way: WayOn | None, season: Season) -> None:
        """Show what one way changes; None: nothing."""
        self.beginResetModel()
        self._way, self._season = way, season
        self.endResetModel()

    def rowCount(self, parent: _Index = _ROOT) -> int:
        """How many visits change."""
        return 0 if parent.isValid() or self._way is None else len(self._way.moves)

    def columnCount(self, parent: _Index = _ROOT) -> int:
        """How many columns there are."""
        return 0 if parent.isValid() else len(MoveColumn)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What a column is called."""
        if orientation is not Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return None
        return {
            MoveColumn.VISIT: self.tr("Visit"),
            MoveColumn.BEFORE: self.tr("As it stands"),
            MoveColumn.AFTER: self.tr("As it would be"),
            MoveColumn.WHO: self.tr("Who goes"),
        }[MoveColumn(section)]

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What stands in a cell."""
        if not index.isValid() or self._way is None or self._season is None:
            return None
        move = self._way.moves[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return self._text(move, MoveColumn(index.column()), self._way, self._season)
        if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole):
            return f"{move.key}: {change(move)}"
        return None

    def _text(self, move: Move, column: MoveColumn, way: WayOn, season: Season) -> str:
        match column:
            case MoveColumn.VISIT:
                why = self.tr("has to change") if move.key in way.broken else self.tr("moves for another")
                return (
                    f"{season.route(move.key.route).title}\n"
                    + self.tr("visit %1, ").replace("%1", str(move.key.number))
                    + why
                )
            case MoveColumn.BEFORE:
                return stand(move.before)
            case MoveColumn.AFTER:
                return stand(move.after)
            case MoveColumn.WHO:
                return who(move, season)
