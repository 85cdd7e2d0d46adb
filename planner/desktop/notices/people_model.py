"""Everybody who has an outing or was told of one, as a table; a tick chooses whose files are written."""

from __future__ import annotations

from collections.abc import Sequence
from enum import IntEnum

from PySide6.QtCore import Qt

from planner.desktop.look.marks import mark_pixmap
from planner.desktop.notices.words import MARKS, news_sentence, news_word
from planner.desktop.paper.ticked_people import Index, TickedPeople, name_words
from planner.desktop.paper.words import day_words, moment_words
from planner.domain.field.telling import News
from planner.usecases.sending.news import PersonNews

_MARK = Qt.ItemDataRole.DecorationRole
_ORDER = list(MARKS)


class Column(IntEnum):
    """The columns, in their order."""

    NAME = 0
    NEWS = 1
    TOLD = 2


class NoticePeopleModel(TickedPeople[PersonNews]):
    """One row a person, the most urgent first."""

    mark_column = Column.NEWS

    @property
    def with_news(self) -> tuple[str, ...]:
        """Codes of those who must be told something."""
        return tuple(one.code for one in self._people if one.news is not News.SAME)

    def titles(self) -> Sequence[str]:
        """Return the titles of the columns."""
        return (self.tr("Volunteer"), self.tr("To be told"), self.tr("Last told"))

    def urgency(self, person: PersonNews) -> int:
        """Return where a person belongs."""
        return _ORDER.index(person.news)

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

    def _of_name(self, person: PersonNews, role: int) -> object:
        if role == Qt.ItemDataRole.CheckStateRole:
            return self.tick_of(person)
        return f"{person.name}, {news_word(person.news)}" if role == Qt.ItemDataRole.AccessibleTextRole else None

    def _text(self, person: PersonNews, column: Column) -> str:
        match column:
            case Column.NAME:
                return name_words(person)
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
