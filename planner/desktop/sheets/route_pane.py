"""The routes at the left of the habitat page: what came in, what is missing, what is to be looked at."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRectF, QSize, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.desk import Desk
from planner.desktop.look.marks import paint_mark
from planner.desktop.look.tables import plain_table
from planner.desktop.look.words import quiet
from planner.desktop.sheets.route_model import STANDING_ROLE, WORST_ROLE, RouteFilter, RouteModel, Which
from planner.desktop.sheets.words import tr
from planner.domain.finding import Severity
from planner.usecases.sheets.standing import RouteStanding

_MARK = 14.0
_PADDING = 12
_SOME_LETTERS = "nnnn…"
"""A name of which less is seen says nothing."""


class LookPainter(QStyledItemDelegate):
    """Paints the mark of the worst finding beside how many there are."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._desk = desk

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        """Leave room for the mark."""
        hint = super().sizeHint(option, index)
        return QSize(hint.width() + round(_MARK) + 2, hint.height())

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Paint the count behind its mark."""
        severity = index.data(WORST_ROLE)
        if isinstance(severity, Severity):
            option.rect.adjust(round(_MARK) + 2, 0, 0, 0)
        super().paint(painter, option, index)
        if isinstance(severity, Severity):
            top = option.rect.center().y() - _MARK / 2 + 0.5
            paint_mark(painter, QRectF(option.rect.left() - _MARK, top, _MARK, _MARK), severity, self._desk.colours)


class NamePainter(QStyledItemDelegate):
    """Paints a route's code and name; where the name has no room, the code alone."""

    def initStyleOption(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> None:
        """Choose what is painted."""
        super().initStyleOption(option, index)
        row = index.data(STANDING_ROLE)
        if isinstance(row, RouteStanding):
            room = option.rect.width() - _PADDING
            if option.fontMetrics.horizontalAdvance(f"{row.route.code} {_SOME_LETTERS}") > room:
                option.text = row.route.code


class RoutePane(QWidget):
    """The routes under what may be wanted of them."""

    chosen = Signal(str)
    """Code of the route that was chosen."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        visits = len(desk.session.snapshot.season.protocol.visits)
        self.model = RouteModel(visits, self)
        self.filter = RouteFilter(self)
        self.filter.setSourceModel(self.model)
        self.which = QComboBox()
        self.which.setAccessibleName(tr("Which routes"))
        for which, words in self._wishes():
            self.which.addItem(words, which)
        self.view = plain_table(self.filter, tr("Routes and what came in"), 0)
        self.view.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.view.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.view.setStyleSheet("QTableView::item { padding: 0 2px; }")
        self.view.horizontalHeader().setStyleSheet("QHeaderView::section { padding: 4px 3px; }")
        self.view.setItemDelegateForColumn(0, NamePainter(self))
        self.view.setItemDelegateForColumn(visits + 1, LookPainter(desk))
        self._none = quiet()
        self._code = ""
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.which)
        column.addWidget(self.view, 1)
        column.addWidget(self._none)
        self.which.currentIndexChanged.connect(lambda _row: self._want())
        self.view.selectionModel().currentRowChanged.connect(lambda now, _before: self._picked(now))
        desk.look_changed.connect(self.view.viewport().update)

    @property
    def code(self) -> str:
        """Code of the route that is chosen; empty: none."""
        return self._code

    def show_standings(self, rows: Sequence[RouteStanding]) -> None:
        """Show how far every route has come."""
        self.model.show(rows)
        self._want()
        self.setMinimumWidth(self._least_width())

    def choose(self, code: str) -> None:
        """Choose a route; what hides it does so no longer."""
        row = self.model.row_of(code)
        if row < 0:
            return
        self._code = code
        self._want()
        self.view.setCurrentIndex(self.filter.mapFromSource(self.model.index(row, 0)))
        self.view.scrollTo(self.view.currentIndex())
        self.chosen.emit(code)

    def _want(self) -> None:
        which = self.which.currentData()
        self.filter.want(Which(which), self._code)
        self._none.setText(
            tr("No other route is like that.")
            if self.filter.rowCount() <= 1 < self.model.rowCount()
            else tr("%1 of %2 routes", self.filter.rowCount(), self.model.rowCount())
        )

    def _least_width(self) -> int:
        """Return the width in which every route's code still stands beside what came in for all visits."""
        view, header = self.view, self.view.horizontalHeader()
        beside = sum(
            max(header.sectionSizeHint(column), view.sizeHintForColumn(column)) for column in range(1, header.count())
        )
        metrics = view.fontMetrics()
        code = max((metrics.horizontalAdvance(one.code) for one in self.model.routes), default=0)
        around = view.verticalScrollBar().sizeHint().width() + 2 * view.frameWidth()
        return code + _PADDING + beside + around

    def _picked(self, index: QModelIndex) -> None:
        row = index.data(STANDING_ROLE)
        if isinstance(row, RouteStanding) and row.route.code != self._code:
            self._code = row.route.code
            self.chosen.emit(self._code)

    def _wishes(self) -> Sequence[tuple[Which, str]]:
        return (
            (Which.ALL, tr("All routes")),
            (Which.MISSING, tr("Sheets are missing")),
            (Which.DRAFT, tr("Drafts, not handed in")),
            (Which.LOOK, tr("Something to look at")),
        )
