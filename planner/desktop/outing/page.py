"""The page of one outing: its figures, its picture, what can be tried, its ground and its timeline in words."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QItemSelectionModel, QModelIndex, Qt
from PySide6.QtWidgets import QAbstractItemView, QHBoxLayout, QHeaderView, QSplitter, QTableView, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import quiet, title
from planner.desktop.outing.evening import Evening
from planner.desktop.outing.evening_view import EveningView
from planner.desktop.outing.figures import Figures
from planner.desktop.outing.ground_pane import GroundPane
from planner.desktop.outing.rule_list import Line, RuleList
from planner.desktop.outing.showing import clock_of
from planner.desktop.outing.step_table import Column, StepTable
from planner.desktop.outing.trial import TryBar
from planner.desktop.outing.words import moon_words, occasion_words, squeeze_words, team_words
from planner.domain.outing import Step
from planner.printing.times import long_date
from planner.usecases.evening.outing_view import OutingSight

_ROW = 1.5
"""Height of a row of the table in lines of type."""


class OutingPage(QWidget):
    """Everything that is shown of one outing."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._sight: OutingSight | None = None
        self.title = title()
        self.about = quiet()
        self.figures = Figures(desk.colours)
        self.view = EveningView(desk.colours)
        self.try_bar = TryBar()
        self.ground = GroundPane(desk)
        self.steps = StepTable(desk.colours)
        self.table = self._table()
        self.rules = RuleList(desk.colours)
        self.rules.setContentsMargins(8, 0, 0, 0)
        self.view.step_pointed.connect(self._point_at)
        self.table.selectionModel().currentRowChanged.connect(self._row_chosen)
        self.ground.map.point_clicked.connect(self._point_clicked)
        desk.look_changed.connect(self._dress)
        self._lay_out()

    def show_sight(self, sight: OutingSight) -> None:
        """Show which outing it is, and its ground."""
        self._sight = sight
        self.title.setText(sight.route.title)
        names = [sight.season.volunteer(code).name for code in sight.dated.people]
        about = f"{occasion_words(sight.dated)}, {long_date(sight.dated.date)}. {team_words(names)}"
        moon = [moon_words(*sight.moon)] if sight.moon is not None else []
        self.about.setText("\n".join([about, *moon]))
        self.try_bar.show_sight(sight, clock_of(sight))
        self.ground.show_sight(sight)

    def show_evening(self, evening: Evening, *, between: bool) -> None:
        """Show the outing as it goes, planned or tried; ``between``: with habitat between the counts."""
        if self._sight is None:
            return
        squeeze = self._sight.plan.squeeze
        note = squeeze_words(squeeze) if between and squeeze is not None else ""
        self.figures.show_evening(evening, len(self._sight.route.points), self._sight.sunset_utc, note)
        self.view.show_evening(evening)
        self.steps.show_evening(evening)
        self.ground.show_outing(evening.lanes[0].outing)

    def show_rules(self, lines: Sequence[Line]) -> None:
        """Show what the rules say of it."""
        self.rules.show_lines(lines)
        self.figures.show_worst([severity for severity, _ in lines if severity is not None])

    def _dress(self) -> None:
        for part in (self.figures, self.view, self.steps, self.rules):
            part.set_colours(self._desk.colours)

    def _point_at(self, step: Step) -> None:
        """Bring the row of a step into sight, and its point on the map."""
        row = self.steps.row_of(step)
        if row is not None:
            self.table.selectRow(row)
            self.table.scrollTo(self.steps.index(row, Column.TIME))

    def _row_chosen(self, current: QModelIndex, _before: QModelIndex) -> None:
        if self._sight is not None and current.isValid():
            point = self.steps.step_at(current.row()).point
            if point is not None:
                self.ground.map.select(self._sight.route.code, point)

    def _point_clicked(self, _route: str, point: int) -> None:
        """Choose what is done at a point of the map: its count before anything else."""
        row = self.steps.row_at_point(point)
        if row is None:
            return
        chosen = self.table.selectionModel()
        flags = QItemSelectionModel.SelectionFlag.ClearAndSelect | QItemSelectionModel.SelectionFlag.Rows
        chosen.setCurrentIndex(self.steps.index(row, Column.TIME), flags)

    def _table(self) -> QTableView:
        table = QTableView()
        table.setModel(self.steps)
        table.setAccessibleName(self.tr("Timeline of the outing"))
        table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        table.setAlternatingRowColors(True)
        table.setShowGrid(False)
        table.setTabKeyNavigation(False)
        table.verticalHeader().hide()
        header = table.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(Column.WHAT, QHeaderView.ResizeMode.Stretch)
        header.setHighlightSections(False)
        table.verticalHeader().setDefaultSectionSize(round(table.fontMetrics().height() * _ROW))
        table.setMinimumSize(300, 150)
        return table

    def _lay_out(self) -> None:
        names = QVBoxLayout()
        names.setSpacing(2)
        names.addWidget(self.title)
        names.addWidget(self.about)
        names.addStretch(1)
        top = QHBoxLayout()
        top.setSpacing(24)
        top.addLayout(names, 3)
        top.addWidget(self.figures, 7)
        below = QSplitter(Qt.Orientation.Horizontal)
        for part, stretch in ((self.ground, 8), (self.table, 10), (self.rules, 6)):
            below.addWidget(part)
            below.setStretchFactor(below.indexOf(part), stretch)
        below.setHandleWidth(8)
        below.setChildrenCollapsible(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addLayout(top)
        column.addWidget(self.view)
        column.addWidget(self.try_bar)
        column.addWidget(below, 1)
