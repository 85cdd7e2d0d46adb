"""The Reports room: what a coordinator answers for, page by page, and the files that it goes out in."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from pathlib import Path
from typing import ClassVar

from PySide6.QtGui import QAction, QImage, QShowEvent
from PySide6.QtWidgets import QTabWidget, QVBoxLayout

from planner.desktop.desk import Desk
from planner.desktop.look.low import low
from planner.desktop.look.words import quiet
from planner.desktop.reports.contents import driving_content, hours_content, progress_content, risk_content
from planner.desktop.reports.figures_page import Content, FiguresPage
from planner.desktop.reports.files_page import FilesPage
from planner.desktop.reports.habitat_content import habitat_content
from planner.desktop.reports.words import day_words, tr
from planner.desktop.room import Room, RoomName
from planner.domain.errors import DimpsyError
from planner.domain.finding import Subject
from planner.domain.reports.season_report import SeasonReport
from planner.printing import BoardPage, ensure_gui
from planner.usecases.paper.print_facts import is_of
from planner.usecases.reports import ReportWish, ReportWritten, season_report, write_report
from planner.usecases.season.snapshot import Snapshot

_PREVIEW_DPI = 150.0
"""Sharp at twice the usual pixels."""


class ReportsRoom(Room):
    """Five pages of figures and one of files under a line that says of when they are."""

    name: ClassVar[RoomName] = RoomName.REPORTS

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.report: SeasonReport | None = None
        """The figures that are shown; None until they are added up."""
        self._of: Snapshot | None = None
        self._wanted: Snapshot | None = None
        colours = desk.colours
        self.when = low(quiet())
        self.progress = FiguresPage(tr("Progress of visits"), _progress_headers(), colours)
        self.risk = FiguresPage(tr("Chance to be completed"), _risk_headers(), colours)
        self.hours = FiguresPage(tr("Hours and distance"), _hours_headers(), colours)
        self.driving = FiguresPage(tr("Driving saved"), _driving_headers(), colours)
        self.habitat = FiguresPage(tr("Habitat of routes"), _habitat_headers(), colours)
        self.files = FilesPage(desk)
        self.tabs = QTabWidget()
        self._write = QAction(tr("Write the report as files"), self)
        self._lay_out()
        self._connect()

    def commands(self) -> Sequence[QAction]:
        """What can be done here."""
        return (self._write,)

    def show_subject(self, subject: Subject) -> None:
        """Show a volunteer's hours, or a route's progress."""
        page = self.hours if subject.volunteer else self.progress
        if subject.volunteer or subject.route:
            self.tabs.setCurrentWidget(page)

    def showEvent(self, event: QShowEvent) -> None:
        """Add the season up when the room is seen."""
        super().showEvent(event)
        self._bring_up_to_date()

    def write_into(self, folder: Path, wish: ReportWish) -> None:
        """Write the report that is shown into a folder."""
        report, found = self.report, self._of
        if report is None or found is None:
            return
        self.files.judge(tr("The files are being written."))

        def written(result: ReportWritten) -> None:
            self.files.show_written(result)
            self.files.judge(self._why_not())

        def failed(error: DimpsyError) -> None:
            self.files.show_failed(error)
            self.files.judge(self._why_not())

        ensure_gui()
        self.desk.session.think_long(
            lambda: write_report(report, found, folder, wish),
            written,
            words=tr("Writing the report"),
            topic="report files",
            owner=self,
            failed=failed,
        )

    def _lay_out(self) -> None:
        self.tabs.setAccessibleName(tr("Pages of the report"))
        self.tabs.tabBar().setAccessibleName(tr("Pages of the report"))
        self.tabs.setStyleSheet("QTabWidget::pane { border: 0; }")
        titles = (tr("Progress"), tr("Risk"), tr("Hours"), tr("Driving"), tr("Habitat"), tr("Files"))
        pages = (*self._figure_pages, self.files)
        for page, title in zip(pages, titles, strict=True):
            self.tabs.addTab(page, title)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(16, 12, 16, 12)
        whole.addWidget(self.when)
        whole.addWidget(self.tabs, 1)
        self._say(tr("The season is being added up …"))

    @property
    def _figure_pages(self) -> tuple[FiguresPage, ...]:
        return self.progress, self.risk, self.hours, self.driving, self.habitat

    def _connect(self) -> None:
        session = self.desk.session
        session.snapshot_changed.connect(lambda _found: self._season_changed())
        session.problem_changed.connect(lambda _problem: self._season_changed())
        self.desk.look_changed.connect(self._dress)
        self.desk.units_changed.connect(self._show_report)
        self.files.wanted.connect(self.write_into)
        self._write.triggered.connect(lambda _checked: self._go_and_write())

    def _go_and_write(self) -> None:
        self.tabs.setCurrentWidget(self.files)
        self.files.folder.setFocus()

    def _season_changed(self) -> None:
        self.files.judge(self._why_not())
        if self.isVisible():
            self._bring_up_to_date()

    def _bring_up_to_date(self) -> None:
        """Add the season up unless that is done, or under way."""
        session = self.desk.session
        found, problem, network, today = session.snapshot, session.problem, session.network, self.desk.today()
        fresh = self._wanted is found and (self.report is None or self.report.today == today)
        if fresh or problem is None or not is_of(problem, found.season):
            return
        if not found.season.routes:
            self._wanted, self._of, self.report = found, found, None
            self._say(tr("The season has no routes yet, so there is nothing to report: bring files in first."))
            return
        self._wanted = found
        paper = self.files.wish.paper
        stop = threading.Event()
        ensure_gui()

        def add_up() -> tuple[SeasonReport, QImage]:
            report = season_report(found, problem, network, today, stop.is_set)
            return report, BoardPage(report, paper).image(_PREVIEW_DPI)

        def added_up(result: tuple[SeasonReport, QImage]) -> None:
            self.report, image = result
            self._of = found
            self.files.preview.show_page(image)
            self._show_report()

        words = tr("Adding the season up")
        session.think_long(add_up, added_up, words=words, stop=stop, topic="report", owner=self, failed=self._fail)

    def _fail(self, error: DimpsyError) -> None:
        """Say why there are no figures; they are added up again when the room is next seen."""
        self._wanted = None
        self._say(str(error))

    def _say(self, words: str) -> None:
        """Say why there are no figures, on every page."""
        self.when.setText("")
        for page in self._figure_pages:
            page.show_content(Content(words))
        self.files.preview.show_page(None, words)
        self.files.judge(words)

    def _show_report(self) -> None:
        report, found = self.report, self._of
        if report is None or found is None:
            return
        day = day_words(report.today)
        self.when.setText(tr("%1, as it stands on %2, step %3 of the file.", report.season, day, report.revision))
        titles = {route.code: route.title for route in found.season.routes}
        names = {person.code: f"{person.code} {person.name}" for person in found.season.volunteers}
        self.progress.show_content(progress_content(report))
        self.risk.show_content(risk_content(report))
        self.hours.show_content(hours_content(report, names, self.desk.units))
        self.driving.show_content(driving_content(report))
        self.habitat.show_content(habitat_content(report, titles))
        self.files.judge(self._why_not())

    def _why_not(self) -> str:
        if self.report is None or self._of is not self.desk.session.snapshot:
            return tr("The season is being added up …")
        return ""

    def _dress(self) -> None:
        for page in self._figure_pages:
            page.set_colours(self.desk.colours)
        self.files.set_colours()


def _progress_headers() -> tuple[str, ...]:
    return (tr("Route"), tr("Visit"), tr("Area"), tr("Stands"), tr("Date"), tr("Points that stand"), tr("Sheets"))


def _risk_headers() -> tuple[str, ...]:
    return (tr("Route"), tr("Completed"), tr("Weakest visit"), tr("Its chance"))


def _hours_headers() -> tuple[str, ...]:
    return (
        tr("Volunteer"),
        tr("Month"),
        tr("Outings"),
        tr("Recorded h"),
        tr("As planned h"),
        tr("To come h"),
        tr("Distance"),
        tr("Distance from"),
    )


def _driving_headers() -> tuple[str, ...]:
    return (tr("Route"), tr("Visits"), tr("Plan min"), tr("By hand min"), tr("Saved min"))


def _habitat_headers() -> tuple[str, ...]:
    return (
        tr("Route"),
        tr("Visit"),
        tr("Class"),
        tr("Mean %"),
        tr("Range %"),
        tr("Change"),
        tr("Points"),
        tr("Grazed %"),
        tr("Livestock"),
    )
