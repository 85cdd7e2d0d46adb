"""Scrolls the board while a visit is held near its left or right edge."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, QPoint, QTimer
from PySide6.QtWidgets import QAbstractScrollArea

NEAR = 22
"""Pixels from an edge at which scrolling begins."""

EVERY_MS = 70
"""Between two dates that go by: slow enough to read them."""


class EdgeScroll(QObject):
    """A date at a time, for as long as the pointer stays near the edge."""

    def __init__(self, board: QAbstractScrollArea, scrolled: Callable[[QPoint], None]) -> None:
        """Scroll that board; ``scrolled`` is told where the pointer is after each date."""
        super().__init__(board)
        self._board = board
        self._scrolled = scrolled
        self._at = QPoint()
        self._timer = QTimer(self)
        self._timer.setInterval(EVERY_MS)
        self._timer.timeout.connect(self._step)

    def follow(self, place: QPoint) -> None:
        """Tell where the pointer is, in pixels of the viewport."""
        self._at = place
        if self._direction():
            if not self._timer.isActive():
                self._timer.start()
        else:
            self._timer.stop()

    def stop(self) -> None:
        """Scroll no more: nothing is held any longer."""
        self._timer.stop()

    def _direction(self) -> int:
        port = self._board.viewport().rect()
        if not port.contains(self._at):
            return 0
        return (self._at.x() > port.right() - NEAR) - (self._at.x() < port.left() + NEAR)

    def _step(self) -> None:
        bar = self._board.horizontalScrollBar()
        bar.setValue(bar.value() + self._direction() * bar.singleStep())
        self._scrolled(self._at)
