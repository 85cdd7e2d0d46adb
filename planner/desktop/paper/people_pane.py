"""The people at the left: how each one's paper stands, a tick for whose is printed, and what is otherwise on it."""

from __future__ import annotations

import datetime as dt

from PySide6.QtCore import QModelIndex, QSize, QSortFilterProxyModel, Qt, Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QHeaderView,
    QLineEdit,
    QPushButton,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.look.colours import Colours
from planner.desktop.look.words import statement, title
from planner.desktop.paper.people_model import SORT_ROLE, Column, PeopleModel
from planner.desktop.paper.words import standing
from planner.usecases.paper.papers import Papers, PaperState, VolunteerPaper


class PeoplePane(QWidget):
    """Chooses whose paper is looked at, and whose is printed."""

    person_chosen = Signal(str)
    """Code of the volunteer whose row was come to; empty where there is none."""

    def __init__(self, colours: Colours, zone: dt.tzinfo, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.model = PeopleModel(colours, zone, self)
        self._papers: Papers | None = None
        self._shown = QSortFilterProxyModel(self)
        self._shown.setSourceModel(self.model)
        self._shown.setSortRole(SORT_ROLE)
        self._shown.setFilterCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        self.stands = statement(self.tr("Looking whose paper has changed …"))
        self.search = QLineEdit()
        self.due = QPushButton(self.tr("Tick those due"))
        self.everybody = QPushButton(self.tr("Tick all"))
        self.nobody = QPushButton(self.tr("None"))
        self.table = QTableView()
        self._set_up_search()
        self._set_up_table()
        self._connect()
        self._lay_out()
        self.set_colours(colours)

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self.model.set_colours(colours)

    @property
    def chosen(self) -> VolunteerPaper | None:
        """The person whose row is the current one."""
        index = self._shown.mapToSource(self.table.currentIndex())
        return self.model.people[index.row()] if index.isValid() else None

    def show_papers(self, papers: Papers) -> None:
        """Show how everybody's paper stands; the row that is current stays so."""
        before = self.chosen
        self._papers = papers
        self.stands.setText(standing(papers))
        self.model.show_people(papers.people)
        self._show_counts()
        self.choose(before.code if before is not None else "")

    def choose(self, code: str) -> None:
        """Make somebody's row the current one; the first where they have none."""
        row = self.model.row_of(code)
        if row is not None:
            self.search.clear()
        index = self._shown.mapFromSource(self.model.index(row, 0)) if row is not None else self._shown.index(0, 0)
        self.table.setCurrentIndex(index)
        if not index.isValid():
            self.person_chosen.emit("")

    def tick_due(self) -> None:
        """Tick those whose paper is due, and nobody else."""
        self.model.tick(self._papers.wanting if self._papers is not None else ())

    def _set_up_search(self) -> None:
        self.search.setPlaceholderText(self.tr("Find a name"))
        self.search.setAccessibleName(self.tr("Find a name"))
        self.search.setClearButtonEnabled(True)
        self.search.setMinimumWidth(self.search.fontMetrics().horizontalAdvance("n" * 14))
        self.due.setAccessibleName(self.tr("Tick those whose paper is due"))
        self.everybody.setAccessibleName(self.tr("Tick everybody"))
        self.nobody.setAccessibleName(self.tr("Tick nobody"))

    def _set_up_table(self) -> None:
        table = self.table
        table.setModel(self._shown)
        table.setAccessibleName(self.tr("Volunteers and their paper"))
        table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        table.setSortingEnabled(True)
        table.sortByColumn(Column.PAPER, Qt.SortOrder.AscendingOrder)
        table.setShowGrid(False)
        table.setAlternatingRowColors(True)
        table.setTabKeyNavigation(False)
        table.setWordWrap(False)
        table.setTextElideMode(Qt.TextElideMode.ElideRight)
        table.setIconSize(QSize(14, 14))
        table.verticalHeader().hide()
        table.verticalHeader().setDefaultSectionSize(table.fontMetrics().height() + 10)
        header = table.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(Column.NAME, QHeaderView.ResizeMode.Stretch)
        header.setHighlightSections(False)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)

    def _connect(self) -> None:
        self.search.textChanged.connect(self._shown.setFilterFixedString)
        self.due.clicked.connect(self.tick_due)
        self.everybody.clicked.connect(lambda: self.model.tick(person.code for person in self.model.people))
        self.nobody.clicked.connect(lambda: self.model.tick(()))
        self.table.selectionModel().currentRowChanged.connect(self._come_to)

    def _lay_out(self) -> None:
        ticks = QHBoxLayout()
        ticks.addWidget(self.search, 1)
        for button in (self.due, self.everybody, self.nobody):
            ticks.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(title(self.tr("Paper")))
        column.addWidget(self.stands)
        column.addLayout(ticks)
        column.addWidget(self.table, 1)

    def _come_to(self, index: QModelIndex) -> None:
        source = self._shown.mapToSource(index)
        self.person_chosen.emit(self.model.people[source.row()].code if source.isValid() else "")

    def _show_counts(self) -> None:
        due = len(self._papers.wanting) if self._papers is not None else 0
        self.due.setEnabled(due > 0)
        self.due.setToolTip("" if due else self._why_none_due())
        self.everybody.setEnabled(bool(self.model.people))
        self.nobody.setEnabled(bool(self.model.people))
        why = "" if self.model.people else self.tr("Nobody has an outing yet")
        self.everybody.setToolTip(why)
        self.nobody.setToolTip(why)

    def _why_none_due(self) -> str:
        if self._papers is not None and self._papers.in_state(PaperState.BARRED):
            return self.tr("Whose paper is due is not known while the plan breaks a rule")
        return self.tr("Nobody's paper is due: all are up to date")
