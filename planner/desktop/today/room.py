"""The Today room: the evening, the ways on when something breaks, and whom to tell."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import ClassVar

from PySide6.QtGui import QAction, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout

from planner.desktop.desk import Desk
from planner.desktop.importing import ImportPreview
from planner.desktop.room import OpenFindings, Room, RoomName
from planner.desktop.today.evening_page import EveningPage
from planner.desktop.today.panels import PanelName
from planner.desktop.today.tell_page import TellPage
from planner.desktop.today.watch import Watch
from planner.desktop.today.ways_page import WaysPage
from planner.domain.disruption import Disruption
from planner.domain.field.told import Told
from planner.domain.finding import Severity, Subject
from planner.usecases.evening.cancelling import Accepted, WaysOn, accept, ways_of
from planner.usecases.sending.after_change import letters_after
from planner.usecases.sending.notice import Notice, cause_told


class TodayRoom(Room):
    """Who is out tonight, and what the coordinator does about it."""

    name: ClassVar[RoomName] = RoomName.TODAY

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.watch = Watch(desk, self)
        self.evening = EveningPage(desk, self.watch)
        self.ways: WaysPage | None = None
        self.tell: TellPage | None = None
        self.pages = QStackedWidget()
        self.pages.addWidget(self.evening)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.pages)
        self.setAcceptDrops(True)
        self._open: OpenFindings | None = None
        self._overdue = 0
        self._commands = self._make_commands()
        self.evening.panels.broke.connect(self.find_ways)
        desk.ways_wanted.connect(self.find_ways)
        self.evening.panels.table_chosen.connect(lambda path: self.bring_in([path]))
        self.evening.letters_wanted.connect(self._show_letters_again)
        self.watch.changed.connect(self._count)
        self.watch.changed.connect(self._offer_letters)

    def show_subject(self, subject: Subject) -> None:
        """Show the evening of a visit, of a person, or a date; bring the row of a route to the front."""
        plan = self.desk.session.snapshot.plan
        visits = [visit for visit in plan if subject.route in ("", visit.key.route)]
        visits = [visit for visit in visits if subject.visit in (None, visit.key.number)]
        visits = [visit for visit in visits if not subject.volunteer or subject.volunteer in visit.people]
        named = bool(subject.route or subject.volunteer)
        coming = sorted(visit.date for visit in visits if visit.date >= self.watch.date)
        date = subject.date or (next(iter(coming or sorted(visit.date for visit in visits)), None) if named else None)
        self.show_evening()
        if date is not None:
            self.watch.show_date(date)
        if subject.route:
            self.evening.choose_when_there((subject.route,))

    def open_here(self) -> OpenFindings | None:
        """Return how many people are overdue and how many outings stand against the weather."""
        return self._open

    def commands(self) -> Sequence[QAction]:
        """Return what can be done here."""
        return self._commands

    def show_evening(self) -> None:
        """Go back to the evening."""
        if self.ways is not None:
            self.ways.put_away()
        self._offer_letters()
        self.pages.setCurrentWidget(self.evening)

    def find_ways(self, disruption: Disruption) -> None:
        """Look for the ways on, away from the interface, and show them side by side."""
        page = self._ways_page()
        self.pages.setCurrentWidget(page)
        page.show_computing(disruption)
        problem, snapshot = self.watch.problem, self.desk.session.snapshot
        if problem is None:
            self.show_evening()
            self.desk.say(self.tr("Light and drives are still being computed. Ask again in a moment."))
            return
        at_today = replace(problem, today=self.desk.today())
        self.desk.session.think_long(
            lambda: ways_of(snapshot.season, snapshot.plan, at_today, disruption),
            self._show_ways,
            words=self.tr("Looking for ways on"),
            topic="today.ways",
            owner=self,
            failed=page.show_failure,
        )

    def bring_in(self, paths: Sequence[Path]) -> None:
        """Show what files would bring, as a table of conditions, before anything changes."""
        if paths:
            ImportPreview(self.desk, paths, self).open()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take files that are dragged in."""
        if event.mimeData().hasUrls() and not self.desk.session.snapshot.read_only_reason:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Show what the files would bring."""
        event.acceptProposedAction()
        self.bring_in([Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()])

    def _ways_page(self) -> WaysPage:
        if self.ways is None:
            self.ways = WaysPage(self.desk)
            self.ways.left.connect(self.show_evening)
            self.ways.accepted.connect(self._accept)
            self.pages.addWidget(self.ways)
        return self.ways

    def _tell_page(self) -> TellPage:
        if self.tell is None:
            self.tell = TellPage(self.desk, self.watch)
            self.tell.left.connect(self.show_evening)
            self.pages.addWidget(self.tell)
        return self.tell

    def _offer_letters(self) -> None:
        self.evening.show_letters_left(self.tell.still_to_tell if self.tell is not None else 0)

    def _show_letters_again(self) -> None:
        self.pages.setCurrentWidget(self._tell_page())

    def _show_ways(self, offer: WaysOn) -> None:
        page = self._ways_page()
        if self.pages.currentWidget() is page:
            page.show_offer(offer)

    def _accept(self, offer: WaysOn, number: int) -> None:
        page = self._ways_page()
        self.desk.session.do(
            lambda file: accept(file, offer, number), lambda done: self._tell(offer, done), failed=page.refuse
        )

    def _tell(self, offer: WaysOn, done: Accepted) -> None:
        way = done.way
        cause, now = cause_told(offer.disruption), self.desk.now()

        def write(told: tuple[Told, ...]) -> None:
            self.desk.session.think(
                lambda: letters_after(offer.problem, (offer.before, way.plan), told, now, cause),
                lambda letters: self._show_letters(done, letters),
                topic="today.letters",
                owner=self,
            )

        self.desk.session.ask(lambda file: file.told(), write, topic="today.told", owner=self)

    def _show_letters(self, done: Accepted, letters: Sequence[Notice]) -> None:
        self._ways_page().put_away()
        page = self._tell_page()
        page.show_accepted(done, letters)
        self.pages.setCurrentWidget(page)

    def _count(self) -> None:
        due, overdue = self.watch.due, len(self.watch.overdue) + len(self.watch.strays)
        if overdue > self._overdue and not self.isVisible():
            self.desk.say(self.tr("Overdue: %1. See Today.").replace("%1", str(overdue)))
        self._overdue = overdue
        found = OpenFindings(due, Severity.BROKEN) if due else None
        if found != self._open:
            self._open = found
            self.open_changed.emit()

    def _make_commands(self) -> tuple[QAction, ...]:
        made, show = [], self.evening.panels.show_panel
        for words, run in (
            (self.tr("Tonight: who is out"), self.show_evening),
            (
                self.tr("Write down the conditions of an evening"),
                partial(show, PanelName.WEATHER),
            ),
            (
                self.tr("Check in: left, arrived, safe home"),
                partial(show, PanelName.CHECK_IN),
            ),
            (
                self.tr("Cancel outings because of the weather"),
                partial(show, PanelName.BREAKS),
            ),
            (self.tr("A volunteer drops out"), partial(show, PanelName.BREAKS)),
            (self.tr("A road is closed"), partial(show, PanelName.BREAKS)),
        ):
            action = QAction(words, self)
            action.triggered.connect(lambda _on=False, do=run: self._run(do))
            made.append(action)
        return tuple(made)

    def _run(self, do: Callable[[], None]) -> None:
        self.show_evening()
        do()
