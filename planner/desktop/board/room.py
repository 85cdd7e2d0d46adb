"""The Board room: the board, the details of a visit beside it, what is unfilled, and planning."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAction, QShowEvent
from PySide6.QtWidgets import QSplitter, QTabWidget, QVBoxLayout, QWidget

from planner.desktop.board.actions import BoardActions, visit_of
from planner.desktop.board.board_bar import BoardBar
from planner.desktop.board.lacking_pane import LackingPane
from planner.desktop.board.legend import Legend
from planner.desktop.board.planning import Planning, RunEnd
from planner.desktop.board.planning_strip import PlanningStrip
from planner.desktop.board.said import tr
from planner.desktop.board.sight import BoardSight
from planner.desktop.board.steps import Steps
from planner.desktop.board.view import BoardView
from planner.desktop.board.visit_pane import VisitPane
from planner.desktop.desk import Desk
from planner.desktop.paper.watch import PaperWatch
from planner.desktop.room import Room, RoomName
from planner.domain.finding import Subject
from planner.domain.plan import VisitKey
from planner.usecases.plan.placing import why_fixed
from planner.usecases.plan.planning import Scope
from planner.usecases.plan.proposing import Candidate

_PANE_WIDTH = 330


class BoardRoom(Room):
    """Routes by dates; visits are moved by hand or planned."""

    name: ClassVar[RoomName] = RoomName.BOARD

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.actions_here = BoardActions(self)
        self.steps = Steps(desk, self)
        self.planning = Planning(desk, self)
        self.view = BoardView(desk)
        self.sight = BoardSight(desk, self.view)
        self.bar = BoardBar(self.actions_here)
        self.strip = PlanningStrip(desk, self.planning)
        self.visit_pane = VisitPane(desk, self.steps)
        self.lacking_pane = LackingPane(desk)
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName(tr("Details"))
        self.tabs.tabBar().setAccessibleName(tr("Visit or unfilled visits"))
        self.tabs.addTab(self.visit_pane, tr("Visit"))
        self.tabs.addTab(self.lacking_pane, tr("Unfilled"))
        self._lay_out()
        self._connect()
        self.bar.show_fold(self.sight.restore())
        self.sight.open_at_what_is_next()
        self._count(self.lacking_pane.lacking.unfilled)
        self._stands()

    def show_subject(self, subject: Subject) -> None:
        """Show a visit, a route, a date, or the first visit of a volunteer."""
        plan, season = self.desk.session.snapshot.plan, self.desk.session.snapshot.season
        if subject.route and subject.visit is not None:
            key = VisitKey(subject.route, subject.visit)
            self.view.show_visit(key)
            self.lacking_pane.choose(key)
            lacking = key in self.lacking_pane.lacking.keys
            self.tabs.setCurrentWidget(self.lacking_pane if lacking else self.visit_pane)
        elif subject.route or subject.date is not None:
            first = next(iter(season.routes), None)
            code = subject.route or (first.code if first is not None else "")
            self.view.show_route(code, subject.date or self.desk.today())
        elif subject.volunteer and plan.of_volunteer(subject.volunteer):
            self.view.show_visit(plan.of_volunteer(subject.volunteer)[0].key)
        self.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def showEvent(self, event: QShowEvent) -> None:
        """Begin to look at the papers that are out: planning may make them untrue."""
        super().showEvent(event)
        if self.desk.session.snapshot.print_runs:
            PaperWatch.of(self.desk).want()

    def commands(self) -> Sequence[QAction]:
        """Return what can be done here."""
        return self.actions_here.every

    def _lay_out(self) -> None:
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.view, 1)
        column.addWidget(Legend(self.desk))
        self._splitter = QSplitter(Qt.Orientation.Horizontal)
        self._splitter.addWidget(left)
        self._splitter.addWidget(self.tabs)
        self._splitter.setStretchFactor(0, 1)
        self._splitter.setStretchFactor(1, 0)
        self._splitter.setSizes([900, _PANE_WIDTH])
        self._splitter.setCollapsible(0, False)
        self.tabs.setMinimumWidth(280)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(12, 10, 12, 8)
        whole.addWidget(self.bar)
        whole.addWidget(self.strip)
        whole.addWidget(self._splitter, 1)

    def _connect(self) -> None:
        actions, view = self.actions_here, self.view
        for action in actions.every:
            single = action in actions.on_visits
            contexts = Qt.ShortcutContext
            action.setShortcutContext(contexts.WidgetShortcut if single else contexts.WidgetWithChildrenShortcut)
            (view if single else self).addAction(action)
        actions.connect_all(
            {
                actions.plan_all: lambda: self.planning.start(Scope.ALL),
                actions.plan_missing: lambda: self.planning.start(Scope.MISSING),
                actions.plan_chosen: self._plan_chosen,
                actions.stop: self.planning.stop,
                actions.help_find: self._look_for_help,
                actions.next_lacking: self._next_lacking,
                actions.pin: lambda: self._with_visit(self.steps.toggle_pin),
                actions.confirm: lambda: self._with_visit(self.steps.toggle_confirmed),
                actions.take_out: lambda: self._with_visit(self.steps.take_out),
                actions.narrower: self.sight.narrower,
                actions.wider: self.sight.wider,
                actions.whole: self.sight.whole,
                actions.today: self.sight.go_to_today,
            }
        )
        view.visit_changed.connect(self._show_visit)
        view.visit_picked.connect(lambda: self.tabs.setCurrentWidget(self.visit_pane))
        view.opened.connect(self._open)
        view.people_asked.connect(self._ask_for_people)
        view.dragged.connect(self._drag_over)
        view.selectionModel().selectionChanged.connect(self._allow)
        self.visit_pane.lead_wanted.connect(self._give_in_hand)
        self.lacking_pane.visit_chosen.connect(self._show_lacking)
        self.lacking_pane.count_changed.connect(self._count)
        self.bar.fold_chosen.connect(self.sight.gather)
        self.planning.began.connect(self._allow)
        self.planning.ended.connect(self._planned)
        self.desk.session.snapshot_changed.connect(self._stands)
        PaperWatch.of(self.desk).changed.connect(self._allow)
        self.desk.planning_wanted.connect(actions.plan_all.trigger)

    # What stands.

    def _stands(self) -> None:
        snapshot = self.desk.session.snapshot
        asked = len(snapshot.season.routes) * len(snapshot.season.protocol.visits)
        reserved = sum(visit.reserve is not None for visit in snapshot.plan)
        self.bar.stands.setText(
            tr("%1 of %2 visits filled, %3 with a reserve date", len(snapshot.plan), asked, reserved)
        )
        self._allow()

    def _allow(self) -> None:
        visit = visit_of(self.desk, self.view.current_visit)
        self.actions_here.allow(
            self.desk,
            visit,
            len(self.view.selected_lines()),
            running=self.planning.runs,
            why_fixed=why_fixed(visit, self.desk.today()) if visit is not None else "",
        )

    def _count(self, unfilled: int) -> None:
        self.tabs.setTabText(1, tr("Unfilled (%1)", unfilled) if unfilled else tr("Unfilled"))

    def _show_visit(self, key: VisitKey | None) -> None:
        self.visit_pane.show_visit(key)
        self._allow()

    def _show_lacking(self, key: VisitKey) -> None:
        if self.tabs.currentWidget() is self.lacking_pane and self.isVisible():
            self.view.show_visit(key)

    # What is done.

    def _plan_chosen(self) -> None:
        self.planning.start(Scope.SELECTED, [line.route.code for line in self.view.selected_lines() if line.route])

    def _planned(self, end: RunEnd) -> None:
        if end.offer is not None:
            self.lacking_pane.keep(end.offer)
        self._allow()

    def _look_for_help(self) -> None:
        self.tabs.setCurrentWidget(self.lacking_pane)
        self.lacking_pane.look()

    def _next_lacking(self) -> None:
        keys = self.lacking_pane.lacking.keys
        if keys:
            current = self.view.current_visit
            place = keys.index(current) + 1 if current in keys else 0
            self.tabs.setCurrentWidget(self.lacking_pane)
            self.lacking_pane.choose(keys[place % len(keys)])
            self.view.show_visit(keys[place % len(keys)])

    def _open(self, key: VisitKey) -> None:
        """Show a visit's details and go there with the keyboard."""
        self.visit_pane.show_visit(key)
        self.tabs.setCurrentWidget(self.visit_pane)
        self.visit_pane.focusNextChild()

    def _ask_for_people(self) -> None:
        verdict = self.view.carrying.verdict
        self.tabs.setCurrentWidget(self.visit_pane)
        if verdict is not None:
            self.visit_pane.show_hanging(verdict.visit)
        else:
            self.visit_pane.people.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _give_in_hand(self, one: Candidate) -> None:
        self.view.carrying.give_to(one.code)
        self.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def _drag_over(self, place: QPoint) -> None:
        """Give a visit that is dragged over the list of people to the one under the pointer, on its own date."""
        carrying = self.view.carrying
        code = self.visit_pane.people.code_at(place) if self.visit_pane.people.isVisible() else ""
        if carrying.stood is not None:
            carrying.hover(carrying.stood.date)
        carrying.give_to(code)

    def _with_visit(self, do: object) -> None:
        key = self.view.current_visit
        if key is not None and callable(do):
            do(key)
