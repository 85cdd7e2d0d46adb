"""The table of an evening's outings: several may be chosen, and what stands in it can be copied."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from PySide6.QtCore import QItemSelection, QItemSelectionModel, QSize, Qt, Signal
from PySide6.QtGui import QAction, QGuiApplication, QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from planner.desktop.desk import Desk
from planner.desktop.today.outings_model import Column, OutingsModel
from planner.usecases.evening.watch import OutingNow

_PADDING = 10
_LEAST_TITLE = 14
"""Letters of an outing's title that stay where there is little room."""


class OutingsTable(QTableView):
    """Shows the outings; the row with the focus is looked at, the rows that are selected are chosen."""

    looked_at = Signal(object)
    """The OutingNow of the current row, or None."""
    chosen_changed = Signal()
    opened = Signal(object)
    """An OutingNow whose timeline is asked for: by Enter or a double click."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rows = OutingsModel(desk.session.snapshot.season.tzinfo, desk.colours, self)
        self.setModel(self.rows)
        self.setAccessibleName(self.tr("Outings of the evening"))
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setAlternatingRowColors(True)
        self.setIconSize(QSize(16, 16))
        self.setWordWrap(False)
        self.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.verticalHeader().hide()
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        for column in (Column.OUTING, Column.PEOPLE):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.Fixed)
        self._copy = QAction(self.tr("Copy the chosen outings"), self)
        self._copy.setToolTip(self.tr("As lines of text (Ctrl+C)"))
        self._copy.triggered.connect(self.copy)
        self.addAction(self._copy)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        self.selectionModel().currentRowChanged.connect(lambda _now, _before: self.looked_at.emit(self.current))
        self.selectionModel().selectionChanged.connect(lambda _on, _off: self.chosen_changed.emit())
        self.rows.modelReset.connect(self._begin)
        self.rows.dataChanged.connect(lambda *_where: self.refit())
        self.activated.connect(lambda index: self.opened.emit(self.rows.outings[index.row()]))

    @property
    def current(self) -> OutingNow | None:
        """The outing that is looked at."""
        row = self.currentIndex().row()
        return self.rows.outings[row] if 0 <= row < len(self.rows.outings) else None

    @property
    def chosen(self) -> tuple[OutingNow, ...]:
        """The outings that are selected, in the order of the rows."""
        rows = sorted(index.row() for index in self.selectionModel().selectedRows())
        return tuple(self.rows.outings[row] for row in rows)

    def choose(self, outings: Iterable[OutingNow]) -> None:
        """Select exactly these outings, and look at the first of them."""
        wanted = {one.outing.key for one in outings}
        selection = QItemSelection()
        rows = [row for row, now in enumerate(self.rows.outings) if now.outing.key in wanted]
        for row in rows:
            selection.select(self.rows.index(row, 0), self.rows.index(row, len(Column) - 1))
        if rows:
            still = QItemSelectionModel.SelectionFlag.NoUpdate
            self.selectionModel().setCurrentIndex(self.rows.index(rows[0], 0), still)
            self.scrollTo(self.rows.index(rows[0], 0))
        self.selectionModel().select(selection, QItemSelectionModel.SelectionFlag.ClearAndSelect)

    def copy(self) -> None:
        """Put the chosen outings on the clipboard as lines of text, their cells parted by tabs."""
        lines = [self._line(now) for now in self.chosen]
        QGuiApplication.clipboard().setText("\n".join(lines))

    def refit(self) -> None:
        """Give each row the height of two lines, and what is left of the width to the last column.

        Where the width does not do, titles give way first and names second; never a telephone number.
        """
        self.verticalHeader().setDefaultSectionSize(2 * self.fontMetrics().lineSpacing() + _PADDING)
        header = self.horizontalHeader()
        wanted = {one: max(self.sizeHintForColumn(one), header.sectionSizeHint(one)) for one in Column}
        missing = sum(wanted.values()) - self.viewport().width()
        header.setStretchLastSection(missing <= 0)
        for column, least in ((Column.OUTING, self._title_width()), (Column.PEOPLE, self._number_width())):
            given = min(max(missing, 0), max(wanted[column] - least, 0))
            missing -= given
            header.resizeSection(column, wanted[column] - given)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Copy whole rows: the view's own copying takes one cell."""
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy()
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the columns into the new width."""
        super().resizeEvent(event)
        self.refit()

    def _title_width(self) -> int:
        return self.fontMetrics().averageCharWidth() * _LEAST_TITLE + self.iconSize().width() + _PADDING

    def _number_width(self) -> int:
        """Return the width of the widest number, with room for the first letters of a name."""
        numbers = (goer.telephone for now in self.rows.outings for goer in now.outing.people)
        widest = max((self.fontMetrics().horizontalAdvance(f"{one}  Mmm…") for one in numbers), default=0)
        return widest + _PADDING

    def _line(self, now: OutingNow) -> str:
        row = self.rows.outings.index(now)
        cells: Sequence[str] = [str(self.rows.index(row, column).data() or "") for column in range(len(Column))]
        return "\t".join(cell.replace("\n", "; ") for cell in cells)

    def _begin(self) -> None:
        self.refit()
        if self.rows.outings:
            still = QItemSelectionModel.SelectionFlag.NoUpdate
            self.selectionModel().setCurrentIndex(self.rows.index(0, 0), still)
        self.looked_at.emit(self.current)
        self.chosen_changed.emit()
