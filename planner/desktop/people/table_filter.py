"""Which volunteers the table shows, and in which order."""

from __future__ import annotations

from enum import StrEnum

from PySide6.QtCore import QObject, QSortFilterProxyModel, Qt

from planner.desktop.people.table_model import ROW_ROLE, SORT_ROLE, Index
from planner.usecases.people.load import LoadWord, PersonRow


class Only(StrEnum):
    """Whom to show."""

    EVERYBODY = "everybody"
    FOUND = "with findings"
    NO_EVENING = "no usable date"
    UNDERUSED = "underused"
    OVERUSED = "overused"


_UNDERUSED = frozenset({LoadWord.IDLE, LoadWord.LESS})
_OVERUSED = frozenset({LoadWord.MORE, LoadWord.FULL, LoadWord.BEYOND})


def belongs(row: PersonRow, only: Only) -> bool:
    """Whether a volunteer is one of those."""
    return {
        Only.EVERYBODY: True,
        Only.FOUND: row.worst is not None,
        Only.NO_EVENING: row.usable == 0,
        Only.UNDERUSED: row.load.word in _UNDERUSED,
        Only.OVERUSED: row.load.word in _OVERUSED,
    }[only]


class PeopleFilter(QSortFilterProxyModel):
    """Sorts by what a column means, and finds words in code, name, training and vehicle."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.setSortRole(SORT_ROLE)
        self.setSortCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        self._words: tuple[str, ...] = ()
        self._only = Only.EVERYBODY

    def seek(self, text: str) -> None:
        """Show only those in whom every word of the text is found."""
        self.beginFilterChange()
        self._words = tuple(text.casefold().split())
        self.endFilterChange()

    def show_only(self, only: Only) -> None:
        """Show only those."""
        self.beginFilterChange()
        self._only = only
        self.endFilterChange()

    def filterAcceptsRow(self, source_row: int, source_parent: Index) -> bool:
        """Whether a volunteer is shown."""
        row = self.sourceModel().index(source_row, 0, source_parent).data(ROW_ROLE)
        if not isinstance(row, PersonRow):
            return False
        person = row.person
        text = " ".join((person.code, person.name, person.vehicle, *person.training)).casefold()
        return belongs(row, self._only) and all(word in text for word in self._words)
