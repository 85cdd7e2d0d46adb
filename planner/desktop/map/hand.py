"""The mouse on the map: push the ground, choose, carry a point, draw a band round routes."""

from __future__ import annotations

from enum import Enum, auto
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QApplication

from planner.desktop.map.pointing import Hit

if TYPE_CHECKING:
    from planner.desktop.map.view import MapView

NOTCH = 120
"""A wheel's notch in Qt's eighths of a degree."""
STEPS_A_NOTCH = 2


class _Doing(Enum):
    NOTHING = auto()
    PRESSING = auto()
    """The button is down, and the mouse has hardly moved."""
    PUSHING = auto()
    CARRYING = auto()
    BANDING = auto()


class Hand:
    """Turns what the mouse does into what the map does."""

    def __init__(self, view: MapView) -> None:
        self._view = view
        self._doing = _Doing.NOTHING
        self._from = QPointF()
        self._last = QPointF()
        self._hit: Hit | None = None
        self._wheel = 0

    def pressed(self, event: QMouseEvent) -> None:
        """Take note of what lies under the mouse."""
        if event.button() not in (Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton):
            return
        self._from = self._last = event.position()
        left = event.button() is Qt.MouseButton.LeftButton
        banding = left and bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        self._hit = self._view.hit(event.position()) if left and not banding else None
        self._doing = _Doing.BANDING if banding else _Doing.PRESSING

    def moved(self, event: QMouseEvent) -> None:
        """Go on with what was begun, or show by the cursor what could be."""
        spot = event.position()
        if self._doing is _Doing.NOTHING:
            self._show_cursor(spot)
            return
        if self._doing is _Doing.PRESSING and self._is_far(spot):
            self._doing = self._begin()
        if self._doing is _Doing.PUSHING:
            step = spot - self._last
            self._view.push(step.x(), step.y())
        elif self._doing is _Doing.CARRYING:
            self._view.carry_to(spot)
        elif self._doing is _Doing.BANDING:
            self._view.show_band(QRectF(self._from, spot).normalized())
        if self._doing is not _Doing.PRESSING:
            self._last = spot

    def released(self, event: QMouseEvent) -> None:
        """End it: choose what was clicked, drop what was carried, report what the band holds."""
        doing, self._doing = self._doing, _Doing.NOTHING
        if doing is _Doing.PRESSING and self._view.proposing.is_picking:
            if event.button() is Qt.MouseButton.LeftButton:
                self._view.proposing.pick(event.position())
        elif doing is _Doing.PRESSING and self._hit is not None:
            self._view.choose(self._hit)
        elif doing is _Doing.CARRYING:
            self._view.drop()
        elif doing is _Doing.BANDING:
            self._view.choose_band(QRectF(self._from, event.position()).normalized())
        self._show_cursor(event.position())

    def gave_up(self) -> None:
        """Forget what was begun."""
        self._doing = _Doing.NOTHING
        self._view.show_band(None)

    def wheeled(self, event: QWheelEvent) -> None:
        """See the ground nearer or farther about the mouse; small turns of a fine wheel add up."""
        self._wheel += event.angleDelta().y() * STEPS_A_NOTCH
        steps, self._wheel = int(self._wheel / NOTCH), self._wheel - int(self._wheel / NOTCH) * NOTCH
        if steps:
            self._view.zoom(steps, event.position())

    def _begin(self) -> _Doing:
        hit = self._hit
        if hit is not None and self._is_graspable(hit) and self._view.lift(hit.route, hit.point):
            return _Doing.CARRYING
        self._view.setCursor(Qt.CursorShape.ClosedHandCursor)
        return _Doing.PUSHING

    def _is_graspable(self, hit: Hit) -> bool:
        """Whether a point stands large enough, or was chosen before: who pushes the map must not take points along."""
        row = self._view.sheet.row(hit.route, hit.point) if hit.point is not None else None
        return row is not None and bool(self._view.shown_points(as_discs=True)[row])

    def _is_far(self, spot: QPointF) -> bool:
        return (spot - self._from).manhattanLength() >= QApplication.startDragDistance()

    def _show_cursor(self, spot: QPointF) -> None:
        hit = self._view.hit(spot)
        if self._view.proposing.is_picking:
            self._view.setCursor(Qt.CursorShape.CrossCursor)
        elif hit is None:
            self._view.setCursor(Qt.CursorShape.ArrowCursor)
        elif self._view.is_editable and self._is_graspable(hit):
            self._view.setCursor(Qt.CursorShape.SizeAllCursor)
        else:
            self._view.setCursor(Qt.CursorShape.PointingHandCursor)
