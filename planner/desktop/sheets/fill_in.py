"""Writes the workbooks that volunteers fill in."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from planner.desktop.desk import Desk
from planner.desktop.sheets.words import tr
from planner.domain.errors import DimpsyError
from planner.usecases.field_files import FilledStandThereError, FillInWritten, write_fill_in


class FillInWriting:
    """Asks for a folder, writes a workbook for everybody who goes, and says what was written."""

    def __init__(self, desk: Desk, parent: QWidget) -> None:
        self._desk = desk
        self._parent = parent

    def ask(self) -> None:
        """Ask where to, and write."""
        folder = QFileDialog.getExistingDirectory(self._parent, tr("Where are the workbooks to be written?"))
        if folder:
            self.write(Path(folder), force=False)

    def write(self, folder: Path, *, force: bool) -> None:
        """Write into a folder; ``force``: whether workbooks that stand there may be replaced."""
        self._desk.session.ask(
            lambda file: write_fill_in(file, folder, force=force),
            lambda written: self._say(folder, written),
            owner=self._parent,
            failed=lambda error: self._failed(folder, error),
            words=tr("Writing fill-in workbooks"),
        )

    def _say(self, folder: Path, written: Sequence[FillInWritten]) -> None:
        self._desk.say(tr("%1 workbooks lie in %2.", sum(len(one.paths) for one in written), folder))

    def _failed(self, folder: Path, error: DimpsyError) -> None:
        if not isinstance(error, FilledStandThereError):
            self._desk.session.failed.emit(error)
            return
        asked = QMessageBox(self._parent)
        asked.setWindowTitle(tr("Fill-in workbooks"))
        asked.setText(tr("Workbooks of those names stand there already, and somebody may have written into them."))
        asked.setInformativeText(tr("What was written into them is lost if they are replaced."))
        replace = asked.addButton(tr("Replace them"), QMessageBox.ButtonRole.DestructiveRole)
        leave = asked.addButton(tr("Leave them"), QMessageBox.ButtonRole.RejectRole)
        asked.setDefaultButton(leave)
        replace.clicked.connect(lambda: self.write(folder, force=True))
        asked.finished.connect(asked.deleteLater)
        asked.open()
