"""The routes beside what came in for each visit."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, QSortFilterProxyModel, Qt

from planner.desktop.sheets.words import tr
from planner.domain.finding import Severity
from planner.domain.route import Route
from planner.usecases.sheets.standing import RouteStanding, VisitStanding

_Index = QModelIndex | QPersistentModelIndex
STANDING_ROLE = Qt.ItemDataRole.UserRole
"""The RouteStanding of a row."""
WORST_ROLE = Qt.ItemDataRole.UserRole + 1
"""The worst severity among the findings of a row; None: there are none."""


class Which(StrEnum):
    """Which routes are wanted."""

    ALL = "all"
    MISSING = "missing"
    DRAFT = "draft"
    LOOK = "look"


class RouteModel(QAbstractTableModel):
    """A row for each route: its name, a column for each visit, and how much is to be looked at."""

    def __init__(self, visits: int, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._visits = visits
        self._rows: tuple[RouteStanding, ...] = ()

    def rowCount(self, parent: _Index = QModelIndex()) -> int:
        """Return how many routes there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: _Index = QModelIndex()) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else self._visits + 2

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the name of a column."""
        if orientation is Qt.Orientation.Horizontal and role == Qt.ItemDataRole.ToolTipRole and section > 0:
            return tr("Visit %1", section) if section <= self._visits else tr("What is to be looked at")
        if orientation is not Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return None
        if section == 0:
            return tr("Route")
        return tr("V%1", section) if section <= self._visits else ""

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what is asked of a cell."""
        if not index.isValid():
            return None
        row, column = self._rows[index.row()], index.column()
        if role == STANDING_ROLE:
            return row
        if role == WORST_ROLE:
            return worst(row) if column == self._visits + 1 else None
        if role == Qt.ItemDataRole.DisplayRole:
            return self._text(row, column)
        if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole):
            return self._told(row, column)
        return None

    def show(self, rows: Sequence[RouteStanding]) -> None:
        """Show how far every route has come; rows of the same routes stay where they are."""
        same = [row.route.code for row in self._rows] == [row.route.code for row in rows]
        if same:
            self._rows = tuple(rows)
            if rows:
                self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, self.columnCount() - 1))
            return
        self.beginResetModel()
        self._rows = tuple(rows)
        self.endResetModel()

    @property
    def routes(self) -> list[Route]:
        """The routes, row by row."""
        return [row.route for row in self._rows]

    def row_of(self, code: str) -> int:
        """Return the row of a route; -1 where it is not there."""
        return next((at for at, row in enumerate(self._rows) if row.route.code == code), -1)

    def _text(self, row: RouteStanding, column: int) -> str:
        if column == 0:
            return row.route.title
        if column > self._visits:
            return str(len(row.findings)) if row.findings else ""
        return came_in_words(row.visits[column - 1], len(row.route.points))

    def _told(self, row: RouteStanding, column: int) -> str:
        if column == 0:
            return row.route.title
        if column > self._visits:
            return "\n".join([tr("%1 to look at", len(row.findings)), *(one.what for one in row.findings[:5])])
        visit = row.visits[column - 1]
        return tr(
            "Visit %1: %2 of %3 points came in, %4 handed in, %5 drafts",
            column,
            visit.came_in,
            len(row.route.points),
            visit.final,
            visit.draft,
        )


class RouteFilter(QSortFilterProxyModel):
    """Leaves the routes that are wanted, and the one that is chosen."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._which = Which.ALL
        self._kept = ""

    def want(self, which: Which, kept: str) -> None:
        """Leave these, and the route of that code whatever it is."""
        self.beginFilterChange()
        self._which, self._kept = which, kept
        self.endFilterChange(QSortFilterProxyModel.Direction.Rows)

    def filterAcceptsRow(self, source_row: int, source_parent: _Index) -> bool:
        """Return whether a route is wanted."""
        row = self.sourceModel().index(source_row, 0, source_parent).data(STANDING_ROLE)
        if not isinstance(row, RouteStanding) or row.route.code == self._kept:
            return True
        wanted = {
            Which.ALL: True,
            Which.MISSING: row.missing,
            Which.DRAFT: row.has_drafts,
            Which.LOOK: bool(row.findings),
        }
        return wanted[self._which]


def came_in_words(visit: VisitStanding, points: int) -> str:
    """Return what came in for a visit: '3/10', with a tick once all is handed in and a pen where drafts are."""
    if not visit.came_in:
        return "–" if visit.wanted else ""
    sign = " ✓" if visit.final == points else " ✎" if visit.draft else ""
    return f"{visit.came_in}/{points}{sign}"


def worst(row: RouteStanding) -> Severity | None:
    """Return the worst severity among the findings of a route."""
    return min((finding.severity for finding in row.findings), default=None)
