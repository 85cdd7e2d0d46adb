"""When the season runs, and the dates of each visit; set together, as one step."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence

from PySide6.QtCore import QDate, Qt, Signal
from PySide6.QtWidgets import QDateEdit, QGridLayout, QHBoxLayout, QLabel, QPushButton, QWidget

from planner.desktop.look.words import statement
from planner.domain.calendar import DateRange
from planner.domain.errors import RuleError
from planner.domain.season import Season


class RangeEdit(QWidget):
    """A first and a last date."""

    changed = Signal()

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.first, self.last = QDateEdit(), QDateEdit()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        for edit, end in ((self.first, self.tr("first date")), (self.last, self.tr("last date"))):
            edit.setCalendarPopup(True)
            edit.setDisplayFormat("ddd d MMM yyyy")
            edit.setAccessibleName(f"{name}, {end}")
            edit.dateChanged.connect(lambda _day: self.changed.emit())
            row.addWidget(edit)
        row.insertWidget(1, QLabel("–"))
        row.addStretch(1)

    def show_range(self, dates: DateRange) -> None:
        """Show a range."""
        self.first.setDate(QDate(dates.first.year, dates.first.month, dates.first.day))
        self.last.setDate(QDate(dates.last.year, dates.last.month, dates.last.day))

    @property
    def range(self) -> DateRange:
        """The range; raises RuleError where it is reversed."""
        return DateRange(_day(self.first.date()), _day(self.last.date()))


class DatesBox(QWidget):
    """The dates as they stand, and a button that sets what was changed."""

    wished = Signal(object, object)
    """The DateRange of the season, and a mapping of visit numbers to theirs."""

    def __init__(self, visits: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.season = RangeEdit(self.tr("The season"))
        self.visits = [RangeEdit(self.tr("Visit %1").replace("%1", str(number))) for number in range(1, visits + 1)]
        self.trouble = statement()
        self.set_button = QPushButton(self.tr("Set these dates"))
        self.back = QPushButton(self.tr("Put back"))
        self._stands: tuple[DateRange, Sequence[DateRange]] | None = None
        self._may_write = True
        self.set_button.clicked.connect(self._wish)
        self.back.clicked.connect(self._put_back)
        self._lay_out()
        for edit in (self.season, *self.visits):
            edit.changed.connect(self._show_state)

    def show_season(self, season: Season, *, may_write: bool) -> None:
        """Show the dates of a season; what is being changed is left alone where the file's dates are as before."""
        stands, self._may_write = (season.dates, season.visits), may_write
        if stands != self._stands:
            self._stands = stands
            self._put_back()
        self._show_state()

    def refuse(self, why: str) -> None:
        """Say why the dates cannot be set."""
        self.trouble.setText(why)
        self.trouble.show()

    def _put_back(self) -> None:
        if self._stands is None:
            return
        dates, visits = self._stands
        self.season.show_range(dates)
        for edit, own in zip(self.visits, visits, strict=True):
            edit.show_range(own)
        self._show_state()

    def _wish(self) -> None:
        try:
            ranges: Mapping[int, DateRange] = {number: edit.range for number, edit in enumerate(self.visits, start=1)}
            self.wished.emit(self.season.range, ranges)
        except RuleError as error:
            self.refuse(str(error))

    def _show_state(self) -> None:
        self.trouble.hide()
        changed = self._changed
        self.set_button.setEnabled(changed and self._may_write)
        self.set_button.setToolTip("" if changed else self.tr("The dates are those of the file"))
        self.back.setEnabled(changed)
        self.back.setToolTip("" if changed else self.tr("The dates are those of the file"))

    @property
    def _changed(self) -> bool:
        if self._stands is None:
            return False
        try:
            return (self.season.range, tuple(edit.range for edit in self.visits)) != self._stands
        except RuleError:
            return True

    def _lay_out(self) -> None:
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setColumnStretch(1, 1)
        names = [self.tr("The season")]
        names += [self.tr("Visit %1").replace("%1", str(number)) for number in range(1, len(self.visits) + 1)]
        for row, (name, edit) in enumerate(zip(names, (self.season, *self.visits), strict=True)):
            label = QLabel(name)
            label.setBuddy(edit.first)
            grid.addWidget(label, row, 0)
            grid.addWidget(edit, row, 1)
        buttons = QHBoxLayout()
        buttons.addWidget(self.set_button)
        buttons.addWidget(self.back)
        buttons.addStretch(1)
        grid.addWidget(self.trouble, len(names), 0, 1, 2, Qt.AlignmentFlag.AlignTop)
        grid.addLayout(buttons, len(names) + 1, 0, 1, 2)


def _day(date: QDate) -> dt.date:
    return dt.date(date.year(), date.month(), date.day())
