"""The Paper room: whose paper is stale, what it looks like, putting it out; and calendars and messages beside it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import ClassVar

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QAction, QDesktopServices, QShowEvent
from PySide6.QtPrintSupport import QPrintDialog
from PySide6.QtWidgets import QDialog, QFileDialog, QSplitter, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.paper.outcome import Notice
from planner.desktop.paper.page_images import PageImages
from planner.desktop.paper.pages import PaperPages
from planner.desktop.paper.people_pane import PeoplePane
from planner.desktop.paper.person_note import PersonNote
from planner.desktop.paper.preview import Preview
from planner.desktop.paper.printer import new_printer, paper_in
from planner.desktop.paper.run_bar import RunBar
from planner.desktop.paper.runs import PrintRuns, RunEnd
from planner.desktop.paper.watch import PaperWatch
from planner.desktop.room import Room, RoomName
from planner.desktop.rule_rooms import room_of
from planner.domain.errors import DimpsyError
from planner.domain.finding import Severity, Subject
from planner.printing import Paper
from planner.store import PrintRun
from planner.usecases.paper.itineraries import PrintFacts
from planner.usecases.paper.runs import restore_papers, withdraw_papers

LEFT_WIDTH = 520
"""Of the people's side at first, in pixels; the splitter changes it."""


