"""Dates said in a sentence: give the evening of every Tuesday from one date to another; take back a week away."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from PySide6.QtCore import QDate, Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QDateEdit,
    QHBoxLayout,
    QPushButton,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.look.words import quiet
from planner.desktop.people.phrases import brief_weekdays, part_name, said, weekday_names
from planner.domain.calendar import DateRange
from planner.domain.window import PartOfDay
from planner.usecases.people.giving_dates import DatesRule

_EVERY_DAY = frozenset(range(7))
_LETTERS = 7
"""So many are seen of a choice where there is little room; the list shows it whole."""
_NARROW = "QToolButton { padding: 4px 4px; } QToolButton:focus { padding: 3px 3px; }"
"""Seven weekdays stand side by side."""


class DatesRuleForm(QWidget):
    """The sentence with its gaps: give or take back, which parts, which weekdays, from when to when."""

    changed = Signal()
    """The sentence says something else."""
    wanted = Signal()
    """What the sentence says is to be done."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.verb = QComboBox()
        self.verb.addItem(self.tr("Give"), userData=True)
        self.verb.addItem(self.tr("Take back"), userData=False)
        self.verb.setAccessibleName(self.tr("Give dates or take them back"))
        self.verb.currentIndexChanged.connect(lambda _row: self.changed.emit())
        self.parts = QComboBox()
        self.parts.setAccessibleName(self.tr("Which part of the day"))
        self.parts.currentIndexChanged.connect(lambda _row: self.changed.emit())
        self.weekdays = tuple(self._make_weekday(number) for number in range(7))
        self.first, self.last = self._make_date(self.tr("First date")), self._make_date(self.tr("Last date"))
        self.button = QPushButton(self.tr("Do it"))
        self.button.clicked.connect(self.wanted)
        self.says = quiet()
        self.setStyleSheet(_NARROW)
        for box in (self.verb, self.parts):
            box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            box.setMinimumContentsLength(_LETTERS)
            box.setSizePolicy(QSizePolicy.Policy.MinimumExpanding, QSizePolicy.Policy.Fixed)
        self._lay_out()

    @property
    def rule(self) -> DatesRule | None:
        """The rule that the sentence says; None while a gap is open."""
        weekdays = frozenset(number for number, button in enumerate(self.weekdays) if button.isChecked())
        parts = self.parts.currentData()
        first, last = _date(self.first), _date(self.last)
        if not parts or not weekdays or last < first:
            return None
        return DatesRule(DateRange(first, last), frozenset(parts), weekdays, give=bool(self.verb.currentData()))

    @property
    def gap(self) -> str:
        """What is still missing, in words; empty where the sentence is whole."""
        if not any(button.isChecked() for button in self.weekdays):
            return self.tr("Choose at least one weekday.")
        if _date(self.last) < _date(self.first):
            return self.tr("The last date comes before the first.")
        return ""

    def ask_for(self, dates: DateRange, parts: Sequence[PartOfDay], usual: PartOfDay) -> None:
        """Offer the dates of a season and the parts of day that its protocol asks for.

        Args:
            dates: the season.
            parts: in the order in which they are offered.
            usual: the part that is chosen at first.
        """
        for edit, day in ((self.first, dates.first), (self.last, dates.last)):
            edit.setDateRange(_qdate(dates.first), _qdate(dates.last))
            edit.setDate(_qdate(day))
        self.parts.clear()
        for part in parts:
            self.parts.addItem(part_name(part), userData=(part,))
        if len(parts) > 1:
            self.parts.addItem(" + ".join(part_name(part) for part in parts), userData=tuple(parts))
        self.parts.setCurrentIndex(list(parts).index(usual))

    def say(self, text: str, why_not: str) -> None:
        """Say what the sentence comes to; ``why_not`` it cannot be done, empty where it can."""
        self.says.setText(why_not or text)
        self.button.setEnabled(not why_not)
        self.button.setToolTip(why_not)

    def set_weekdays(self, weekdays: frozenset[int]) -> None:
        """Choose these weekdays, Monday is 0."""
        for number, button in enumerate(self.weekdays):
            button.setChecked(number in weekdays)

    def _make_weekday(self, number: int) -> QToolButton:
        button = QToolButton()
        button.setText(brief_weekdays()[number])
        button.setCheckable(True)
        button.setChecked(True)
        button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        button.setAccessibleName(weekday_names()[number])
        button.setToolTip(said(self.tr("Every %1"), weekday_names()[number]))
        button.toggled.connect(lambda _on: self.changed.emit())
        return button

    def _make_date(self, name: str) -> QDateEdit:
        edit = QDateEdit()
        edit.setDisplayFormat("ddd d MMM")
        edit.setCalendarPopup(True)
        edit.setAccessibleName(name)
        edit.dateChanged.connect(lambda _date: self.changed.emit())
        return edit

    def _lay_out(self) -> None:
        every = QToolButton()
        every.setText(self.tr("All"))
        every.setAccessibleName(self.tr("Every day of the week"))
        every.setToolTip(self.tr("Choose every day of the week, or none"))
        every.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        every.clicked.connect(self._turn_all)
        days = QHBoxLayout()
        days.setSpacing(2)
        days.addWidget(self.verb)
        days.addWidget(self.parts)
        for button in (*self.weekdays, every):
            days.addWidget(button)
        dates = QHBoxLayout()
        dates.addWidget(quiet(self.tr("from")))
        dates.addWidget(self.first)
        dates.addWidget(quiet(self.tr("to")))
        dates.addWidget(self.last)
        dates.addWidget(self.says, 1)
        dates.addWidget(self.button)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addLayout(days)
        layout.addLayout(dates)

    def _turn_all(self) -> None:
        everyone = all(button.isChecked() for button in self.weekdays)
        self.set_weekdays(frozenset() if everyone else _EVERY_DAY)


def _date(edit: QDateEdit) -> dt.date:
    date = edit.date()
    return dt.date(date.year(), date.month(), date.day())


def _qdate(day: dt.date) -> QDate:
    return QDate(day.year, day.month, day.day)
