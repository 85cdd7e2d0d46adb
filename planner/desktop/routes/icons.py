"""The icons of the Routes room, of our own drawing."""

from __future__ import annotations

from PySide6.QtGui import QPainterPath


def bring(path: QPainterPath) -> None:
    """Bring in: an arrow down into a tray."""
    path.moveTo(12, 3)
    path.lineTo(12, 14)
    path.moveTo(7.5, 9.5)
    path.lineTo(12, 14)
    path.lineTo(16.5, 9.5)
    path.moveTo(3.5, 15)
    path.lineTo(3.5, 20.5)
    path.lineTo(20.5, 20.5)
    path.lineTo(20.5, 15)


def drop(path: QPainterPath) -> None:
    """Drop: a point struck out."""
    path.addEllipse(6, 6, 12, 12)
    path.moveTo(3, 21)
    path.lineTo(21, 3)


def earlier(path: QPainterPath) -> None:
    """Earlier in the order: an arrow up."""
    path.moveTo(12, 20)
    path.lineTo(12, 4)
    path.moveTo(6, 10)
    path.lineTo(12, 4)
    path.lineTo(18, 10)


def later(path: QPainterPath) -> None:
    """Later in the order: an arrow down."""
    path.moveTo(12, 4)
    path.lineTo(12, 20)
    path.moveTo(6, 14)
    path.lineTo(12, 20)
    path.lineTo(18, 14)


def lay_out(path: QPainterPath) -> None:
    """Lay out: points in even steps along a road."""
    path.moveTo(3, 19)
    path.cubicTo(9, 19, 8, 8, 21, 6)
    for across, down in ((3, 13), (9.5, 9), (17, 1.5)):
        path.addEllipse(across - 2, down - 2 + 2, 4, 4)


def spot(path: QPainterPath) -> None:
    """A spot on the map: a drop that stands on it."""
    path.moveTo(12, 21)
    path.cubicTo(8, 16, 6, 13, 6, 9.5)
    path.cubicTo(6, 1.5, 18, 1.5, 18, 9.5)
    path.cubicTo(18, 13, 16, 16, 12, 21)
    path.addEllipse(10, 7.5, 4, 4)


def whole(path: QPainterPath) -> None:
    """See the whole: four corners."""
    for across, down, to_x, to_y in ((4, 4, 1, 1), (20, 4, -1, 1), (20, 20, -1, -1), (4, 20, 1, -1)):
        path.moveTo(across + 5 * to_x, down)
        path.lineTo(across, down)
        path.lineTo(across, down + 5 * to_y)
