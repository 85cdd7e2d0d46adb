"""Scrolling only where there is not enough room: sentences that wrap are measured at the width they have."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QScrollArea, QWidget


class FittedScroll(QScrollArea):
    """Scrolls a widget whose height follows from its width; left to itself, Qt reckons with the narrowest."""

    def __init__(self, inside: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._inside = inside
        self.setWidget(inside)
        inside.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # Qt's name
        """Measure anew when something inside has changed."""
        if watched is self._inside and event.type() is QEvent.Type.LayoutRequest:
            self._fit()
        return super().eventFilter(watched, event)

    def resizeEvent(self, event: QResizeEvent) -> None:  # Qt's name
        """Measure anew at another width."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        layout = self._inside.layout()
        if layout is None:
            return
        # Qt answers -1 where nothing inside wraps.
        wrapped = layout.minimumHeightForWidth(self.viewport().width())
        self._inside.setMinimumHeight(wrapped if wrapped >= 0 else layout.minimumSize().height())


class WantingScroll(FittedScroll):
    """Asks for all the height that is needed inside, and scrolls where it does not get it."""

    def sizeHint(self) -> QSize:  # Qt's name
        """Return the height of what is inside, at the width it has."""
        return QSize(super().sizeHint().width(), self._inside.minimumHeight() + 2 * self.frameWidth())

    def _fit(self) -> None:
        super()._fit()
        self.updateGeometry()


class DownwardScroll(FittedScroll):
    """Scrolls up and down alone: it is never narrower than what is inside, and as low as its window wants it."""

    def __init__(self, inside: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(inside, parent)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)

    def minimumSizeHint(self) -> QSize:  # Qt's name
        """Return the width of what is inside, with a bar beside it."""
        bar = self.verticalScrollBar().sizeHint().width()
        return QSize(self._inside.minimumSizeHint().width() + bar, super().minimumSizeHint().height())

    def _fit(self) -> None:
        super()._fit()
        self.updateGeometry()
