"""Everybody who has an outing or was told of one, as a table; a tick chooses whose files are written."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from enum import IntEnum

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal

from planner.desktop.look.colours import Colours
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.notices.words import MARKS, news_sentence, news_word
from planner.desktop.paper.words import day_words, moment_words
from planner.domain.field.telling import News
from planner.usecases.sending.news import PersonNews

Index = QModelIndex | QPersistentModelIndex
_MARK = Qt.ItemDataRole.DecorationRole
_NOWHERE = QModelIndex()
_ORDER = list(MARKS)


class Column(IntEnum):
    """The columns, in their order."""

    NAME = 0
    NEWS = 1
    TOLD = 2


class NoticePeopleModel(QAbstractTableModel):
    """One row a person, the most urgent first."""

    ticks_changed = Signal()

    def __init__(self, colours: Colours, zone: dt.tzinfo, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._people: tuple[PersonNews, ...] = ()
        self._ticked: set[str] = set()
        self._colours = colours
        self._zone = zone

    @property
    def people(self) -> tuple[PersonNews, ...]:
        """The rows."""
        return self._people

    @property
    def ticked(self) -> tuple[str, ...]:
        """Codes of those whose files are to be written, in the order of the rows."""
        return tuple(one.code for one in self._people if one.code in self._ticked)

    @property
    def with_news(self) -> tuple[str, ...]:
        """Codes of those who must be told something."""
        return tuple(one.code for one in self._people if one.news is not News.SAME)

    def show_people(self, people: Sequence[PersonNews]) -> None:
        """Show other rows; ticks stay with those who are still there."""
        self.beginResetModel()
        self._people = tuple(sorted(people, key=lambda one: _ORDER.index(one.news)))
        self._ticked &= {one.code for one in self._people}
        self.endResetModel()
        self.ticks_changed.emit()

    def tick(self, codes: Iterable[str]) -> None:
        """Tick exactly these, as far as they are there."""
        self._ticked = {one.code for one in self._people} & set(codes)
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
            self.dataChanged.emit(self.index(0, Column.NEWS), self.index(last, Column.NEWS))

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """Return how many people there are."""
        return 0 if parent.isValid() else len(self._people)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(Column)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return what can be done with a cell: names are ticked."""
        flags = super().flags(index)
        if index.isValid() and index.column() == Column.NAME:
            flags |= Qt.ItemFlag.ItemIsUserCheckable
        return flags

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the title of a column."""
        if orientation is not Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return super().headerData(section, orientation, role)
        return (self.tr("Volunteer"), self.tr("To be told"), self.tr("Last told"))[section]

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what a cell shows."""
        if not index.isValid():
            return None
        person, column = self._people[index.row()], Column(index.column())
        if role == Qt.ItemDataRole.DisplayRole:
            return self._text(person, column)
        if role == Qt.ItemDataRole.ToolTipRole:
            return self._explanation(person, column)
        if column is Column.NEWS:
            return mark_pixmap(MARKS[person.news], self._colours, 14, 2.0) if role == _MARK else None
        return self._of_name(person, role) if column is Column.NAME else None

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

    def _of_name(self, person: PersonNews, role: int) -> object:
        if role == Qt.ItemDataRole.CheckStateRole:
            return Qt.CheckState.Checked if person.code in self._ticked else Qt.CheckState.Unchecked
        return f"{person.name}, {news_word(person.news)}" if role == Qt.ItemDataRole.AccessibleTextRole else None

    def _text(self, person: PersonNews, column: Column) -> str:
        match column:
            case Column.NAME:
                return person.name if person.name == person.code else f"{person.code} {person.name}"
            case Column.NEWS:
                return news_word(person.news)
            case Column.TOLD:
                return day_words(person.told_utc, self._zone) if person.told_utc is not None else self.tr("never")

    def _explanation(self, person: PersonNews, column: Column) -> str:
        if column is Column.NEWS:
            return news_sentence(person.news)
        if column is Column.TOLD and person.told_utc is not None:
            return moment_words(person.told_utc, self._zone)
        return self._text(person, column)
