"""What parts of bars are filled with: a colour and a pattern, so that neither has to be told from the other alone."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen

from planner.desktop.look.colours import Colours
from planner.domain.reports.progress import VisitState

_Pattern = Qt.BrushStyle


@dataclass(frozen=True, slots=True)
class Fill:
    """A colour of the palette, by its name, and a pattern."""

    colour: str
    pattern: Qt.BrushStyle = _Pattern.SolidPattern

    def paint(self, painter: QPainter, box: QRectF, colours: Colours) -> None:
        """Fill a box and draw its edge."""
        colour = QColor(getattr(colours, self.colour))
        painter.fillRect(box, QColor(colours.surface))
        painter.setPen(QPen(colour, 1))
        painter.setBrush(QBrush(colour, self.pattern))
        painter.drawRect(box.adjusted(0.5, 0.5, -0.5, -0.5))


STATES = {
    VisitState.DONE: Fill("good"),
    VisitState.PARTLY: Fill("doubt", _Pattern.BDiagPattern),
    VisitState.CONFIRMED: Fill("note", _Pattern.Dense4Pattern),
    VisitState.PLANNED: Fill("note", _Pattern.HorPattern),
    VisitState.UNRECORDED: Fill("trouble", _Pattern.DiagCrossPattern),
    VisitState.UNFILLED: Fill("edge", _Pattern.NoBrush),
}
"""How far a visit has come, the farthest first: also the order of the parts of a bar."""

_CLASSES = (
    Fill("accent"),
    Fill("good", _Pattern.BDiagPattern),
    Fill("note"),
    Fill("doubt", _Pattern.DiagCrossPattern),
    Fill("trouble", _Pattern.FDiagPattern),
    Fill("edge"),
    Fill("good"),
    Fill("note", _Pattern.HorPattern),
    Fill("broken", _Pattern.BDiagPattern),
    Fill("quiet", _Pattern.Dense6Pattern),
    Fill("accent", _Pattern.CrossPattern),
    Fill("doubt", _Pattern.VerPattern),
)


def class_fill(place: int) -> Fill:
    """Return the fill of a habitat class by its place in the protocol; neighbours never share one."""
    return _CLASSES[place % len(_CLASSES)]


RECORDED, AS_PLANNED, TO_COME = Fill("good"), Fill("doubt", _Pattern.BDiagPattern), Fill("note", _Pattern.HorPattern)
PLAN, HAND = Fill("accent"), Fill("quiet", _Pattern.BDiagPattern)
CHANCE = Fill("accent")
