"""The figures of an outing, large: what is to spare, when to leave, when to be back, how many points count."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.look.words import figure, quiet, statement
from planner.desktop.outing.evening import Evening, Lane
from planner.desktop.outing.words import (
    due_time,
    home_words,
    leave_time,
    margin_figure,
    margin_words,
    points_words,
    sentence,
    tr,
)
from planner.domain.finding import Severity
from planner.printing.times import LocalClock

_ROUNDING = 0.01
"""Minutes that arithmetic may leave behind."""


class Figure(QWidget):
    """One large figure with what it means below it."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.value = figure()
        self.value.setWordWrap(False)
        self.value.setAccessibleName(name)
        self.meaning = quiet()
        self.mark = QLabel()
        self.mark.setVisible(False)
        top = QHBoxLayout()
        top.setSpacing(6)
        top.addWidget(self.mark)
        top.addWidget(self.value, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(top)
        column.addWidget(self.meaning)
        column.addStretch(1)

    def show_figure(self, value: str, meaning: str) -> None:
        """Show a figure and its meaning."""
        self.value.setText(value)
        self.meaning.setText(meaning)

    def show_mark(self, severity: Severity | None, colours: Colours, *, shown: bool) -> None:
        """Set the mark of a severity before the figure, or take it away."""
        self.mark.setVisible(shown)
        if shown:
            self.mark.setPixmap(mark_pixmap(severity, colours, 22, self.devicePixelRatioF()))


class Figures(QWidget):
    """All figures of an outing in a row."""

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._colours = colours
        self._worst: Severity | None = None
        self.margin = Figure(self.tr("Margin"))
        self.leave = Figure(self.tr("Latest departure"))
        self.due = Figure(self.tr("Due back"))
        self.points = Figure(self.tr("Points counted"))
        self.note = statement()
        self.note.setVisible(False)
        self._lay_out()

    def set_colours(self, colours: Colours) -> None:
        """Paint marks in another palette from now on."""
        self._colours = colours

    def show_evening(self, evening: Evening, points: int, sunset_utc: dt.datetime | None, note: str = "") -> None:
        """Show an evening's figures; those of the other sky in a sentence below.

        Where the sky decides, the latest departure is the earlier of the two, and the return the later one.

        Args:
            evening: what is shown.
            points: how many points the route has.
            sunset_utc: what a set-up day is held against; None where the sun does not set.
            note: a sentence that is said below, too.
        """
        lane, clock = evening.lanes[0], evening.clock
        self._show_margin(lane, clock, sunset_utc)
        soonest = min((one.outing for one in evening.lanes), key=lambda outing: outing.leave_home_utc)
        latest = max((one.outing for one in evening.lanes), key=lambda outing: outing.due_home_utc)
        meaning = self.tr("leave home, tried out") if evening.tried else self.tr("latest departure from home")
        self.leave.show_figure(leave_time(soonest, clock), meaning)
        self.due.show_figure(due_time(latest, clock), self.tr("due back home"))
        self._show_points(lane, points)
        notes = [note] if note else []
        notes += [_sky_words(one, clock) for one in evening.lanes if one.name]
        self.note.setVisible(bool(notes))
        self.note.setText("\n".join(notes))

    def _show_margin(self, lane: Lane, clock: LocalClock, sunset_utc: dt.datetime | None) -> None:
        margin = lane.outing.margin_minutes
        if margin is None:
            spare = _minutes_before(sunset_utc, lane.outing.due_home_utc)
            figure_words = due_time(lane.outing, clock) if spare is None else margin_figure(spare)
            self.margin.show_figure(figure_words, sentence(home_words(lane.outing, sunset_utc, clock)))
            late = spare is not None and spare < -_ROUNDING
        else:
            self.margin.show_figure(margin_figure(margin), sentence(margin_words(lane, clock)))
            late = bool(lane.run.late_counts)
        self._worst = Severity.BROKEN if late else None
        self.margin.show_mark(self._worst, self._colours, shown=True)

    def show_worst(self, said: Sequence[Severity]) -> None:
        """Let the mark at the margin be no better than what is said of the outing elsewhere; notes do not count."""
        own = () if self._worst is None else (self._worst,)
        against = (*own, *(one for one in said if one is not Severity.NOTE))
        self.margin.show_mark(min(against, default=None), self._colours, shown=True)

    def _show_points(self, lane: Lane, points: int) -> None:
        outing = lane.outing
        self.points.setVisible(outing.margin_minutes is not None)
        value = self.tr("{counted} of {points}").format(counted=len(outing.order), points=points)
        lost = bool(outing.missed)
        words = self.tr("{points} not counted").format(points=sentence(points_words(outing.missed)))
        self.points.show_figure(value, words if lost else self.tr("points counted, all of them"))
        self.points.show_mark(Severity.TROUBLE, self._colours, shown=lost)

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.setSpacing(22)
        for one, stretch in ((self.margin, 5), (self.leave, 3), (self.due, 3), (self.points, 4)):
            one.value.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom)
            row.addWidget(one, stretch)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addLayout(row)
        column.addWidget(self.note)


def _sky_words(lane: Lane, clock: LocalClock) -> str:
    """Return what holds under one sky, where there are two."""
    words = tr("{sky}: leave home {time}, {margin}.")
    time = leave_time(lane.outing, clock)
    return words.format(sky=sentence(lane.name), time=time, margin=margin_words(lane, clock))


def _minutes_before(limit: dt.datetime | None, moment: dt.datetime) -> float | None:
    return None if limit is None else (limit - moment).total_seconds() / 60 + _ROUNDING
