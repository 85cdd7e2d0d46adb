"""What one volunteer can reach: the roads within the drive limit on the map, and the routes with their minutes."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QSplitter, QTableView, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import statement
from planner.desktop.map import MapHome, MapTie, MapView
from planner.desktop.people.phrases import said
from planner.desktop.people.reach_model import REACH_ROLE, ReachModel
from planner.desktop.room import RoomName
from planner.domain.finding import Subject
from planner.domain.geo import Place
from planner.domain.season import Season
from planner.domain.volunteer import Volunteer
from planner.usecases.people.reach import Reach, RouteReach, reach_of, routes_in_reach

_ROW = 1.6
"""Height of a row against that of the font."""


class ReachPanel(QWidget):
    """Map and list for the volunteer who is chosen; computed when it is looked at."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._person: Volunteer | None = None
        self._shown: tuple[object, ...] = ()
        self._drawn: tuple[object, object] = (None, None)
        """The road map and the routes that stand on the map."""
        self.says = statement()
        self.map = MapView(desk.colours)
        self.map.setAccessibleName(self.tr("Map of what this volunteer can reach"))
        self.model = ReachModel(self)
        self.list = self._make_list()
        split = QSplitter(Qt.Orientation.Vertical)
        split.addWidget(self.map)
        split.addWidget(self.list)
        split.setStretchFactor(0, 3)
        split.setStretchFactor(1, 2)
        split.setSizes([300, 200])
        split.setChildrenCollapsible(False)
        layout = QVBoxLayout(self)
        layout.addWidget(self.says)
        layout.addWidget(split, 1)
        self.map.route_clicked.connect(self._choose_route)
        desk.look_changed.connect(lambda: self.map.set_colours(desk.colours))
        desk.units_changed.connect(lambda: self.map.set_units(desk.units))
        self.map.set_units(desk.units)

    def show_person(self, person: Volunteer | None) -> None:
        """Show what somebody can reach, as soon as the drives are known and the panel is seen."""
        self._person = person
        if self.isVisible():
            self._look()

    def showEvent(self, event: QShowEvent) -> None:
        """Compute what is to be seen now."""
        super().showEvent(event)
        self._look()

    def _look(self) -> None:
        session, person = self._desk.session, self._person
        if person is None:
            self._shown = ()
            self.says.setText("")
            self.map.show_homes(())
            self.map.show_ties(())
            self._forget()
            return
        key = (person, session.snapshot.plan, session.problem, session.network)
        if len(self._shown) == len(key) and all(a is b for a, b in zip(key, self._shown, strict=True)):
            return
        self._shown = key
        self._draw_season(session.snapshot.season, person)
        self._compute(person)

    def _draw_season(self, season: Season, person: Volunteer) -> None:
        habitat = season.protocol.habitat
        network = self._desk.session.network
        if self._drawn[0] is not network:
            self.map.show_roads(network)
        if self._drawn[1] != season.routes:
            self.map.show_routes(season.routes, habitat.radius.metres if habitat is not None else None)
        self._drawn = network, season.routes
        self.map.show_homes([MapHome(person.code, person.name, person.home)])
        self.map.show_ties(list(self._ties(season, person)))

    def _compute(self, person: Volunteer) -> None:
        session = self._desk.session
        problem, network, plan = session.problem, session.network, session.snapshot.plan
        overhead = session.snapshot.season.protocol.travel.stop_overhead_minutes
        known = problem is not None and any(one.code == person.code for one in problem.season.volunteers)
        if problem is None or not known:
            self.says.setText(self.tr("The drives are being computed."))
            self._forget()
            return

        def work() -> tuple[Reach, tuple[RouteReach, ...]]:
            reach = reach_of(person.home, person.drive_limit_minutes, network, overhead)
            return reach, routes_in_reach(problem, plan, person.code)

        session.think(work, lambda found: self._show(person, *found), topic="reach", owner=self)

    def _forget(self) -> None:
        """Show no reach and no routes until they are known."""
        self.map.show_reach(())
        self.model.show(())

    def _show(self, person: Volunteer, reach: Reach, routes: tuple[RouteReach, ...]) -> None:
        if person is not self._person:
            return
        self.map.show_reach(reach.lines)
        self.model.show(routes)
        within = sum(route.within for route in routes)
        text = self.tr("%1 of %2 routes lie within %3 minutes of %4's home.")
        words = said(text, within, len(routes), f"{person.drive_limit_minutes:g}", person.first_name)
        if reach.estimated:
            words = (
                f"{words} {self.tr('There are no roads to go by: the ring is an estimate, and less may be reached.')}"
            )
        self.says.setText(words)
        self.map.fit_places([place for line in reach.lines for place in line] or [person.home])

    def _ties(self, season: Season, person: Volunteer) -> Iterator[MapTie]:
        for visit in self._desk.session.snapshot.plan.of_volunteer(person.code):
            points = season.route(visit.key.route).points
            if points:
                text = (
                    self.tr("%1 leads %2, visit %3")
                    if visit.lead == person.code
                    else self.tr("%1 goes to %2, visit %3")
                )
                words = said(text, person.name, visit.key.route, visit.key.number)
                yield MapTie(person.home, _middle([point.place for point in points]), words)

    def _make_list(self) -> QTableView:
        view = QTableView()
        view.setModel(self.model)
        view.setAccessibleName(self.tr("Routes by drive"))
        view.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        view.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        view.setTabKeyNavigation(False)
        view.setShowGrid(False)
        view.setWordWrap(False)
        view.verticalHeader().hide()
        view.verticalHeader().setDefaultSectionSize(round(view.fontMetrics().height() * _ROW))
        view.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        view.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        view.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        view.setToolTip(self.tr("Enter or a double click opens the route."))
        view.selectionModel().currentRowChanged.connect(self._row_changed)
        view.activated.connect(self._open)
        return view

    def _row_changed(self, current: QModelIndex, _before: QModelIndex) -> None:
        route = current.data(REACH_ROLE)
        if isinstance(route, RouteReach):
            self.map.select(route.route)

    def _open(self, index: QModelIndex) -> None:
        route = index.data(REACH_ROLE)
        if isinstance(route, RouteReach):
            self._desk.go(RoomName.ROUTES, Subject(route=route.route))

    def _choose_route(self, code: str) -> None:
        for row in range(self.model.rowCount()):
            route = self.model.index(row, 0).data(REACH_ROLE)
            if isinstance(route, RouteReach) and route.route == code:
                self.list.selectRow(row)


def _middle(places: list[Place]) -> Place:
    return places[len(places) // 2]
