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


def whole(path: QPainterPath) -> None:
    """See the whole: four corners."""
    for across, down, to_x, to_y in ((4, 4, 1, 1), (20, 4, -1, 1), (20, 20, -1, -1), (4, 20, 1, -1)):
        path.moveTo(across + 5 * to_x, down)
        path.lineTo(across, down)
        path.lineTo(across, down + 5 * to_y)
