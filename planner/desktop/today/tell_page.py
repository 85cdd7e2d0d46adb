"""After a way was taken: who must be told, with the words ready, and their new itineraries."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import Qt, QUrl, Signal
from PySide6.QtGui import QDesktopServices, QGuiApplication
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFileDialog,
    QHBoxLayout,
    QHeaderView,
    QPlainTextEdit,
    QPushButton,
    QSplitter,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.desk import Desk
from planner.desktop.look.words import figure, heading, statement, title
from planner.desktop.paper.runs import PrintRuns, RunEnd
from planner.desktop.today.notices_model import NoticeColumn, NoticesModel
from planner.desktop.today.watch import Watch
from planner.domain.errors import DimpsyError, ImpossibleError
from planner.domain.plan import Plan
from planner.printing import Paper
from planner.usecases.evening.cancelling import Accepted
from planner.usecases.paper.print_facts import print_facts
from planner.usecases.sending.notice import Notice


class TellPage(QWidget):
    """A list of people at the left, their letter at the right."""

    left = Signal()
    """Everything is told, or left for later."""

    def __init__(
        self, desk: Desk, watch: Watch, open_address: Callable[[QUrl], bool] = QDesktopServices.openUrl
    ) -> None:
        super().__init__()
        self._desk, self._watch, self._open = desk, watch, open_address
        self._plan = Plan()
        self._title, self._stands = title(), statement()
        self._name, self._number = heading(), figure()
        self.rows = NoticesModel(self)
        self.table = QTableView()
        self.text = QPlainTextEdit()
        self.copy = QPushButton(self.tr("Copy the text"))
        self.copy_number = QPushButton(self.tr("Copy the number"))
        self.mail = QPushButton(self.tr("Open in the mail program"))
        self.told = QPushButton(self.tr("Told: next one"))
        self.print = QPushButton()
        self.calendars = QPushButton()
        self.open_folder = QPushButton(self.tr("Open the folder"))
        self.back = QPushButton(self.tr("Back to the evening"))
        self._printed = statement()
        self._unanswered = statement()
        self._folder: Path | None = None
        self.runs = PrintRuns(desk.session, self)
        self._lay_out()
        self._connect()

    def show_accepted(self, done: Accepted, notices: Sequence[Notice]) -> None:
        """Show whom an accepted way must be told to."""
        self._plan = done.way.plan
        self._title.setText(self.tr("Done. Now tell those whom it touches"))
        self._done = self.tr("%1. Undo (Ctrl+Z) takes it back.").replace("%1", done.label)
        self._folder = None
        self._printed.setText("")
        self.open_folder.hide()
        self.rows.show(notices)
        self._fit()
        if notices:
            self.table.setCurrentIndex(self.rows.index(0, 0))
        self.told.setFocus()
        self._stand()

    def write_into(self, folder: Path) -> None:
        """Write the new itineraries of those who are told into a folder."""
        problem, snapshot = self._watch.problem, self._desk.session.snapshot
        if problem is None:
            return
        try:
            facts = print_facts(snapshot, problem, self._desk.session.network, self._desk.today())
        except ImpossibleError as error:
            self._printed.setText(str(error))
            return
        self._desk.settings.keep("paper folder", str(folder))
        self._printed.setText(self.tr("Writing the itineraries …"))
        paper = Paper(self._desk.settings.value("paper", Paper.A4.value))
        self.runs.write(facts, self._fresh, folder, paper)

    @property
    def printed_words(self) -> str:
        """What came of writing the itineraries."""
        return self._printed.text()

    @property
    def unanswered(self) -> str:
        """That no mail program answered; empty as long as none was asked in vain."""
        return self._unanswered.text()

    @property
    def standing(self) -> str:
        """How many are still to be told, or why the letters hold no longer."""
        return self._stands.text()

    @property
    def still_to_tell(self) -> int:
        """How many have not been told of a change that still stands."""
        return self.rows.left if self._desk.session.snapshot.plan == self._plan else 0

    @property
    def _fresh(self) -> tuple[str, ...]:
        return tuple(one.volunteer for one in self.rows.notices if one.fresh_paper)

    @property
    def _current(self) -> Notice | None:
        row = self.table.currentIndex().row()
        return self.rows.notices[row] if 0 <= row < len(self.rows.notices) else None

    def _show_letter(self) -> None:
        notice = self._current
        self._say_unanswered("")
        self._name.setText(notice.name if notice else "")
        self._number.setText((notice.telephone or self.tr("no number")) if notice else "")
        self.text.setPlainText(notice.text if notice else "")
        why_none = self.tr("No e-mail address is known of them")
        self.mail.setEnabled(bool(notice and notice.email))
        self.mail.setToolTip(notice.email if notice and notice.email else why_none)
        self.copy_number.setEnabled(bool(notice and notice.telephone))
        self.copy_number.setToolTip(notice.telephone if notice and notice.telephone else self.tr("No number is known"))
        for button in (self.copy, self.told):
            button.setEnabled(notice is not None)

    def _tell(self) -> None:
        """Tick the person in view and go to the next who has not been told."""
        row = self.table.currentIndex().row()
        if row < 0:
            return
        self.rows.tell(row, told=True)
        count = len(self.rows.notices)
        waiting = [at % count for at in range(row + 1, row + count) if not self.rows.is_told(at % count)]
        if waiting:
            self.table.setCurrentIndex(self.rows.index(waiting[0], 0))

    def _stand(self) -> None:
        """Say how many are left, or that the plan has gone on since."""
        snapshot = self._desk.session.snapshot
        fresh = snapshot.plan == self._plan
        count = len(self.rows.notices)
        if not fresh:
            self._stands.setText(
                self.tr("The plan has changed since: these letters may no longer be true. Go back to the evening.")
            )
        elif self.rows.left:
            words = self.tr("%1 Still to be told: %2 of %3.").replace("%1", self._done)
            self._stands.setText(words.replace("%2", str(self.rows.left)).replace("%3", str(count)))
        else:
            self._stands.setText(self.tr("%1 Everybody has been told.").replace("%1", self._done))
        self._enable_print(fresh=fresh)

    def _enable_print(self, *, fresh: bool) -> None:
        count = len(self._fresh)
        self.print.setText(self.tr("New itineraries for %1 into a folder …").replace("%1", str(count)))
        reason = ""
        if not count:
            reason = self.tr("Nobody who is touched has an outing any more.")
        elif not fresh:
            reason = self.tr("The plan has changed since.")
        elif self._watch.problem is None:
            reason = self.tr("Light and drives are being computed; in a moment.")
        elif self.runs.running:
            reason = self.tr("They are being written.")
        self.print.setEnabled(not reason)
        self.print.setToolTip(reason or self.tr("PDF files, to send with the letters"))
        touched = len(self.rows.notices)
        self.calendars.setText(self.tr("Calendars and messages for %1 …").replace("%1", str(touched)))
        self.calendars.setEnabled(fresh and touched > 0)
        why_not = self.tr("The plan has changed since.") if not fresh else self.tr("Nobody is touched.")
        files = self.tr("Files that bring calendars up to date, in the Paper room; those touched are ticked there")
        self.calendars.setToolTip(files if self.calendars.isEnabled() else why_not)

    def _ask_folder(self) -> None:
        beside = self._desk.session.snapshot.path.parent / "itineraries"
        kept = Path(self._desk.settings.value("paper folder", str(beside)))
        start = str(kept if kept.is_dir() else beside.parent)
        folder = QFileDialog.getExistingDirectory(self, self.tr("Folder for the PDF files"), start)
        if folder:
            self.write_into(Path(folder))

    def _show_printed(self, end: RunEnd) -> None:
        self._folder = end.folder
        words = self.tr("%1 itineraries lie in %2. Attach each to its letter.")
        self._printed.setText(words.replace("%1", str(len(end.out))).replace("%2", str(end.folder)))
        self.open_folder.setVisible(end.folder is not None)
        self._stand()

    def _show_failure(self, error: DimpsyError) -> None:
        self._printed.setText(str(error))
        self._stand()

    def _open_mail(self) -> None:
        notice = self._current
        if notice is not None:
            # Encoded already; anything else would encode its percent signs a second time.
            answered = self._open(QUrl(notice.mail_address, QUrl.ParsingMode.StrictMode))
            self._say_unanswered("" if answered else self.tr("No mail program answered; copy the text instead."))

    def _say_unanswered(self, words: str) -> None:
        self._unanswered.setText(words)
        self._unanswered.setVisible(bool(words))

    def _open_printed(self) -> None:
        if not self._open(QUrl.fromLocalFile(str(self._folder))):
            words = self.tr("No program answered that shows folders. The itineraries lie in %1.")
            self._printed.setText(words.replace("%1", str(self._folder)))

    def _copy_text(self) -> None:
        if self._current is not None:
            QGuiApplication.clipboard().setText(self._current.text)
            self._desk.say(self.tr("The letter is on the clipboard."))

    def _copy_number(self) -> None:
        if self._current is not None:
            QGuiApplication.clipboard().setText(self._current.telephone)

    def _connect(self) -> None:
        self.table.selectionModel().currentChanged.connect(lambda _now, _before: self._show_letter())
        self.rows.modelReset.connect(self._show_letter)
        self.rows.told_changed.connect(self._stand)
        self._desk.session.snapshot_changed.connect(lambda _snapshot: self._stand())
        self._watch.changed.connect(self._stand)
        self.copy.clicked.connect(self._copy_text)
        self.copy_number.clicked.connect(self._copy_number)
        self.mail.clicked.connect(self._open_mail)
        self.told.clicked.connect(self._tell)
        self.print.clicked.connect(self._ask_folder)
        self.calendars.clicked.connect(lambda: self._desk.tell([one.volunteer for one in self.rows.notices]))
        self.open_folder.clicked.connect(self._open_printed)
        self.back.clicked.connect(self.left.emit)
        self.runs.began.connect(self._stand)
        self.runs.ended.connect(self._show_printed)
        self.runs.failed.connect(self._show_failure)

    def _fit(self) -> None:
        header = self.table.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(NoticeColumn.NAME, QHeaderView.ResizeMode.Stretch)

    def _lay_out(self) -> None:
        self._done = ""
        self.table.setModel(self.rows)
        self.table.setAccessibleName(self.tr("Who must be told"))
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.setTabKeyNavigation(False)
        self.table.setShowGrid(False)
        self.table.setAlternatingRowColors(True)
        self.table.verticalHeader().hide()
        self.table.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        self.text.setReadOnly(True)
        self.text.setAccessibleName(self.tr("The letter"))
        self.text.setTabChangesFocus(True)
        self.told.setProperty("main", "true")
        self.copy.setToolTip(self.tr("To paste it into a message of any kind"))
        both = QSplitter(Qt.Orientation.Horizontal)
        both.addWidget(self.table)
        both.addWidget(self._letter_part())
        both.setSizes([460, 560])
        both.setChildrenCollapsible(False)
        head = QHBoxLayout()
        head.addWidget(self._title, 1)
        head.addWidget(self.back, 0, Qt.AlignmentFlag.AlignTop)
        paper = QHBoxLayout()
        paper.addWidget(self.calendars)
        paper.addWidget(self.print)
        paper.addWidget(self._printed, 1)
        paper.addWidget(self.open_folder)
        self.open_folder.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 10, 12, 10)
        column.setSpacing(8)
        column.addLayout(head)
        column.addWidget(self._stands)
        column.addWidget(both, 1)
        column.addLayout(paper)

    def _letter_part(self) -> QWidget:
        part = QWidget()
        buttons = QHBoxLayout()
        for button in (self.told, self.copy, self.copy_number, self.mail):
            buttons.addWidget(button)
        buttons.addStretch(1)
        column = QVBoxLayout(part)
        column.setContentsMargins(6, 0, 0, 0)
        column.addWidget(self._name)
        column.addWidget(self._number)
        column.addWidget(self.text, 1)
        column.addLayout(buttons)
        column.addWidget(self._unanswered)
        self._unanswered.hide()
        return part
