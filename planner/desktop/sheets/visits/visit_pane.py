"""The visits at the left: whose record came back, whose is awaited or overdue."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRectF, QSize, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QLineEdit,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.desk import Desk
from planner.desktop.look.marks import paint_mark
from planner.desktop.look.tables import plain_table
from planner.desktop.look.words import quiet
from planner.desktop.sheets.visits.visit_model import (
    EVENING_ROLE,
    MARK_ROLE,
    STATE_COLUMN,
    VisitFilter,
    VisitModel,
    WhichVisits,
)
from planner.desktop.sheets.words import tr
from planner.domain.field.visit_record import RecordKey
from planner.domain.finding import Severity
from planner.usecases.records.standing import EveningStanding, RecordStanding, evening_standings

_MARK = 14.0


class StandingPainter(QStyledItemDelegate):
    """Paints where a record stands behind its mark."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._desk = desk

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        """Leave room for the mark."""
        hint = super().sizeHint(option, index)
        return QSize(hint.width() + round(_MARK) + 4, hint.height())

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Paint the words behind the mark."""
        left, middle = option.rect.left(), option.rect.center().y()
        option.rect.adjust(round(_MARK) + 4, 0, 0, 0)
        super().paint(painter, option, index)
        mark = index.data(MARK_ROLE)
        severity = mark if isinstance(mark, Severity) else None
        paint_mark(painter, QRectF(left + 3, middle - _MARK / 2 + 0.5, _MARK, _MARK), severity, self._desk.colours)


class VisitPane(QWidget):
    """The list of evenings under what may be wanted of it."""

    chosen = Signal(object)
    """The RecordKey of the evening that was chosen."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._key: RecordKey | None = None
        self.model = VisitModel(self)
        self.filter = VisitFilter(self.model, self)
        self.which = QComboBox()
        self.which.setAccessibleName(tr("Which visits"))
        for which, words in _wishes():
            self.which.addItem(words, which)
        self.search = QLineEdit()
        self.search.setAccessibleName(tr("Search the visits"))
        self.search.setPlaceholderText(tr("Route, person, date"))
        self.search.setClearButtonEnabled(True)
        self.view = plain_table(self.filter, tr("Visits and their records"), STATE_COLUMN)
        self.view.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.view.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.view.setStyleSheet("QTableView::item { padding: 0 4px; }")
        self.view.setItemDelegateForColumn(STATE_COLUMN, StandingPainter(desk))
        self._none = quiet()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 8, 0)
        for part in (self.which, self.search):
            column.addWidget(part)
        column.addWidget(self.view, 1)
        column.addWidget(self._none)
        self.which.currentIndexChanged.connect(lambda _row: self._want())
        self.search.textChanged.connect(lambda _text: self._want())
        self.view.selectionModel().currentRowChanged.connect(lambda now, _before: self._picked(now))
        desk.look_changed.connect(self.view.viewport().update)

    @property
    def evenings(self) -> Sequence[EveningStanding]:
        """Every evening that is recorded or planned."""
        return self.model.evenings

    def refresh(self) -> None:
        """Show where every record stands now."""
        found = self._desk.session.snapshot
        self.model.show(evening_standings(found.plan, found.records, self._desk.today()), found.season)
        self._want()
        self._stand()

    def choose(self, key: RecordKey) -> None:
        """Choose an evening; what hides it does so no longer. One that is not in the list is shown all the same."""
        self._key = key
        self._want()
        self._stand()
        self.chosen.emit(key)

    def follow(self, key: RecordKey | None) -> None:
        """Mark the evening that is shown, without choosing it anew."""
        self._key = key
        self._want()
        self._stand()

    def choose_first(self) -> None:
        """Choose what most wants to be done."""
        first = min(self.evenings, key=lambda one: (one.standing, one.key), default=None)
        if first is not None:
            self.choose(first.key)

    def best(self, route: str, visit: int | None, date: dt.date | None) -> RecordKey | None:
        """Return the evening that is meant by a route, a visit and a date, as far as they are said."""
        mine = [one for one in self.evenings if one.key.route == route and visit in (None, one.key.visit)]
        exact = [one for one in mine if one.key.date == date]
        wanted = exact or sorted(mine, key=lambda one: (one.standing is RecordStanding.TO_COME, one.key))
        return wanted[0].key if wanted else None

    def _stand(self) -> None:
        """Stand on the evening that is shown, without choosing it anew."""
        row = self.model.row_of(self._key) if self._key is not None else -1
        index = self.filter.mapFromSource(self.model.index(row, 0)) if row >= 0 else QModelIndex()
        if index.isValid() and index.row() != self.view.currentIndex().row():
            self.view.setCurrentIndex(index)
            self.view.scrollTo(index)
        elif not index.isValid():
            self.view.clearSelection()

    def _want(self) -> None:
        self.filter.want(WhichVisits(self.which.currentData()), self.search.text(), self._key)
        shown, every = self.filter.rowCount(), self.model.rowCount()
        if not every:
            self._none.setText(tr("Nothing is planned yet: plan on the Board first."))
        else:
            self._none.setText(tr("%1 of %2 evenings", shown, every))

    def _picked(self, index: QModelIndex) -> None:
        row = index.data(EVENING_ROLE)
        if isinstance(row, EveningStanding) and row.key != self._key:
            self._key = row.key
            self.chosen.emit(row.key)


def _wishes() -> Sequence[tuple[WhichVisits, str]]:
    return (
        (WhichVisits.NOW, tr("Came back or awaited")),
        (WhichVisits.AWAITED, tr("No record yet")),
        (WhichVisits.OVERDUE, tr("Record overdue")),
        (WhichVisits.DRAFT, tr("Drafts, not handed in")),
        (WhichVisits.PARTLY, tr("Partly done")),
        (WhichVisits.DONE, tr("Done")),
        (WhichVisits.ALL, tr("All visits")),
    )
