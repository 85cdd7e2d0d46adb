"""Finds the time zone of a place that is typed; it is offered, and never chosen for anybody."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from planner.desktop.look.own_enter import OwnEnterLine
from planner.desktop.look.words import quiet
from planner.desktop.worker import Worker
from planner.usecases.zones import ZoneFound, zone_of_text


class ZoneSearch(QWidget):
    """A line for the place, what was found, and a button that takes it."""

    taken = Signal(str)
    """The zone that a person took, by its IANA name."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._worker = Worker("zone", self)
        self.destroyed.connect(self._worker.close)
        self._found = ""
        self.place = OwnEnterLine()
        self.place.setAccessibleName(self.tr("A place of the survey, latitude first"))
        self.place.setPlaceholderText(self.tr("latitude, longitude"))
        self.look = QPushButton(self.tr("Find the zone"))
        self.look.setAutoDefault(False)
        self.take = QPushButton()
        self.take.setAutoDefault(False)
        self.said = quiet()
        for part in (self.take, self.said):
            part.hide()
        row = QHBoxLayout()
        row.addWidget(self.place, 1)
        row.addWidget(self.look)
        row.addWidget(self.take)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(row)
        column.addWidget(self.said)
        self.place.returnPressed.connect(self._look)
        self.place.textEdited.connect(lambda _text: self._forget())
        self.look.clicked.connect(lambda _checked: self._look())
        self.take.clicked.connect(lambda _checked: self.taken.emit(self._found))

    def _look(self) -> None:
        """Look for the zone on another thread: the map of zones takes a moment to load."""
        text = self.place.text()
        self._worker.give(lambda: zone_of_text(text), self._show, self._failed, owner=self)

    def _show(self, found: ZoneFound) -> None:
        self._found = found.zone
        self.said.setText(found.reason)
        self.said.show()
        self.take.setText(self.tr("Take %1").replace("%1", found.zone))
        self.take.setVisible(bool(found.zone))

    def _forget(self) -> None:
        """Offer nothing that was found for another place."""
        self.take.hide()
        self.said.hide()

    def _failed(self, error: BaseException) -> None:
        raise error
