"""The routes of the evening on the map, with the weather's word at each; an area of them is chosen with Shift."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import quiet
from planner.desktop.map.things import MapHome
from planner.desktop.map.view import MapView
from planner.desktop.today.words import call_mark
from planner.domain.finding import Severity
from planner.domain.verdict import Call
from planner.usecases.evening.watch import OutingNow


class EveningMap(QWidget):
    """Where everybody goes."""

    routes_chosen = Signal(object)
    """Codes of the routes that were clicked, or that lie in the area drawn."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._shown: tuple[object, ...] = ()
        self._fitted = False
        self.view = MapView(desk.colours)
        self.view.setMinimumHeight(130)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(self.view, 1)
        column.addWidget(quiet(self.tr("Click a route, or draw an area with Shift and the mouse, to choose outings.")))
        self.view.route_clicked.connect(lambda code: self.routes_chosen.emit((code,)))
        self.view.point_clicked.connect(lambda code, _point: self.routes_chosen.emit((code,)))
        self.view.area_chosen.connect(self.routes_chosen.emit)
        desk.look_changed.connect(lambda: self.view.set_colours(desk.colours))
        desk.units_changed.connect(lambda: self.view.set_units(desk.units))
        desk.session.problem_changed.connect(lambda _problem: self._show_roads())
        self.view.set_units(desk.units)
        self._network: object = None
        self._show_roads()

    def show_outings(self, outings: Sequence[OutingNow]) -> None:
        """Show the routes and homes of an evening, and what the weather says of each."""
        season = self._desk.session.snapshot.season
        codes = {one.outing.key.route for one in outings}
        people = {goer.code for one in outings for goer in one.outing.people}
        routes = tuple(route for route in season.routes if route.code in codes)
        homes = tuple(MapHome(one.code, one.name, one.home) for one in season.volunteers if one.code in people)
        if (routes, homes) != self._shown:
            self._shown = routes, homes
            self.view.show_routes(routes, None)
            self.view.show_homes(homes)
            if routes:
                self.view.fit_all()
        self.view.mark_findings(_marks(outings))

    def look_at(self, now: OutingNow | None) -> None:
        """Point out the route of one outing."""
        if now is not None:
            self.view.select(now.outing.key.route)

    def _show_roads(self) -> None:
        network = self._desk.session.network
        if network is not self._network:
            self._network = network
            self.view.show_roads(network)


def _marks(outings: Sequence[OutingNow]) -> Mapping[tuple[str, int | None], Severity]:
    """Return the mark of each route that is not to go; a route that may go has none."""
    found: dict[tuple[str, int | None], Severity] = {}
    for one in outings:
        severity = call_mark(one.verdict.call) if one.verdict is not None else None
        if one.overdue:
            severity = call_mark(Call.NO_GO)
        if severity is not None:
            found[one.outing.key.route, None] = severity
    return found
