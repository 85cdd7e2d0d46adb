"""Ctrl-C during long work: the first asks it to stop and keep what it has, a second breaks off."""

from __future__ import annotations

import contextlib
import signal
import sys
import threading
from collections.abc import Iterator
from types import FrameType


@contextlib.contextmanager
def stop_on_interrupt() -> Iterator[threading.Event]:
    """Yield an event that the first Ctrl-C sets; from then on Ctrl-C interrupts as usual."""
    asked = threading.Event()
    before = signal.getsignal(signal.SIGINT)

    def ask(_number: int, _frame: FrameType | None) -> None:
        asked.set()
        signal.signal(signal.SIGINT, before)
        sys.stderr.write("\ndimpsy: stopping, and keeping the best plan so far; Ctrl-C again to break off\n")

    signal.signal(signal.SIGINT, ask)
    try:
        yield asked
    finally:
        signal.signal(signal.SIGINT, before)
