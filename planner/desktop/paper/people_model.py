"""Everybody who has paper or needs some, as a table; a tick chooses whose is printed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from enum import IntEnum

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QPixmap

from planner.desktop.look.colours import Colours
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.paper.words import MARKS, day_words, moment_words, state_sentence, state_word
from planner.usecases.papers import PaperState, VolunteerPaper

Index = QModelIndex | QPersistentModelIndex
SORT_ROLE = Qt.ItemDataRole.UserRole + 1
_NOWHERE = QModelIndex()
_STATES = list(PaperState)


class Column(IntEnum):
    """The columns, in their order."""

    NAME = 0
    OUTINGS = 1
    PAPER = 2
    PRINTED = 3


class PeopleModel(QAbstractTableModel):
    """One row a person, the most urgent first."""

    ticks_changed = Signal()

    def __init__(self, colours: Colours, zone: dt.tzinfo, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._people: tuple[VolunteerPaper, ...] = ()
        self._ticked: set[str] = set()
        self._colours = colours
        self._zone = zone

    @property
    def people(self) -> tuple[VolunteerPaper, ...]:
        """The rows."""
        return self._people

    @property
    def ticked(self) -> tuple[str, ...]:
        """Codes of those whose paper is to be printed, in the order of the rows."""
        return tuple(person.code for person in self._people if person.code in self._ticked)

    def show_people(self, people: Sequence[VolunteerPaper]) -> None:
        """Show other rows; ticks stay with those who can still have paper."""
        self.beginResetModel()
        self._people = tuple(sorted(people, key=lambda person: _STATES.index(person.state)))
        self._ticked &= {person.code for person in self._people if person.outings}
        self.endResetModel()
        self.ticks_changed.emit()

    def tick(self, codes: Iterable[str]) -> None:
        """Tick exactly these, as far as they have an outing."""
        printable = {person.code for person in self._people if person.outings}
        self._ticked = printable & set(codes)
        if self._people:
            self.dataChanged.emit(self.index(0, 0), self.index(len(self._people) - 1, 0))
        self.ticks_changed.emit()

    def row_of(self, code: str) -> int | None:
        """Return the row of a volunteer; None where there is none."""
        return next((row for row, person in enumerate(self._people) if person.code == code), None)

    def set_colours(self, colours: Colours) -> None:
        """Draw the marks in another palette."""
        self._colours = colours
        if self._people:
            last = len(self._people) - 1
            self.dataChanged.emit(self.index(0, Column.PAPER), self.index(last, Column.PAPER))

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """Return how many people there are."""
        return 0 if parent.isValid() else len(self._people)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(Column)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return what can be done with a cell: names are ticked where there is something to print."""
        flags = super().flags(index)
        if index.isValid() and index.column() == Column.NAME and self._people[index.row()].outings:
            flags |= Qt.ItemFlag.ItemIsUserCheckable
        return flags

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the title of a column."""
        if orientation is not Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return super().headerData(section, orientation, role)
        return (self.tr("Volunteer"), self.tr("Outings"), self.tr("Paper"), self.tr("Printed"))[section]

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what a cell shows."""
        if not index.isValid():
            return None
        person, column = self._people[index.row()], Column(index.column())
        shown = {
            Qt.ItemDataRole.DisplayRole: self._text,
            SORT_ROLE: self._sort_key,
            Qt.ItemDataRole.CheckStateRole: self._tick_of,
            Qt.ItemDataRole.DecorationRole: self._mark,
            Qt.ItemDataRole.ToolTipRole: self._explanation,
            Qt.ItemDataRole.AccessibleTextRole: self._spoken,
        }
        return shown[role](person, column) if role in shown else None

    def setData(self, index: Index, value: object, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Tick or untick a person."""
        if role != Qt.ItemDataRole.CheckStateRole or not self.flags(index) & Qt.ItemFlag.ItemIsUserCheckable:
            return False
        code = self._people[index.row()].code
        if Qt.CheckState(value) is Qt.CheckState.Checked:
            self._ticked.add(code)
        else:
            self._ticked.discard(code)
        self.dataChanged.emit(index, index, [Qt.ItemDataRole.CheckStateRole])
        self.ticks_changed.emit()
        return True

    def _text(self, person: VolunteerPaper, column: Column) -> str:
        if column is Column.NAME:
            return person.name if person.name == person.code else f"{person.code} {person.name}"
        if column is Column.OUTINGS:
            return str(person.outings)
        if column is Column.PAPER:
            return state_word(person.state)
        return day_words(person.printed_utc, self._zone) if person.printed_utc is not None else ""

    def _tick_of(self, person: VolunteerPaper, column: Column) -> Qt.CheckState | None:
        if column is not Column.NAME or not person.outings:
            return None
        return Qt.CheckState.Checked if person.code in self._ticked else Qt.CheckState.Unchecked

    def _mark(self, person: VolunteerPaper, column: Column) -> QPixmap | None:
        return mark_pixmap(MARKS[person.state], self._colours, 14, 2.0) if column is Column.PAPER else None

    def _explanation(self, person: VolunteerPaper, column: Column) -> str | None:
        if column is Column.PRINTED and person.printed_utc is not None:
            return moment_words(person.printed_utc, self._zone)
        if column is Column.NAME:
            return self._text(person, column)
        return " ".join((state_sentence(person.state), *person.changes)) if column is Column.PAPER else None

    def _spoken(self, person: VolunteerPaper, column: Column) -> str | None:
        return f"{person.name}, {state_word(person.state)}" if column is Column.NAME else None

    def _sort_key(self, person: VolunteerPaper, column: Column) -> str | int:
        if column is Column.NAME:
            return person.code
        if column is Column.OUTINGS:
            return person.outings
        if column is Column.PAPER:
            return _STATES.index(person.state)
        return person.printed_utc.isoformat() if person.printed_utc is not None else ""
