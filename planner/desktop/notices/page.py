"""The page of calendars and messages in the Paper room: who must be told what, their letters, and writing the files."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from pathlib import Path

from PySide6.QtCore import QModelIndex, Qt, QUrl
from PySide6.QtGui import QDesktopServices, QShowEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QCheckBox,
    QFileDialog,
    QHBoxLayout,
    QProgressBar,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.desk import Desk
from planner.desktop.look.tables import plain_table
from planner.desktop.look.words import quiet, statement, title
from planner.desktop.notices.letter_pane import LetterPane
from planner.desktop.notices.people_model import Column, NoticePeopleModel
from planner.desktop.notices.runs import SendRuns
from planner.desktop.notices.watch import NoticesWatch
from planner.desktop.notices.words import standing
from planner.desktop.paper.outcome import Notice
from planner.domain.errors import DimpsyError
from planner.domain.finding import Severity
from planner.usecases.sending.send import Sent

LEFT_WIDTH = 520
"""Of the people's side at first, in pixels; the splitter changes it."""


class NoticesPage(QWidget):
    """People at the left, the letter of the one chosen at the right."""

    def __init__(self, desk: Desk, open_address: Callable[[QUrl], bool] = QDesktopServices.openUrl) -> None:
        super().__init__()
        self._desk, self._open = desk, open_address
        self.watch = NoticesWatch(desk, self)
        self.runs = SendRuns(desk.session, self)
        self.model = NoticePeopleModel(desk.colours, desk.session.snapshot.season.tzinfo, self)
        self.table = plain_table(self.model, self.tr("Volunteers and what they must be told"), Column.NAME)
        self.letter = LetterPane(open_address)
        self.stands = statement(self.tr("Looking who must be told what …"))
        self.news = QPushButton(self.tr("Tick those with news"))
        self.everybody = QPushButton(self.tr("Tick all"))
        self.nobody = QPushButton(self.tr("None"))
        self.write = QPushButton()
        self.stop = QPushButton(self.tr("Stop"))
        self.clear = QCheckBox(self.tr("Delete what is theirs no longer"))
        self.elsewhere = statement()
        self.progress = QProgressBar()
        self.notice = Notice(desk.colours)
        self._to_tick: Collection[str] | None = None
        self._lay_out()
        self._connect()
        self._show_news()

    def showEvent(self, event: QShowEvent) -> None:
        """Begin to look when the page is first seen."""
        super().showEvent(event)
        self.watch.want()

    def tick_when_known(self, codes: Collection[str]) -> None:
        """Tick exactly these once it is known who must be told what, and show the first of them."""
        self._to_tick = codes
        self.watch.want()
        if self.watch.fresh:
            self._show_news()

    def choose(self, code: str) -> None:
        """Make somebody's row the current one."""
        row = self.model.row_of(code)
        if row is not None:
            self.table.setCurrentIndex(self.model.index(row, Column.NAME))

    def write_into(self, folder: Path) -> None:
        """Write the files of those ticked, each into a folder of their own in that one."""
        if self.watch.fresh:
            self._desk.settings.keep("notices folder", str(folder))
            self.runs.write(self.watch, self.model.ticked, folder, self._desk.now(), clear=self.clear.isChecked())

    def _ask_folder(self) -> None:
        beside = self._desk.session.snapshot.path.parent / "notices"
        kept = Path(self._desk.settings.value("notices folder", str(beside)))
        start = str(kept if kept.is_dir() else beside.parent)
        folder = QFileDialog.getExistingDirectory(self, self.tr("Folder for everybody's folder"), start)
        if folder:
            self.write_into(Path(folder))

    def _show_news(self) -> None:
        if self.watch.obstacle:
            self.stands.setText(self.watch.obstacle)
        elif self.watch.fresh:
            self.stands.setText(standing(self.watch.people))
            self.elsewhere.setText(self.watch.elsewhere)
            self.elsewhere.setVisible(bool(self.watch.elsewhere))
        if self.watch.fresh or self.watch.obstacle:
            self._show_people()
        self._show_ready()

    def _show_people(self) -> None:
        row = self.table.currentIndex().row()
        before = self.model.people[row].code if 0 <= row < len(self.model.people) else ""
        self.model.show_people(self.watch.people)
        if self._to_tick is not None and self.watch.fresh:
            self.model.tick(self._to_tick)
            before = next(iter(self.model.ticked), before)
            self._to_tick = None
        self.choose(before if self.model.row_of(before) is not None else next((o.code for o in self.model.people), ""))
        self._show_letter()

    def _show_letter(self) -> None:
        row = self.table.currentIndex().row()
        people = self.model.people
        self.letter.show_person(people[row] if 0 <= row < len(people) else None)

    def _show_ready(self) -> None:
        count, why_not = len(self.model.ticked), self._why_not()
        words = {0: self.tr("Write the files …"), 1: self.tr("Write the files of 1 person …")}
        some = self.tr("Write the files of %1 people …").replace("%1", str(count))
        self.write.setText(words.get(count, some))
        self.write.setEnabled(not why_not)
        self.write.setToolTip(
            why_not or self.tr("Calendar, points of each outing, page for the telephone, messages; they count as told")
        )
        news = len(self.model.with_news)
        self.news.setEnabled(news > 0)
        self.news.setToolTip("" if news else self.tr("Everybody has been told how things stand"))
        for button in (self.everybody, self.nobody):
            button.setEnabled(bool(self.model.people))
            button.setToolTip("" if self.model.people else self.tr("Nobody has an outing yet"))
        self.progress.setVisible(self.runs.running)
        self.stop.setVisible(self.runs.running)
        self.write.setVisible(not self.runs.running)
        self.clear.setVisible(not self.runs.running)

    def _why_not(self) -> str:
        if self._desk.session.snapshot.read_only_reason:
            return self.tr("The season file may only be read, so nobody could be kept as told")
        if self.watch.obstacle:
            return self.watch.obstacle
        if not self.watch.fresh:
            return self.tr("What must be told is still being looked through")
        return "" if self.model.ticked else self.tr("Tick the people whose files are to be written")

    def _begin(self) -> None:
        self.notice.hide()
        self.progress.setRange(0, len(self.model.ticked))
        self.progress.setValue(0)
        self._show_ready()

    def _end(self, sent: Sent) -> None:
        folder, count = sent.folder, len(sent.people)
        some = self.tr("Files for %1 people, written into %2. They count as told; each folder goes to its own person.")
        one = self.tr("Files for 1 person, written into %2. They count as told.")
        words = (one if count == 1 else some).replace("%1", str(count)).replace("%2", str(folder))
        old = sum(len(person.old) for person in sent.people)
        words = " ".join((words, *self._of_old(sum(len(person.cleared) for person in sent.people), old)))
        if not count:
            words = self.tr("Stopped. Nothing was written.")
        severity = Severity.NOTE if old or not count else None
        self.notice.say(words, severity, self.tr("Open the folder"), lambda: self._open_folder(folder))
        self.model.tick(())
        self._show_ready()

    def _of_old(self, cleared: int, left: int) -> Iterator[str]:
        """Yield what became of files from before that are nobody's any more."""
        if cleared:
            words = self.tr("1 file from before was deleted.") if cleared == 1 else self.tr("%1 files were deleted.")
            yield words.replace("%1", str(cleared))
        if left and self.clear.isChecked():
            yield self.tr("%1 stay that were changed since, or are not ours; do not send them.").replace(
                "%1", str(left)
            )
        elif left:
            more = self.tr("%1 files from before are nobody's any more; do not send them. The tick below deletes them.")
            yield more.replace("%1", str(left))

    def _fail(self, error: DimpsyError) -> None:
        self.notice.say(str(error), Severity.TROUBLE)
        self._show_ready()

    def _open_folder(self, folder: Path) -> None:
        if not self._open(QUrl.fromLocalFile(str(folder))):
            words = self.tr("No program answered that shows folders. The files lie in %1.")
            self.notice.say(words.replace("%1", str(folder)), Severity.DOUBT)

    def _dress(self) -> None:
        self.model.set_colours(self._desk.colours)
        self.notice.set_colours(self._desk.colours)

    def _come_to(self, _now: QModelIndex, _before: QModelIndex) -> None:
        self._show_letter()

    def _connect(self) -> None:
        self.watch.changed.connect(self._show_news)
        self.model.ticks_changed.connect(self._show_ready)
        self.table.selectionModel().currentRowChanged.connect(self._come_to)
        self.news.clicked.connect(lambda: self.model.tick(self.model.with_news))
        self.everybody.clicked.connect(lambda: self.model.tick(one.code for one in self.model.people))
        self.nobody.clicked.connect(lambda: self.model.tick(()))
        self.write.clicked.connect(self._ask_folder)
        self.stop.clicked.connect(self.runs.stop)
        self.letter.said.connect(self._desk.say)
        self.runs.began.connect(self._begin)
        self.runs.progressed.connect(lambda done, _of: self.progress.setValue(done))
        self.runs.ended.connect(self._end)
        self.runs.failed.connect(self._fail)
        self._desk.look_changed.connect(self._dress)

    def _lay_out(self) -> None:
        start = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        self.table.horizontalHeader().setDefaultAlignment(start)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.write.setProperty("main", True)  # Qt's signature
        self.progress.setAccessibleName(self.tr("People whose files are written"))
        self.clear.setToolTip(
            self.tr("In the folders of those ticked: files from before, written by this program and unchanged since")
        )
        self.elsewhere.hide()
        self.stop.setToolTip(self.tr("Stop before the next person; files that are written stay"))
        ticks, foot = QHBoxLayout(), QHBoxLayout()
        for button in (self.news, self.everybody, self.nobody):
            ticks.addWidget(button)
        ticks.addStretch(1)
        foot.addWidget(self.progress, 4)
        foot.addWidget(self.stop)
        foot.addStretch(1)
        foot.addWidget(self.write)
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 6, 0)
        column.addWidget(title(self.tr("Calendars and messages")))
        column.addWidget(self.stands)
        column.addWidget(self.elsewhere)
        column.addLayout(ticks)
        column.addWidget(self.table, 1)
        column.addWidget(quiet(self.tr("What is written counts as told. Each folder is for its own person only.")))
        column.addWidget(self.notice)
        column.addWidget(self.clear)
        column.addLayout(foot)
        sides = QSplitter(Qt.Orientation.Horizontal)
        sides.addWidget(left)
        sides.addWidget(self.letter)
        sides.setSizes([LEFT_WIDTH, LEFT_WIDTH])
        sides.setChildrenCollapsible(False)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 8, 0, 0)
        whole.addWidget(sides)
