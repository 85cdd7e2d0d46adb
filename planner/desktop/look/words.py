"""Words on the screen in the window's type scale: wrapped, and selectable, so that anything said can be copied."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont, QResizeEvent
from PySide6.QtWidgets import QLabel, QSizePolicy

_TITLE, _HEADING, _FIGURE = 1.7, 1.2, 2.2
"""Sizes against the window's font."""


class ElidedLine(QLabel):
    """A sentence of second rank in one line that gives way to what stands beside it; its tip tells what is left out."""

    def __init__(self) -> None:
        super().__init__()
        self._whole = ""
        self._dress()
        self.setWordWrap(False)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Minimum)

    def name(self, whole: str) -> None:
        """Show words as far as there is room for them."""
        self._whole = whole
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:  # Qt's name
        """Show more or less of the words."""
        super().resizeEvent(event)
        self._fit()

    def _dress(self) -> None:
        _dress(self, "quiet", 1.0, bold=False)

    def _fit(self) -> None:
        shown = self.fontMetrics().elidedText(self._whole, Qt.TextElideMode.ElideRight, self.width())
        self.setText(shown)
        self.setAccessibleName(self._whole)
        self.setToolTip("" if shown == self._whole else self._whole)


class ElidedHeading(ElidedLine):
    """A heading that gives way in the same manner."""

    def _dress(self) -> None:
        _dress(self, "heading", _HEADING, bold=True)


def title(text: str = "") -> QLabel:
    """Return the name of a room or page."""
    return _label(text, "title", _TITLE, bold=True)


def heading(text: str = "") -> QLabel:
    """Return the heading of a part of a room."""
    return _label(text, "heading", _HEADING, bold=True)


def statement(text: str = "") -> QLabel:
    """Return a sentence in the usual size."""
    return _label(text, "statement", 1.0)


def quiet(text: str = "") -> QLabel:
    """Return a sentence of second rank."""
    return _label(text, "quiet", 1.0)


def figure(text: str = "") -> QLabel:
    """Return a large figure, as the margin of an outing."""
    return _label(text, "figure", _FIGURE, bold=True)


def _label(text: str, role: str, scale: float, *, bold: bool = False) -> QLabel:
    label = QLabel(text)
    _dress(label, role, scale, bold=bold)
    return label


def _dress(label: QLabel, role: str, scale: float, *, bold: bool) -> None:
    label.setProperty("words", role)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setTextInteractionFlags(
        Qt.TextInteractionFlag.TextSelectableByMouse | Qt.TextInteractionFlag.TextSelectableByKeyboard
    )
    # Reachable by mouse for copying; the Tab key goes from control to control.
    label.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
    label.setWordWrap(True)
    label.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
    font = QFont(label.font())
    font.setPointSizeF(font.pointSizeF() * scale)
    font.setBold(bold)
    label.setFont(font)
