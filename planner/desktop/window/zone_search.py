"""Finds the time zone of a place that is typed, or of a file's places; it is offered, and never chosen for anybody."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from planner.desktop.look.own_enter import OwnEnterLine
from planner.desktop.look.words import quiet
from planner.desktop.worker import Job, Worker

if TYPE_CHECKING:
    from planner.usecases.season.zones import ZoneFound


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
        self.file = QPushButton(self.tr("From a file …"))
        self.file.setToolTip(self.tr("Look where the places of a file of routes or volunteers lie"))
        self.take = QPushButton()
        for button in (self.look, self.file, self.take):
            button.setAutoDefault(False)
        self.said = quiet()
        for part in (self.take, self.said):
            part.hide()
        row = QHBoxLayout()
        row.addWidget(self.place, 1)
        row.addWidget(self.look)
        row.addWidget(self.file)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(row)
        column.addWidget(self.said)
        column.addWidget(self.take, 0, Qt.AlignmentFlag.AlignLeft)
        self.place.returnPressed.connect(self._look)
        self.place.textEdited.connect(lambda _text: self._forget())
        self.look.clicked.connect(lambda _checked: self._look())
        self.file.clicked.connect(lambda _checked: self._choose_file())
        self.take.clicked.connect(lambda _checked: self.taken.emit(self._found))

    def _look(self) -> None:
        text = self.place.text()

        def work() -> ZoneFound:
            from planner.usecases.season.zones import zone_of_text

            return zone_of_text(text)

        self._find(work)

    def _choose_file(self) -> None:
        """Ask for files once the libraries are loaded that know the kinds of them."""
        self._worker.give(_load_importing, lambda _none: self._look_in_files(), self._failed, owner=self)

    def _look_in_files(self) -> None:
        from planner.desktop.importing import choose_files

        paths = choose_files(self)

        def work() -> ZoneFound:
            from planner.usecases.importing.zone_of_files import zone_of_files

            return zone_of_files(paths)

        if paths:
            self._find(work)

    def _find(self, work: Callable[[], ZoneFound]) -> None:
        """Have it found on another thread, where the libraries for it are loaded too; only the newest answer counts."""
        self._forget()
        self._worker.give(work, self._show, self._failed, job=Job("", "zone", None), owner=self)

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


def _load_importing() -> None:
    import_module("planner.desktop.importing")
