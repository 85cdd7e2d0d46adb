"""The map of the routes: chosen on it, points moved on it, and what a move would change said while it hangs."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPointF, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import statement
from planner.desktop.map import MapHome, MapView
from planner.desktop.routes.words import moving_words, tr
from planner.domain.finding import Severity, Subject
from planner.domain.geo import Place
from planner.domain.route import Route
from planner.domain.volunteer import Volunteer
from planner.usecases.routes.moving_point import MovingPoint, moving_point


class MapPane(QWidget):
    """The map, and a line below it that says what a change would do."""

    moved = Signal(str, int, object)
    """A point was dropped: its route, its number, and the Place where it is to stand."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._hint = self._picking_hint = ""
        self._at_home: tuple[Volunteer, ...] = ()
        self._hanging: tuple[str, int] | None = None
        """Route and number of the point that hangs on the mouse."""
        self.map = MapView(desk.colours)
        self.map.set_units(desk.units)
        self.map.setAccessibleName(tr("Map of the routes"))
        self.map.setMinimumSize(260, 160)
        self.said = statement()
        self.said.setAccessibleName(tr("What a change would do"))
        self.said.setMinimumHeight(2 * self.said.fontMetrics().lineSpacing() + 4)
        self._connect()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 12, 0, 0)
        column.setSpacing(6)
        column.addWidget(self.map, 1)
        column.addWidget(self.said)
        self.refresh()

    @property
    def is_carrying(self) -> bool:
        """Whether a point hangs on the mouse."""
        return self._hanging is not None

    @property
    def in_sight(self) -> Place:
        """The place in the middle of what is seen."""
        middle = QPointF(self.map.width() / 2, self.map.height() / 2)
        return self.map.ground.place(*self.map.camera.metres(middle))

    def refresh(self) -> None:
        """Show the season as it stands."""
        session = self._desk.session
        found = session.snapshot
        season = found.season
        habitat = season.protocol.habitat
        self.map.set_editable(not found.read_only_reason and not self._picking_hint)
        self.map.show_routes(season.routes, habitat.radius.metres if habitat is not None else None)
        if season.volunteers != self._at_home:
            self._at_home = season.volunteers
            self.map.show_homes([MapHome(one.code, one.name, one.home) for one in season.volunteers])
        self.map.show_roads(session.network)
        self._mark()
        usual = tr("Drag a point to move it: it goes to the nearest road.")
        self._hint = self._picking_hint or found.read_only_reason or usual
        self.say("")

    def pick_places(self, hint: str) -> None:
        """Let a click on the map pick a place, and say so; an empty hint: let it choose and move points again."""
        if hint != self._picking_hint:
            self._picking_hint = hint
            self.map.proposing.pick_places(bool(hint))
            self.refresh()

    def look_at(self, subject: Subject) -> None:
        """Show what a finding is about: a point between its neighbours, else its routes as a whole."""
        routes = [route for code in subject.routes if (route := self._route(code)) is not None]
        places = [point.place for route in routes for point in route.points]
        numbers = [point.number for point in routes[0].points] if routes else []
        if subject.point in numbers:
            at = numbers.index(subject.point)
            places = places[max(0, at - 1) : at + 2]
        self.map.fit_places(places)

    def say(self, text: str) -> None:
        """Say what a change would do; nothing: what can be done."""
        self.said.setText(text or self._hint)

    def _connect(self) -> None:
        session, desk = self._desk.session, self._desk
        session.snapshot_changed.connect(lambda _found: self.refresh())
        session.problem_changed.connect(lambda _found: self.map.show_roads(session.network))
        session.checked_changed.connect(lambda _found: self._mark())
        desk.look_changed.connect(lambda: self.map.set_colours(desk.colours))
        desk.units_changed.connect(lambda: self.map.set_units(desk.units))
        self.map.point_dragged.connect(self._dragged)
        self.map.point_dropped.connect(self._dropped)
        self.map.point_returned.connect(lambda _route, _number: self._returned())

    def _mark(self) -> None:
        """Mark routes and points with their worst finding."""
        checked = self._desk.session.checked
        worst: dict[tuple[str, int | None], Severity] = {}
        for finding in checked.findings if checked is not None else ():
            subject = finding.subject
            for code in subject.routes:
                key = (code, subject.point if code == subject.route else None)
                worst[key] = min(worst.get(key, finding.severity), finding.severity)
        self.map.mark_findings(worst)

    def _dragged(self, code: str, number: int, cursor: Place) -> None:
        """Say what the point comes to under the cursor, as soon as it is worked out."""

        def show(moving: MovingPoint) -> None:
            if self._hanging == (code, number):
                self.map.show_landing(moving.place, cursor)
                self.say(moving_words(moving, self._desk.units))

        self._hanging = (code, number)
        self._work_out(code, number, cursor, show)

    def _returned(self) -> None:
        self._hanging = None
        self.say("")

    def _dropped(self, code: str, number: int, cursor: Place) -> None:
        self._hanging = None
        self._work_out(code, number, cursor, lambda moving: self.moved.emit(code, number, moving.place))

    def _work_out(self, code: str, number: int, cursor: Place, then: Callable[[MovingPoint], None]) -> None:
        session = self._desk.session
        season, network = session.snapshot.season, session.network
        route = self._route(code)
        if route is not None:
            session.think(
                lambda: moving_point(season.protocol, network, route, number, cursor, season.drive_factors),
                then,
                topic="moving point",
                owner=self,
            )

    def _route(self, code: str) -> Route | None:
        routes = self._desk.session.snapshot.season.routes
        return next((route for route in routes if route.code == code), None)
