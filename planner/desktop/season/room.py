"""The Season room: the first thing a coordinator sees. What stands, what is next, and the season's own form."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QDragEnterEvent, QDropEvent, QImage, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout

from planner.desktop.desk import Desk
from planner.desktop.look.low import low
from planner.desktop.look.words import quiet, title
from planner.desktop.paper.watch import PaperWatch
from planner.desktop.room import Room, RoomName
from planner.desktop.rule_rooms import room_of
from planner.desktop.season.next_card import NextCard
from planner.desktop.season.pages import SeasonPages
from planner.desktop.season.words import long_day_words, step_words
from planner.domain.finding import Finding, Rule, Subject
from planner.usecases.evening.who_is_out import out_on
from planner.usecases.season_news import Next, Step, season_figures, what_next

if TYPE_CHECKING:
    from planner.desktop.importing import ImportPreview
    from planner.scheduling import SeasonProblem
    from planner.usecases.season.sky import SeasonSky


class SeasonRoom(Room):
    """Four pages under the name of the season and what is next."""

    name: ClassVar[RoomName] = RoomName.SEASON

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.watch = PaperWatch.of(desk)
        self.title = low(title())
        self.about = low(quiet())
        self.next = NextCard(desk.colours)
        self.pages = SeasonPages(desk)
        self.overview = self.pages.overview
        self._commands = self._made_commands()
        self.setAcceptDrops(True)
        self._connect()
        self._lay_out()
        self._show_season()
        self._show_sky()
        self._show_checked()

    def commands(self) -> Sequence[QAction]:
        """What can be done here."""
        return self._commands

    def show_subject(self, subject: Subject) -> None:
        """Show a date on the strip; anything else of the season is found among the findings."""
        self.pages.turn_to_overview()
        if subject.date is not None:
            self.overview.strip.point_at(subject.date)
        elif subject != Subject():
            self.overview.findings.search.setText(str(subject))

    def bring_in(self, paths: Sequence[Path]) -> ImportPreview:
        """Show what files would bring."""
        from planner.desktop.importing import ImportPreview

        preview = ImportPreview(self.desk, paths, self)
        preview.open()
        return preview

    def showEvent(self, event: QShowEvent) -> None:
        """Begin to look at the papers when the room is first seen: they may be what is next."""
        super().showEvent(event)
        self.watch.want()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take files and folders that are dragged in."""
        if event.mimeData().hasUrls() and not self.desk.session.snapshot.read_only_reason:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Show what the files would bring."""
        paths = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
        if paths:
            event.acceptProposedAction()
            self.bring_in(paths)

    def _made_commands(self) -> tuple[QAction, ...]:
        bring = self._command(self.tr("Bring files in …"), self._choose_files)
        bring.setShortcut("Ctrl+I")
        bring.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        return (
            bring,
            self._command(self.tr("The season's name, coordinator and dates"), self.pages.turn_to_details),
            self._command(self.tr("Say what is expected of the weather"), self.pages.turn_to_weather),
            self._command(self.tr("The road map and its speeds"), self.pages.turn_to_roads),
            self._command(self.tr("The protocol and its sources"), self.pages.turn_to_protocol),
        )

    def _command(self, words: str, do: object) -> QAction:
        action = QAction(words, self)
        action.triggered.connect(do)
        self.addAction(action)
        return action

    def _connect(self) -> None:
        session = self.desk.session
        session.snapshot_changed.connect(lambda _found: self._show_season())
        session.problem_changed.connect(lambda _problem: self._show_sky())
        session.checked_changed.connect(lambda _checked: self._show_checked())
        self.watch.changed.connect(self._show_next)
        self.pages.road_map_wanted.connect(self._choose_files)
        self.next.chosen.connect(self._do)
        self.overview.day_chosen.connect(self._go_to_day)
        self.overview.findings.list.entered.connect(self._mend)
        self.overview.risk.route_chosen.connect(lambda subject: self.desk.go(RoomName.BOARD, subject))
        self.overview.risk.weather_wanted.connect(self.pages.turn_to_weather)
        self.desk.look_changed.connect(self._dress)

    def _lay_out(self) -> None:
        named = QVBoxLayout()
        named.setSpacing(0)
        named.addWidget(self.title)
        named.addWidget(self.about)
        named.addStretch(1)
        head = QHBoxLayout()
        head.setSpacing(16)
        head.addLayout(named, 5)
        head.addWidget(self.next, 6)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(16, 12, 16, 10)
        whole.addLayout(head)
        whole.addWidget(self.pages, 1)

    def _show_season(self) -> None:
        found = self.desk.session.snapshot
        season = found.season
        self.title.setText(season.name)
        words = self.tr("%1, %2 to %3").replace("%1", season.protocol.name)
        first, last = (long_day_words(day) for day in (season.dates.first, season.dates.last))
        self.about.setText(words.replace("%2", first).replace("%3", last))
        self.overview.strip.show_plan(season.dates, season.visits, out_on(found.plan), self.desk.today())
        self.overview.figures.show_figures(season_figures(season, found.plan, None))
        self.pages.bring_up_to_date()
        self._show_next()

    def _show_sky(self) -> None:
        problem, found = self._problem_now(), self.desk.session.snapshot
        if problem is None:
            return

        def work() -> tuple[SeasonSky, tuple[QImage, ...], float]:
            from planner.desktop.season.sky_image import sky_images
            from planner.usecases.plan.total_driving import total_drive_minutes
            from planner.usecases.season.sky import season_sky

            sky = season_sky(problem)
            return sky, sky_images(sky), total_drive_minutes(problem, found.plan)

        def made(result: tuple[SeasonSky, tuple[QImage, ...], float]) -> None:
            sky, images, minutes = result
            self.overview.strip.show_sky(sky, images)
            self.overview.figures.show_figures(season_figures(found.season, found.plan, minutes))

        self.desk.session.think(work, made, topic="season sky", owner=self)

    def _show_checked(self) -> None:
        checked, season = self.desk.session.checked, self.desk.session.snapshot.season
        self.overview.findings.show_findings(checked.findings if checked is not None else None)
        self.overview.risk.show_checked(checked, season)
        self._show_next()

    def _show_next(self) -> None:
        found = self.desk.session.snapshot
        papers = self.watch.papers if self.watch.fresh else None
        self.next.show_next(what_next(found.season, found.plan, self.desk.session.checked, papers, self.desk.today()))

    def _problem_now(self) -> SeasonProblem | None:
        problem = self.desk.session.problem
        if problem is None:
            return None
        from planner.usecases.paper.print_facts import is_of

        return problem if is_of(problem, self.desk.session.snapshot.season) else None

    def _do(self, step: Step) -> None:
        if step.what in (Next.IMPORT_ROUTES, Next.IMPORT_PEOPLE):
            self._choose_files()
        elif step.finding is not None:
            self._mend(step.finding)
        else:
            words = step_words(step)
            self.desk.go(words.room, words.subject)
            if step.what is Next.PLAN:
                self.desk.plan()

    def _mend(self, finding: Finding) -> None:
        """Go where a finding is mended; what is mended in this room is shown on its own page."""
        room = room_of(finding.rule)
        if finding.rule is Rule.SEASON_EMPTY:
            self._choose_files()
        elif finding.rule is Rule.PROTOCOL_UNVERIFIED:
            self.pages.turn_to_protocol()
        elif finding.rule is Rule.ROADS_MISSING:
            self.pages.turn_to_roads()
        elif room is RoomName.SEASON:
            self.pages.turn_to_coordinator()
        else:
            self.desk.go(room, finding.subject)

    def _go_to_day(self, day: dt.date) -> None:
        self.desk.go(RoomName.TODAY, Subject(date=day))

    def _choose_files(self) -> None:
        from planner.desktop.importing import choose_files

        paths = choose_files(self)
        if paths:
            self.bring_in(paths)

    def _dress(self) -> None:
        colours = self.desk.colours
        for part in (self.next, self.overview):
            part.set_colours(colours)
        self.pages.bring_up_to_date()
