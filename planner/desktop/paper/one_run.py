"""A run that puts something out for people, one at a time: it begins, tells how far it is, may be stopped, and ends."""

from __future__ import annotations

import threading

from PySide6.QtCore import QObject, Signal

from planner.desktop.session import SeasonSession
from planner.domain.errors import DimpsyError


class OneRun(QObject):
    """What every such run has in common."""

    began = Signal()
    progressed = Signal(int, int)
    """How many people are done, and of how many."""
    ended = Signal(object)
    """What came of it; where it was stopped, of those done by then."""
    failed = Signal(object)
    """The DimpsyError that ended it."""

    def __init__(self, session: SeasonSession, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._stop: threading.Event | None = None

    @property
    def running(self) -> bool:
        """Whether a run goes on."""
        return self._stop is not None

    def stop(self) -> None:
        """Stop before the next person; what is out stays out, and is written down."""
        if self._stop is not None:
            self._stop.set()

    def _begin(self) -> threading.Event:
        """Begin, and return what is set once it is to be stopped."""
        self._stop = stop = threading.Event()
        self.began.emit()
        return stop

    def _end(self, end: object) -> None:
        self._stop = None
        self.ended.emit(end)

    def _fail(self, error: DimpsyError) -> None:
        self._stop = None
        self.failed.emit(error)
