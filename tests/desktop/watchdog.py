"""Measures how long the interface thread is kept from its events while a window is used."""

from __future__ import annotations

import contextlib
import time
from collections.abc import Iterator

from PySide6.QtCore import QAbstractEventDispatcher, QObject

BLOCKED_AT_MOST_MS = 100.0
"""What a person begins to feel as waiting is about this; the figure is the project's own promise."""


class Watchdog(QObject):
    """Looks at every round of the event loop, and at every act of a test on the interface thread.

    Processor time of the thread is what the tests judge, because another program on the machine does not change it;
    wall time is what the benchmark prints.
    """

    def __init__(self) -> None:
        super().__init__()
        self.longest_cpu_ms = 0.0
        self.longest_wall_ms = 0.0
        self.where = ""
        self._doing = "at the start"
        self._began: tuple[float, float] | None = None
        loop = QAbstractEventDispatcher.instance()
        assert loop is not None
        loop.awake.connect(self._awake)
        loop.aboutToBlock.connect(self._about_to_wait)

    @contextlib.contextmanager
    def acting(self, what: str) -> Iterator[None]:
        """Measure what a test does by mouse or key; ``what`` also names what follows from it."""
        self._doing = what
        self._awake()
        yield
        self._about_to_wait()

    @contextlib.contextmanager
    def looking_away(self) -> Iterator[None]:
        """Leave out what a test does for itself on the window's thread, as taking a picture of it.

        What came before is measured up to there.
        """
        self._about_to_wait()
        yield
        self._awake()

    def _awake(self) -> None:
        self._began = (time.thread_time(), time.perf_counter())

    def _about_to_wait(self) -> None:
        if self._began is None:
            return
        cpu_ms = (time.thread_time() - self._began[0]) * 1000
        self.longest_wall_ms = max(self.longest_wall_ms, (time.perf_counter() - self._began[1]) * 1000)
        if cpu_ms > self.longest_cpu_ms:
            self.longest_cpu_ms, self.where = cpu_ms, self._doing
        self._began = None
