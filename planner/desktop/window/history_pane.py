"""Every step since the season was made, the newest on top; going back to any of them is a double click away."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QListView, QPushButton, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import heading, quiet
from planner.store import Step
from planner.usecases.season.history import go_to
from planner.usecases.season.snapshot import Snapshot

_NUMBER = Qt.ItemDataRole.UserRole + 1


class StepsModel(QAbstractListModel):
    """The steps of a season, the newest first; those taken back are struck through and said to be."""

    def __init__(self, zone: Callable[[], dt.tzinfo], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._zone = zone
        self._steps: tuple[Step, ...] = ()

    def show_steps(self, steps: tuple[Step, ...]) -> None:
        """Show other steps."""
        self.beginResetModel()
        self._steps = steps
        self.endResetModel()

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:
        """One row for each step, and one for the season as it was made."""
        return 0 if parent.isValid() else len(self._steps) + 1

    def data(self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return label and time of a step."""
        if not index.isValid():
            return None
        if index.row() == len(self._steps):
            return self._made(role)
        step = self._steps[len(self._steps) - 1 - index.row()]
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole):
            return self._words(step)
        if role == Qt.ItemDataRole.FontRole and step.undone:
            font = QFont()
            font.setStrikeOut(True)
            return font
        return step.number if role == _NUMBER else None

    def _made(self, role: int) -> object:
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return self.tr("The season as it was made")
        return 0 if role == _NUMBER else None

    def _words(self, step: Step) -> str:
        when = step.when_utc.astimezone(self._zone())
        words = f"{step.label}\n{when:%a} {when.day} {when:%b %H:%M}"
        return f"{words} · {self.tr('taken back')}" if step.undone else words


class HistoryPane(QWidget):
    """The history, and the way back to any of its states."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._model = StepsModel(lambda: desk.session.snapshot.season.tzinfo, self)
        self._list = QListView()
        self._list.setModel(self._model)
        self._list.setWordWrap(True)
        self._list.setResizeMode(QListView.ResizeMode.Adjust)
        self._list.setSpacing(3)
        self._list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._list.setAccessibleName(self.tr("Steps, the newest first"))
        self._list.activated.connect(self._go_to)
        self._list.selectionModel().currentChanged.connect(lambda *_: self._show_able())
        self._go = QPushButton(self.tr("Go to this state"))
        self._go.clicked.connect(lambda: self._go_to(self._list.currentIndex()))
        column = QVBoxLayout(self)
        column.addWidget(heading(self.tr("History")))
        column.addWidget(
            quiet(self.tr("Every step can be taken back and done again, even after the season was closed."))
        )
        column.addWidget(self._list, 1)
        column.addWidget(self._go)
        desk.session.snapshot_changed.connect(self._show)
        self._show(desk.session.snapshot)

    def _show(self, snapshot: Snapshot) -> None:
        self._model.show_steps(snapshot.steps)
        self._show_able()

    def _show_able(self) -> None:
        chosen = self._list.currentIndex().isValid()
        self._go.setEnabled(chosen)
        self._go.setToolTip("" if chosen else self.tr("Choose a step in the list first"))

    def _go_to(self, index: QModelIndex) -> None:
        number = index.data(_NUMBER)
        if isinstance(number, int):
            self._desk.session.do(lambda file: go_to(file, number), words=self.tr("Going through the history"))
