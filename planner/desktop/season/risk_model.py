"""How likely each route is completed, the weakest first, as a table."""

from __future__ import annotations

from collections.abc import Sequence
from enum import IntEnum
from typing import TYPE_CHECKING

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from planner.domain.season import Season

if TYPE_CHECKING:
    from planner.scheduling import RouteRisk

Index = QModelIndex | QPersistentModelIndex
RISK_ROLE = Qt.ItemDataRole.UserRole + 1
_NOWHERE = QModelIndex()


class Column(IntEnum):
    """The columns, in their order."""

    ROUTE = 0
    CHANCE = 1
    WEAKEST = 2


class RiskModel(QAbstractTableModel):
    """One row a route."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._routes: Sequence[RouteRisk] = ()
        self._titles: dict[str, str] = {}

    @property
    def routes(self) -> Sequence[RouteRisk]:
        """The rows, the weakest first."""
        return self._routes

    def show_risk(self, routes: Sequence[RouteRisk], season: Season) -> None:
        """Show other routes."""
        self.beginResetModel()
        self._routes = routes
        self._titles = {route.code: route.title for route in season.routes}
        self.endResetModel()

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """Return how many routes there are."""
        return 0 if parent.isValid() else len(self._routes)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(Column)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the title of a column."""
        if orientation is not Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return super().headerData(section, orientation, role)
        return (self.tr("Route"), self.tr("Completed"), self.tr("Weakest"))[section]

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what a cell shows."""
        if not index.isValid():
            return None
        route = self._routes[index.row()]
        if role == RISK_ROLE:
            return route
        if role == Qt.ItemDataRole.DisplayRole:
            return self._text(route, Column(index.column()))
        if role == Qt.ItemDataRole.ToolTipRole:
            return self._sentence(route)
        return None

    def _text(self, route: RouteRisk, column: Column) -> str:
        if column is Column.ROUTE:
            return self._titles.get(route.route, route.route)
        if column is Column.CHANCE:
            return _percent(route.complete) if route.whole else self.tr("unfilled")
        return self.tr("visit %1").replace("%1", str(route.weakest_visit))

    def _sentence(self, route: RouteRisk) -> str:
        if not route.whole:
            words = self.tr("%1 of %2 visits are filled, so it cannot be completed as it stands.")
            return words.replace("%1", str(route.filled)).replace("%2", str(len(route.visits)))
        words = self.tr("Completed with %1; visit %2 is the weakest with %3.")
        weakest = route.visits[route.weakest_visit - 1]
        words = words.replace("%1", _percent(route.complete)).replace("%2", str(route.weakest_visit))
        past = f" {route.past_words[:1].upper()}{route.past_words[1:]}." if route.past else ""
        return words.replace("%3", _percent(weakest)) + past


def _percent(chance: float) -> str:
    """Return a chance in whole percent; neither 0 nor 100 where it is not quite so."""
    if 0.0 < chance < 0.005:
        return "< 1 %"
    if 0.995 <= chance < 1.0:
        return "> 99 %"
    return f"{100 * chance:.0f} %"
