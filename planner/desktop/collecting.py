"""Python's garbage is collected on the interface thread only.

A cycle of objects that holds a widget may be found by whichever thread happens to make an object next; Qt's objects
must end on the interface thread, or the process does.
"""

from __future__ import annotations

import gc

from PySide6.QtCore import QObject, QTimer

EVERY_MS = 700
_YOUNG, _MIDDLE, _OLD = 700, 10, 10
"""Python's own usual thresholds: objects, collections of the young, collections of the middle generation."""


def collect_as_due() -> None:
    """Collect the generations whose turn it is; only on the interface thread."""
    young, middle, old = gc.get_count()
    if young > _YOUNG:
        gc.collect(0 if middle <= _MIDDLE else 1 if old <= _OLD else 2)


class Collecting(QObject):
    """Takes collecting over from Python for as long as it lives; ``end`` gives it back."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._by_itself = gc.isenabled()
        gc.disable()
        # What has been loaded stays until the end: it need not be looked through again and again.
        gc.collect()
        gc.freeze()
        self._timer = QTimer(self)
        self._timer.setInterval(EVERY_MS)
        self._timer.timeout.connect(self.collect)
        self._timer.start()

    def collect(self) -> None:
        """Collect as much as Python itself would by now."""
        collect_as_due()

    def end(self) -> None:
        """Let Python collect by itself again, if it did."""
        self._timer.stop()
        gc.unfreeze()
        if self._by_itself:
            gc.enable()
