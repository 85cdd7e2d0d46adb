"""The routes as one volunteer reaches them: minutes, whether that is within the limit, and their visits there."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from planner.desktop.people.phrases import said
from planner.domain.travel import ESTIMATED_WORDS
from planner.usecases.people.reach import RouteReach

Index = QModelIndex | QPersistentModelIndex

REACH_ROLE = int(Qt.ItemDataRole.UserRole)
"""The RouteReach."""

_COLUMNS = 4
_RIGHT = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)


class ReachModel(QAbstractTableModel):
    """One row a route, the nearest first."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._routes: tuple[RouteReach, ...] = ()

    def show(self, routes: Sequence[RouteReach]) -> None:
        """Show these."""
        if tuple(routes) != self._routes:
            self.beginResetModel()
            self._routes = tuple(routes)
            self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:
        """Return how many routes there are."""
        return 0 if parent.isValid() else len(self._routes)

    def columnCount(self, parent: Index = QModelIndex()) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else _COLUMNS

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Name the columns."""
        if orientation is Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            titles = (self.tr("Route"), self.tr("One way"), self.tr("Within the limit"), self.tr("Their visits"))
            return titles[section] if 0 <= section < _COLUMNS else None
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a cell."""
        if not index.isValid() or index.row() >= len(self._routes):
            return None
        route = self._routes[index.row()]
        if role == REACH_ROLE:
            return route
        if role == Qt.ItemDataRole.DisplayRole:
            return self._texts(route)[index.column()]
        if role == Qt.ItemDataRole.TextAlignmentRole and index.column() == 1:
            return _RIGHT
        if role == Qt.ItemDataRole.ToolTipRole and route.estimated:
            return ESTIMATED_WORDS
        return None

    def _texts(self, route: RouteReach) -> tuple[str, ...]:
        estimate = self.tr("about %1 min") if route.estimated else self.tr("%1 min")
        minutes = said(estimate, math.ceil(route.minutes)) if math.isfinite(route.minutes) else self.tr("no road")
        within = self.tr("yes") if route.within else self.tr("no, too far")
        return route.title, minutes, within, ", ".join(str(number) for number in route.visits)
