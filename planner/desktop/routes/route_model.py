"""The list of routes as a model: each with its worst finding, how many there are, and its figures in a line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, QSortFilterProxyModel, Qt

from planner.desktop.routes.words import count_words, severity_words, tr
from planner.domain.finding import Finding, Severity
from planner.domain.route import Route

_Index = QModelIndex | QPersistentModelIndex

ROW_ROLE = Qt.ItemDataRole.UserRole
"""The RouteRow of a row."""


@dataclass(frozen=True, slots=True)
class RouteRow:
    """What the list shows of one route."""

    route: Route
    line: str
    """Its figures."""
    findings: tuple[Finding, ...] = ()

    @property
    def worst(self) -> Severity | None:
        """The worst severity of its findings; None: nothing is wrong."""
        return min((finding.severity for finding in self.findings), default=None)

    @property
    def spoken(self) -> str:
        """The row for those who listen."""
        count = len(self.findings)
        words = tr("1 finding") if count == 1 else tr("%1 findings", count) if count else severity_words(None)
        worst = "" if self.worst is None else f", {tr('worst')}: {severity_words(self.worst)}"
        parts = (self.route.title, self.route.area, count_words(len(self.route.points)), self.line, f"{words}{worst}")
        return ", ".join(part for part in parts if part)


class RouteModel(QAbstractListModel):
    """The routes of the season, in its order."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: list[RouteRow] = []
        self._places: dict[str, int] = {}

    def rowCount(self, parent: _Index = QModelIndex()) -> int:
        """Return how many routes there are."""
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what is asked of a row."""
        if not index.isValid():
            return None
        row = self._rows[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return row.route.title
        if role == Qt.ItemDataRole.ToolTipRole:
            found = [f"{severity_words(one.severity)}: {one.what}" for one in row.findings] or [row.line]
            return "\n".join([*([row.route.area] if row.route.area else []), *found])
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return row.spoken
        return row if role == ROW_ROLE else None

    def show_rows(self, rows: Sequence[RouteRow]) -> None:
        """Show these routes; rows of routes that stay are kept, so that what is selected stays so."""
        codes, new_codes = [row.route.code for row in self._rows], [row.route.code for row in rows]
        if codes != new_codes:
            self.beginResetModel()
            self._rows = list(rows)
            self._places = {code: place for place, code in enumerate(new_codes)}
            self.endResetModel()
            return
        changed = [place for place, (old, new) in enumerate(zip(self._rows, rows, strict=True)) if old != new]
        if changed:
            self._rows = list(rows)
            self.dataChanged.emit(self.index(changed[0]), self.index(changed[-1]))

    def show_row(self, row: RouteRow) -> None:
        """Show a route that is in the list as it stands now."""
        place = self._places[row.route.code]
        if self._rows[place] != row:
            self._rows[place] = row
            self.dataChanged.emit(self.index(place), self.index(place))

    def row_at(self, code: str) -> RouteRow | None:
        """Return what is shown of a route; None where it is not in the list."""
        place = self._places.get(code)
        return None if place is None else self._rows[place]

    def row_of(self, code: str) -> QModelIndex:
        """Return the index of a route; an invalid one where it is not there."""
        place = self._places.get(code)
        return QModelIndex() if place is None else self.index(place)


class RouteFilter(QSortFilterProxyModel):
    """The routes that hold what is searched for, and only those with findings where that is asked for."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._words: tuple[str, ...] = ()
        self._only_troubled = False
        self.kept = ""
        """Code of a route that is shown whatever else is asked for; empty: none."""

    def keep(self, code: str) -> None:
        """Go on showing a route, whatever else is asked for, and none beside it."""
        if code != self.kept:
            self.kept = code
            self.invalidate()

    def search(self, text: str) -> None:
        """Show what holds every one of these words, in whatever capitals."""
        self._words = tuple(text.casefold().split())
        self.invalidate()

    def show_only_troubled(self, only: bool) -> None:
        """Show only what has findings, or everything."""
        self._only_troubled = only
        self.invalidate()

    def filterAcceptsRow(self, source_row: int, source_parent: _Index) -> bool:
        """Return whether a row is shown."""
        row = self.sourceModel().index(source_row, 0, source_parent).data(ROW_ROLE)
        if not isinstance(row, RouteRow):
            return False
        if row.route.code == self.kept:
            return True
        if self._only_troubled and not row.findings:
            return False
        route = row.route
        said = " ".join([route.title, route.area, *route.needs, route.lead, *(one.what for one in row.findings)])
        return all(word in said.casefold() for word in self._words)


def findings_by_route(findings: Sequence[Finding]) -> Mapping[str, tuple[Finding, ...]]:
    """Return the findings by the route that they are about, those about none left out."""
    by_route: dict[str, list[Finding]] = {}
    for finding in findings:
        for code in finding.subject.routes:
            by_route.setdefault(code, []).append(finding)
    return {code: tuple(ones) for code, ones in by_route.items()}
