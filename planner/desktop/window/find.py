"""Find anything (Ctrl+K): type part of a name, a date or a command, and go there."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QAbstractListModel, QEvent, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QDialog, QLineEdit, QListView, QVBoxLayout, QWidget

from planner.desktop.look.words import quiet
from planner.desktop.window.findables import Findable

Search = Callable[[str], Sequence[Findable]]
_MOVES = (Qt.Key.Key_Down, Qt.Key.Key_Up, Qt.Key.Key_PageDown, Qt.Key.Key_PageUp)


class FoundModel(QAbstractListModel):
    """What a search found."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._found: Sequence[Findable] = ()

    def show_found(self, found: Sequence[Findable]) -> None:
        """Show other things."""
        self.beginResetModel()
        self._found = found
        self.endResetModel()

    def thing(self, index: QModelIndex) -> Findable | None:
        """Return what stands in a row."""
        return self._found[index.row()] if index.isValid() else None

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:
        """One row for each thing."""
        return 0 if parent.isValid() else len(self._found)

    def data(self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return words and kind of a thing."""
        if not index.isValid():
            return None
        thing = self._found[index.row()]
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return f"{thing.words}  ·  {thing.kind}"
        return thing.why_not or None if role == Qt.ItemDataRole.ToolTipRole else None

    def flags(self, index: QModelIndex | QPersistentModelIndex) -> Qt.ItemFlag:
        """A command that cannot be given now is shown, but cannot be chosen."""
        usual = super().flags(index)
        thing = self._found[index.row()] if index.isValid() else None
        return usual & ~Qt.ItemFlag.ItemIsEnabled if thing is not None and thing.why_not else usual


class FindAnything(QDialog):
    """A line to type in and what it finds; Enter goes there, Escape puts it away."""

    def __init__(self, search: Search, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._search = search
        self.setWindowTitle(self.tr("Find anything"))
        self._line = QLineEdit()
        self._line.setPlaceholderText(self.tr("A route, a volunteer, a date such as 4 Jun, a command"))
        self._line.setAccessibleName(self.tr("What to find"))
        self._model = FoundModel(self)
        self._list = QListView()
        self._list.setModel(self._model)
        self._list.setAccessibleName(self.tr("What was found"))
        self._list.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        column = QVBoxLayout(self)
        column.addWidget(self._line)
        column.addWidget(self._list, 1)
        column.addWidget(quiet(self.tr("Up and Down choose, Enter goes there, Escape puts this away.")))
        self.resize(560, 420)
        self._line.textChanged.connect(self._find)
        self._line.installEventFilter(self)
        self._line.returnPressed.connect(self._take)
        self._list.activated.connect(lambda _index: self._take())
        self._find("")
        self._line.setFocus()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let the arrow keys move in the list while one types."""
        pressed = isinstance(event, QKeyEvent) and event.type() is QEvent.Type.KeyPress and event.key() in _MOVES
        if watched is self._line and pressed:
            self._list.event(event)
            return True
        return super().eventFilter(watched, event)

    def _find(self, query: str) -> None:
        self._model.show_found(self._search(query))
        for row in range(self._model.rowCount()):
            index = self._model.index(row, 0)
            if self._model.flags(index) & Qt.ItemFlag.ItemIsEnabled:
                self._list.setCurrentIndex(index)
                return

    def _take(self) -> None:
        thing = self._model.thing(self._list.currentIndex())
        if thing is None or thing.why_not:
            return
        self.accept()
        thing.do()