class PaperRoom(Room):
    """Two pages: itineraries, with people at the left and their paper at the right; calendars and messages."""

    name: ClassVar[RoomName] = RoomName.PAPER

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        colours = desk.colours
        kept = desk.settings.value("paper", Paper.A4.value)
        self.watch = PaperWatch.of(desk)
        self.images = PageImages(desk.session, self)
        self.runs = PrintRuns(desk.session, self)
        self.people = PeoplePane(colours, desk.session.snapshot.season.tzinfo)
        self.note = PersonNote()
        self.bar = RunBar(colours, Paper(kept) if kept in set(Paper) else Paper.A4)
        self.bars = Notice(colours)
        self.bars.away.hide()
        self.notice = Notice(colours)
        self.preview = Preview(self.images, colours)
        self.sides = QSplitter(Qt.Orientation.Horizontal)
        self.pages = PaperPages(desk, self.sides)
        self._shown: tuple[PrintFacts, str, Paper] | None = None
        self._ticked_once = False
        self._print = self._command(self.tr("Print the ticked itineraries …"), "Ctrl+P", self.ask_printer)
        self._files = self._command(
            self.tr("Make PDF files of the ticked itineraries …"), "Ctrl+Shift+P", self.ask_folder
        )
        self._due = self._command(self.tr("Tick those whose paper is due"), "", self.people.tick_due)
        self._tell = self._command(
            self.tr("Calendars and messages: who must be told what"), "", self.pages.show_notices
        )
        self._connect()
        self._lay_out()
        self._show_papers()

    def commands(self) -> Sequence[QAction]:
        """What can be done here."""
        return (self._print, self._files, self._due, self._tell)

    def show_subject(self, subject: Subject) -> None:
        """Show a volunteer's paper; of a route, that of the lead of its next visit."""
        plan = self.desk.session.snapshot.plan
        leads = [visit.lead for visit in plan.of_route(subject.route)]
        code = subject.volunteer or next(iter(leads), "")
        if code:
            self.people.choose(code)
            self.pages.choose(code)

    def showEvent(self, event: QShowEvent) -> None:
        """Begin to look at the papers when the room is first seen."""
        super().showEvent(event)
        self.watch.want()

    def ask_folder(self) -> None:
        """Ask for a folder and write the ticked itineraries into it."""
        beside = self.desk.session.snapshot.path.parent / "itineraries"
        kept = Path(self.desk.settings.value("paper folder", str(beside)))
        folder = QFileDialog.getExistingDirectory(
            self, self.tr("Folder for the PDF files"), str(kept if kept.is_dir() else beside.parent)
        )
        if folder:
            self.write_into(Path(folder))

    def write_into(self, folder: Path) -> None:
        """Write the ticked itineraries as PDF files into a folder."""
        if self.watch.facts is not None:
            self.desk.settings.keep("paper folder", str(folder))
            self.runs.write(self.watch.facts, self.people.model.ticked, folder, self.bar.paper)

    def ask_printer(self) -> None:
        """Ask for a printer and print the ticked itineraries on it."""
        printer = new_printer(self.bar.paper, self.desk.session.snapshot.season.name)
        dialog = QPrintDialog(printer, self)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.setOption(QPrintDialog.PrintDialogOption.PrintPageRange, on=False)

        def accepted() -> None:
            if self.watch.facts is not None:
                paper = paper_in(printer, self.bar.paper)
                self.runs.send(self.watch.facts, self.people.model.ticked, printer, paper)

        dialog.accepted.connect(accepted)
        QDialog.open(dialog)

    def _command(self, words: str, key: str, do: object) -> QAction:
        action = QAction(words, self)
        action.setShortcut(key)
        action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        action.triggered.connect(do)
        self.addAction(action)
        return action

    def _connect(self) -> None:
        self.watch.changed.connect(self._show_papers)
        self.people.person_chosen.connect(lambda _code: self._show_person())
        self.people.model.ticks_changed.connect(self._show_ready)
        self.note.call_back.connect(self._call_back)
        self.bar.files.clicked.connect(self.ask_folder)
        self.bar.printer.clicked.connect(self.ask_printer)
        self.bar.stop.clicked.connect(self.runs.stop)
        self.bar.paper_changed.connect(self._change_paper)
        self.runs.began.connect(self._begin_run)
        self.runs.progressed.connect(self.bar.show_running)
        self.runs.ended.connect(self._end_run)
        self.runs.failed.connect(self._fail_run)
        self.desk.look_changed.connect(self._dress)

    def _lay_out(self) -> None:
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 6, 0)
        column.addWidget(self.people, 1)
        for part in (self.note, self.bars, self.notice, self.bar):
            column.addWidget(part)
        sides = self.sides
        sides.addWidget(left)
        sides.addWidget(self.preview)
        sides.setStretchFactor(0, 0)
        sides.setStretchFactor(1, 1)
        sides.setSizes([LEFT_WIDTH, LEFT_WIDTH])
        sides.setChildrenCollapsible(False)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(16, 12, 16, 12)
        whole.addWidget(self.pages)

    def _show_papers(self) -> None:
        papers = self.watch.papers
        if papers is not None and self.watch.fresh:
            self.people.show_papers(papers)
            if not self._ticked_once and not papers.bars:
                self._ticked_once = True
                self.people.tick_due()
        self._show_bars()
        self._show_ready()
        self._show_person()

    def _show_bars(self) -> None:
        papers = self.watch.papers
        if self.watch.obstacle:
            self.bars.say(self.watch.obstacle, Severity.TROUBLE)
        elif papers is not None and papers.bars:
            first = papers.bars[0]
            words = self.tr("Nothing is printed while the plan breaks a rule: %1").replace("%1", str(first))
            self.bars.say(
                words, Severity.BROKEN, self.tr("Show where"), lambda: self.desk.go(room_of(first.rule), first.subject)
            )
        else:
            self.bars.hide()

    def _show_ready(self) -> None:
        if self.runs.running:
            return
        count, why_not = len(self.people.model.ticked), self._why_not()
        self.bar.show_ready(count, why_not)
        for action in (self._print, self._files):
            action.setEnabled(not why_not)
            action.setToolTip(why_not)

    def _why_not(self) -> str:
        papers = self.watch.papers
        if self.watch.obstacle:
            return self.watch.obstacle
        if papers is None or self.watch.facts is None:
            return self.tr("The papers are still being looked through")
        if papers.bars:
            return self.tr("The plan breaks a rule: until it is mended nothing is printed")
        if not self.people.model.ticked:
            return self.tr("Tick the people whose itineraries are to be printed")
        return ""

    def _show_person(self) -> None:
        paper, season = self.people.chosen, self.desk.session.snapshot.season
        person = next((one for one in season.volunteers if paper is not None and one.code == paper.code), None)
        may_write = not self.desk.session.snapshot.read_only_reason
        self.note.show_person(paper, person, may_write=may_write)
        facts, papers = self.watch.facts, self.watch.papers
        if paper is None or not paper.outings or facts is None or (papers is not None and papers.bars):
            self._show_no_pages()
            return
        wanted = (facts, paper.code, self.bar.paper)
        if wanted != self._shown:
            self._shown = wanted
            self.preview.show_whose(paper.name)
            self.images.show_itinerary(*wanted)

    def _show_no_pages(self) -> None:
        paper, papers = self.people.chosen, self.watch.papers
        self._shown = None
        self.preview.show_whose(paper.name if paper is not None else "")
        if papers is not None and papers.bars:
            self.images.show_nothing(self.tr("The plan breaks a rule, so there is no paper to show."))
        elif paper is not None and not paper.outings:
            self.images.show_nothing(self.tr("No outing is planned for them any more, so there is no paper to show."))
        else:
            self.images.show_nothing(self.watch.obstacle or self.tr("The pages of a volunteer's itinerary show here."))

    def _change_paper(self, paper: Paper) -> None:
        self.desk.settings.keep("paper", paper.value)
        self._show_person()

    def _call_back(self, code: str) -> None:
        def called(runs: tuple[PrintRun, ...]) -> None:
            words = self.tr("The paper of %1 is called back.").replace("%1", code)
            self.notice.say(words, None, self.tr("It is still out"), lambda: self._restore(runs))

        self.desk.session.do(lambda file: withdraw_papers(file, [code]), called)

    def _restore(self, runs: tuple[PrintRun, ...]) -> None:
        self.desk.session.do(lambda file: restore_papers(file, runs))
        self.notice.hide()

    def _begin_run(self) -> None:
        self.notice.hide()
        self.bar.show_running(0, len(self.people.model.ticked))

    def _end_run(self, end: RunEnd) -> None:
        said = self.tr("%1 itineraries, %2 pages") if len(end.out) != 1 else self.tr("1 itinerary, %2 pages")
        counted = said.replace("%1", str(len(end.out))).replace("%2", str(end.pages))
        if end.folder is not None and end.out:
            words = self.tr("%1, written into %2.").replace("%1", counted).replace("%2", str(end.folder))
            folder = end.folder
            button, do = self.tr("Open the folder"), lambda: self._open_folder(folder)
        else:
            words, button, do = self.tr("%1, sent to the printer.").replace("%1", counted), "", None
        if end.stopped:
            words = f"{self.tr('Stopped.')} {words if end.out else self.tr('Nothing went out.')}"
        reason = self.desk.session.snapshot.read_only_reason
        if reason:
            words = f"{words} {self.tr('It is not written down in the season file:')} {reason}"
        self.notice.say(words, Severity.NOTE if end.stopped or reason else None, button, do)
        self.people.model.tick(())
        self._ticked_once = end.stopped
        self._show_ready()

    def _open_folder(self, folder: Path) -> None:
        if not QDesktopServices.openUrl(QUrl.fromLocalFile(str(folder))):
            words = self.tr("No program answered that shows folders. The itineraries lie in %1.")
            self.notice.say(words.replace("%1", str(folder)), Severity.DOUBT)

    def _fail_run(self, error: DimpsyError) -> None:
        self.notice.say(str(error), Severity.TROUBLE)
        self._show_ready()

    def _dress(self) -> None:
        colours = self.desk.colours
        for part in (self.people, self.bar, self.bars, self.notice, self.preview):
            part.set_colours(colours)
