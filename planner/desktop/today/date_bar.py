"""Which evening is shown, and how it stands in one line."""

from __future__ import annotations

import datetime as dt
from collections import Counter

from PySide6.QtCore import QDate, QSignalBlocker, Signal
from PySide6.QtWidgets import QDateEdit, QHBoxLayout, QPushButton, QToolButton, QVBoxLayout, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.words import quiet, title
from planner.desktop.today.icons import earlier_icon, later_icon
from planner.desktop.today.words import call_word, clock, long_day, short_day, whereabouts_word
from planner.domain.check_in import Whereabouts
from planner.domain.verdict import Call
from planner.usecases.evening.watch import OutingNow


class DateBar(QWidget):
    """The date with its neighbours, today, and any other."""

    wanted = Signal(object)
    """The date to show."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._before: dt.date | None = None
        self._after: dt.date | None = None
        self._today: dt.date | None = None
        self._name = title()
        self._stands = quiet()
        self._name.setWordWrap(False)
        self._stands.setMinimumHeight(self._stands.fontMetrics().height())
        self.earlier = QToolButton()
        self.later = QToolButton()
        self.today = QPushButton(self.tr("Today"))
        self.other = QDateEdit()
        self._prepare()
        self.set_colours(colours)

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self.earlier.setIcon(earlier_icon(colours))
        self.later.setIcon(later_icon(colours))

    def show_date(self, date: dt.date, today: dt.date, neighbours: tuple[dt.date | None, dt.date | None]) -> None:
        """Show a date, and where its neighbours with outings are."""
        self._today, (self._before, self._after) = today, neighbours
        apart = self.tr(" (today)") if date == today else ""
        self._name.setText(long_day(date) + apart)
        with QSignalBlocker(self.other):
            self.other.setDate(QDate(date.year, date.month, date.day))
        self._neighbour(self.earlier, self._before, self.tr("Earlier evening with outings"))
        self._neighbour(self.later, self._after, self.tr("Next evening with outings"))
        self.today.setEnabled(date != today)
        self.today.setToolTip(short_day(today) if date != today else self.tr("Today is shown already"))

    def show_standing(self, outings: tuple[OutingNow, ...], zone: dt.tzinfo, *, timed: bool) -> None:
        """Say how the evening stands."""
        self._stands.setText(self._standing(outings, zone, timed=timed))

    @property
    def standing(self) -> str:
        """How the evening stands, as it is said."""
        return self._stands.text()

    def _standing(self, outings: tuple[OutingNow, ...], zone: dt.tzinfo, *, timed: bool) -> str:
        if not timed:
            return self.tr("The timetables are being made …")
        if not outings:
            return self.tr("Nobody goes out on this date.")
        leaving = [one.outing.leave_utc for one in outings if one.outing.leave_utc is not None]
        back = [one.outing.due_utc for one in outings if one.outing.due_utc is not None]
        people = len({goer.code for one in outings for goer in one.outing.people})
        words = self.tr("%1 outings, %2 people. First to leave %3, last due back %4.")
        if len(outings) == 1:
            who = self.tr("1 person") if people == 1 else self.tr("%2 people")
            words = self.tr("1 outing, %1. Leaving at %3, due back at %4.").replace("%1", who)
        values = (len(outings), people, clock(min(leaving, default=None), zone), clock(max(back, default=None), zone))
        for number, value in enumerate(values, start=1):
            words = words.replace(f"%{number}", str(value))
        return " ".join(part for part in (words, self._weather(outings), self._people(outings)) if part)

    def _weather(self, outings: tuple[OutingNow, ...]) -> str:
        calls = Counter(one.verdict.call for one in outings if one.verdict is not None)
        told = [f"{call_word(call)}: {calls[call]}" for call in Call if calls[call]]
        return f"{self.tr('Weather')}: {', '.join(told)}." if told else ""

    def _people(self, outings: tuple[OutingNow, ...]) -> str:
        """Say where people are, once somebody has left or should have."""
        where = Counter(person.whereabouts for one in outings for person in one.people)
        if set(where) <= {Whereabouts.AT_HOME, Whereabouts.DONE, Whereabouts.NOT_KEPT}:
            return ""
        told = [f"{whereabouts_word(one)}: {where[one]}" for one in Whereabouts if where[one]]
        return f"{self.tr('People')}: {', '.join(told)}."

    def _neighbour(self, button: QToolButton, date: dt.date | None, words: str) -> None:
        button.setEnabled(date is not None)
        none = self.tr("There is none")
        button.setToolTip(f"{words}: {short_day(date) if date is not None else none}")

    def _prepare(self) -> None:
        self.earlier.setAccessibleName(self.tr("Earlier evening with outings"))
        self.later.setAccessibleName(self.tr("Next evening with outings"))
        self.other.setAccessibleName(self.tr("Date"))
        self.other.setCalendarPopup(True)
        self.other.setDisplayFormat("d MMM yyyy")
        self.other.setToolTip(self.tr("Any other date"))
        self.earlier.clicked.connect(lambda: self._ask(self._before))
        self.later.clicked.connect(lambda: self._ask(self._after))
        self.today.clicked.connect(lambda: self._ask(self._today))
        self.other.dateChanged.connect(lambda day: self._ask(dt.date(day.year(), day.month(), day.day())))
        words = QVBoxLayout()
        words.setSpacing(2)
        words.addWidget(self._name)
        words.addWidget(self._stands)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(6)
        row.addLayout(words, 1)
        for control in (self.earlier, self.later, self.today, self.other):
            row.addWidget(control)

    def _ask(self, date: dt.date | None) -> None:
        if date is not None:
            self.wanted.emit(date)
