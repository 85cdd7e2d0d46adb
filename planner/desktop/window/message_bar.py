"""What went wrong and what to do, above the room, until it is put away; never a box that stops the work."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtGui import QAccessible, QAccessibleEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QToolButton, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.icons import icon
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.look.words import statement
from planner.domain.finding import Severity


class MessageBar(QFrame):
    """One message; the next one takes its place."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("messages")
        self._mark = QLabel()
        self._mark.setAccessibleName(self.tr("Trouble"))
        self._words = statement()
        self._words.setObjectName("message")
        self._close = QToolButton()
        self._close.setAccessibleName(self.tr("Put the message away"))
        self._close.setToolTip(self.tr("Put the message away"))
        self._close.setIconSize(QSize(16, 16))
        self._close.clicked.connect(self.hide)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 8, 8, 8)
        row.setSpacing(10)
        row.addWidget(self._mark)
        row.addWidget(self._words, 1)
        row.addWidget(self._close)
        self.set_colours(colours)
        self.hide()

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._mark.setPixmap(mark_pixmap(Severity.TROUBLE, colours, 20, self.devicePixelRatioF()))
        self._close.setIcon(icon("close", colours))
        self.setStyleSheet(f"#messages {{ background: {colours.raised}; border-left: 5px solid {colours.trouble}; }}")

    def show_message(self, text: str) -> None:
        """Show a message, and tell those who listen rather than look."""
        self._words.setText(text)
        self._words.setAccessibleName(text)
        self.show()
        QAccessible.updateAccessibility(QAccessibleEvent(self._words, QAccessible.Event.Alert))

    @property
    def text(self) -> str:
        """What it says; empty where it is put away."""
        return "" if self.isHidden() else self._words.text()
