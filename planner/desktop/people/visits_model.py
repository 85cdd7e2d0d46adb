"""What is planned for one volunteer, by date: visit, role, reserve date, set-up day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from planner.desktop.people.phrases import day_words, said
from planner.domain.plan import PlannedVisit, Status

Index = QModelIndex | QPersistentModelIndex

VISIT_ROLE = int(Qt.ItemDataRole.UserRole)
"""The PlannedVisit."""

_COLUMNS = 6


class VisitsModel(QAbstractTableModel):
    """One row a visit of the volunteer, the first date first."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._code = ""
        self._visits: tuple[PlannedVisit, ...] = ()

    def show(self, code: str, visits: Sequence[PlannedVisit]) -> None:
        """Show the visits of that volunteer."""
        if (code, tuple(visits)) != (self._code, self._visits):
            self.beginResetModel()
            self._code, self._visits = code, tuple(visits)
            self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:
        """Return how many visits there are."""
        return 0 if parent.isValid() else len(self._visits)

    def columnCount(self, parent: Index = QModelIndex()) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else _COLUMNS

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Name the columns."""
        if orientation is Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            titles = (
                self.tr("Date"),
                self.tr("Visit"),
                self.tr("Goes as"),
                self.tr("With"),
                self.tr("Reserve date"),
                self.tr("Set-up"),
            )
            return titles[section] if 0 <= section < _COLUMNS else None
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a cell."""
        if not index.isValid() or index.row() >= len(self._visits):
            return None
        visit = self._visits[index.row()]
        if role == VISIT_ROLE:
            return visit
        return self._texts(visit)[index.column()] if role == Qt.ItemDataRole.DisplayRole else None

    def _texts(self, visit: PlannedVisit) -> tuple[str, ...]:
        leads = visit.lead == self._code
        status = {
            Status.PLANNED: "",
            Status.CONFIRMED: self.tr(", confirmed"),
            Status.DONE: self.tr(", done"),
        }[visit.status]
        return (
            f"{day_words(visit.date)}{status}",
            said(self.tr("%1 visit %2"), visit.key.route, visit.key.number),
            self.tr("lead") if leads else self.tr("second"),
            visit.second if leads else visit.lead,
            _day(visit.reserve),
            _day(visit.setup) if leads else "",
        )


def _day(day: dt.date | None) -> str:
    return day_words(day) if day is not None else ""
