"""The routes of the season with a box each."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QListWidget, QListWidgetItem, QPushButton, QVBoxLayout, QWidget

from planner.desktop.exporting.words import tr

_CODE = Qt.ItemDataRole.UserRole


class RouteTicks(QWidget):
    """All are ticked at first."""

    changed = Signal()
    """A route was ticked or is not any more."""

    def __init__(self, routes: Sequence[tuple[str, str]], parent: QWidget | None = None) -> None:
        """Show routes by code and name."""
        super().__init__(parent)
        self.list = QListWidget()
        self.list.setAccessibleName(tr("Routes to write"))
        for code, name in routes:
            item = QListWidgetItem(f"{code} {name}".strip(), self.list)
            item.setData(_CODE, code)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Checked)
        self.list.setCurrentRow(0)
        self.list.itemChanged.connect(lambda _item: self.changed.emit())
        self.every, self.none = QPushButton(tr("Tick all")), QPushButton(tr("Untick all"))
        row = QHBoxLayout()
        for button, state in ((self.every, Qt.CheckState.Checked), (self.none, Qt.CheckState.Unchecked)):
            button.setAutoDefault(False)
            button.clicked.connect(lambda _checked, state=state: self._set_all(state))
            row.addWidget(button)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.list, 1)
        column.addLayout(row)

    @property
    def all_codes(self) -> tuple[str, ...]:
        """Codes of all routes."""
        return tuple(item.data(_CODE) for item in self._items())

    @property
    def codes(self) -> tuple[str, ...]:
        """Codes of the routes that are ticked."""
        return tuple(item.data(_CODE) for item in self._items() if item.checkState() is Qt.CheckState.Checked)

    def _items(self) -> list[QListWidgetItem]:
        return [self.list.item(row) for row in range(self.list.count())]

    def _set_all(self, state: Qt.CheckState) -> None:
        for item in self._items():
            item.setCheckState(state)
