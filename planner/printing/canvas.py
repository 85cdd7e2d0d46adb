"""Drawing on one page in millimetres, black on white; every piece of text that is set can be watched."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from planner.printing.fonts import UNIT_MM, Face, printable, qt_font
from planner.printing.geometry import Box, Spot
from planner.printing.setting import elided

BLACK = QColor(0, 0, 0)
WHITE = QColor(255, 255, 255)


class Align(StrEnum):
    """Which part of a line stands at the given place."""

    LEFT = "left"
    CENTRE = "centre"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class TextMark:
    """One line of text as it was set: what a test looks at."""

    text: str
    whole: str
    """The text as it was asked for; longer than ``text`` where it was cut."""
    face: Face
    box: Box
    white: bool

    @property
    def cut(self) -> bool:
        """Whether the end was replaced by an ellipsis."""
        return self.text != self.whole


Watcher = Callable[[TextMark], None]


class Canvas:
    """One page being painted. The painter's unit is the millimetre, its origin the page's corner."""

    def __init__(self, painter: QPainter, watch: Watcher | None = None) -> None:
        self._painter = painter
        self._watch = watch

    def text(
        self,
        spot: Spot,
        text: str,
        face: Face,
        *,
        align: Align = Align.LEFT,
        width: float | None = None,
        white: bool = False,
    ) -> None:
        """Set one line with its baseline at ``spot``; cut with an ellipsis if a ``width`` is given and too small."""
        shown = text if width is None else elided(text, face, width)
        advance = face.width(shown)
        shift = {Align.LEFT: 0.0, Align.CENTRE: advance / 2, Align.RIGHT: advance}[align]
        left, baseline = spot[0] - shift, spot[1]
        painter = self._painter
        painter.save()
        painter.translate(left, baseline)
        painter.scale(UNIT_MM, UNIT_MM)
        painter.setFont(qt_font(face))
        painter.setPen(WHITE if white else BLACK)
        painter.drawText(QPointF(0, 0), printable(shown))
        painter.restore()
        if self._watch is not None and shown:
            box = Box(left, baseline - face.ascent, advance, face.line)
            self._watch(TextMark(printable(shown), printable(text), face, box, white))

    def lines(self, spot: Spot, lines: Sequence[str], face: Face, *, align: Align = Align.LEFT) -> None:
        """Set lines under one another, the top of the first at ``spot``."""
        for number, line in enumerate(lines):
            self.text((spot[0], spot[1] + face.ascent + number * face.line), line, face, align=align)

    def line(self, start: Spot, end: Spot, width: float = 0.25, *, dashes: Sequence[float] = ()) -> None:
        """Draw a straight line; ``dashes`` are lengths on and off in millimetres."""
        self._painter.setPen(_pen(width, tuple(dashes)))
        self._painter.drawLine(QPointF(*start), QPointF(*end))

    def polyline(
        self, spots: Sequence[Spot], width: float, *, white: bool = False, dashes: Sequence[float] = ()
    ) -> None:
        """Draw a line through all spots."""
        self._painter.setPen(_pen(width, tuple(dashes), white=white))
        self._painter.drawPolyline(QPolygonF([QPointF(*spot) for spot in spots]))

    def shape(self, spots: Sequence[Spot], *, white: bool = False, edge: float = 0.0) -> None:
        """Fill a polygon."""
        self._painter.setPen(_pen(edge) if edge else Qt.PenStyle.NoPen)
        self._painter.setBrush(WHITE if white else BLACK)
        self._painter.drawPolygon(QPolygonF([QPointF(*spot) for spot in spots]))

    def fill(self, box: Box, *, white: bool = False) -> None:
        """Fill a box, without an edge."""
        self._painter.fillRect(_rect(box), WHITE if white else BLACK)

    def cells(self, boxes: Sequence[Box]) -> None:
        """Fill boxes as one shape: no light shows between those that touch, at any resolution."""
        path = QPainterPath()
        path.setFillRule(Qt.FillRule.WindingFill)
        for box in boxes:
            path.addRect(_rect(box))
        self._painter.fillPath(path, BLACK)

    def frame(self, box: Box, width: float = 0.3, *, rounded: float = 0.0) -> None:
        """Draw the edge of a box."""
        self._painter.setPen(_pen(width))
        self._painter.setBrush(Qt.BrushStyle.NoBrush)
        self._painter.drawRoundedRect(_rect(box), rounded, rounded)

    def disc(self, centre: Spot, radius: float, *, width: float = 0.3, white: bool = True) -> None:
        """Draw a filled circle with a black edge."""
        self._painter.setPen(_pen(width))
        self._painter.setBrush(WHITE if white else BLACK)
        self._painter.drawEllipse(QPointF(*centre), radius, radius)

    def ring(self, centre: Spot, radius: float, *, width: float = 0.2, dashes: Sequence[float] = ()) -> None:
        """Draw the edge of a circle."""
        self._painter.setPen(_pen(width, tuple(dashes)))
        self._painter.setBrush(Qt.BrushStyle.NoBrush)
        self._painter.drawEllipse(QPointF(*centre), radius, radius)

    @contextmanager
    def clipped(self, box: Box) -> Iterator[None]:
        """Let nothing be drawn outside a box."""
        self._painter.save()
        self._painter.setClipRect(_rect(box))
        yield
        self._painter.restore()


def _rect(box: Box) -> QRectF:
    return QRectF(box.left, box.top, box.width, box.height)


@lru_cache(maxsize=1024)
def _pen(width: float, dashes: tuple[float, ...] = (), *, white: bool = False) -> QPen:
    """Return a pen, which nobody changes: a page draws thousands of lines with few of them."""
    pen = QPen(WHITE if white else BLACK, width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    if dashes:
        pen.setDashPattern([length / width for length in dashes])
    return pen
