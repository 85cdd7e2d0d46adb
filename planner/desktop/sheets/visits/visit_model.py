"""The evenings of all visits as Qt's table, and the filter over them."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QSortFilterProxyModel,
    Qt,
)

from planner.desktop.sheets.visits.words import person_words, standing_mark, standing_word
from planner.desktop.sheets.words import tr
from planner.desktop.today.words import short_day
from planner.domain.field.visit_record import RecordKey
from planner.domain.season import Season
from planner.usecases.records.standing import EveningStanding, RecordStanding

_Index = QModelIndex | QPersistentModelIndex
EVENING_ROLE = Qt.ItemDataRole.UserRole
"""The EveningStanding of a row."""
MARK_ROLE = Qt.ItemDataRole.UserRole + 1
"""The Severity of where it stands, None for done; only in the column that says where it stands."""
STATE_COLUMN = 2


class WhichVisits(StrEnum):
    """Which evenings are wanted."""

    NOW = "now"
    AWAITED = "awaited"
    OVERDUE = "overdue"
    DRAFT = "draft"
    PARTLY = "partly"
    DONE = "done"
    ALL = "all"

    @property
    def takes(self) -> frozenset[RecordStanding]:
        """Which standings are wanted."""
        every = frozenset(RecordStanding)
        return {
            WhichVisits.NOW: every - {RecordStanding.TO_COME},
            WhichVisits.AWAITED: frozenset({RecordStanding.AWAITED, RecordStanding.OVERDUE}),
            WhichVisits.OVERDUE: frozenset({RecordStanding.OVERDUE}),
            WhichVisits.DRAFT: frozenset({RecordStanding.DRAFT}),
            WhichVisits.PARTLY: frozenset({RecordStanding.PARTLY}),
            WhichVisits.DONE: frozenset({RecordStanding.DONE}),
            WhichVisits.ALL: every,
        }[self]


class VisitModel(QAbstractTableModel):
    """A row for each evening: visit, date, where its record stands."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[EveningStanding, ...] = ()
        self._season: Season | None = None

    def rowCount(self, parent: _Index = QModelIndex()) -> int:
        """Return how many evenings there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: _Index = QModelIndex()) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else 3

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the name of a column."""
        if orientation is not Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return None
        return (tr("Visit"), tr("Date"), tr("Record"))[section]

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what is asked of a cell."""
        if not index.isValid():
            return None
        row, column = self._rows[index.row()], index.column()
        if role == EVENING_ROLE:
            return row
        if role == MARK_ROLE:
            return standing_mark(row.standing) if column == STATE_COLUMN else None
        if role == Qt.ItemDataRole.DisplayRole:
            return (f"{row.key.route} · {row.key.visit}", short_day(row.key.date), standing_word(row.standing))[column]
        if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole):
            return self._told(row)
        return None

    def show(self, rows: Sequence[EveningStanding], season: Season) -> None:
        """Show where every record stands; rows of the same evenings stay where they are."""
        same = [row.key for row in self._rows] == [row.key for row in rows]
        self._season = season
        if same:
            self._rows = tuple(rows)
            if rows:
                self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, self.columnCount() - 1))
            return
        self.beginResetModel()
        self._rows = tuple(rows)
        self.endResetModel()

    def row_of(self, key: RecordKey) -> int:
        """Return the row of an evening; -1 where it is not there."""
        return next((at for at, row in enumerate(self._rows) if row.key == key), -1)

    def evening(self, row: int) -> EveningStanding | None:
        """Return the evening of a row."""
        return self._rows[row] if 0 <= row < len(self._rows) else None

    @property
    def evenings(self) -> tuple[EveningStanding, ...]:
        """All evenings."""
        return self._rows

    def words(self, row: int) -> str:
        """Return what a search looks in: route, date, people."""
        return self._told(self._rows[row])

    def _told(self, row: EveningStanding) -> str:
        season = self._season
        if season is None:
            return ""
        title = next((one.title for one in season.routes if one.code == row.key.route), row.key.route)
        people = ", ".join(person_words(season, code) for code in row.people)
        return tr(
            "%1, visit %2, %3: %4. %5",
            title,
            row.key.visit,
            short_day(row.key.date),
            standing_word(row.standing),
            people,
        )


class VisitFilter(QSortFilterProxyModel):
    """Leaves the evenings that are wanted, and the one that is shown."""

    def __init__(self, model: VisitModel, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._model = model
        self._which = WhichVisits.NOW
        self._text = ""
        self._kept: RecordKey | None = None
        self.setSourceModel(model)

    def want(self, which: WhichVisits, text: str, kept: RecordKey | None) -> None:
        """Leave these, of those whose words hold a text, and the evening of that key whatever it is."""
        self.beginFilterChange()
        self._which, self._text, self._kept = which, text.casefold().strip(), kept
        self.endFilterChange(QSortFilterProxyModel.Direction.Rows)

    def filterAcceptsRow(self, source_row: int, _source_parent: _Index) -> bool:
        """Return whether an evening is wanted."""
        row = self._model.evening(source_row)
        if row is None or row.key == self._kept:
            return True
        return row.standing in self._which.takes and self._text in self._model.words(source_row).casefold()
