"""What stands over the counts: which visit, when, who went, when they left and were home, how far they drove."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import QDate, Signal
from PySide6.QtWidgets import QComboBox, QDateEdit, QGridLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import heading, quiet
from planner.desktop.sheets.visits.entry import RecordEntry
from planner.desktop.sheets.visits.record_line import RecordLine
from planner.desktop.sheets.visits.words import clock_word, person_words
from planner.desktop.sheets.words import tr
from planner.desktop.units import METRES_A_MILE, Units
from planner.domain.errors import DimpsyError
from planner.domain.field.visit_record import RecordState, VisitRecord
from planner.usecases.records.entry import read_distance_km

_NAME_LETTERS = 12


class RecordHead(QWidget):
    """Writes what is said of the evening as a whole."""

    date_chosen = Signal(object)
    """Another date for the record."""

    def __init__(self, desk: Desk, entry: RecordEntry, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._entry = entry
        self.title = heading()
        self.title.setWordWrap(False)
        self.state = quiet()
        self.state.setWordWrap(False)
        self.date = QDateEdit()
        self.lead, self.second = QComboBox(), QComboBox()
        tip = tr("As 1930 for 19:30; a time after midnight belongs to this evening too")
        self.left = RecordLine(entry, tr("Left home"), "left", tip)
        self.home = RecordLine(entry, tr("Home again"), "home", tip)
        self.distance = RecordLine(entry, tr("Driven"), "km", tr("The lead, from home to home, by the car's counter"))
        own = tr("The second in a car of their own, from home to home; empty where both went in one car")
        self.second_distance = RecordLine(entry, tr("Second drove"), "second km", own)
        self._lines = (self.left, self.home, self.distance, self.second_distance)
        self._is_filling = False
        self._lay_out()
        self._connect()

    def commit(self) -> None:
        """Take what is typed in the lines."""
        for line in self._lines:
            line.commit()

    def refresh(self) -> None:
        """Show what is written now."""
        if self._entry.key is None:
            return
        self._is_filling = True
        route, key, record = self._entry.route, self._entry.key, self._entry.record
        self.title.setText(tr("%1, visit %2", route.title if route is not None else key.route, key.visit))
        self.state.setText(self._state_words(record))
        self.date.setDate(QDate(key.date.year, key.date.month, key.date.day))
        self._show_team(record)
        locked = self._entry.locked
        for control, tip in (
            (self.date, tr("The evening or morning that the counts belong to")),
            (self.lead, tr("Who led the visit")),
            (self.second, tr("Who went along")),
        ):
            control.setEnabled(not locked)
            control.setToolTip(locked or tip)
        for line in self._lines:
            line.refresh()
        two = len(record.team) > 1 or record.second_km is not None
        self.second_distance.setVisible(two)
        self._of_second.setVisible(two)
        self._is_filling = False

    def _state_words(self, record: VisitRecord) -> str:
        if record.state is RecordState.FINAL:
            return tr("handed in")
        return tr("draft") if self._entry.is_kept or not self._entry.blank else tr("no record yet")

    def _show_team(self, record: VisitRecord) -> None:
        season = self._entry.season
        codes = [one.code for one in season.volunteers]
        codes += [code for code in record.team if code not in codes]
        team = (*record.team, "", "")
        for box, none, chosen in ((self.lead, tr("nobody named"), team[0]), (self.second, tr("nobody else"), team[1])):
            offered = [("", none), *((code, person_words(season, code)) for code in codes)]
            if [(box.itemData(at), box.itemText(at)) for at in range(box.count())] != offered:
                box.clear()
                for code, words in offered:
                    box.addItem(words, code)
            box.setCurrentIndex(max(box.findData(chosen), 0))

    def _team_chosen(self) -> None:
        codes = (str(self.lead.currentData() or ""), str(self.second.currentData() or ""))
        self._entry.write(lambda record: record.with_team(tuple(code for code in codes if code)))
        self.refresh()

    def _date_changed(self, date: QDate) -> None:
        if not self._is_filling:
            self.date_chosen.emit(dt.date(date.year(), date.month(), date.day()))

    def _take_left(self, text: str) -> None:
        self._entry.write_time("left", text, lambda record, when: replace(record, left_utc=when), counting=False)

    def _take_home(self, text: str) -> None:
        self._entry.write_time("home", text, lambda record, when: replace(record, home_utc=when), counting=False)

    def _take_distance(self, text: str) -> None:
        self._take_km("km", text, lambda record, km: replace(record, distance_km=km))

    def _take_second_distance(self, text: str) -> None:
        self._take_km("second km", text, lambda record, km: replace(record, second_km=km))

    def _take_km(self, name: str, text: str, written: Callable[[VisitRecord, float | None], VisitRecord]) -> None:
        try:
            km = read_distance_km(text, self._unit)
        except DimpsyError as error:
            self._entry.keep_unread(name, text, str(error))
            return
        self._entry.keep_unread(name, "", "")
        self._entry.write(lambda record: written(record, km))

    @property
    def _unit(self) -> str:
        return "km" if self._desk.units is Units.METRIC else "mi"

    def _distance_text(self, km: float | None) -> str:
        if km is None:
            return ""
        return f"{km:.4g} km" if self._desk.units is Units.METRIC else f"{km * 1000 / METRES_A_MILE:.4g} mi"

    def _connect(self) -> None:
        entry = self._entry
        self.left.holds(lambda: clock_word(entry.record.left_utc, entry.season), self._take_left)
        self.home.holds(lambda: clock_word(entry.record.home_utc, entry.season), self._take_home)
        self.distance.holds(lambda: self._distance_text(entry.record.distance_km), self._take_distance)
        self.second_distance.holds(lambda: self._distance_text(entry.record.second_km), self._take_second_distance)
        self.date.dateChanged.connect(self._date_changed)
        for box in (self.lead, self.second):
            box.activated.connect(lambda _row: self._team_chosen())

    def _lay_out(self) -> None:
        self.date.setCalendarPopup(True)
        self.date.setDisplayFormat("ddd d MMM yyyy")
        self.date.setKeyboardTracking(False)
        self.date.setAccessibleName(tr("Date of the record"))
        self.lead.setAccessibleName(tr("Lead"))
        self.second.setAccessibleName(tr("Second"))
        for box in (self.lead, self.second):
            box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            box.setMinimumContentsLength(_NAME_LETTERS)
        for line, letters in zip(self._lines, ("00:00mm", "00:00mm", "0000.0 km", "0000.0 km"), strict=True):
            line.setFixedWidth(line.fontMetrics().horizontalAdvance(letters) + 16)
        first, second = QHBoxLayout(), QGridLayout()
        first.addWidget(self.title)
        first.addWidget(self.state, 1)
        named = (
            (tr("Date"), self.date),
            (tr("Lead"), self.lead),
            (tr("Second"), self.second),
            (tr("Left home"), self.left),
            (tr("Home again"), self.home),
            (tr("Driven"), self.distance),
            (tr("Second drove"), self.second_distance),
        )
        second.setHorizontalSpacing(8)
        second.setVerticalSpacing(2)
        for at, (words, control) in enumerate(named):
            label = QLabel(words)
            label.setProperty("words", "quiet")
            label.setBuddy(control)
            second.addWidget(label, 0, at)
            second.addWidget(control, 1, at)
            self._of_second = label
        second.setColumnStretch(1, 1)
        second.setColumnStretch(2, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addLayout(first)
        column.addLayout(second)
