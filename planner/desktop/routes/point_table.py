"""The table of a route's points, with what can be done to the points that are selected."""

from __future__ import annotations

from PySide6.QtCore import QItemSelectionModel, QModelIndex, QPersistentModelIndex, QRectF, Qt, Signal
from PySide6.QtGui import QAction, QFontMetrics, QKeySequence, QPainter
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.desk import Desk
from planner.desktop.look.icons import DRAWINGS, Drawing, drawn_icon
from planner.desktop.look.marks import paint_mark
from planner.desktop.look.words import heading
from planner.desktop.routes import icons
from planner.desktop.routes.point_model import MARK_ROLE, Column, PointModel
from planner.desktop.routes.words import tr
from planner.domain.finding import Severity

_STRETCHED = Column.NOTE


class PointNumberPainter(QStyledItemDelegate):
    """Paints the mark of a point's worst finding before its number."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._desk = desk

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Paint the number, then the mark."""
        super().paint(painter, option, index)
        severity = index.data(MARK_ROLE)
        if isinstance(severity, Severity):
            size = QFontMetrics(option.font).height() * 0.8
            top = option.rect.center().y() - size / 2 + 0.5
            paint_mark(painter, QRectF(option.rect.left() + 4, top, size, size), severity, self._desk.colours)


class PointTable(QWidget):
    """The points of the chosen route; written over in place, each change one step."""

    picked = Signal(object)
    """Numbers of the points that are selected, a tuple."""
    wanted = Signal(str, int)
    """What a person asks for: 'add', 'drop', 'earlier' or 'later', and the point that is meant; 0: none."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.model = PointModel(desk, self)
        self.view = self._made_view()
        self.add = self._action(tr("New point"), DRAWINGS["new"], "Ins", "add")
        self.drop = self._action(tr("Drop the points"), icons.drop, "Del", "drop")
        self.earlier = self._action(tr("Count earlier"), icons.earlier, "Alt+Up", "earlier")
        self.later = self._action(tr("Count later"), icons.later, "Alt+Down", "later")
        self._lay_out()
        self.view.selectionModel().selectionChanged.connect(lambda _new, _old: self._selected())
        desk.look_changed.connect(self._draw_icons)
        self.allow("")

    @property
    def actions_here(self) -> tuple[QAction, ...]:
        """What can be done to points."""
        return (self.add, self.drop, self.earlier, self.later)

    @property
    def selected(self) -> tuple[int, ...]:
        """Numbers of the selected points, in their order."""
        rows = sorted(index.row() for index in self.view.selectionModel().selectedRows())
        points = [self.model.point_at(row) for row in rows]
        return tuple(point.number for point in points if point is not None)

    def select(self, number: int | None) -> None:
        """Select a point, without saying that a person did."""
        picked = self.view.selectionModel()
        row = -1 if number is None else self.model.row_of(number)
        picked.blockSignals(True)
        if row < 0:
            picked.clear()
        elif self.selected != (number,):
            index = self.model.index(row, max(0, picked.currentIndex().column()))
            flags = QItemSelectionModel.SelectionFlag.ClearAndSelect | QItemSelectionModel.SelectionFlag.Rows
            picked.setCurrentIndex(index, flags)
            self.view.scrollTo(index)
        picked.blockSignals(False)
        self.view.viewport().update()
        self._may()

    def allow(self, why_not: str) -> None:
        """Let points be changed; or not, and why."""
        self._why_not = why_not
        self.model.is_editable = not why_not
        self._may()

    def _selected(self) -> None:
        self._may()
        self.picked.emit(self.selected)

    def _may(self) -> None:
        """Enable what can be done now, and say of the rest why not."""
        numbers, count = self.selected, self.model.rowCount()
        first = self.model.point_at(0)
        last = self.model.point_at(count - 1)
        none = tr("Select a point first.")
        one = tr("Select one point.") if len(numbers) != 1 else ""
        is_first = tr("It is the first point already.") if first and numbers == (first.number,) else ""
        is_last = tr("It is the last point already.") if last and numbers == (last.number,) else ""
        self._enable(self.add, self._why_not)
        self._enable(self.drop, self._why_not or ("" if numbers else none))
        self._enable(self.earlier, self._why_not or one or is_first)
        self._enable(self.later, self._why_not or one or is_last)

    def _enable(self, action: QAction, why_not: str) -> None:
        action.setEnabled(not why_not)
        key = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
        action.setToolTip(f"{action.text()}: {why_not}" if why_not else f"{action.text()} ({key})")

    def _action(self, text: str, drawing: Drawing, key: str, what: str) -> QAction:
        action = QAction(text, self)
        action.setShortcut(QKeySequence(key))
        action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        action.setData(drawing)
        action.triggered.connect(lambda: self.wanted.emit(what, self.selected[-1] if self.selected else 0))
        self.addAction(action)
        return action

    def _made_view(self) -> QTableView:
        view = QTableView()
        view.setModel(self.model)
        view.setItemDelegateForColumn(Column.NUMBER, PointNumberPainter(self._desk))
        view.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        view.setAlternatingRowColors(True)
        view.setShowGrid(False)
        view.setWordWrap(False)
        view.setStyleSheet("QTableView::item { padding: 0 6px; }")
        view.verticalHeader().hide()
        view.verticalHeader().setDefaultSectionSize(view.fontMetrics().height() + 10)
        view.setTabKeyNavigation(False)
        view.setAccessibleName(tr("Points of the route"))
        view.setEditTriggers(
            QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.AnyKeyPressed
        )
        header = view.horizontalHeader()
        header.setHighlightSections(False)
        for column in Column:
            stretched = column is _STRETCHED
            mode = QHeaderView.ResizeMode.Stretch if stretched else QHeaderView.ResizeMode.ResizeToContents
            header.setSectionResizeMode(column, mode)
        header.setMinimumSectionSize(52)
        return view

    def _lay_out(self) -> None:
        bar = QHBoxLayout()
        bar.addWidget(heading(tr("Points")), 1)
        for action in self.actions_here:
            button = QToolButton()
            button.setDefaultAction(action)
            button.setAccessibleName(action.text())
            button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            bar.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 0, 0)
        column.setSpacing(6)
        column.addLayout(bar)
        column.addWidget(self.view, 1)
        self._draw_icons()

    def _draw_icons(self) -> None:
        for action in self.actions_here:
            action.setIcon(drawn_icon(action.data(), self._desk.colours))
        self.view.viewport().update()
