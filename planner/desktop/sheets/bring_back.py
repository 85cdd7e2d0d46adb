"""The preview of filled-in files: what was read, every cell that could not be, and nothing changed until it is kept."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFileDialog, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.tables import give_shares, plain_table
from planner.desktop.look.words import heading, quiet, title
from planner.desktop.sheets.back_model import TextModel, bad_headings, bad_rows, passed_rows, read_headings, read_rows
from planner.desktop.sheets.bring_in import BringIn
from planner.desktop.sheets.words import tr
from planner.usecases.field_files import Back, KeptBack, keep_back, read_back

_MOST_NOTES = 5
_SHARES = (0.25, 0.2, 0.12, 0.2)
"""Of the width, for all columns of bad cells but the last: what to do has what is left."""


class BringBack(BringIn):
    """Reads files in the background, shows what they hold, and keeps it once a person says so."""

    kept = Signal(object)
    """The KeptBack."""

    def __init__(self, desk: Desk, paths: Sequence[Path], parent: QWidget | None = None) -> None:
        again = tr("Close this, see to what is said above, and bring the files in again.")
        super().__init__(desk, tr("Bring filled-in sheets in"), tr("Keep"), again, parent)
        self.back: Back | None = None
        """What the files hold; None while they are being read."""
        self.stands.setText(tr("Reading the files …"))
        self.read, self.bad = TextModel(read_headings(), self), TextModel(bad_headings(), self)
        self.read_view = plain_table(self.read, tr("What was read"), 2)
        self.bad_view = plain_table(self.bad, tr("Cells that could not be taken"), 4)
        give_shares(self.bad_view, _SHARES, self.width())
        self.bad_title = heading(tr("Cells that could not be taken"))
        self.notes = quiet()
        self._lay_out()
        self._say_keep(tr("The files are still being read."))
        desk.session.ask(
            lambda file: read_back(file, paths, desk.today(), pass_over=True),
            self._show,
            owner=self,
            failed=self._failed,
            words=tr("Reading filled-in sheets"),
        )

    def _show(self, back: Back) -> None:
        self.back = back
        rule = self._desk.session.snapshot.season.protocol.habitat
        self.read.show(read_rows(back, rule))
        self.bad.show([*passed_rows(back.passed_over), *bad_rows(back.bad)])
        self.bad_view.setVisible(bool(back.bad or back.passed_over))
        self.bad_title.setVisible(bool(back.bad or back.passed_over))
        if back.passed_over:
            self.bad_title.setText(tr("Files that were passed over, and cells that could not be taken"))
        shown = list(back.notes[:_MOST_NOTES])
        if len(back.notes) > _MOST_NOTES:
            shown.append(tr("And %1 more notes.", len(back.notes) - _MOST_NOTES))
        self.notes.setText("\n".join(shown))
        self.notes.setToolTip("\n".join(back.notes))
        self.notes.setVisible(bool(shown))
        self.stands.setText(_stands(back))
        why_not = "" if back.changes else tr("There is nothing to keep.")
        self._say_keep(self._desk.session.snapshot.read_only_reason or why_not)

    def _keep(self) -> None:
        back, today, problem = self.back, self._desk.today(), self._desk.session.problem
        if back is None:
            return
        self._say_keep(tr("It is being kept."))
        self._desk.session.do(
            lambda file: keep_back(file, back, today, problem), self._has_kept, self._failed, tr("Keeping sheets")
        )

    def _has_kept(self, kept: KeptBack) -> None:
        self.kept.emit(kept)
        self._be_done()

    def _lay_out(self) -> None:
        self.bad_view.hide()
        self.bad_title.hide()
        self.notes.hide()
        self.keep.clicked.connect(lambda _checked: self._keep())
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 14, 16, 14)
        column.setSpacing(10)
        column.addWidget(title(tr("What came back")))
        column.addWidget(self.stands)
        column.addWidget(self.read_view, 3)
        column.addWidget(self.bad_title)
        column.addWidget(self.bad_view, 2)
        column.addWidget(self.notes)
        column.addWidget(self._buttons())


def choose_filled(parent: QWidget) -> list[Path]:
    """Ask which filled-in files to bring in."""
    kinds = tr("Filled-in sheets (*.xlsx *.xlsm *.csv *.tsv *.txt)")
    paths, _ = QFileDialog.getOpenFileNames(parent, tr("Bring filled-in sheets in"), "", kinds)
    return [Path(path) for path in paths]


def _stands(back: Back) -> str:
    """Return what the files hold, in a sentence or two."""
    said = [tr("%1 habitat sheets and %2 visit records are new or changed.", len(back.sheets), len(back.records))]
    if back.same:
        said.append(tr("%1 stand in the season already just so.", back.same))
    if back.passed_over:
        names = ", ".join(one.path.name for one in back.passed_over)
        said.append(tr("Passed over, with nothing of them taken: %1.", names))
    if back.bad:
        count = len(back.bad)
        cells = tr("1 cell could not be taken") if count == 1 else tr("%1 cells could not be taken", count)
        said.append(tr("%1: what stood there stays with its sheet, marked.", cells))
    if back.changes:
        said.append(tr("Nothing is changed yet. Keeping it is one step, and Ctrl+Z takes it back."))
    return " ".join(said)
