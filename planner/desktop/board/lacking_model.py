"""The visits that lack something: unfilled ones, then those without a reserve date."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from planner.desktop.board.said import tr
from planner.desktop.desk import Desk
from planner.desktop.look.marks import mark_pixmap
from planner.domain.finding import Severity
from planner.domain.plan import VisitKey
from planner.usecases.plan.relaxing import Lacking

Index = QModelIndex | QPersistentModelIndex


class LackingModel(QAbstractListModel):
    """One row for each visit that is unfilled or has no reserve date."""

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._lacking: tuple[Lacking, ...] = ()

    def show(self, lacking: Sequence[Lacking]) -> None:
        """Show these visits and no others."""
        if tuple(lacking) != self._lacking:
            self.beginResetModel()
            self._lacking = tuple(lacking)
            self.endResetModel()

    @property
    def keys(self) -> tuple[VisitKey, ...]:
        """The visits, row by row."""
        return tuple(one.key for one in self._lacking)

    @property
    def unfilled(self) -> int:
        """How many of them are unfilled; the others lack a reserve date only."""
        return sum(not one.reserve_only for one in self._lacking)

    def rowCount(self, parent: Index = QModelIndex()) -> int:
        """Return how many visits lack something."""
        return 0 if parent.isValid() else len(self._lacking)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a visit with what it lacks, and the mark for it."""
        if not index.isValid():
            return None
        one = self._lacking[index.row()]
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return lack_said(one)
        if role == Qt.ItemDataRole.DecorationRole:
            severity = Severity.DOUBT if one.reserve_only else Severity.TROUBLE
            return mark_pixmap(severity, self._desk.colours, 16, 2.0)
        return None


def lack_said(one: Lacking) -> str:
    """Return a visit with what it lacks: 'R22 visit 2, unfilled'."""
    lacks = tr("no reserve date") if one.reserve_only else tr("unfilled")
    return tr("%1 visit %2, %3", one.key.route, one.key.number, lacks)
