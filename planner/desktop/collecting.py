"""Python's garbage is collected on the interface thread only.

A cycle of objects that holds a widget may be found by whichever thread happens to make an object next; Qt's objects
must end on the interface thread, or the process does.
"""

from __future__ import annotations

import gc

from PySide6.QtCore import QCoreApplication, QObject, QTimer

EVERY_MS = 100
"""Often, so that few objects are looked through at a time: other threads make tens of thousands in a second."""
HELD_AT_MOST_MS = 20_000
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
        self._held = QTimer(self)
        self._held.setSingleShot(True)
        self._held.setInterval(HELD_AT_MOST_MS)
        self._held.timeout.connect(gc.freeze)

    @classmethod
    def of_application(cls) -> Collecting | None:
        """Return the one that is at work; None where Python or a test collects by itself."""
        application = QCoreApplication.instance()
        return application.findChild(cls) if application is not None else None

    def collect(self) -> None:
        """Collect as much as Python itself would by now; nothing while :meth:`hold` holds."""
        if not self._held.isActive():
            collect_as_due()

    def hold(self) -> None:
        """Leave garbage where it is while the program's code is loaded, for 20 seconds at most.

        Nearly everything that is made meanwhile stays, some hundred thousand objects: looking through them would keep
        the window from its events for a tenth of a second each time.
        """
        self._held.start()

    def settle(self) -> None:
        """Go on collecting after :meth:`hold`, and look no more through what is there by now.

        Of the season that was open meanwhile, what holds itself in a ring stays in memory until the program ends.
        """
        if self._held.isActive():
            self._held.stop()
            gc.freeze()

    def end(self) -> None:
        """Let Python collect by itself again, if it did."""
        self._timer.stop()
        self._held.stop()
        gc.unfreeze()
        if self._by_itself:
            gc.enable()
