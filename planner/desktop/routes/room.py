"""The Routes room: the list, the map above the points, and the chosen route with its findings and fixes."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import ClassVar

from PySide6.QtCore import QMimeData, Qt
from PySide6.QtGui import QAction, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.importing import ImportPreview, choose_files
from planner.desktop.room import Room, RoomName
from planner.desktop.routes.actions import RoomActions
from planner.desktop.routes.chosen import ChosenRoute
from planner.desktop.routes.laying_out import LayingOut
from planner.desktop.routes.map_pane import MapPane
from planner.desktop.routes.point_model import worst_by_point
from planner.desktop.routes.point_table import PointTable
from planner.desktop.routes.route_list import RouteList
from planner.desktop.routes.route_panel import RoutePanel
from planner.desktop.routes.splitters import KeptSplitter
from planner.desktop.routes.steps import RouteSteps
from planner.desktop.routes.words import fix_effect, fix_title, tr
from planner.desktop.worker import Worker
from planner.domain.errors import DimpsyError
from planner.domain.finding import Finding, Subject
from planner.usecases.route_fixes import WeighedFix
from planner.usecases.routes.editing import RouteChanged, RouteWish

_USUAL_HEIGHTS = [380, 300]
_USUAL_WIDTHS = [254, 538, 328]


class RoutesRoom(Room):
    """The routes and their points."""

    name: ClassVar[RoomName] = RoomName.ROUTES

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.setAcceptDrops(True)
        worker = Worker("routes", self)
        self.destroyed.connect(worker.close)
        self.chosen = ChosenRoute(desk, worker, self)
        self.steps = RouteSteps(desk, self.chosen, self)
        self.doing = RoomActions(desk, self)
        self.list = RouteList(desk, worker, (self.doing.new_route, self.doing.lay_out, self.doing.bring))
        self.map_pane = MapPane(desk)
        self.table = PointTable(desk)
        self.panel = RoutePanel(desk, self.chosen)
        self.laying_out = LayingOut(desk, self.chosen, self.map_pane, self)
        self.setFocusProxy(self.list.view)
        self._lay_out()
        self._connect()
        self._connect_steps()
        self._refresh()
        self.choose(self.list.first_code, look=False)

    def show_subject(self, subject: Subject) -> None:
        """Show a route, and the point that a finding is about."""
        if subject.route:
            self.choose(subject.route)
            self._select_point(subject.point)

    def commands(self) -> Sequence[QAction]:
        """Return what can be done here."""
        return (*self.doing.all, *self.table.actions_here, self.laying_out.leave)

    def choose(self, code: str, *, look: bool = True) -> None:
        """Choose a route: in the list, on the map, in the table; ``look``: the map goes there."""
        self.chosen.choose(code)
        self.list.show_code(code)
        self.map_pane.map.select(code)
        if look and self.chosen.route is not None and self.chosen.route.points:
            self.map_pane.map.fit_route(code)
        self.map_pane.say("")

    def bring_in(self, paths: Sequence[Path]) -> ImportPreview:
        """Show what files would bring."""
        preview = ImportPreview(self.desk, paths, self)
        preview.open()
        return preview

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take files and folders that are dragged in."""
        if _paths(event.mimeData()) and not self.desk.session.snapshot.read_only_reason:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Show what the files would bring."""
        event.acceptProposedAction()
        self.bring_in(_paths(event.mimeData()))

    def _connect(self) -> None:
        """Let list, map and table choose together, and show what is known."""
        session = self.desk.session
        self.list.chosen.connect(self.choose)
        self.map_pane.map.route_clicked.connect(self._choose_on_map)
        self.map_pane.map.point_clicked.connect(self._choose_on_map)
        self.table.picked.connect(self._points_picked)
        self.chosen.changed.connect(self._refresh)
        self.chosen.weighed_changed.connect(self._weighed)
        session.snapshot_changed.connect(lambda _found: self._refresh())
        session.checked_changed.connect(lambda _found: self.table.model.mark(self._marks()))
        self.doing.bring.triggered.connect(lambda _checked: self._choose_files())
        self.doing.whole.triggered.connect(lambda _checked: self.map_pane.map.fit_all())
        self.doing.seek.triggered.connect(lambda _checked: self.list.search_now())

    def _connect_steps(self) -> None:
        """Let what a person asks for be done."""
        steps = self.steps
        steps.refused.connect(self._refused)
        steps.follow_point.connect(self._select_point)
        self.map_pane.moved.connect(steps.move_point)
        self.table.wanted.connect(self._point_wanted)
        self.table.model.edited.connect(steps.edit_point)
        self.table.model.refused.connect(self._refused)
        self.panel.fix_wanted.connect(steps.fix)
        self.panel.look_wanted.connect(self._look_at)
        self.panel.layout_wanted.connect(self.laying_out.begin)
        self.doing.lay_out.triggered.connect(lambda _checked: self.laying_out.begin())
        self.laying_out.laying.taken.connect(self.choose)
        self.panel.drop_wanted.connect(lambda: steps.drop_route(lambda _changed: self.choose(self.list.first_code)))
        self.list.area_wanted.connect(steps.set_area)
        self.panel.form.wished.connect(self._change_route)
        self.panel.form.refused.connect(self._refused)
        self.doing.new_route.triggered.connect(lambda _checked: steps.add_route(self._show_new_route))

    def _refresh(self) -> None:
        """Show the points as they stand, and let things be changed, or not, as the file may be."""
        why_not = self.desk.session.snapshot.read_only_reason
        self.doing.allow(why_not)
        self.panel.allow(why_not)
        self.table.allow(why_not or ("" if self.chosen.route is not None else tr("Choose a route first.")))
        route, weighed = self.chosen.route, self.chosen.weighed
        known = weighed.figures if weighed is not None and weighed.route == route else None
        self.table.model.show(route, known, self._marks())

    def _weighed(self) -> None:
        self._refresh()
        if not self.map_pane.is_carrying:
            self._say_of_selected(self.table.selected)

    def _marks(self) -> dict[int, Finding]:
        mine = [finding for finding in self.chosen.findings if finding.subject.route == self.chosen.code]
        return worst_by_point(tuple(mine))

    def _look_at(self, finding: Finding) -> None:
        if finding.subject.route == self.chosen.code:
            self._select_point(finding.subject.point)
        self.map_pane.look_at(finding.subject)

    def _choose_on_map(self, code: str, number: int | None = None) -> None:
        if code != self.chosen.code:
            self.choose(code, look=False)
        self._select_point(number)

    def _select_point(self, number: int | None) -> None:
        self.table.select(number)
        self.map_pane.map.select(self.chosen.code, number)
        self._say_of_selected(self.table.selected)

    def _points_picked(self, numbers: tuple[int, ...]) -> None:
        self.map_pane.map.select(self.chosen.code, numbers[-1] if numbers else None)
        self._say_of_selected(numbers)

    def _say_of_selected(self, numbers: tuple[int, ...]) -> None:
        """Say what dropping the selected points would do, before anybody does."""
        self.map_pane.say("")
        if not numbers:
            return

        def show(weighed: WeighedFix) -> None:
            if self.table.selected == numbers and not self.map_pane.is_carrying:
                self.map_pane.say(f"{fix_title(weighed.fix)}? {fix_effect(weighed, self.desk.units)}")

        self.chosen.weigh_without(numbers, show)

    def _point_wanted(self, what: str, number: int) -> None:
        if what == "add":
            self.steps.add_point(number or None, self.map_pane.in_sight)
        elif what == "drop":
            self.steps.drop_points(self.table.selected)
        else:
            self.steps.shift_point(number, -1 if what == "earlier" else 1)

    def _show_new_route(self, changed: RouteChanged) -> None:
        if changed.after is not None:
            self.choose(changed.after.code)
            self.panel.form.name.setFocus()

    def _change_route(self, wish: RouteWish) -> None:
        code = self.chosen.code

        def changed_to(changed: RouteChanged) -> None:
            if changed.after is not None and changed.after.code != code:
                self.choose(changed.after.code)

        self.steps.change_route(wish, changed_to)

    def _refused(self, error: DimpsyError) -> None:
        """Say what cannot be, and show again what stands."""
        self.desk.session.failed.emit(error)
        self.map_pane.refresh()
        self.panel.refresh()

    def _choose_files(self) -> None:
        paths = choose_files(self)
        if paths:
            self.bring_in(paths)

    def _lay_out(self) -> None:
        settings = self.desk.settings
        middle = KeptSplitter(Qt.Orientation.Vertical, settings, _USUAL_HEIGHTS)
        middle.addWidget(self.map_pane)
        below, right = self.laying_out.below, self.laying_out.right
        below.addWidget(self.table)
        right.addWidget(self.panel)
        middle.addWidget(below)
        whole = KeptSplitter(Qt.Orientation.Horizontal, settings, _USUAL_WIDTHS)
        for widget, stretch in ((self.list, 0), (_framed(middle), 1), (right, 0)):
            whole.addWidget(widget)
            whole.setStretchFactor(whole.count() - 1, stretch)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(whole)


def _framed(widget: QWidget) -> QWidget:
    """Return a widget with air to its left and right."""
    frame = QWidget()
    row = QHBoxLayout(frame)
    row.setContentsMargins(6, 0, 6, 12)
    row.addWidget(widget)
    return frame


def _paths(data: QMimeData) -> list[Path]:
    """Return the files and folders of something dragged in."""
    return [Path(url.toLocalFile()) for url in data.urls() if url.isLocalFile()]
