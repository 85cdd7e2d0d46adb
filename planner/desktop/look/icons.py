"""Icons of our own drawing: strokes on a field of 24 by 24 units, in the ink of the palette."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPainterPath, QPen, QPixmap

from planner.desktop.look.colours import Colours

FIELD = 24.0
_SIZES = (24, 48)
"""Pixels that icons are drawn at: as they are shown, and at twice the scale."""

Drawing = Callable[[QPainterPath], None]
"""Adds the strokes of one icon to a path on the field."""


def icon(name: str, colours: Colours) -> QIcon:
    """Return the icon of that name in the palette's ink; paler where it is disabled.

    Raises:
        KeyError: nothing of that name is drawn.
    """
    return drawn_icon(DRAWINGS[name], colours)


@cache
def drawn_icon(drawing: Drawing, colours: Colours) -> QIcon:
    """Return an icon from a drawing; for rooms that have drawings of their own."""
    made = QIcon()
    for size in _SIZES:
        made.addPixmap(_pixmap(drawing, size, colours.ink), QIcon.Mode.Normal)
        made.addPixmap(_pixmap(drawing, size, colours.on_selection), QIcon.Mode.Selected)
        made.addPixmap(_pixmap(drawing, size, colours.edge), QIcon.Mode.Disabled)
    return made


def _pixmap(drawing: Drawing, size: int, colour: str) -> QPixmap:
    pixmap = QPixmap(size, size)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(size / FIELD, size / FIELD)
    pen = QPen(QColor(colour), 1.8)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    path = QPainterPath()
    drawing(path)
    painter.drawPath(path)
    painter.end()
    return pixmap


def _line(path: QPainterPath, *spots: tuple[float, float]) -> None:
    path.moveTo(*spots[0])
    for spot in spots[1:]:
        path.lineTo(*spot)


def _ring(path: QPainterPath, across: float, down: float, radius: float) -> None:
    path.addEllipse(QPointF(across, down), radius, radius)


def _season(path: QPainterPath) -> None:
    """The sun half below the horizon."""
    _line(path, (2, 16), (22, 16))
    path.arcMoveTo(QRectF(6, 10, 12, 12), 0)
    path.arcTo(QRectF(6, 10, 12, 12), 0, 180)
    _line(path, (12, 3), (12, 6.5))
    _line(path, (4, 8), (6, 10))
    _line(path, (20, 8), (18, 10))
    _line(path, (6, 20), (18, 20))


def _routes(path: QPainterPath) -> None:
    """Points strung along a bent road."""
    path.moveTo(5, 19)
    path.cubicTo(5, 10, 19, 15, 19, 5)
    _ring(path, 5, 19, 2.2)
    _ring(path, 12, 12.2, 2.2)
    _ring(path, 19, 5, 2.2)


def _people(path: QPainterPath) -> None:
    """Two who go together."""
    _ring(path, 8, 7.5, 3.2)
    path.moveTo(2, 20)
    path.cubicTo(2, 12, 14, 12, 14, 20)
    _ring(path, 17, 9, 2.4)
    path.moveTo(16, 14)
    path.cubicTo(20, 13.5, 22, 16, 22, 20)


def _board(path: QPainterPath) -> None:
    """Lanes with blocks at different dates."""
    for down, left in ((4, 3), (10, 9), (16, 5)):
        path.addRoundedRect(QRectF(left, down, 10, 4), 1, 1)
    _line(path, (2, 2), (2, 22))


def _outing(path: QPainterPath) -> None:
    """A clock whose hand points to the evening."""
    _ring(path, 12, 12, 9)
    _line(path, (12, 6), (12, 12), (16, 15))


def _today(path: QPainterPath) -> None:
    """Out and safe home: a house with its door."""
    _line(path, (3, 12), (12, 4), (21, 12))
    _line(path, (5.5, 10.5), (5.5, 20), (18.5, 20), (18.5, 10.5))
    _line(path, (10, 20), (10, 14), (14, 14), (14, 20))


def _paper(path: QPainterPath) -> None:
    """A sheet with lines of writing."""
    _line(path, (6, 3), (15, 3), (19, 7), (19, 21), (6, 21), (6, 3))
    _line(path, (9, 10), (16, 10))
    _line(path, (9, 13.5), (16, 13.5))
    _line(path, (9, 17), (13, 17))


def _sheets(path: QPainterPath) -> None:
    """The circle round a point, parted into what grows there."""
    _ring(path, 12, 12, 9)
    _line(path, (12, 12), (12, 3))
    _line(path, (12, 12), (19.8, 16.5))
    _line(path, (12, 12), (4.2, 16.5))


def _reports(path: QPainterPath) -> None:
    """Bars that grow, on a line."""
    _line(path, (2, 21), (22, 21))
    for left, top in ((4, 13), (10, 8), (16, 3)):
        path.addRect(QRectF(left, top, 4, 18 - top))


def _undo(path: QPainterPath) -> None:
    _line(path, (8, 4), (4, 8), (8, 12))
    path.moveTo(4, 8)
    path.lineTo(14, 8)
    path.cubicTo(21.5, 8, 21.5, 19, 14, 19)
    path.lineTo(8, 19)


def _redo(path: QPainterPath) -> None:
    _line(path, (16, 4), (20, 8), (16, 12))
    path.moveTo(20, 8)
    path.lineTo(10, 8)
    path.cubicTo(2.5, 8, 2.5, 19, 10, 19)
    path.lineTo(16, 19)


def _find(path: QPainterPath) -> None:
    _ring(path, 10, 10, 6.5)
    _line(path, (15, 15), (21, 21))


def _history(path: QPainterPath) -> None:
    """Steps one below the other on a line."""
    _line(path, (6, 3), (6, 21))
    for down in (5, 12, 19):
        _ring(path, 6, down, 1.6)
        _line(path, (10.5, down), (20, down))


def _open(path: QPainterPath) -> None:
    _line(path, (3, 19), (3, 5), (9, 5), (11, 8), (20, 8), (20, 11))
    _line(path, (3, 19), (6.5, 11), (22, 11), (18.5, 19), (3, 19))


def _new(path: QPainterPath) -> None:
    _line(path, (12, 4), (12, 20))
    _line(path, (4, 12), (20, 12))


def _stop(path: QPainterPath) -> None:
    path.addRoundedRect(QRectF(5, 5, 14, 14), 1.5, 1.5)


def _close(path: QPainterPath) -> None:
    _line(path, (6, 6), (18, 18))
    _line(path, (18, 6), (6, 18))


DRAWINGS: Mapping[str, Drawing] = {
    "season": _season,
    "routes": _routes,
    "people": _people,
    "board": _board,
    "outing": _outing,
    "today": _today,
    "paper": _paper,
    "sheets": _sheets,
    "reports": _reports,
    "undo": _undo,
    "redo": _redo,
    "find": _find,
    "history": _history,
    "open": _open,
    "new": _new,
    "stop": _stop,
    "close": _close,
}
