"""Writes the report as files: into which folder, with names or without; and what the page for the board looks like."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QStandardPaths, Qt, QUrl, Signal
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QCheckBox, QFileDialog, QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import quiet, statement
from planner.desktop.paper.outcome import Notice
from planner.desktop.reports.board_preview import BoardPreview
from planner.desktop.reports.words import tr
from planner.domain.errors import DimpsyError, ImpossibleError
from planner.domain.finding import Severity
from planner.printing import Paper
from planner.usecases.reports import ReportWish, ReportWritten

_FOLDER = "report folder"
"""What the window remembers."""


class FilesPage(QWidget):
    """Fields at the left, the page for the board at the right."""

    wanted = Signal(object, object)
    """A folder and a ReportWish."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._why_not = ""
        documents = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
        beside = desk.session.snapshot.path.parent / "report"
        self.folder = QLineEdit(desk.settings.value(_FOLDER, "") or str(beside) or documents)
        self.folder.setAccessibleName(tr("Folder for the report"))
        self.choose = QPushButton(tr("Choose …"))
        self.names = QCheckBox(tr("Name volunteers in the tables of hours"))
        self.tables = QCheckBox(tr("Tables, data dictionary and map too"))
        self.tables.setChecked(True)
        self.write = QPushButton(tr("Write the report"))
        self.write.setProperty("main", True)
        self.outcome = Notice(desk.colours)
        self.preview = BoardPreview(desk.colours)
        self._connect()
        self._lay_out()
        self.judge("")

    @property
    def wish(self) -> ReportWish:
        """What is to be written."""
        paper = self._desk.settings.value("paper", Paper.A4.value)
        size = Paper(paper) if paper in set(Paper) else Paper.A4
        return ReportWish(names=self.names.isChecked(), pdf_only=not self.tables.isChecked(), paper=size)

    def set_colours(self) -> None:
        """Change to the desk's palette."""
        self.outcome.set_colours(self._desk.colours)
        self.preview.set_colours(self._desk.colours)

    def judge(self, why_not: str) -> None:
        """Let the report be written, or say why it cannot be."""
        self._why_not = why_not
        said = why_not or ("" if self.folder.text().strip() else tr("Say into which folder."))
        self.write.setEnabled(not said)
        self.write.setToolTip(said)
        self.names.setEnabled(self.tables.isChecked())
        self.names.setToolTip("" if self.tables.isChecked() else tr("No table is written that could name anybody."))

    def ask(self) -> None:
        """Want the report written."""
        # What is not typed from the root lies in the person's own folder, not wherever the program was started.
        folder = Path.home() / Path(self.folder.text().strip()).expanduser()
        self.outcome.hide()
        self.wanted.emit(folder, self.wish)

    def show_written(self, written: ReportWritten) -> None:
        """Say what was written."""
        folder = written.files[0].path.parent
        self._desk.settings.keep(_FOLDER, str(folder))
        count = len(written.files)
        head = tr("1 file lies in %1.", folder) if count == 1 else tr("%1 files lie in %2.", count, folder)
        self.outcome.say(
            "\n".join([head, *written.notes]),
            None,
            tr("Open the folder"),
            lambda: QDesktopServices.openUrl(QUrl.fromLocalFile(str(folder))),
        )

    def show_failed(self, error: DimpsyError) -> None:
        """Say what went wrong."""
        self.outcome.say(str(error), Severity.DOUBT if isinstance(error, ImpossibleError) else Severity.TROUBLE)

    def _connect(self) -> None:
        self.folder.textChanged.connect(lambda _text: self.judge(self._why_not))
        self.tables.toggled.connect(lambda _on: self.judge(self._why_not))
        self.choose.clicked.connect(lambda _checked: self._choose())
        self.write.clicked.connect(lambda _checked: self.ask())

    def _choose(self) -> None:
        folder = QFileDialog.getExistingDirectory(self, tr("Folder for the report"), self.folder.text())
        if folder:
            self.folder.setText(folder)

    def _lay_out(self) -> None:
        where = QHBoxLayout()
        where.addWidget(self.folder, 1)
        where.addWidget(self.choose)
        column = QVBoxLayout()
        column.setSpacing(8)
        column.addWidget(
            statement(tr("One page for the board as PDF, tables with a data dictionary, a map of points."))
        )
        care = tr("The map holds places of sensitive wildlife: pass it on only to those who must stand there.")
        hours = tr("Only the tables of hours hold data of volunteers; no file holds a home or a telephone number.")
        column.addWidget(quiet(f"{care} {hours}"))
        column.addLayout(where)
        column.addWidget(self.tables)
        column.addWidget(self.names)
        column.addWidget(self.write, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.outcome)
        column.addStretch(1)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 10, 0, 0)
        whole.addLayout(column, 1)
        whole.addWidget(self.preview, 1)
