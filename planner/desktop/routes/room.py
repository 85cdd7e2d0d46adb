"""The Routes room: the list, the map above the points, and the chosen route with its findings and fixes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import ClassVar

from PySide6.QtCore import QMimeData, Qt
from PySide6.QtGui import QAction, QDragEnterEvent, QDropEvent, QKeySequence, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QSplitter, QWidget

from planner.desktop.desk import Desk
from planner.desktop.importing import ImportPreview, choose_files
from planner.desktop.look.icons import DRAWINGS, Drawing, drawn_icon
from planner.desktop.room import Room, RoomName
from planner.desktop.routes import icons
from planner.desktop.routes.chosen import ChosenRoute
from planner.desktop.routes.map_pane import MapPane
from planner.desktop.routes.point_model import PointEdit, worst_by_point
from planner.desktop.routes.point_table import PointTable
from planner.desktop.routes.route_list import RouteList
from planner.desktop.routes.route_panel import RoutePanel
from planner.desktop.routes.words import fix_effect, fix_title, tr
from planner.desktop.worker import Worker
from planner.domain.errors import DimpsyError
from planner.domain.finding import Subject
from planner.domain.geo import Place
from planner.store import SeasonFile
from planner.usecases.editing_routes import (
    RouteChanged,
    RouteWish,
    add_point,
    add_route,
    change_point,
    change_route,
    drop_points,
    drop_route,
    free_route_code,
    shift_point,
)
from planner.usecases.placing_points import place_for_new_point
from planner.usecases.route_fixes import Fix, WeighedFix, apply_fix

_KEPT = "routes.splitters"
_USUAL_HEIGHTS = [380, 300]
_USUAL_WIDTHS = [250, 540, 330]


class RoutesRoom(Room):
    """The routes and their points."""

    name: ClassVar[RoomName] = RoomName.ROUTES

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.setAcceptDrops(True)
        self._shared_out = False
        self._worker = worker = Worker("routes", self)
        self.destroyed.connect(worker.close)
        self.chosen = ChosenRoute(desk, worker, self)
        self._actions = self._made_actions()
        self.list = RouteList(desk, worker, (self.new_route, self.bring))
        self.map_pane = MapPane(desk)
        self.table = PointTable(desk)
        self.panel = RoutePanel(desk, self.chosen)
        self.setFocusProxy(self.list.view)
        self._lay_out()
        self._connect()
        self._refresh()
        self.choose(self.list.first_code)

    def show_subject(self, subject: Subject) -> None:
        """Show a route, and the point that a finding is about."""
        if subject.route:
            self.choose(subject.route)
            self._select_point(subject.point)

    def commands(self) -> Sequence[QAction]:
        """Return what can be done here."""
        return (*self._actions, *self.table.actions_here)

    def choose(self, code: str) -> None:
        """Look at a route: in the list, on the map, in the table."""
        self.chosen.choose(code)
        self.list.show_code(code)
        self.map_pane.map.select(code)
        if code and self.chosen.route is not None and self.chosen.route.points:
            self.map_pane.map.fit_route(code)
        self.map_pane.say("")

    def do(
        self, operation: Callable[[SeasonFile], RouteChanged], then: Callable[[RouteChanged], None] | None = None
    ) -> None:
        """Do one step in the season file; what is refused is said by the map."""

        def done(changed: RouteChanged) -> None:
            self.desk.say(tr("%1. Ctrl+Z takes it back.", changed.label))
            if then is not None:
                then(changed)

        self.desk.session.do(operation, done, self._refused)

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

    def _made_actions(self) -> tuple[QAction, ...]:
        self.new_route = self._action(tr("New route"), DRAWINGS["new"], "Ctrl+Shift+N", self._add_route)
        self.bring = self._action(tr("Bring files in …"), icons.bring, "Ctrl+I", self._choose_files)
        self.whole = self._action(tr("See all routes"), icons.whole, "Ctrl+0", self._see_all)
        self.seek = self._action(tr("Search routes"), DRAWINGS["find"], "Ctrl+F", self._search)
        return (self.new_route, self.bring, self.whole, self.seek)

    def _action(self, text: str, drawing: Drawing, key: str, do: Callable[[], None]) -> QAction:
        action = QAction(text, self)
        action.setData(drawing)
        action.setShortcut(QKeySequence(key))
        action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        action.triggered.connect(lambda _checked: do())
        self.addAction(action)
        return action

    def _connect(self) -> None:
        desk, session = self.desk, self.desk.session
        self.list.chosen.connect(self.choose)
        self.map_pane.map.route_clicked.connect(self._choose_on_map)
        self.map_pane.map.point_clicked.connect(self._choose_on_map)
        self.map_pane.moved.connect(self._move_point)
        self.table.picked.connect(self._points_picked)
        self.table.wanted.connect(self._point_wanted)
        self.table.model.edited.connect(self._edit_point)
        self.table.model.refused.connect(self._refused)
        self.panel.fix_wanted.connect(self._fix)
        self.panel.drop_wanted.connect(self._drop_route)
        self.panel.form.wished.connect(self._change_route)
        self.panel.form.refused.connect(self._refused)
        self.chosen.changed.connect(self._show_points)
        self.chosen.weighed_changed.connect(self._weighed)
        session.snapshot_changed.connect(lambda _found: self._refresh())
        session.checked_changed.connect(lambda _found: self._mark_points())
        desk.look_changed.connect(self._draw_icons)

    def _refresh(self) -> None:
        """Let things be changed, or not, as the file may be."""
        why_not = self.desk.session.snapshot.read_only_reason
        for action in (self.new_route, self.bring):
            action.setEnabled(not why_not)
        self.panel.allow(why_not)
        self.table.allow(why_not or ("" if self.chosen.code else tr("Choose a route first.")))
        self._draw_icons()
        self._show_points()

    def _draw_icons(self) -> None:
        for action in self._actions:
            action.setIcon(drawn_icon(action.data(), self.desk.colours))
            why_not = self.desk.session.snapshot.read_only_reason if not action.isEnabled() else ""
            key = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
            action.setToolTip(f"{action.text()}: {why_not}" if why_not else f"{action.text()} ({key})")

    def _show_points(self) -> None:
        route, weighed = self.chosen.route, self.chosen.weighed
        self.table.model.show_route(route)
        known = weighed is not None and weighed.route == route
        self.table.model.show_figures(weighed.figures if known and weighed is not None else None)
        why_not = self.desk.session.snapshot.read_only_reason
        self.table.allow(why_not or ("" if route is not None else tr("Choose a route first.")))
        self._mark_points()

    def _weighed(self) -> None:
        self._show_points()
        if not self.map_pane.is_carrying:
            self._say_of_selected(self.table.selected)

    def _mark_points(self) -> None:
        self.table.model.mark(worst_by_point(tuple(self.chosen.findings)))

    def _choose_on_map(self, code: str, number: int | None = None) -> None:
        if code != self.chosen.code:
            self.chosen.choose(code)
            self.list.show_code(code)
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
            if self.table.selected == numbers:
                self.map_pane.say(f"{fix_title(weighed.fix)}? {fix_effect(weighed, self.desk.units)}")

        self.chosen.weigh_without(numbers, show)

    def _point_wanted(self, what: str, number: int) -> None:
        code, numbers = self.chosen.code, self.table.selected
        if what == "add":
            self._add_point(number or None)
        elif what == "drop":
            self.do(lambda file: drop_points(file, code, numbers))
        else:
            by = -1 if what == "earlier" else 1
            place = self.chosen.route.point(number).place if self.chosen.route is not None else None
            self.do(lambda file: shift_point(file, code, number, by), lambda changed: self._follow(changed, place))

    def _add_point(self, after: int | None) -> None:
        route, session, in_sight = self.chosen.route, self.desk.session, self.map_pane.in_sight
        if route is None:
            return
        protocol, network, code = session.snapshot.season.protocol, session.network, route.code
        session.think(
            lambda: place_for_new_point(protocol, network, route, after, in_sight),
            lambda place: self.do(
                lambda file: add_point(file, code, place, after=after), lambda changed: self._follow(changed, place)
            ),
            topic="new point",
            owner=self,
            failed=self._refused,
        )

    def _follow(self, changed: RouteChanged, place: Place | None) -> None:
        """Select the point that now stands at a place."""
        points = changed.after.points if changed.after is not None else ()
        self._select_point(next((point.number for point in points if point.place == place), None))

    def _move_point(self, code: str, number: int, place: Place) -> None:
        self.do(
            lambda file: change_point(file, code, number, place=place), lambda changed: self._follow(changed, place)
        )

    def _edit_point(self, edit: PointEdit) -> None:
        code = self.chosen.code
        self.do(
            lambda file: change_point(
                file, code, edit.number, new_number=edit.new_number, place=edit.place, note=edit.note
            )
        )

    def _fix(self, fix: Fix) -> None:
        self.do(lambda file: apply_fix(file, fix))

    def _add_route(self) -> None:
        def added(changed: RouteChanged) -> None:
            if changed.after is not None:
                self.choose(changed.after.code)
                self.panel.form.name.setFocus()

        self.do(lambda file: add_route(file, free_route_code(file.season())), added)

    def _drop_route(self) -> None:
        code = self.chosen.code
        self.do(lambda file: drop_route(file, code), lambda _changed: self.choose(self.list.first_code))

    def _change_route(self, wish: RouteWish) -> None:
        code = self.chosen.code

        def changed_to(changed: RouteChanged) -> None:
            if changed.after is not None and changed.after.code != code:
                self.choose(changed.after.code)

        self.do(lambda file: change_route(file, code, wish), changed_to)

    def _refused(self, error: DimpsyError) -> None:
        """Say what cannot be, and show again what stands."""
        self.desk.session.failed.emit(error)
        self.map_pane.refresh()
        self.panel.refresh()

    def _choose_files(self) -> None:
        paths = choose_files(self)
        if paths:
            self.bring_in(paths)

    def _see_all(self) -> None:
        self.map_pane.map.fit_all()

    def _search(self) -> None:
        self.list.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.list.search.selectAll()

    def _lay_out(self) -> None:
        self._middle = QSplitter(Qt.Orientation.Vertical)
        self._middle.addWidget(self.map_pane)
        self._middle.addWidget(self.table)
        self._whole = QSplitter(Qt.Orientation.Horizontal)
        for widget, stretch in ((self.list, 0), (_framed(self._middle), 1), (self.panel, 0)):
            self._whole.addWidget(widget)
            self._whole.setStretchFactor(self._whole.count() - 1, stretch)
        for splitter in (self._middle, self._whole):
            splitter.setChildrenCollapsible(False)
            splitter.splitterMoved.connect(lambda _at, _index, one=splitter: self._keep(one))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self._whole)

    def showEvent(self, event: QShowEvent) -> None:
        """Share out the room as it was left, or for the first time."""
        super().showEvent(event)
        if self._shared_out:
            return
        self._shared_out = True
        for splitter, usual in ((self._middle, _USUAL_HEIGHTS), (self._whole, _USUAL_WIDTHS)):
            kept = self.desk.settings.value(_key(splitter), list[str]())
            splitter.setSizes([int(size) for size in kept] if len(kept) == splitter.count() else usual)

    def _keep(self, splitter: QSplitter) -> None:
        self.desk.settings.keep(_key(splitter), [str(size) for size in splitter.sizes()])


def _key(splitter: QSplitter) -> str:
    """Return the name under which a splitter's sizes are remembered."""
    return f"{_KEPT}.{splitter.orientation().name}"


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
