"""What the shapes on the board mean, each drawn as the board draws it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import replace

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from planner.desktop.board.geometry import BoardGeometry
from planner.desktop.board.lines import Entry, Part
from planner.desktop.board.painting import BoardPainter
from planner.desktop.board.said import tr
from planner.desktop.board.strokes import Strokes
from planner.desktop.desk import Desk
from planner.domain.plan import PlannedVisit, Status, VisitKey

_DAY = dt.date(2000, 1, 1)
_PLANNED = PlannedVisit(VisitKey("", 1), "V", _DAY, "")
_BLOCK, _LANE, _GAP = 26, 20, 18


class Legend(QWidget):
    """Samples with their words, in as many rows as are needed."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("What the shapes mean"))
        self.setAccessibleDescription("; ".join(words for words, _ in self._samples()))
        desk.look_changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Return the room that the rows need at the width there is."""
        return QSize(400, self._rows(self.width()))

    def minimumSizeHint(self) -> QSize:
        """Return the least room: as high as the rows need."""
        return QSize(200, self._rows(self.width()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Take as many rows as the width asks for."""
        super().resizeEvent(event)
        if event.oldSize().width() != event.size().width():
            self.updateGeometry()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint every sample and its words."""
        strokes = Strokes.of(self._desk.colours, self.font(), self.devicePixelRatioF())
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for box, words, sample in self._placed(self.width()):
            painter.save()
            painter.translate(box.topLeft())
            sample(painter, strokes)
            painter.restore()
            painter.setFont(strokes.small)
            painter.setPen(strokes.quiet)
            painter.drawText(box.adjusted(_BLOCK + 6, 0, 40, 0), Qt.AlignmentFlag.AlignVCenter, words)
        painter.end()

    def _rows(self, width: int) -> int:
        return round(max((box.bottom() for box, _, _ in self._placed(width)), default=_LANE)) + 6

    def _placed(self, width: int) -> Iterator[tuple[QRectF, str, Callable[[QPainter, Strokes], None]]]:
        """Yield where each sample stands, wrapped like words."""
        font = Strokes.of(self._desk.colours, self.font(), 1.0).small
        metrics, left, top = QFontMetricsF(font), 2.0, 6.0
        for words, sample in self._samples():
            needed = _BLOCK + 6 + metrics.horizontalAdvance(words)
            if left > 2.0 and left + needed > width:
                left, top = 2.0, top + _LANE + 5
            yield QRectF(left, top, needed, _LANE), words, sample
            left += needed + _GAP

    def _samples(self) -> Iterator[tuple[str, Callable[[QPainter, Strokes], None]]]:
        visit = _PLANNED
        yield tr("planned"), _entry(visit)
        yield tr("confirmed"), _entry(replace(visit, status=Status.CONFIRMED))
        yield tr("done"), _entry(replace(visit, status=Status.DONE))
        yield tr("pinned"), _entry(replace(visit, pinned=True))
        yield tr("with a second"), _entry(replace(visit, second="W"))
        yield tr("set up the same day"), _entry(replace(visit, setup=_DAY))
        yield tr("set-up day"), _entry(visit, Part.SETUP)
        yield tr("reserve date"), _entry(visit, Part.RESERVE)
        yield tr("dates the visit may have"), _band
        yield tr("no light window"), _hatched


def _entry(visit: PlannedVisit, part: Part = Part.DATE) -> Callable[[QPainter, Strokes], None]:
    def paint(painter: QPainter, strokes: Strokes) -> None:
        geometry = BoardGeometry(1, 1, _BLOCK, _LANE)
        painter.translate(QPointF(0, -4))
        BoardPainter(strokes, geometry, [_DAY]).paint_entry(painter, 0, Entry(visit, part, _DAY))

    return paint


def _band(painter: QPainter, strokes: Strokes) -> None:
    painter.fillRect(QRectF(0, 2, _BLOCK, _LANE - 4), strokes.veil)


def _hatched(painter: QPainter, strokes: Strokes) -> None:
    painter.fillRect(QRectF(0, 2, _BLOCK, _LANE - 4), strokes.hatch)
    painter.setPen(strokes.line)
    painter.drawRect(QRectF(0, 2, _BLOCK, _LANE - 4))
