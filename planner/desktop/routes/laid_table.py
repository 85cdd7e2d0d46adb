"""The table of a proposal, below the map: look at a row there, and leave its place out, or no longer."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QAbstractItemView, QHBoxLayout, QTableView, QToolButton, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.icons import drawn_icon
from planner.desktop.look.tables import plain_table
from planner.desktop.look.words import heading
from planner.desktop.routes import icons
from planner.desktop.routes.laid_model import STRETCH_WHY, Column, LaidModel, LaidRow
from planner.desktop.routes.laying import Laying
from planner.desktop.routes.point_table import PointNumberPainter
from planner.desktop.routes.words import tr


class LaidTable(QWidget):
    """The points that are proposed, and what is left out."""

    picked = Signal(object)
    """The LaidRow that a person looks at."""

    def __init__(self, desk: Desk, laying: Laying, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._laying = desk, laying
        self.model = LaidModel(desk, self)
        self.view = self._made_view()
        self.leave_out = QAction(tr("Not here"), self)
        self.leave_out.setShortcut(QKeySequence("Del"))
        self.leave_out.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        self.leave_out.triggered.connect(lambda _checked: self._leave_out())
        self.addAction(self.leave_out)
        self._button = QToolButton()
        self._lay_out()
        laying.laid_changed.connect(self._show)
        self.view.selectionModel().currentRowChanged.connect(lambda _new, _old: self._current())
        self.model.modelReset.connect(self._may)
        desk.look_changed.connect(self._dress)
        self._dress()
        self._may()

    @property
    def current(self) -> LaidRow | None:
        """The row that is looked at."""
        at = self.view.currentIndex().row()
        return self.model.rows[at] if 0 <= at < len(self.model.rows) else None

    def _show(self) -> None:
        self.model.show_laid(self._laying.laid)
        self.view.clearSpans()
        for at, row in enumerate(self.model.rows):
            if row.skipped is not None:
                self.view.setSpan(at, STRETCH_WHY, 1, len(Column) - STRETCH_WHY)
        self._may()

    def _current(self) -> None:
        self._may()
        row = self.current
        if row is not None:
            self.picked.emit(row)

    def _may(self) -> None:
        """Say what can be done with the row, or why nothing can."""
        row = self.current
        why_not = tr("Select a point first.") if row is None else ""
        if row is not None and row.skipped is not None and not row.is_avoided:
            why_not = tr("The map says that no point may stand here.")
        words = tr("Allow again") if row is not None and row.is_avoided else tr("Not here")
        tip = tr("No point within 50 m of this place") if words == tr("Not here") else tr("Points may stand here again")
        self.leave_out.setText(words)
        self.leave_out.setEnabled(not why_not)
        self.leave_out.setToolTip(f"{words}: {why_not}" if why_not else f"{tip} ({_DELETE})")

    def _leave_out(self) -> None:
        row, wish = self.current, self._laying.wish
        if row is None:
            return
        middle = row.along_m if row.skipped is None else (row.skipped.from_m + row.skipped.to_m) / 2
        self._laying.want(wish.allowed(middle) if row.is_avoided else wish.away_from(row.along_m))

    def _made_view(self) -> QTableView:
        view = plain_table(self.model, tr("Proposed points, and what is left out"), Column.WHY)
        view.setItemDelegateForColumn(Column.NUMBER, PointNumberPainter(self._desk))
        view.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        view.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        view.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        header = view.horizontalHeader()
        header.setMinimumSectionSize(52)
        return view

    def _lay_out(self) -> None:
        self._button.setDefaultAction(self.leave_out)
        self._button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self._button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        bar = QHBoxLayout()
        bar.addWidget(heading(tr("Proposed points")), 1)
        bar.addWidget(self._button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 0, 0)
        column.setSpacing(6)
        column.addLayout(bar)
        column.addWidget(self.view, 1)

    def _dress(self) -> None:
        self.leave_out.setIcon(drawn_icon(icons.drop, self._desk.colours))
        self.view.viewport().update()


_DELETE = QKeySequence("Del").toString(QKeySequence.SequenceFormat.NativeText)
