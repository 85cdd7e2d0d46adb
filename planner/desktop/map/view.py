"""The map as rooms use it: what is chosen and carried on it by mouse and keyboard."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QHelpEvent, QKeyEvent, QMouseEvent, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QToolTip, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.map import keyboard, naming, pointing
from planner.desktop.map.buttons import MapButtons
from planner.desktop.map.carrying import Carried
from planner.desktop.map.content import MapContent
from planner.desktop.map.hand import Hand
from planner.desktop.map.layers import HomeLayer
from planner.desktop.map.pointing import Hit
from planner.desktop.map.proposal_layer import ProposalLayer
from planner.desktop.map.proposing import Proposing
from planner.domain.geo import Place
from planner.domain.route import Route

_PASSING = (
    Qt.FocusReason.PopupFocusReason,
    Qt.FocusReason.MenuBarFocusReason,
    Qt.FocusReason.ActiveWindowFocusReason,
)


class MapView(MapContent):
    """The map of a season.

    Rooms hand over what to show and hear what is chosen. A point that is dropped stays where it was dropped until the
    room shows the routes anew: as they are then, or as they were.
    """

    route_clicked = Signal(str)
    point_clicked = Signal(str, int)
    home_clicked = Signal(str)
    point_dragged = Signal(str, int, object)
    """While a point is carried: its route, its number, and the Place under the mouse."""
    point_dropped = Signal(str, int, object)
    point_returned = Signal(str, int)
    """Carrying was given up: the point is back where it was."""
    area_chosen = Signal(object)
    """Codes of the routes with a point inside the band drawn with Shift held, a tuple in the order they are shown."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(colours, parent)
        self.is_editable = False
        self._hand = Hand(self)
        self._carried: Carried | None = None
        self._buttons = MapButtons(self)
        self.proposing = Proposing(self)
        self.setAccessibleName(self.tr("Map"))
        self.setWhatsThis(naming.keys())

    def show_routes(self, routes: Sequence[Route], radius_m: float | None) -> None:
        """Show routes; a point that is carried meanwhile stays in the air."""
        carried = self._carried
        super().show_routes(routes, radius_m)
        if carried is not None:
            self._carried = carried.on(self.sheet, self.ground)
            self.show_sheet(self._carried.sheet if self._carried is not None else self.sheet)

    def set_editable(self, editable: bool) -> None:  # set like Qt's own properties
        """Say whether points may be moved."""
        if not editable:
            self.give_up()
        self.is_editable = editable

    def show_landing(self, place: Place | None, origin: Place | None = None) -> None:
        """Show where the point that is carried would land; what is worked out too late is not shown any more."""
        if place is None or self._carried is not None:
            super().show_landing(place, origin)

    def lay_out(self) -> None:
        """Put the layers together, and say in words what is shown and selected, for those who do not see it."""
        super().lay_out()
        proposed = [layer.words for layer in self.on_top if isinstance(layer, ProposalLayer)]
        shown = naming.description(self.sheet, self.selected, self.findings)
        self.setAccessibleDescription(" ".join([*proposed, shown]))

    def select(self, route: str, point: int | None = None) -> None:
        """Show a route, or one of its points, as selected; an empty code: none."""
        self.selected = (route, point)
        self.lay_out()

    def hit(self, spot: QPointF) -> Hit | None:
        """Return the point, home or route under a spot of the window."""
        homes = HomeLayer(self.homes, self.ground)
        return (
            pointing.hit_point(self.sheet, self.shown_points(), self.camera, spot)
            or pointing.hit_home(homes, self.camera, spot)
            or pointing.hit_route(self.sheet, self.camera, spot)
        )

    def choose(self, hit: Hit) -> None:
        """Select what was clicked, and say so."""
        if hit.home:
            self.home_clicked.emit(hit.home)
            return
        self.select(hit.route, hit.point)
        if hit.point is None:
            self.route_clicked.emit(hit.route)
        else:
            self.point_clicked.emit(hit.route, hit.point)

    def step(self, direction: int, *, by_route: bool) -> None:
        """Go to the next or previous point, or to the first point of the next or previous route."""
        row = naming.next_row(self.sheet, self.selected, direction, by_route=by_route)
        if row is None:
            return
        self.choose(Hit(route=self.sheet.code(row), point=int(self.sheet.numbers[row])))
        self.bring_into_sight(float(self.sheet.east[row]), float(self.sheet.south[row]))

    def choose_selected(self) -> bool:
        """Say again what is selected, as a click on it does; return whether anything is."""
        route, point = self.selected
        if route:
            self.choose(Hit(route=route, point=point))
        return bool(route)

    def choose_band(self, band: QRectF) -> None:
        """Say which routes have a point inside a band of the window."""
        self.show_band(None)
        x, y = self.camera.spots(self.sheet.east, self.sheet.south)
        inside = (x >= band.left()) & (x <= band.right()) & (y >= band.top()) & (y <= band.bottom())
        places = np.unique(self.sheet.owners[inside]).tolist()
        self.area_chosen.emit(tuple(self.sheet.routes[place].code for place in places))

    def lift(self, route: str, point: int | None) -> bool:
        """Take up a point to carry it; return whether there is one, and it may be moved."""
        row = self.sheet.row(route, point) if point is not None else None
        if not self.is_editable or row is None:
            return False
        self._carried = Carried(self.sheet, row)
        self.select(route, point)
        return True

    def carry_to(self, spot: QPointF) -> None:
        """Carry the point that was taken up to a spot of the window."""
        self._carry(self.ground.place(*self.camera.metres(spot)))

    def carry_by(self, eastwards: int, southwards: int) -> bool:
        """Carry the selected point some steps; return whether there is one that may be moved."""
        route, point = self.selected
        if self._carried is None and not self.lift(route, point):
            return False
        if self._carried is not None:
            self._carry(self._carried.stepped(eastwards, southwards, self.ground))
            self.bring_into_sight(*self._carried.spot)
        return True

    def drop(self) -> bool:
        """Drop the point that is carried; return whether there was one."""
        carried, self._carried = self._carried, None
        if carried is None:
            return False
        self.show_landing(None)
        self.point_dropped.emit(carried.route, carried.point, carried.place(self.ground))
        return True

    def give_up(self) -> bool:
        """Bring the carried point back, or let go of the band; return whether there was anything to give up."""
        carried, self._carried = self._carried, None
        had_band = self.band is not None
        self._hand.gave_up()
        if carried is None:
            return had_band
        self.show_landing(None)
        self.show_sheet(carried.before)
        self.point_returned.emit(carried.route, carried.point)
        return True

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the buttons in their corner."""
        super().resizeEvent(event)
        self._buttons.place()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin what the mouse does."""
        self._hand.pressed(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Go on with it."""
        self._hand.moved(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End it."""
        self._hand.released(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom about the mouse."""
        self._hand.wheeled(event)
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Do what the key stands for on the map."""
        if not keyboard.pressed(self, event):
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Bring a carried point back when another control is used; a menu or another window is no such thing."""
        if self._carried is not None and event.reason() not in _PASSING:
            self.give_up()
        super().focusOutEvent(event)

    def event(self, event: QEvent) -> bool:
        """Name what the mouse rests on."""
        if isinstance(event, QHelpEvent) and event.type() is QEvent.Type.ToolTip:
            QToolTip.showText(event.globalPos(), naming.words_at(self, QPointF(event.pos())), self)
            return True
        return super().event(event)

    def _carry(self, place: Place) -> None:
        carried = self._carried
        if carried is not None:
            carried.move_to(place, self.ground)
            self.show_sheet(carried.sheet)
            self.point_dragged.emit(carried.route, carried.point, place)
