"""Everybody who has paper or needs some, as a table; a tick chooses whose is printed."""

from __future__ import annotations

from collections.abc import Sequence
from enum import IntEnum

from PySide6.QtCore import Qt
from PySide6.QtGui import QPixmap

from planner.desktop.look.marks import mark_pixmap
from planner.desktop.paper.ticked_people import Index, TickedPeople, name_words
from planner.desktop.paper.words import MARKS, day_words, moment_words, state_sentence, state_word
from planner.usecases.paper.papers import PaperState, VolunteerPaper

SORT_ROLE = Qt.ItemDataRole.UserRole + 1
_STATES = list(PaperState)


class Column(IntEnum):
    """The columns, in their order."""

    NAME = 0
    OUTINGS = 1
    PAPER = 2
    PRINTED = 3


class PeopleModel(TickedPeople[VolunteerPaper]):
    """One row a person, the most urgent first; who has no outing any more cannot be ticked."""

    mark_column = Column.PAPER

    def titles(self) -> Sequence[str]:
        """Return the titles of the columns."""
        return (self.tr("Volunteer"), self.tr("Outings"), self.tr("Paper"), self.tr("Printed"))

    def urgency(self, person: VolunteerPaper) -> int:
        """Return where a person belongs."""
        return _STATES.index(person.state)

    def may_be_ticked(self, person: VolunteerPaper) -> bool:
        """Whether there is anything to print for a person."""
        return bool(person.outings)

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

    def _text(self, person: VolunteerPaper, column: Column) -> str:
        if column is Column.NAME:
            return name_words(person)
        if column is Column.OUTINGS:
            return str(person.outings)
        if column is Column.PAPER:
            return state_word(person.state)
        return day_words(person.printed_utc, self._zone) if person.printed_utc is not None else ""

    def _tick_of(self, person: VolunteerPaper, column: Column) -> Qt.CheckState | None:
        return self.tick_of(person) if column is Column.NAME else None

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
