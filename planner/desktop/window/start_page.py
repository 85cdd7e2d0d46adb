"""What stands in the window while no season is open: open, recent, new, demo."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QLinearGradient, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.look.colours import Colours
from planner.desktop.look.icons import icon
from planner.desktop.look.sky import sky_colour
from planner.desktop.look.words import heading, quiet, statement, title

_HEIGHT = 230
_DAY_DEG, _NIGHT_DEG = 12.0, -16.0


class DuskBand(QWidget):
    """The sky from afternoon to night, with the horizon under it: what the whole program is about."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFixedHeight(_HEIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.tr("The sky at dusk"))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the sky from left to right as an evening goes, and the points of a route under it."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        width, height = self.width(), self.height()
        sky = QLinearGradient(0, 0, width, 0)
        for part in range(29):
            sky.setColorAt(part / 28, sky_colour(_DAY_DEG + (_NIGHT_DEG - _DAY_DEG) * part / 28))
        painter.fillRect(QRectF(0, 0, width, height), sky)
        horizon = height - 34.0
        painter.fillRect(QRectF(0, horizon, width, 34), QColor("#14122a"))
        painter.setPen(QPen(QColor("#f7d9aa"), 2))
        painter.drawLine(24, round(horizon) + 17, width - 24, round(horizon) + 17)
        for number in range(10):
            at = 24 + (width - 48) * (number + 0.5) / 10
            painter.setBrush(QColor("#14122a") if number % 2 else QColor("#f7d9aa"))
            painter.drawEllipse(QRectF(at - 6, horizon + 11, 12, 12))
        painter.end()


class StartPage(QWidget):
    """The door of the program."""

    wants_open = Signal()
    wants_new = Signal()
    wants_demo = Signal()
    wants_recent = Signal(object)
    """The Path of a recent season."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._open = QPushButton(self.tr("Open a season …"))
        self._new = QPushButton(self.tr("New season …"))
        self._demo = QPushButton(self.tr("Open the demo"))
        self._recent = QListWidget()
        self._recent.setAccessibleName(self.tr("Recent seasons"))
        self._recent.setMinimumHeight(140)
        self._recent.setSpacing(4)
        self._recent.setWordWrap(True)
        self._none = quiet(
            self.tr("No season has been opened on this computer yet. The demo is a good place to begin.")
        )
        self._lay_out()
        for button, signal in (
            (self._open, self.wants_open),
            (self._new, self.wants_new),
            (self._demo, self.wants_demo),
        ):
            button.setIconSize(QSize(20, 20))
            button.setMinimumHeight(42)
            button.clicked.connect(signal)
        self._recent.itemActivated.connect(lambda item: self.wants_recent.emit(item.data(Qt.ItemDataRole.UserRole)))
        self.set_colours(colours)

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._open.setIcon(icon("open", colours))
        self._new.setIcon(icon("new", colours))
        self._demo.setIcon(icon("season", colours))

    def show_recent(self, paths: Sequence[Path]) -> None:
        """Show the seasons opened lately."""
        self._recent.clear()
        for path in paths:
            item = QListWidgetItem(f"{path.stem}\n{path.parent}")
            item.setData(Qt.ItemDataRole.UserRole, path)
            self._recent.addItem(item)
        self._recent.setVisible(bool(paths))
        self._none.setVisible(not paths)

    def _lay_out(self) -> None:
        middle = QWidget()
        middle.setMaximumWidth(980)
        grid = QGridLayout(middle)
        grid.setContentsMargins(32, 20, 32, 24)
        grid.setHorizontalSpacing(40)
        grid.setVerticalSpacing(10)
        grid.addWidget(title("Dimpsy"), 0, 0, 1, 2)
        grid.addWidget(statement(self.tr("Plans volunteer wildlife surveys that must happen in twilight.")), 1, 0, 1, 2)
        grid.addWidget(heading(self.tr("Begin")), 2, 0)
        grid.addWidget(heading(self.tr("Recent seasons")), 2, 1)
        begin = QVBoxLayout()
        words = (
            self.tr("A season file made before, on this computer or brought from another."),
            self.tr("Choose the survey's protocol and the dates; then import routes and people."),
            self.tr("An invented island with 24 routes, 34 volunteers and five troubles to mend."),
        )
        for button, text in zip((self._open, self._new, self._demo), words, strict=True):
            begin.addWidget(button)
            begin.addSpacing(3)
            begin.addWidget(quiet(text))
            begin.addSpacing(12)
        begin.addStretch(1)
        recent = QVBoxLayout()
        recent.addWidget(self._recent)
        recent.addWidget(self._none)
        recent.addStretch(1)
        grid.addLayout(begin, 3, 0)
        grid.addLayout(recent, 3, 1)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)
        grid.setRowStretch(3, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(DuskBand())
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(middle, 8)
        row.addStretch(1)
        column.addLayout(row, 1)
        column.addWidget(self._care())

    def _care(self) -> QWidget:
        care = quiet(
            self.tr(
                "The work puts people on roads in poor light. Local law, the land manager and the survey's own safety"
                " rules come before anything this program says."
            )
        )
        care.setContentsMargins(32, 10, 32, 14)
        care.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        return care
