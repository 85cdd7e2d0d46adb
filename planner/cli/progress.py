"""One line on standard error that says how far long work has come; silent where nobody watches."""

from __future__ import annotations

import sys
from types import TracebackType
from typing import Self

from planner.scheduling import Progress


class ProgressLine:
    """Rewrites one line on a terminal; writes nothing elsewhere."""

    def __init__(self) -> None:
        self._watched = sys.stderr.isatty()
        self._width = 0

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.say("")

    def show(self, event: Progress) -> None:
        """Show one event of a running plan."""
        gap = ""
        if event.objective is not None and event.bound is not None:
            gap = f", at most {max(0.0, event.objective - event.bound):.0f} from the best possible"
        self.say(
            f"{event.seconds:5.1f} s  {event.stage}: {event.filled} visits filled, {event.reserved} with a reserve,"
            f" {event.drive_minutes:.0f} min of driving{gap}"
        )

    def say(self, words: str) -> None:
        """Put words on the line; an empty text clears it."""
        if not self._watched:
            return
        sys.stderr.write("\r" + words.ljust(self._width) + ("\r" if not words else ""))
        sys.stderr.flush()
        self._width = len(words)
