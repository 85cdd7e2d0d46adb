"""The findings of a season as a list, worst first, and those of them that a filter lets through."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, QSortFilterProxyModel, Qt

from planner.desktop.season.words import said_of, severity_word
from planner.domain.finding import Finding, Severity

Index = QModelIndex | QPersistentModelIndex
FINDING_ROLE = Qt.ItemDataRole.UserRole + 1
_NOWHERE = QModelIndex()


class FindingsModel(QAbstractListModel):
    """One row a finding."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._findings: Sequence[Finding] = ()

    @property
    def findings(self) -> Sequence[Finding]:
        """The rows."""
        return self._findings

    def show_findings(self, findings: Sequence[Finding]) -> None:
        """Show other findings."""
        self.beginResetModel()
        self._findings = findings
        self.endResetModel()

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """Return how many findings there are."""
        return 0 if parent.isValid() else len(self._findings)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a finding, or its words."""
        if not index.isValid():
            return None
        finding = self._findings[index.row()]
        if role == FINDING_ROLE:
            return finding
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return f"{severity_word(finding.severity)}: {finding.subject}: {said_of(finding)}"
        if role == Qt.ItemDataRole.ToolTipRole:
            return said_of(finding)
        return None


class FindingsFilter(QSortFilterProxyModel):
    """Lets through the severities that are wanted, where the words hold what is looked for."""

    def __init__(self, model: FindingsModel, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._wanted = frozenset(Severity)
        self.setFilterCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        self.setSourceModel(model)
        self._model = model

    def want(self, severities: frozenset[Severity]) -> None:
        """Let only these severities through."""
        self.beginFilterChange()
        self._wanted = severities
        self.endFilterChange(QSortFilterProxyModel.Direction.Rows)

    def filterAcceptsRow(self, row: int, parent: Index) -> bool:
        """Whether a finding is let through."""
        wanted = self._model.findings[row].severity in self._wanted
        return wanted and super().filterAcceptsRow(row, parent)
