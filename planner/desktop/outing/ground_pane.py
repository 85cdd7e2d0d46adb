"""The ground of an outing: the roads, the points, and the way from count to count with its direction."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.map import MapHome, MapView
from planner.domain.finding import Severity
from planner.domain.geo import Place
from planner.domain.outing import Outing
from planner.usecases.evening.outing_view import OutingSight, way_of


class GroundPane(QWidget):
    """The map of one route with the way of one outing on it."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._sight: OutingSight | None = None
        self._shown: tuple[tuple[int, ...], tuple[int, ...]] | None = None
        self.map = MapView(desk.colours)
        self.map.set_editable(False)
        self.map.set_units(desk.units)
        self.map.setAccessibleName(self.tr("Map of the outing"))
        self.map.setMinimumSize(260, 150)
        desk.look_changed.connect(lambda: self.map.set_colours(desk.colours))
        desk.units_changed.connect(lambda: self.map.set_units(desk.units))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.map)

    def show_sight(self, sight: OutingSight) -> None:
        """Show the ground of an outing, all of its route in sight."""
        route_changed = self._sight is None or self._sight.route != sight.route
        self._sight, self._shown = sight, None
        habitat = sight.season.protocol.habitat
        self.map.show_roads(self._desk.session.network)
        self.map.show_routes([sight.route], habitat.radius.metres if habitat is not None else None)
        person = sight.season.volunteer(sight.person)
        self.map.show_homes([MapHome(person.code, person.name, person.home)])
        if route_changed:
            self.map.fit_route(sight.route.code)

    def resizeEvent(self, event: QResizeEvent) -> None:  # Qt's name
        """Keep the whole route in sight."""
        super().resizeEvent(event)
        if self._sight is not None:
            self.map.fit_route(self._sight.route.code)

    def show_outing(self, outing: Outing) -> None:
        """Show the way of an outing and mark the points that are not counted."""
        sight = self._sight
        lost = outing.missed if outing.margin_minutes is not None else ()
        if sight is None or self._shown == (outing.order, lost):
            return
        self._shown = outing.order, lost
        self.map.mark_findings({(sight.route.code, number): Severity.TROUBLE for number in lost})
        network = self._desk.session.network
        self._desk.session.think(
            lambda: way_of(sight, outing, network), self._show_way, topic="way of the outing", owner=self
        )

    def _show_way(self, found: tuple[Sequence[int], Sequence[Place]]) -> None:
        order, way = found
        self.map.show_way(way, order)
