"""Icons of this room, of our own drawing."""

from __future__ import annotations

from PySide6.QtGui import QIcon, QPainterPath

from planner.desktop.look.colours import Colours
from planner.desktop.look.icons import drawn_icon


def earlier_icon(colours: Colours) -> QIcon:
    """Return an angle that points to the left."""
    return drawn_icon(lambda path: _angle(path, 15, 8), colours)


def later_icon(colours: Colours) -> QIcon:
    """Return an angle that points to the right."""
    return drawn_icon(lambda path: _angle(path, 9, 16), colours)


def _angle(path: QPainterPath, back: float, point: float) -> None:
    path.moveTo(back, 5)
    path.lineTo(point, 12)
    path.lineTo(back, 19)
