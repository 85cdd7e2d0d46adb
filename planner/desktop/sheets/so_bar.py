"""Answers a finding on sheets by 'it is so', and takes such an answer back."""

from __future__ import annotations

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import quiet
from planner.desktop.sheets.grid_head import action_button
from planner.desktop.sheets.words import tr
from planner.domain.errors import DimpsyError
from planner.domain.field.confirming import anything_confirmed
from planner.domain.field.habitat_sheet import HabitatSheet
from planner.domain.finding import Finding, Rule
from planner.usecases.sheets import ask_again, it_is_so, may_be_so
from planner.usecases.sheets.confirming import MOST_NOTE_LETTERS

_NOTE_LETTERS = 18
"""Of the note find room in its line."""


class SoBar(QWidget):
    """A line for who said so and two buttons; what makes no sense now is not there."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._finding: Finding | None = None
        self._sheet: HabitatSheet | None = None
        self.said = quiet()
        self.note = QLineEdit()
        self.note.setAccessibleName(tr("Who says so"))
        self.note.setPlaceholderText(tr("Who says so"))
        self.note.setToolTip(tr("May be left blank; it is kept with the sheet"))
        self.note.setMaxLength(MOST_NOTE_LETTERS)
        self.note.setMinimumWidth(self.note.fontMetrics().averageCharWidth() * _NOTE_LETTERS)
        self.so = QAction(tr("It is so"), self)
        self.so.setToolTip(tr("It was asked about and is right: nothing is said of it until the sheet changes"))
        self.again = QAction(tr("Ask again"), self)
        self.again.setToolTip(tr("Take back that it was confirmed: all that is found is told again"))
        self._lay_out()
        for part in (self.said, self.note, *self._buttons.values()):
            part.hide()
        self.so.triggered.connect(self._answer)
        self.note.returnPressed.connect(self._answer)
        self.again.triggered.connect(self._take_back)

    def show_finding(self, finding: Finding | None, sheet: HabitatSheet | None) -> None:
        """Offer what can be answered.

        Args:
            finding: the one that is chosen; None: none is.
            sheet: the sheet that is looked at, of which something may have been confirmed.
        """
        if finding != self._finding:
            self.note.clear()
        self._finding, self._sheet = finding, sheet
        reason = self._desk.session.snapshot.read_only_reason
        open_here = finding is not None and may_be_so(finding.rule) and not reason
        confirmed = sheet is not None and anything_confirmed(sheet)
        self.said.setText(_said(sheet) if sheet is not None and confirmed else "")
        self.said.setVisible(confirmed)
        self._buttons["again"].setVisible(confirmed and not reason)
        self._buttons["so"].setVisible(open_here)
        self.note.setVisible(open_here and finding is not None and finding.rule is not Rule.PHOTO_FAR)

    def _answer(self) -> None:
        finding, note = self._finding, self.note.text()
        if finding is not None:
            self._desk.session.do(lambda file: it_is_so(file, finding, note), failed=self._say)

    def _take_back(self) -> None:
        sheet = self._sheet
        if sheet is not None:
            self._desk.session.do(lambda file: ask_again(file, [sheet.key]), failed=self._say)

    def _say(self, error: DimpsyError) -> None:
        self._desk.say(str(error))

    def _lay_out(self) -> None:
        self._buttons = {"so": action_button(self.so), "again": action_button(self.again)}
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        for part in (self.said, self.note, *self._buttons.values()):
            row.addWidget(part)


def _said(sheet: HabitatSheet) -> str:
    """Return what was confirmed of a sheet."""
    if not sheet.is_confirmed or sheet.confirmed is None:
        return tr("Its photos were said to show the point.")
    return tr("Confirmed: %1.", sheet.confirmed.note) if sheet.confirmed.note else tr("Confirmed: it is so.")
