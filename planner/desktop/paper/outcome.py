"""Says what came of a print run, or what keeps paper in, with one thing to do about it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QToolButton, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.icons import icon
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.look.words import statement
from planner.domain.finding import Severity


class Notice(QFrame):
    """A mark, a sentence, a button, and a cross where it may be put away."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("notice")
        self._colours = colours
        self._severity: Severity | None = None
        self._do: Callable[[], object] = _nothing
        self._mark = QLabel()
        self._words = statement()
        self.button = QPushButton()
        self.button.clicked.connect(self._press)
        self.away = QToolButton()
        self.away.setIconSize(QSize(14, 14))
        self.away.setAccessibleName(self.tr("Put this message away"))
        self.away.setToolTip(self.tr("Put this message away"))
        self.away.clicked.connect(self.hide)
        row = QHBoxLayout(self)
        row.setContentsMargins(10, 7, 7, 7)
        row.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self._words, 1)
        row.addWidget(self.button, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self.away, 0, Qt.AlignmentFlag.AlignTop)
        self.set_colours(colours)
        self.hide()

    @property
    def text(self) -> str:
        """What it says; empty where it says nothing."""
        return "" if self.isHidden() else self._words.text()

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._colours = colours
        self.away.setIcon(icon("close", colours))
        self.setStyleSheet(
            f"#notice {{ background: {colours.surface}; border: 1px solid {colours.edge}; border-radius: 6px; }}"
        )
        self._mark.setPixmap(mark_pixmap(self._severity, colours, 18, self.devicePixelRatioF()))

    def say(
        self, words: str, severity: Severity | None, button: str = "", do: Callable[[], object] | None = None
    ) -> None:
        """Say something; ``severity`` None: all went well."""
        self._severity = severity
        self._words.setText(words)
        self._do = do or _nothing
        self.button.setText(button)
        self.button.setVisible(do is not None)
        self.set_colours(self._colours)
        self.show()

    def _press(self) -> None:
        self._do()


def _nothing() -> None:
    """Do nothing."""
