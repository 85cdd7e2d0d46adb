"""What stands under the counts: the weather at the first and at the last of them, why the team stopped, a note."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QComboBox, QGridLayout, QHBoxLayout, QLabel, QPlainTextEdit, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import ElidedLine
from planner.desktop.sheets.visits.entry import RecordEntry
from planner.desktop.sheets.visits.words import stopped_word
from planner.desktop.sheets.words import tr
from planner.desktop.today.condition_field import ConditionField
from planner.desktop.today.words import quantity_word, short_limit
from planner.domain.conditions import Condition
from planner.domain.errors import RuleError
from planner.domain.field.visit_record import Stopped, VisitRecord
from planner.domain.protocol import Protocol
from planner.domain.weather import Quantity, WeatherLimit
from planner.usecases.evening.conditions import quantities_asked

_NOTE_LINES = 4
_FIRST_COLUMN, _LAST_COLUMN, _LIMIT_COLUMN = 1, 2, 3
"""Of the weather; the names stand before them."""
_FIRST_MS, _LAST_MS = 20, 40
"""When the fields of the first and of the last count are made, one after the other."""


class WeatherFields(QObject):
    """The weather at one of the two counts: a column of fields under its heading."""

    def __init__(self, desk: Desk, entry: RecordEntry, grid: QGridLayout, *, first: bool) -> None:
        super().__init__(desk)
        self._desk = desk
        self._entry = entry
        self._grid = grid
        self._is_first = first
        self._protocol: Protocol | None = None
        self._fields: list[ConditionField] = []
        self._told: list[QLabel] = []
        self._said = tr("At the first count") if first else tr("At the last count")
        over = QLabel(self._said)
        grid.addWidget(over, 0, _FIRST_COLUMN if first else _LAST_COLUMN)
        self._building = QTimer(self)
        self._building.setSingleShot(True)
        self._building.setInterval(_FIRST_MS if first else _LAST_MS)
        self._building.timeout.connect(self._build)
        desk.units_changed.connect(self._set_units)

    @property
    def is_built(self) -> bool:
        """Whether the fields of the protocol are there."""
        return self._protocol is not None

    def refresh(self) -> None:
        """Show what is written; what somebody is typing stays."""
        if self._protocol is not self._entry.season.protocol:
            # A little later: ten fields at once would keep the window from its events.
            self._building.start()
            return
        known = self._known(self._entry.record)
        for field in self._fields:
            controls = [one for one in (field.measure, field.word) if one is not None]
            written = next((one for one in known if one.quantity is field.quantity), None)
            unread = self._entry.unread(self._name(field.quantity))
            if not (any(one.hasFocus() for one in controls) and _says(field, written, unread)):
                field.fill(written)
                if unread and field.measure is not None:
                    field.measure.setText(unread)
            for control in controls:
                control.setEnabled(not self._entry.locked)
                control.setToolTip(self._entry.locked)

    def _known(self, record: VisitRecord) -> tuple[Condition, ...]:
        return record.weather_first if self._is_first else record.weather_last

    def _name(self, quantity: Quantity) -> str:
        return f"{quantity.value} {self._is_first}"

    def _take(self, field: ConditionField) -> None:
        if self._entry.key is None or self._entry.locked:
            return
        try:
            condition = field.read()
        except RuleError as error:
            text = field.measure.text() if field.measure is not None else ""
            self._entry.keep_unread(self._name(field.quantity), text, str(error))
            return
        self._entry.keep_unread(self._name(field.quantity), "", "")
        others = tuple(one for one in self._known(self._entry.record) if one.quantity is not field.quantity)
        known = tuple(sorted((*others, condition) if condition else others, key=lambda one: one.quantity))
        self._entry.write(
            lambda record: (
                replace(record, weather_first=known) if self._is_first else replace(record, weather_last=known)
            )
        )

    def _build(self) -> None:
        protocol = self._protocol = self._entry.season.protocol
        for gone in (*self._fields, *self._told):
            self._grid.removeWidget(gone)
            gone.deleteLater()
        self._fields, self._told = [], []
        for row, quantity in enumerate(quantities_asked(protocol), start=1):
            limits = [limit for limit in protocol.weather if limit.quantity is quantity]
            field = ConditionField(quantity, limits, self._desk.units, compact=True)
            for control in (field.measure, field.word):
                if control is not None:
                    control.setAccessibleName(f"{quantity_word(quantity)}, {self._said.lower()}")
            field.edited.connect(lambda edited=field: self._take(edited))
            self._fields.append(field)
            self._grid.addWidget(field, row, _FIRST_COLUMN if self._is_first else _LAST_COLUMN)
            if self._is_first:
                self._tell(row, quantity, limits, field)
        if self._entry.key is not None:
            self.refresh()

    def _tell(self, row: int, quantity: Quantity, limits: Sequence[WeatherLimit], field: ConditionField) -> None:
        """Name a quantity before its fields, and tell behind them what the protocol says of it."""
        name, limit = QLabel(quantity_word(quantity)), ElidedLine()
        control = field.measure or field.word
        if control is not None:
            name.setBuddy(control)
        limit.name("; ".join(map(short_limit, limits)))
        self._grid.addWidget(name, row, 0)
        self._grid.addWidget(limit, row, _LIMIT_COLUMN)
        self._told += [name, limit]

    def _set_units(self) -> None:
        for field in self._fields:
            field.set_units(self._desk.units)


def _says(field: ConditionField, written: Condition | None, unread: str) -> bool:
    """Whether a field that is being typed in says what is written, in words of its own."""
    try:
        return not unread and field.read() == written
    except RuleError:
        return field.measure is not None and field.measure.text() == unread


class RecordBelow(QWidget):
    """The weather twice, why the team stopped, and what else it wrote."""

    def __init__(self, desk: Desk, entry: RecordEntry, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._entry = entry
        self._weather = QGridLayout()
        self.first = WeatherFields(desk, entry, self._weather, first=True)
        self.last = WeatherFields(desk, entry, self._weather, first=False)
        self.stopped = QComboBox()
        self.note = QPlainTextEdit()
        self._lay_out()
        self.stopped.activated.connect(lambda _row: self._stopped_chosen())
        self.note.textChanged.connect(self._noted)

    def refresh(self) -> None:
        """Show what is written."""
        if self._entry.key is None:
            return
        record, locked = self._entry.record, self._entry.locked
        self.first.refresh()
        self.last.refresh()
        self.stopped.setCurrentIndex(self.stopped.findData(record.stopped.value if record.stopped else ""))
        self.stopped.setEnabled(not locked)
        self.stopped.setToolTip(locked or tr("Why not all points were counted"))
        if self.note.toPlainText() != record.note:
            self.note.setPlainText(record.note)
        self.note.setReadOnly(bool(locked))
        self.note.setToolTip(locked or tr("What else the team wrote"))

    def _stopped_chosen(self) -> None:
        chosen = self.stopped.currentData()
        self._entry.write(lambda record: replace(record, stopped=Stopped(chosen) if chosen else None))

    def _noted(self) -> None:
        text = self.note.toPlainText()
        if self._entry.key is not None and text != self._entry.record.note:
            self._entry.write(lambda record: replace(record, note=text))

    def _lay_out(self) -> None:
        self.stopped.setAccessibleName(tr("Why the team stopped"))
        self.note.setAccessibleName(tr("Note of the team"))
        self.note.setTabChangesFocus(True)
        self.note.setFixedHeight(self.note.fontMetrics().lineSpacing() * _NOTE_LINES + 18)
        for stopped in (None, *Stopped):
            self.stopped.addItem(stopped_word(stopped), stopped.value if stopped else "")
        self.stopped.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.stopped.setMinimumContentsLength(10)
        why, note = QLabel(tr("Why the team stopped")), QLabel(tr("Note"))
        why.setBuddy(self.stopped)
        note.setBuddy(self.note)
        stopped = QVBoxLayout()
        stopped.setSpacing(3)
        for part in (why, self.stopped, note, self.note):
            stopped.addWidget(part)
        stopped.addStretch(1)
        self._weather.setHorizontalSpacing(10)
        self._weather.setVerticalSpacing(2)
        for column, share in ((_FIRST_COLUMN, 5), (_LAST_COLUMN, 5), (_LIMIT_COLUMN, 6)):
            self._weather.setColumnStretch(column, share)
        weather = QVBoxLayout()
        weather.addLayout(self._weather)
        weather.addStretch(1)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 4, 8, 0)
        row.setSpacing(18)
        row.addLayout(stopped, 3)
        row.addLayout(weather, 8)
