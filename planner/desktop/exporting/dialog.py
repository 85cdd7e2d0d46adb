"""Writes routes as files: which of them, in which formats, into which folder."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QStandardPaths, Qt, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.desk import Desk
from planner.desktop.exporting.route_ticks import RouteTicks
from planner.desktop.exporting.words import format_words, tr, written_words
from planner.desktop.look.words import heading, quiet, statement, title
from planner.desktop.paper.outcome import Notice
from planner.domain.errors import DimpsyError
from planner.domain.finding import Severity
from planner.usecases.exporting import ALL_FORMATS, Exported, OthersStandThereError, RouteFormat, export_routes

_WIDTH, _HEIGHT = 720, 700
_LEAST_WIDTH, _LEAST_HEIGHT = 560, 560
_FOLDER, _FORMATS = "export folder", "export formats"
"""What the window remembers."""


class WriteFiles(QDialog):
    """Open it with ``open()``; it stays open, says what was written, and lets go of itself when it is closed."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._working = False
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(tr("Write files"))
        self.formats = {kind: QCheckBox(format_words(kind)) for kind in ALL_FORMATS}
        kept = desk.settings.value(_FORMATS, [str(kind) for kind in ALL_FORMATS])
        for kind, box in self.formats.items():
            box.setChecked(kind in kept)
            box.toggled.connect(lambda _on: self._judge())
        self.routes = RouteTicks([(one.code, one.name) for one in desk.session.snapshot.season.routes])
        self.routes.changed.connect(self._judge)
        documents = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
        self.folder = QLineEdit(desk.settings.value(_FOLDER, "") or documents or str(Path.home()))
        self.folder.setAccessibleName(tr("Folder for the files"))
        self.folder.textChanged.connect(lambda _text: self._judge())
        self.choose = QPushButton(tr("Choose …"))
        self.choose.setAutoDefault(False)
        self.choose.clicked.connect(lambda _checked: self._choose())
        self.outcome = Notice(desk.colours)
        self.write = QPushButton(tr("Write the files"))
        self._lay_out()
        self.resize(_WIDTH, min(_HEIGHT, self.screen().availableSize().height() - 40))
        self._judge()

    @property
    def chosen_formats(self) -> tuple[RouteFormat, ...]:
        """The formats that are ticked."""
        return tuple(kind for kind, box in self.formats.items() if box.isChecked())

    def _why_not(self) -> str:
        if self._working:
            return tr("The files are being written.")
        if not self.routes.all_codes:
            return tr("The season has no routes yet.")
        if not self.chosen_formats:
            return tr("Tick a format first.")
        if not self.routes.codes:
            return tr("Tick a route first.")
        return "" if self.folder.text().strip() else tr("Say into which folder.")

    def _judge(self) -> None:
        why_not = self._why_not()
        self.write.setEnabled(not why_not)
        self.write.setToolTip(why_not)

    def _write(self, *, force: bool = False) -> None:
        # What is not typed from the root lies in the person's own folder, not wherever the program was started.
        folder, formats = Path.home() / Path(self.folder.text().strip()).expanduser(), self.chosen_formats
        codes = () if self.routes.codes == self.routes.all_codes else self.routes.codes
        self._working = True
        self._judge()
        self._desk.session.ask(
            lambda file: export_routes(file, folder, formats, codes, force=force),
            self._written,
            failed=self._failed,
            owner=self,
            words=tr("Writing files"),
        )

    def _written(self, exported: Exported) -> None:
        self._working = False
        settings = self._desk.settings
        settings.keep(_FOLDER, self.folder.text().strip())
        settings.keep(_FORMATS, [str(kind) for kind in self.chosen_formats])
        folder = exported.files[0].path.parent
        self.outcome.say(
            written_words(exported),
            None,
            tr("Open the folder"),
            lambda: QDesktopServices.openUrl(QUrl.fromLocalFile(str(folder))),
        )
        self._judge()

    def _failed(self, error: DimpsyError) -> None:
        self._working = False
        if isinstance(error, OthersStandThereError):
            names = ", ".join(Path(reason).name for reason in error.reasons)
            said = tr("Nothing was written: files of other content stand there: %1.", names)
            self.outcome.say(said, Severity.DOUBT, tr("Replace them"), lambda: self._write(force=True))
        else:
            self.outcome.say(str(error), Severity.TROUBLE)
        self._judge()

    def _choose(self) -> None:
        folder = QFileDialog.getExistingDirectory(self, tr("Folder for the files"), self.folder.text())
        if folder:
            self.folder.setText(folder)

    def _lay_out(self) -> None:
        self.write.setProperty("main", True)
        self.write.clicked.connect(lambda _checked: self._write())
        buttons = QDialogButtonBox()
        buttons.addButton(self.write, QDialogButtonBox.ButtonRole.ActionRole)
        buttons.addButton(tr("Close"), QDialogButtonBox.ButtonRole.RejectRole)
        buttons.rejected.connect(self.close)
        where = QHBoxLayout()
        where.addWidget(self.folder, 1)
        where.addWidget(self.choose)
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 14, 16, 14)
        column.setSpacing(8)
        # What is said at the end takes its room from the list: the window keeps its size on a small screen.
        column.setSizeConstraint(QVBoxLayout.SizeConstraint.SetNoConstraint)
        self.setMinimumSize(_LEAST_WIDTH, _LEAST_HEIGHT)
        column.addWidget(title(tr("Write routes for other programs")))
        column.addWidget(statement(tr("No volunteer, no home and no telephone number goes into these files.")))
        care = tr("They hold places of sensitive wildlife, and the notes of points as they stand.")
        column.addWidget(quiet(care))
        column.addWidget(heading(tr("Formats")))
        boxes = QVBoxLayout()
        boxes.setSpacing(0)
        for box in self.formats.values():
            boxes.addWidget(box)
        column.addLayout(boxes)
        column.addWidget(heading(tr("Routes")))
        column.addWidget(self.routes, 1)
        column.addWidget(heading(tr("Folder")))
        column.addLayout(where)
        column.addWidget(self.outcome)
        column.addWidget(buttons)
