"""Zoom and fit for those who have a mouse in hand; the keys do the same."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize
from PySide6.QtGui import QPainterPath
from PySide6.QtWidgets import QBoxLayout, QToolButton, QVBoxLayout, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.icons import Drawing, drawn_icon
from planner.desktop.map.hand import STEPS_A_NOTCH

if TYPE_CHECKING:
    from planner.desktop.map.view import MapView

MARGIN_PX = 8
LOW_PX = 260


def _stroke(path: QPainterPath, *spots: tuple[float, float]) -> None:
    path.moveTo(*spots[0])
    for spot in spots[1:]:
        path.lineTo(*spot)


def _nearer(path: QPainterPath) -> None:
    _stroke(path, (5, 12), (19, 12))
    _stroke(path, (12, 5), (12, 19))


def _farther(path: QPainterPath) -> None:
    _stroke(path, (5, 12), (19, 12))


def _whole(path: QPainterPath) -> None:
    """Four corners of a frame round a dot."""
    _stroke(path, (4, 9), (4, 4), (9, 4))
    _stroke(path, (15, 4), (20, 4), (20, 9))
    _stroke(path, (20, 15), (20, 20), (15, 20))
    _stroke(path, (9, 20), (4, 20), (4, 15))
    path.addEllipse(10.5, 10.5, 3, 3)


class MapButtons(QWidget):
    """Three buttons in the map's upper right corner."""

    def __init__(self, view: MapView) -> None:
        super().__init__(view)
        self._drawings: list[tuple[QToolButton, Drawing]] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(4)
        self._add(_nearer, self.tr("Nearer"), self.tr("Nearer (+)"), lambda: view.zoom(STEPS_A_NOTCH * 2))
        self._add(_farther, self.tr("Farther"), self.tr("Farther (-)"), lambda: view.zoom(-STEPS_A_NOTCH * 2))
        self._add(_whole, self.tr("Show all"), self.tr("Show all (Home)"), view.fit_all)
        self.set_colours(view.colours)
        view.colours_changed.connect(self.set_colours)

    def set_colours(self, colours: Colours) -> None:
        """Draw the icons in another palette."""
        for button, drawing in self._drawings:
            button.setIcon(drawn_icon(drawing, colours))

    def place(self) -> None:
        """Go back into the corner after the map's size has changed: one below the other, or abreast on a low map."""
        owner = self.parentWidget()
        if owner is None:
            return
        low = owner.height() < LOW_PX
        self._column.setDirection(QBoxLayout.Direction.LeftToRight if low else QBoxLayout.Direction.TopToBottom)
        self.adjustSize()
        self.move(owner.width() - self.width() - MARGIN_PX, MARGIN_PX)

    def _add(self, drawing: Drawing, name: str, tip: str, act: Callable[[], None]) -> None:
        button = QToolButton(self)
        button.setAccessibleName(name)
        button.setToolTip(tip)
        button.setIconSize(QSize(16, 16))
        button.clicked.connect(lambda _checked: act())
        self._column.addWidget(button)
        self._drawings.append((button, drawing))
