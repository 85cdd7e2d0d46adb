"""The icons of the Outing room, of our own drawing."""

from __future__ import annotations

from PySide6.QtGui import QPainterPath


def before(path: QPainterPath) -> None:
    """The outing before: a pointer to the left at a line."""
    path.moveTo(15, 5)
    path.lineTo(8, 12)
    path.lineTo(15, 19)
    path.moveTo(19, 5)
    path.lineTo(19, 19)


def after(path: QPainterPath) -> None:
    """The outing after: a pointer to the right at a line."""
    path.moveTo(9, 5)
    path.lineTo(16, 12)
    path.lineTo(9, 19)
    path.moveTo(5, 5)
    path.lineTo(5, 19)


def picture(path: QPainterPath) -> None:
    """A picture: a frame with a low sun over a hill."""
    path.addRoundedRect(3, 4.5, 18, 15, 1.5, 1.5)
    path.addEllipse(14, 8, 3.4, 3.4)
    path.moveTo(3.5, 17)
    path.lineTo(9, 11)
    path.lineTo(13, 15)
    path.lineTo(15.5, 13)
    path.lineTo(20.5, 17.5)
