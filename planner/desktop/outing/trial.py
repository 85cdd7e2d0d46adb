"""What is tried on an outing, and the controls that say it in figures."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass, replace

from PySide6.QtCore import Signal
from PySide6.QtGui import QValidator
from PySide6.QtWidgets import QCheckBox, QDoubleSpinBox, QHBoxLayout, QLabel, QPushButton, QSpinBox, QWidget

from planner.desktop.look.flow import FlowLayout
from planner.desktop.look.words import quiet
from planner.desktop.outing.evening import MINUTE
from planner.desktop.outing.evening_view import COUNT_STEP
from planner.printing.times import LocalClock, minute_before
from planner.usecases.evening.outing_view import OutingSight, WhatIf

EARLIEST, LATEST = -180, 240
"""How far, in minutes, the departure can be moved from the latest one as planned."""
MOST_COUNT = 60.0
_DAY = 24 * 60
_BUTTONS = 40
"""Room for the two buttons of a spin box and its edges."""
_CLOCK = re.compile(r"\s*(\d{1,2})[:.h](\d{2})\b.*")


@dataclass(frozen=True, slots=True)
class Trial:
    """What is tried; a None stands for what is planned."""

    offset: int | None = None
    """Minutes by which home is left after the latest departure as planned."""
    count_minutes: float | None = None
    between: bool = False
    """Habitat between the counts."""

    @property
    def nothing(self) -> bool:
        """Whether nothing is tried: all is as planned."""
        return self == Trial()

    def what_if(self, latest_utc: dt.datetime) -> WhatIf:
        """Return the trial as the use case takes it."""
        leave = None if self.offset is None else latest_utc + MINUTE * self.offset
        return WhatIf(leave, self.count_minutes, self.between)

    def leaving(self, offset: int) -> Trial:
        """Return the trial with another departure, kept within what can be tried."""
        return replace(self, offset=min(LATEST, max(EARLIEST, offset)))

    def counting(self, minutes: float, usual: float) -> Trial:
        """Return the trial with counts of another length, kept within what can be tried."""
        kept = min(MOST_COUNT, max(COUNT_STEP, minutes))
        return replace(self, count_minutes=None if kept == usual else kept)


class DepartureSpin(QSpinBox):
    """Minutes after the latest departure, shown and typed as the time on the clock."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._latest: dt.datetime | None = None
        self._clock: LocalClock | None = None
        self.setRange(EARLIEST, LATEST)
        self.setKeyboardTracking(False)

    def set_latest(self, latest_utc: dt.datetime, clock: LocalClock) -> None:
        """Say when 0 is."""
        self._latest, self._clock = latest_utc, clock
        widest = self.tr("{time} (−{minutes} min)").format(time="00:00 Mon", minutes=-EARLIEST)
        self.setMinimumWidth(self.fontMetrics().horizontalAdvance(widest) + _BUTTONS)
        self.setValue(self.value())

    def textFromValue(self, value: int) -> str:  # Qt's name
        """Return the time, and how it lies to the latest departure."""
        if self._latest is None or self._clock is None:
            return ""
        time = str(self._clock.show(minute_before(self._latest + MINUTE * value)))
        if value == 0:
            return self.tr("{time} (latest)").format(time=time)
        words = self.tr("{time} (+{minutes} min)") if value > 0 else self.tr("{time} (−{minutes} min)")
        return words.format(time=time, minutes=abs(value))

    def valueFromText(self, text: str) -> int:  # Qt's name
        """Return the minutes of a time that was typed, on the day where it lies nearest to the latest departure."""
        match = _CLOCK.fullmatch(text)
        if match is None or self._latest is None or self._clock is None:
            return self.value()
        zero = self._clock.local(minute_before(self._latest))
        minutes = int(match[1]) * 60 + int(match[2]) - zero.hour * 60 - zero.minute
        return (minutes + _DAY // 2) % _DAY - _DAY // 2

    def validate(self, text: str, pos: int) -> tuple[QValidator.State, str, int]:
        """Take any time of day; anything else may become one."""
        state = QValidator.State.Acceptable if _CLOCK.fullmatch(text) else QValidator.State.Intermediate
        return state, text, pos


class TryBar(QWidget):
    """The controls of a trial; each change is told at once."""

    tried = Signal(object)
    """A Trial."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._trial = Trial()
        self._usual = 0.0
        self.departure = DepartureSpin()
        self.departure.setAccessibleName(self.tr("Leave home"))
        self.count = QDoubleSpinBox()
        self.count.setAccessibleName(self.tr("Minutes at each point"))
        self.count.setDecimals(1)
        self.count.setRange(COUNT_STEP, MOST_COUNT)
        self.count.setSingleStep(COUNT_STEP)
        self.count.setSuffix(self.tr(" min"))
        self.count.setKeyboardTracking(False)
        self.between = QCheckBox(self.tr("&Habitat between the counts"))
        self.back = QPushButton(self.tr("&Back to the plan"))
        self.note = quiet(self.tr("Nothing here is saved."))
        self.note.setWordWrap(False)
        self.departure.valueChanged.connect(lambda value: self._try(self._trial.leaving(value)))
        self.count.valueChanged.connect(lambda value: self._try(self._trial.counting(value, self._usual)))
        self.between.toggled.connect(lambda on: self._try(Trial(None, self._trial.count_minutes, on)))
        self.back.clicked.connect(lambda: self._try(Trial()))
        self._lay_out()

    def show_sight(self, sight: OutingSight, clock: LocalClock) -> None:
        """Fit the controls to an outing."""
        self._usual = sight.count_minutes
        self.departure.set_latest(sight.planned.outing.leave_home_utc, clock)
        counts, habitat = bool(sight.planned.outing.order), sight.plan.squeeze is not None
        self.count.setEnabled(counts and sight.count_minutes > 0)
        self.count.setToolTip("" if counts else self.tr("Nothing is counted on a set-up day."))
        self.between.setEnabled(habitat)
        self.between.setToolTip(
            self.tr("Shows the outing without a habitat round of its own.")
            if habitat
            else self.tr("This outing has no habitat round that could lie between counts.")
        )

    def show_trial(self, trial: Trial, shown_offset: int) -> None:
        """Show what is tried, and the departure that comes of it."""
        self._trial = trial
        count = trial.count_minutes or self._usual
        for control in (self.departure, self.count, self.between):
            control.blockSignals(True)  # Qt's own
        self.departure.setValue(shown_offset)
        self.count.setValue(count)
        self.between.setChecked(trial.between)
        for control in (self.departure, self.count, self.between):
            control.blockSignals(False)  # Qt's own
        self.back.setEnabled(not trial.nothing)
        self.back.setToolTip(
            self.tr("All is as planned.") if trial.nothing else self.tr("Latest departure, the protocol's counts.")
        )

    def _try(self, trial: Trial) -> None:
        self._trial = trial
        self.tried.emit(trial)

    def _lay_out(self) -> None:
        row = FlowLayout(self)
        for words, control in (
            (self.tr("&Leave home"), self.departure),
            (self.tr("&Minutes at each point"), self.count),
        ):
            label = QLabel(words)
            label.setBuddy(control)
            pair = QWidget()
            side_by_side = QHBoxLayout(pair)
            side_by_side.setContentsMargins(0, 0, 8, 0)
            side_by_side.addWidget(label)
            side_by_side.addWidget(control)
            row.addWidget(pair)
        for widget in (self.between, self.back, self.note):
            row.addWidget(widget)
