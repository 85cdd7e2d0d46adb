"""Icons of the Paper room, of our own drawing on the field of 24 by 24 units."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainterPath

from planner.desktop.look.icons import Drawing


def _line(path: QPainterPath, *spots: tuple[float, float]) -> None:
    path.moveTo(*spots[0])
    for spot in spots[1:]:
        path.lineTo(*spot)


def _up(path: QPainterPath) -> None:
    _line(path, (5, 15), (12, 8), (19, 15))


def _down(path: QPainterPath) -> None:
    _line(path, (5, 9), (12, 16), (19, 9))


def _lens(path: QPainterPath) -> None:
    path.addEllipse(QPointF(10, 10), 6.5, 6.5)
    _line(path, (15, 15), (21, 21))
    _line(path, (7, 10), (13, 10))


def _smaller(path: QPainterPath) -> None:
    _lens(path)


def _larger(path: QPainterPath) -> None:
    _lens(path)
    _line(path, (10, 7), (10, 13))


def _width(path: QPainterPath) -> None:
    """A sheet held between two edges."""
    path.addRect(QRectF(7, 4, 10, 16))
    _line(path, (2.5, 4), (2.5, 20))
    _line(path, (21.5, 4), (21.5, 20))


def _printer(path: QPainterPath) -> None:
    """A sheet coming out of a slot."""
    _line(path, (7, 9), (7, 3), (17, 3), (17, 9))
    path.addRoundedRect(QRectF(3, 9, 18, 8), 1.5, 1.5)
    path.addRect(QRectF(7, 14, 10, 7))


def _folder(path: QPainterPath) -> None:
    _line(path, (3, 19), (3, 5), (9, 5), (11, 8), (21, 8), (21, 19), (3, 19))


DRAWINGS: Mapping[str, Drawing] = {
    "up": _up,
    "down": _down,
    "smaller": _smaller,
    "larger": _larger,
    "width": _width,
    "printer": _printer,
    "folder": _folder,
}
