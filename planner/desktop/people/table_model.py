"""The volunteers as a table: who, how many visits of how many, usable evenings, drives, skills, findings."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import TypeAlias

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from planner.desktop.people.phrases import load_sentence, load_word, said, severity_word
from planner.usecases.people.load import PersonRow

Index: TypeAlias = QModelIndex | QPersistentModelIndex

SORT_ROLE = int(Qt.ItemDataRole.UserRole)
ROW_ROLE = SORT_ROLE + 1
"""The PersonRow."""

_RIGHT = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
_LAST = 1e9
"""Sorts what is not known behind everything."""


class Column(IntEnum):
    """The columns, from left to right."""

    MARK = 0
    CODE = 1
    NAME = 2
    VISITS = 3
    LOAD = 4
    USABLE = 5
    LONGEST = 6
    DRIVING = 7
    TRAINING = 8
    VEHICLE = 9


@dataclass(frozen=True, slots=True)
class _ColumnRule:
    """What one column shows and sorts by."""

    text: Callable[[PersonRow], str]
    key: Callable[[PersonRow], str | float]
    figures: bool = False


class PeopleModel(QAbstractTableModel):
    """One row a volunteer, in the season's order."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[PersonRow, ...] = ()

    @property
    def rows(self) -> tuple[PersonRow, ...]:
        """The volunteers shown."""
        return self._rows

    def show(self, rows: Sequence[PersonRow]) -> None:
        """Show these; where only figures changed, the selection stays."""
        before, self_rows = self._rows, tuple(rows)
        if [one.person.code for one in before] == [one.person.code for one in self_rows]:
            self._rows = self_rows
            for number, (old, new) in enumerate(zip(before, self_rows, strict=True)):
                if old != new:
                    self.dataChanged.emit(self.index(number, 0), self.index(number, len(Column) - 1))
            return
        self.beginResetModel()
        self._rows = self_rows
        self.endResetModel()

    def row_of(self, code: str) -> int:
        """Return the row of a volunteer; -1 if there is none."""
        return next((number for number, row in enumerate(self._rows) if row.person.code == code), -1)

    def rowCount(self, parent: Index = QModelIndex()) -> int:
        """Return how many volunteers there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(Column)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Name the columns; their tool tips say what stands in them."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(Column):
            return None
        title, why = self._titles()[Column(section)]
        if role == Qt.ItemDataRole.DisplayRole:
            return title
        if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole):
            return why
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a cell: shown, sorted by, and in words."""
        if not index.isValid() or index.row() >= len(self._rows):
            return None
        row, column = self._rows[index.row()], Column(index.column())
        rule = _RULES[column]
        if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole):
            return self._told(row, column)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _RIGHT if rule.figures else None
        if role == ROW_ROLE:
            return row
        return {Qt.ItemDataRole.DisplayRole: rule.text, SORT_ROLE: rule.key}.get(role, _nothing)(row)

    def _told(self, row: PersonRow, column: Column) -> str:
        """Return a cell in words."""
        if column is Column.MARK:
            if row.worst is None:
                return self.tr("nothing found")
            return said(self.tr("%1 findings, the worst: %2"), row.findings, severity_word(row.worst))
        if column in (Column.VISITS, Column.LOAD):
            shares = said(
                self.tr("%1 of %2 visits; an even share would be %3."),
                row.load.planned,
                row.load.limit,
                _tenths(row.load.share),
            )
            return f"{shares} {load_sentence(row.load.word)}"
        if column is Column.USABLE and row.usable is None:
            return self.tr("is being computed")
        return _RULES[column].text(row)

    def _titles(self) -> dict[Column, tuple[str, str]]:
        return {
            Column.MARK: ("", self.tr("What the checks found")),
            Column.CODE: (self.tr("Code"), self.tr("Code of the volunteer")),
            Column.NAME: (self.tr("Name"), self.tr("Name of the volunteer")),
            Column.VISITS: (
                self.tr("Visits"),
                self.tr("Visits planned, of those offered; the stroke is an even share"),
            ),
            Column.LOAD: (self.tr("Load"), self.tr("Visits against what was offered and against an even share")),
            Column.USABLE: (
                self.tr("Usable"),
                self.tr("Dates given on which a route within reach has a window in the dates of a visit"),
            ),
            Column.LONGEST: (self.tr("Longest"), self.tr("Longest drive, minutes one way")),
            Column.DRIVING: (self.tr("Driving"), self.tr("All driving out and back, hours and minutes")),
            Column.TRAINING: (self.tr("Training"), self.tr("What they have learnt")),
            Column.VEHICLE: (self.tr("Vehicle"), self.tr("What they drive")),
        }


def _nothing(_row: PersonRow) -> None:
    """Return nothing for the roles that are not served."""


def hours_words(minutes: float) -> str:
    """Return minutes as hours and minutes: 2:05."""
    whole = round(minutes)
    return f"{whole // 60}:{whole % 60:02d}"


def _tenths(value: float) -> str:
    return f"{value:.1f}"


def _longest(row: PersonRow) -> str:
    longest = row.driving.longest_minutes if row.driving is not None else None
    return "" if longest is None else f"{longest:.0f} min"


def _driving(row: PersonRow) -> str:
    return hours_words(row.driving.in_all_minutes) if row.driving is not None and row.driving.in_all_minutes else ""


def _longest_key(row: PersonRow) -> float:
    longest = row.driving.longest_minutes if row.driving is not None else None
    return _LAST if longest is None else longest


_RULES = {
    Column.MARK: _ColumnRule(lambda _row: "", lambda row: _LAST if row.worst is None else float(row.worst)),
    Column.CODE: _ColumnRule(lambda row: row.person.code, lambda row: row.person.code),
    Column.NAME: _ColumnRule(lambda row: row.person.name, lambda row: row.person.name.casefold()),
    Column.VISITS: _ColumnRule(
        lambda row: f"{row.load.planned} / {row.load.limit}",
        lambda row: row.load.planned / row.load.limit if row.load.limit else float(row.load.planned),
    ),
    Column.LOAD: _ColumnRule(lambda row: load_word(row.load.word), lambda row: row.load.planned - row.load.share),
    Column.USABLE: _ColumnRule(
        lambda row: "…" if row.usable is None else str(row.usable),
        lambda row: _LAST if row.usable is None else float(row.usable),
        figures=True,
    ),
    Column.LONGEST: _ColumnRule(_longest, _longest_key, figures=True),
    Column.DRIVING: _ColumnRule(
        _driving, lambda row: _LAST if row.driving is None else row.driving.in_all_minutes, figures=True
    ),
    Column.TRAINING: _ColumnRule(
        lambda row: "; ".join(sorted(row.person.training)), lambda row: "; ".join(sorted(row.person.training))
    ),
    Column.VEHICLE: _ColumnRule(lambda row: row.person.vehicle, lambda row: row.person.vehicle),
}
