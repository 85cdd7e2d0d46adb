"""Splitters that remember how a person shared out the room."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QSplitter

from planner.desktop.settings import Settings


class KeptSplitter(QSplitter):
    """A splitter whose parts are as large as they were left, or for the first time as usual."""

    def __init__(self, orientation: Qt.Orientation, settings: Settings, usual: Sequence[int]) -> None:
        super().__init__(orientation)
        self._settings, self._usual = settings, list(usual)
        self._key = f"routes.splitters.{orientation.name}"
        self._shared_out = False
        self.setChildrenCollapsible(False)
        self.splitterMoved.connect(lambda _at, _index: self._keep())

    def showEvent(self, event: QShowEvent) -> None:
        """Share out the room once its size is known."""
        super().showEvent(event)
        if not self._shared_out:
            self._shared_out = True
            kept = [int(size) for size in self._settings.value(self._key, list[str]()) if size.isdecimal()]
            self.setSizes(kept if len(kept) == self.count() else self._usual)

    def _keep(self) -> None:
        self._settings.keep(self._key, [str(size) for size in self.sizes()])
