"""What the signs of the calendar mean."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPixmap
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.words import quiet
from planner.desktop.people.dates_model import DayCell
from planner.desktop.people.day_painter import DayPainter
from planner.domain.plan import VisitKey
from planner.domain.window import PartOfDay
from planner.usecases.people.planned_dates import Duty, DutyKind
from planner.usecases.people.usable_dates import CellUse

_COLUMNS = 3
_ANY_DAY = dt.date(2001, 1, 3)


class DatesLegend(QWidget):
    """A sample of each kind of cell, with its words."""

    def __init__(self, colours: Colours, part: PartOfDay, parent: QWidget | None = None) -> None:
        """Show samples in the sky of one part of the day."""
        super().__init__(parent)
        self._part = part
        self._samples: list[tuple[QLabel, DayCell]] = []
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setVerticalSpacing(2)
        for number, (cell, words) in enumerate(self._kinds()):
            picture = QLabel()
            self._samples.append((picture, cell))
            line = QHBoxLayout()
            line.setSpacing(8)
            line.addWidget(picture)
            line.addWidget(quiet(words), 1, Qt.AlignmentFlag.AlignVCenter)
            grid.addLayout(line, number // _COLUMNS, number % _COLUMNS)
        self.set_colours(colours)

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        size = QSize(self.fontMetrics().horizontalAdvance("R00") + 14, round(self.fontMetrics().height() * 1.2))
        ratio = self.devicePixelRatioF()
        for picture, cell in self._samples:
            pixmap = QPixmap(size * ratio)
            pixmap.setDevicePixelRatio(ratio)
            pixmap.fill(Qt.GlobalColor.transparent)
            painter = QPainter(pixmap)
            painter.setFont(self.font())
            DayPainter(colours).paint(painter, QRectF(0, 0, size.width(), size.height()), cell, "", current=False)
            painter.setPen(QColor(colours.edge))
            painter.drawRect(QRectF(0, 0, size.width() - 1, size.height() - 1))
            painter.end()
            picture.setPixmap(pixmap)

    def _kinds(self) -> Iterator[tuple[DayCell, str]]:
        key = VisitKey("R1", 1)
        yield self._cell(CellUse.COUNTS, given=True), self.tr("given")
        yield self._cell(CellUse.DARK), self.tr("no window")
        yield self._cell(CellUse.NO_VISIT), self.tr("no visit then")
        yield self._cell(CellUse.COUNTS, Duty(DutyKind.VISIT, key, leads=True)), self.tr("planned")
        yield self._cell(CellUse.COUNTS, Duty(DutyKind.RESERVE, key, leads=True)), self.tr("reserve date")
        yield self._cell(CellUse.DARK, given=True), self.tr("given in vain")

    def _cell(self, use: CellUse, *duties: Duty, given: bool = False) -> DayCell:
        return DayCell(_ANY_DAY, self._part, first_part=False, given=given, use=use, duties=duties)
