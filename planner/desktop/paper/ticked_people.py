"""People as a table, the most urgent first; a tick chooses for whom something is put out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from typing import ClassVar, Generic, Protocol, TypeVar

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal

from planner.desktop.look.colours import Colours

Index = QModelIndex | QPersistentModelIndex
NAME_COLUMN = 0
"""Where the name and its tick stand."""
_NOWHERE = QModelIndex()


class Named(Protocol):
    """Somebody with a code and a name."""

    @property
    def code(self) -> str:
        """Code of the volunteer."""

    @property
    def name(self) -> str:
        """Their name; the code again where it is not known."""


_P = TypeVar("_P", bound=Named)


class TickedPeople(QAbstractTableModel, Generic[_P]):
    """One row a person; what is said of them is the affair of each table."""

    ticks_changed = Signal()
    mark_column: ClassVar[int]
    """Where the mark of each person stands."""

    def __init__(self, colours: Colours, zone: dt.tzinfo, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._people: tuple[_P, ...] = ()
        self._ticked: set[str] = set()
        self._colours = colours
        self._zone = zone

    @property
    def people(self) -> tuple[_P, ...]:
        """The rows."""
        return self._people

    @property
    def ticked(self) -> tuple[str, ...]:
        """Codes of those who are ticked, in the order of the rows."""
        return tuple(one.code for one in self._people if one.code in self._ticked)

    def titles(self) -> Sequence[str]:
        """Return the titles of the columns."""
        raise NotImplementedError

    def urgency(self, person: _P) -> int:
        """Return where a person belongs: the smallest stand first."""
        raise NotImplementedError

    def may_be_ticked(self, person: _P) -> bool:  # noqa: ARG002  a table may say so of all
        """Whether there is anything to put out for a person."""
        return True

    def show_people(self, people: Sequence[_P]) -> None:
        """Show other rows; ticks stay with those for whom there still is something."""
        self.beginResetModel()
        self._people = tuple(sorted(people, key=self.urgency))
        self._ticked &= self._tickable
        self.endResetModel()
        self.ticks_changed.emit()

    def tick(self, codes: Iterable[str]) -> None:
        """Tick exactly these, as far as there is something for them."""
        self._ticked = self._tickable & set(codes)
        if self._people:
            self.dataChanged.emit(self.index(0, 0), self.index(len(self._people) - 1, 0))
        self.ticks_changed.emit()

    def row_of(self, code: str) -> int | None:
        """Return the row of a volunteer; None where there is none."""
        return next((row for row, one in enumerate(self._people) if one.code == code), None)

    def set_colours(self, colours: Colours) -> None:
        """Draw the marks in another palette."""
        self._colours = colours
        if self._people:
            last = len(self._people) - 1
            self.dataChanged.emit(self.index(0, self.mark_column), self.index(last, self.mark_column))

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """Return how many people there are."""
        return 0 if parent.isValid() else len(self._people)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self.titles())

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return what can be done with a cell: names are ticked where there is something to put out."""
        flags = super().flags(index)
        if index.isValid() and index.column() == NAME_COLUMN and self.may_be_ticked(self._people[index.row()]):
            flags |= Qt.ItemFlag.ItemIsUserCheckable
        return flags

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the title of a column."""
        if orientation is not Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return super().headerData(section, orientation, role)
        return self.titles()[section]

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

    def tick_of(self, person: _P) -> Qt.CheckState | None:
        """Return whether a person is ticked; None where they cannot be."""
        if not self.may_be_ticked(person):
            return None
        return Qt.CheckState.Checked if person.code in self._ticked else Qt.CheckState.Unchecked

    @property
    def _tickable(self) -> set[str]:
        return {one.code for one in self._people if self.may_be_ticked(one)}


def name_words(person: Named) -> str:
    """Return code and name; the code alone where that is all there is."""
    return person.name if person.name == person.code else f"{person.code} {person.name}"
