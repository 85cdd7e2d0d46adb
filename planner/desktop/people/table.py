"""The volunteers at the left of the room: searched, narrowed down, sorted; one is chosen."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHBoxLayout,
    QHeaderView,
    QLineEdit,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.look.colours import Colours
from planner.desktop.look.words import quiet
from planner.desktop.people.load_delegate import LoadDelegate
from planner.desktop.people.phrases import load_word, said
from planner.desktop.people.table_filter import Only, PeopleFilter
from planner.desktop.people.table_model import ROW_ROLE, Column, PeopleModel
from planner.usecases.people.load import LoadWord, PersonRow

_ROW = 1.6
"""Height of a row against that of the font."""
_WIDTHS_EM = {
    Column.MARK: 2.2,
    Column.CODE: 4.8,
    Column.NAME: 10.8,
    Column.VISITS: 8.6,
    Column.LOAD: 5.2,
    Column.USABLE: 5.0,
    Column.LONGEST: 6.2,
    Column.DRIVING: 6.2,
    Column.TRAINING: 13.0,
    Column.VEHICLE: 8.5,
}
"""Widths against the height of the font."""


class PeopleTable(QWidget):
    """The table of volunteers with what narrows it down, and a sentence on how the load is shared."""

    chosen = Signal(str)
    """Code of the volunteer that was chosen; empty where there is none."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.model = PeopleModel(self)
        self.shown = PeopleFilter(self)
        self.shown.setSourceModel(self.model)
        self._wanted = ""
        self.search = QLineEdit()
        self.search.setPlaceholderText(self.tr("Search code, name, training, vehicle"))
        self.search.setAccessibleName(self.tr("Search volunteers"))
        self.search.setClearButtonEnabled(True)
        self.search.textChanged.connect(self.shown.seek)
        self.only = QComboBox()
        self.only.setAccessibleName(self.tr("Which volunteers to show"))
        for only, words in self._onlies():
            self.only.addItem(words, only)
        self.only.currentIndexChanged.connect(lambda _row: self.shown.show_only(self.only.currentData()))
        self.view = self._make_view(colours)
        self.stands = quiet()
        line = QHBoxLayout()
        line.addWidget(self.search, 1)
        line.addWidget(self.only)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addLayout(line)
        layout.addWidget(self.view, 1)
        layout.addWidget(self.stands)

    @property
    def code(self) -> str:
        """Code of the volunteer that is chosen; empty where there is none."""
        row = self.view.currentIndex().data(ROW_ROLE)
        return row.person.code if isinstance(row, PersonRow) else ""

    def show_rows(self, rows: Sequence[PersonRow]) -> None:
        """Show these volunteers; whoever was chosen stays chosen, or the one in their place where they are gone."""
        code, place = self.code, self.shown.mapToSource(self.view.currentIndex()).row()
        self.model.show(rows)
        self.stands.setText(self._stands(rows))
        if self._wanted and self.model.row_of(self._wanted) >= 0:
            self.choose(self._wanted)
        elif rows and self.code != (code or None):
            known = self.model.row_of(code)
            self._choose_row(known if known >= 0 else min(max(place, 0), len(rows) - 1))

    def choose(self, code: str) -> None:
        """Choose a volunteer, also one who is not in the table yet: as soon as they are."""
        row = self.model.row_of(code)
        self._wanted = "" if row >= 0 else code
        if row >= 0:
            self._choose_row(row)

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._delegate.colours = colours
        self.view.viewport().update()

    def _choose_row(self, row: int) -> None:
        """Choose a row of the model; what hides it is lifted."""
        index = self.shown.mapFromSource(self.model.index(row, Column.CODE))
        if not index.isValid():
            self.search.clear()
            self.only.setCurrentIndex(0)
            index = self.shown.mapFromSource(self.model.index(row, Column.CODE))
        self.view.setCurrentIndex(index)
        self.view.scrollTo(index)

    def _make_view(self, colours: Colours) -> QTableView:
        view = QTableView()
        view.setModel(self.shown)
        view.setAccessibleName(self.tr("Volunteers"))
        view.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        view.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        view.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        view.setTabKeyNavigation(False)
        view.setShowGrid(False)
        view.setWordWrap(False)
        view.setSortingEnabled(True)
        view.sortByColumn(Column.CODE, Qt.SortOrder.AscendingOrder)
        self._delegate = LoadDelegate(colours, view)
        view.setItemDelegate(self._delegate)
        view.verticalHeader().hide()
        view.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        view.verticalHeader().setDefaultSectionSize(round(view.fontMetrics().height() * _ROW))
        em = view.fontMetrics().height() * 0.72
        for column, width in _WIDTHS_EM.items():
            view.setColumnWidth(column, round(width * em))
        view.horizontalHeader().setHighlightSections(False)
        view.selectionModel().currentRowChanged.connect(self._current_changed)
        return view

    def _current_changed(self, current: QModelIndex, _before: QModelIndex) -> None:
        row = current.data(ROW_ROLE)
        self.chosen.emit(row.person.code if isinstance(row, PersonRow) else "")

    def _onlies(self) -> tuple[tuple[Only, str], ...]:
        return (
            (Only.EVERYBODY, self.tr("Everybody")),
            (Only.FOUND, self.tr("With findings")),
            (Only.NO_EVENING, self.tr("No usable date")),
            (Only.UNDERUSED, self.tr("Underused")),
            (Only.OVERUSED, self.tr("Overused")),
        )

    def _stands(self, rows: Sequence[PersonRow]) -> str:
        """Return in a sentence or two how the load is shared."""
        if not rows:
            return self.tr("Nobody yet. Add a volunteer, or drop a table of volunteers here.")
        planned, offered = sum(row.load.planned for row in rows), sum(row.load.limit for row in rows)
        counts = Counter(row.load.word for row in rows)
        words = ", ".join(f"{counts[word]} {load_word(word)}" for word in LoadWord if counts[word])
        return said(
            self.tr("%1 volunteers: %2. %3 of the %4 visits offered are planned."), len(rows), words, planned, offered
        )
