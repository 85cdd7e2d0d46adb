"""Second step of a new season: from when to when, in which zone."""

from __future__ import annotations

import datetime as dt
import zoneinfo

from PySide6.QtCore import QDate, Qt, QTimeZone
from PySide6.QtWidgets import QComboBox, QCompleter, QDateEdit, QFormLayout, QHBoxLayout, QWizardPage

from planner.desktop.look.words import quiet
from planner.desktop.window.protocol_page import ProtocolPage
from planner.desktop.window.zone_search import ZoneSearch
from planner.domain.calendar import DateRange
from planner.usecases.season.new_season import MOST_DAYS, usual_dates
from planner.usecases.season.protocols import ProtocolOffer

_FIRST_ROWS = 4
"""Rows above those of the visits."""


class DatesPage(QWizardPage):
    """From when to when, in which zone, and the range of each visit."""

    def __init__(self, protocol: ProtocolPage, today: dt.date) -> None:
        super().__init__()
        self._protocol = protocol
        self._today = today
        self.setTitle(self.tr("When?"))
        self.setSubTitle(self.tr("Every time on paper is local time of this zone, so it is asked and never guessed."))
        self._zone = QComboBox()
        self._zone.setEditable(True)
        self._zone.addItems(["", *_zones()])
        self._zone.setAccessibleName(self.tr("Time zone of the routes"))
        completer = QCompleter(_zones(), self._zone)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setCompletionMode(QCompleter.CompletionMode.PopupCompletion)
        self._zone.setCompleter(completer)
        self._search = ZoneSearch()
        self._search.taken.connect(self._zone.setEditText)
        self._first, self._last = _date_edit(self.tr("First date")), _date_edit(self.tr("Last date"))
        self._form = QFormLayout(self)
        self._form.addRow(self.tr("Time zone of the routes"), self._zone)
        self._form.addRow(self.tr("Or find it by a place"), self._search)
        self._form.addRow(self.tr("First date"), self._first)
        self._form.addRow(self.tr("Last date"), self._last)
        self._said = quiet()
        self._visits: list[tuple[QDateEdit, QDateEdit]] = []
        self._shown_for: ProtocolOffer | None = None
        for widget in (self._first, self._last):
            widget.dateChanged.connect(lambda _date: self.completeChanged.emit())
        self._zone.editTextChanged.connect(lambda _text: self.completeChanged.emit())

    def initializePage(self) -> None:
        """Offer the protocol's usual dates in the coming year, unless they were offered already."""
        if self._shown_for is self._protocol.offer:
            return
        self._shown_for = self._protocol.offer
        usual = usual_dates(self._protocol.offer.protocol, self._today)
        self._first.setDate(_qdate(usual.season.first))
        self._last.setDate(_qdate(usual.season.last))
        while self._form.rowCount() > _FIRST_ROWS:
            self._form.takeRow(_FIRST_ROWS)
        self._visits = []
        for number, dates in enumerate(usual.visits, start=1):
            name = self.tr("Visit %1").replace("%1", str(number))
            first, last = _date_edit(f"{name}, {self.tr('first date')}"), _date_edit(f"{name}, {self.tr('last date')}")
            first.setDate(_qdate(dates.first))
            last.setDate(_qdate(dates.last))
            for edit in (first, last):
                edit.dateChanged.connect(lambda _date: self.completeChanged.emit())
            row = QHBoxLayout()
            row.addWidget(first)
            row.addWidget(quiet("–"))
            row.addWidget(last)
            row.addStretch(1)
            self._form.addRow(name, row)
            self._visits.append((first, last))
        self._said = quiet()
        self._form.addRow(self._said)
        self.completeChanged.emit()

    def isComplete(self) -> bool:
        """Whether zone and dates can be taken; what is wrong is said beside them."""
        fault = self._fault()
        self._said.setText(fault)
        return not fault

    @property
    def zone(self) -> str:
        """The time zone, by its IANA name."""
        return self._zone.currentText().strip()

    @property
    def dates(self) -> DateRange:
        """The whole season."""
        return DateRange(_date(self._first), _date(self._last))

    @property
    def visits(self) -> dict[int, DateRange]:
        """The range of each visit."""
        return {number: DateRange(_date(a), _date(b)) for number, (a, b) in enumerate(self._visits, start=1)}

    def _fault(self) -> str:
        if self.zone not in zoneinfo.available_timezones():
            return self.tr("Choose the time zone of the routes, such as Europe/London.")
        first, last = _date(self._first), _date(self._last)
        if last < first:
            return self.tr("The last date comes before the first.")
        if (last - first).days >= MOST_DAYS:
            return self.tr("A season has at most %1 days; mend the year.").replace("%1", str(MOST_DAYS))
        for number, (begin, end) in enumerate(self._visits, start=1):
            if not first <= _date(begin) <= _date(end) <= last:
                words = self.tr("The dates of visit %1 must lie in order, and inside the season.")
                return words.replace("%1", str(number))
        return ""


def _zones() -> list[str]:
    """Return the zones to choose from, this computer's own first: offered, but not chosen for anybody."""
    own = bytes(QTimeZone.systemTimeZoneId().data()).decode()
    places = sorted(name for name in zoneinfo.available_timezones() if "/" in name and not name.startswith("Etc/"))
    return [own, *places] if own in places else places


def _date_edit(name: str) -> QDateEdit:
    edit = QDateEdit()
    edit.setCalendarPopup(True)
    edit.setDisplayFormat("ddd d MMM yyyy")
    edit.setAccessibleName(name)
    edit.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    return edit


def _date(edit: QDateEdit) -> dt.date:
    date = edit.date()
    return dt.date(date.year(), date.month(), date.day())


def _qdate(day: dt.date) -> QDate:
    return QDate(day.year, day.month, day.day)
