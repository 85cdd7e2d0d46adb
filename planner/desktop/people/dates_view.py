"""The calendar that is painted on: drag to give dates or take them away, or walk it with the keys."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.people.dates_delegate import DatesDelegate
from planner.desktop.people.dates_model import DatesModel
from planner.usecases.people.giving_dates import DateCell

_STEPS = frozenset(
    {
        Qt.Key.Key_Left,
        Qt.Key.Key_Right,
        Qt.Key.Key_Up,
        Qt.Key.Key_Down,
        Qt.Key.Key_Home,
        Qt.Key.Key_End,
        Qt.Key.Key_PageUp,
        Qt.Key.Key_PageDown,
    }
)


_PADDING = 14
_ROW = 1.29
"""Height of a row against that of the font."""


class DatesView(QTableView):
    """Paints blocks of dates: from one corner to the other, of the weeks, weekdays and parts of day between them.

    A stroke that begins on a date not given gives; one that begins on a given date takes away. Space does the same for
    the block marked with Shift and the arrow keys; Escape lets go of a stroke or a mark.
    """

    stroke_changed = Signal()
    """The stroke that is being painted has become another: what is given counts anew."""
    painted = Signal(object, bool)
    """Parts of dates, and whether they are given (true) or taken away."""

    def __init__(self, model: DatesModel, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._dates = model
        self._anchor = QPersistentModelIndex()
        self._giving: bool | None = None
        self.may_paint = True
        self.setModel(model)
        self._delegate = DatesDelegate(colours, self)
        self.setItemDelegate(self._delegate)
        self.setAccessibleName(self.tr("Dates given"))
        self.setAccessibleDescription(
            self.tr("Arrow keys move, Shift with arrow keys marks a block, Space gives it or takes it away.")
        )
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setTabKeyNavigation(False)
        self.setCornerButtonEnabled(False)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setMouseTracking(True)
        for header in (self.horizontalHeader(), self.verticalHeader()):
            header.setHighlightSections(False)
            header.setSectionsClickable(False)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        narrowest = self.fontMetrics().horizontalAdvance("30 R00") + _PADDING
        self.horizontalHeader().setMinimumSectionSize(narrowest)
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.verticalHeader().setDefaultSectionSize(round(self.fontMetrics().height() * _ROW))
        model.modelReset.connect(self._begin_at_first)

    @property
    def painting(self) -> bool:
        """Whether a stroke is being painted."""
        return self._giving is not None

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._delegate.days.colours = colours
        self.viewport().update()

    def go_to(self, cell: DateCell) -> None:
        """Go to a part of a date and show it."""
        index = self._dates.index_of(cell)
        if index.isValid():
            self.setCurrentIndex(index)
            self.scrollTo(index)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin a stroke on the date under the pointer."""
        index = self.indexAt(event.position().toPoint())
        cell = self._dates.cell(index)
        if event.button() is not Qt.MouseButton.LeftButton or cell is None or not self.may_paint:
            super().mousePressEvent(event)
            return
        self.setCurrentIndex(index)
        self._anchor = QPersistentModelIndex(index)
        self._giving = cell not in self._dates.given
        self._paint_to(index)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Let the stroke follow the pointer."""
        index = self.indexAt(event.position().toPoint())
        if self._giving is None:
            super().mouseMoveEvent(event)
        elif index.isValid():
            self._paint_to(index)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End the stroke: what it covers is given or taken away."""
        if self._giving is None:
            super().mouseReleaseEvent(event)
            return
        index = self.indexAt(event.position().toPoint())
        cells = self._dates.block(self._anchor, index if index.isValid() else self.currentIndex())
        giving = self._giving
        self._let_go(keep_stroke=True)
        self.painted.emit(cells, giving)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Walk, mark and paint by keyboard."""
        if event.key() == Qt.Key.Key_Escape and (self.painting or self._anchor.isValid()):
            self._let_go()
        elif event.key() == Qt.Key.Key_Space:
            self._paint_marked()
        elif event.key() in _STEPS:
            self._walk(event)
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Let go of what was marked when the focus goes elsewhere."""
        if event.reason() not in (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason):
            self._let_go()
        super().focusOutEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Stand on a date as soon as the keys come here."""
        if not self.currentIndex().isValid():
            self._begin_at_first()
        super().focusInEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """Keep rows as high as the font asks for."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.verticalHeader().setDefaultSectionSize(round(self.fontMetrics().height() * _ROW))

    def _walk(self, event: QKeyEvent) -> None:
        marking = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if marking and not self._anchor.isValid():
            self._anchor = QPersistentModelIndex(self.currentIndex())
        plain = QKeyEvent(event.type(), event.key(), event.modifiers() & ~Qt.KeyboardModifier.ShiftModifier)
        super().keyPressEvent(plain)
        if marking:
            self._dates.mark(self._dates.block(self._anchor, self.currentIndex()))
        else:
            self._let_go()

    def _paint_marked(self) -> None:
        """Give or take away the marked block, or the one date; as its first date stands, so it is changed."""
        current = self.currentIndex()
        start = self._anchor if self._anchor.isValid() else QPersistentModelIndex(current)
        first = self._dates.cell(start)
        if first is None or not self.may_paint:
            return
        cells, giving = self._dates.block(start, current), first not in self._dates.given
        self._let_go()
        self.painted.emit(cells, giving)

    def _paint_to(self, index: QModelIndex) -> None:
        self._dates.mark(self._dates.block(self._anchor, index), self._giving)
        self.stroke_changed.emit()

    def _let_go(self, *, keep_stroke: bool = False) -> None:
        """Let go of stroke and mark; the stroke may stay to be seen until the file has it."""
        was_painting = self.painting
        self._anchor, self._giving = QPersistentModelIndex(), None
        if not keep_stroke:
            self._dates.mark(())
            if was_painting:
                self.stroke_changed.emit()

    def _begin_at_first(self) -> None:
        """Stand on the first date of the season."""
        for column in range(self._dates.columnCount()):
            index = self._dates.index(0, column)
            if self._dates.cell(index) is not None:
                self.setCurrentIndex(index)
                return
