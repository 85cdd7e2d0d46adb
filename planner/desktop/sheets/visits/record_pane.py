"""One record's form: the evening, its counts, the weather, and what the protocol says, each beside what it is about."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QAction, QHideEvent
from PySide6.QtWidgets import QApplication, QHBoxLayout, QStackedLayout, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.fitted_scroll import DownwardScroll, WantingScroll
from planner.desktop.look.words import quiet
from planner.desktop.sheets.fault_line import MarkedLine
from planner.desktop.sheets.grid_head import action_button
from planner.desktop.sheets.visits.actions import RecordActions
from planner.desktop.sheets.visits.banner import FollowsBanner
from planner.desktop.sheets.visits.below import RecordBelow
from planner.desktop.sheets.visits.beside import (
    COUNT_RULES,
    HEAD_RULES,
    STOPPED_RULES,
    WEATHER_RULES,
    FindingsBeside,
)
from planner.desktop.sheets.visits.count_grid import CountGrid
from planner.desktop.sheets.visits.count_model import CountModel
from planner.desktop.sheets.visits.entry import RecordEntry
from planner.desktop.sheets.visits.head import RecordHead
from planner.desktop.sheets.visits.judging import Judging
from planner.desktop.sheets.visits.keeping import RecordKeeping
from planner.desktop.sheets.visits.words import finding_lines
from planner.desktop.sheets.words import tr
from planner.domain.field.record_ground import CountKey
from planner.domain.field.visit_record import RecordKey
from planner.domain.finding import Severity
from planner.usecases.records import KeptRecord
from planner.usecases.records.entry import as_planned

_LEAST_ROWS = 9
"""Of the counts with their heading and what is said under them."""


class RecordPane(QWidget):
    """Writes, judges and keeps one record."""

    key_changed = Signal(object)
    """The RecordKey that is shown now, where the form itself has gone on to another one."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.entry = RecordEntry(desk, self)
        self.keeping = RecordKeeping(desk, self.entry)
        self.judging = Judging(desk, self.entry)
        self.actions_here = RecordActions(desk, self, self.entry)
        self.banner = FollowsBanner(desk, self.entry)
        self.head = RecordHead(desk, self.entry)
        self.model = CountModel(self.entry, self)
        self.grid = CountGrid(desk, self.model)
        self.line = MarkedLine(desk.colours)
        self.below = RecordBelow(desk, self.entry)
        self.beside = [
            FindingsBeside(desk, self.entry, rules) for rules in (HEAD_RULES, COUNT_RULES, WEATHER_RULES, STOPPED_RULES)
        ]
        self._empty = quiet()
        self.entry.is_typing = lambda: self.grid.is_typing
        self._lay_out()
        self._connect()
        self.entry.show(None)

    def show_record(self, key: RecordKey) -> None:
        """Show another record; what is typed is kept before."""
        self.keep()
        self.entry.show(key)
        self.judging.look_again()

    def refresh(self) -> None:
        """Show the record as it is kept now, what is typed over it, and judge it anew."""
        self.entry.refresh()
        self.judging.look_again()

    def keep(self) -> None:
        """Keep what is typed, what is still open as well."""
        if self.entry.key is not None:
            self.grid.commit()
            self.head.commit()
        self.keeping.keep()

    def go_to(self, point: int) -> None:
        """Stand on the count of a point."""
        row = self.model.row_of(point)
        if row >= 0:
            self.grid.go_to(row)
            self.grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def hideEvent(self, event: QHideEvent) -> None:
        """Keep what is typed when another room or page is gone to."""
        self.keep()
        super().hideEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """Follow the palette."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.PaletteChange:
            self.line.set_colours(self._desk.colours)

    def commands(self) -> Sequence[QAction]:
        """Return what can be done to the record."""
        return self.actions_here.all

    def _show(self) -> None:
        """Draw all but the counts, which draw themselves."""
        route = self.entry.route
        if self.entry.key is None or route is None or not route.points:
            self._show_nothing()
            return
        self._stack.setCurrentIndex(0)
        self.head.refresh()
        self.below.refresh()
        self._show_judged()

    def _show_judged(self) -> None:
        if self.entry.key is None:
            return
        self.banner.refresh()
        self.actions_here.judge()
        self._show_row()

    def _show_row(self) -> None:
        """Say in full what is wrong with the count that is stood on."""
        key = self.model.key(self.grid.currentIndex().row())
        if key is None or self.entry.key is None:
            self.line.say("", marked=False)
            return
        unread, findings = self.model.why_unread(key), self.model.findings(key)
        name = self._count_name(key)
        if unread:
            self.line.say(f"{name}: {unread}", Severity.BROKEN)
        elif findings:
            # What is said of the weather stands beside its fields in full, and is not said twice.
            own = [one for one in findings if one.rule not in WEATHER_RULES]
            words = finding_lines(own) if own else tr("%1: see the weather below.", name)
            self.line.say(words, findings[0].severity)
        elif self.model.count(key) is None:
            self.line.say(tr("%1: not counted.", name), marked=False)
        else:
            stands = self.entry.judged is not None and key in self.entry.judged.standing
            words = tr("%1 counts.", name) if stands else tr("%1 is not counted to the end.", name)
            self.line.say(words, None if stands else Severity.NOTE)

    def _count_name(self, key: CountKey) -> str:
        point, run = key
        return tr("Point %1, pass %2", point, run) if self.entry.passes > 1 else tr("Point %1", point)

    def _show_nothing(self) -> None:
        self._stack.setCurrentIndex(1)
        route = self.entry.route
        if self.entry.key is None:
            words = tr("Choose a visit at the left: its record stands here, to be filled in.")
        elif route is None:
            words = tr("The season has no route %1 any more.", self.entry.key.route)
        else:
            words = tr("%1 has no points yet. Give it points in the Routes room.", route.title)
        self._empty.setText(words)
        self.actions_here.judge()

    def say(self, text: str) -> None:
        """Say why something was not done, in the line under the counts."""
        self.line.say(text, Severity.DOUBT)

    def _fill_point(self) -> None:
        self.grid.commit()
        key = self.model.key(self.grid.currentIndex().row())
        if key is not None:
            self._fill(key)

    def _fill_all(self) -> None:
        self.grid.commit()
        self.head.commit()
        self._fill(None)

    def _fill(self, only: CountKey | None) -> None:
        entry, visit, planned = self.entry, self.entry.visit, self.entry.planned
        if planned is not None and visit is not None:
            entry.write(lambda record: as_planned(record, entry.season, visit.window, planned, only))
            self.keeping.keep()

    def _hand_in(self) -> None:
        self.grid.commit()
        self.head.commit()
        self.actions_here.judge()
        if self.actions_here.hand_in.isEnabled():
            self.keeping.hand_in(self._handed_in)
        else:
            self.say(self.actions_here.hand_in.toolTip())

    def _handed_in(self, kept: KeptRecord) -> None:
        self._desk.say(f"{kept.changed.label}.")

    def _another(self) -> None:
        """Begin a record of the same visit on the latest date that has none."""
        if self.entry.key is None:
            return
        self.keep()
        taken = {one.key for one in self._desk.session.snapshot.records}
        key = RecordKey(self.entry.key.route, self.entry.key.visit, self._desk.today())
        while key in taken:
            key = RecordKey(key.route, key.visit, key.date - dt.timedelta(days=1))
        self.show_record(key)
        self.key_changed.emit(key)
        self.head.date.setFocus(Qt.FocusReason.OtherFocusReason)

    def _redate(self, date: dt.date) -> None:
        self.keeping.redate(date)

    def _focus_moved(self, old: QWidget | None, new: QWidget | None) -> None:
        """Keep what is typed once the keyboard is elsewhere; within the counts, once another row is stood on."""
        if old is None or new is None or not self.isAncestorOf(old):
            return
        if self.grid.isAncestorOf(new) and (self.grid.isAncestorOf(old) or old is self.grid):
            return
        if new is self.grid and self.grid.isAncestorOf(old):
            return
        self.keeping.keep()

    def _row_changed(self) -> None:
        self.keeping.keep()
        self._show_row()

    def _key_shown(self) -> None:
        self._show()
        self.key_changed.emit(self.entry.key)

    def _connect(self) -> None:
        do, entry = self.actions_here, self.entry
        do.connect_to(do.point_planned, self._fill_point)
        do.connect_to(do.all_planned, self._fill_all)
        do.connect_to(do.hand_in, self._hand_in)
        do.connect_to(do.reopen, self.keeping.reopen)
        do.connect_to(do.another, self._another)
        do.connect_to(do.forget, self.keeping.forget)
        entry.shown.connect(self._key_shown)
        entry.written.connect(self._show)
        entry.judged_anew.connect(self._show_judged)
        entry.refused.connect(self.say)
        self.keeping.failed.connect(self.say)
        self.head.date_chosen.connect(self._redate)
        self.banner.ways_wanted.connect(self._desk.find_ways)
        self.banner.stands.connect(self.keeping.stand)
        self.grid.selectionModel().currentRowChanged.connect(lambda _now, _before: self._row_changed())
        self.grid.left.connect(lambda: self.below.stopped.setFocus(Qt.FocusReason.TabFocusReason))
        self._desk.session.handing_over.connect(self.keep)
        self._desk.units_changed.connect(self._show)
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.focusChanged.connect(self._focus_moved)

    def _lay_out(self) -> None:
        buttons = QHBoxLayout()
        for action in self.actions_here.all:
            buttons.addWidget(action_button(action, main=action is self.actions_here.hand_in))
        buttons.addStretch(1)
        of_head, of_counts, of_weather, of_stopped = self.beside
        counts = QWidget()
        column = QVBoxLayout(counts)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(self.grid, 1)
        column.addWidget(self.line)
        column.addWidget(of_counts)
        rest = QWidget()
        column = QVBoxLayout(rest)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        for part in (of_stopped, of_weather, self.below):
            column.addWidget(part)
        # The counts have the room that the rest leaves; the rest scrolls before fewer than some counts are seen.
        counts.setMinimumHeight(self.grid.verticalHeader().defaultSectionSize() * _LEAST_ROWS)
        filled = QWidget()
        column = QVBoxLayout(filled)
        column.setContentsMargins(8, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(self.head)
        column.addWidget(of_head)
        column.addLayout(buttons)
        column.addWidget(self.banner)
        column.addWidget(counts, 1)
        column.addWidget(WantingScroll(rest))
        nothing = QWidget()
        row = QHBoxLayout(nothing)
        row.addWidget(self._empty)
        self._stack = QStackedLayout(self)
        # However much is said of a record, the form does not make the window higher.
        self._stack.addWidget(DownwardScroll(filled))
        self._stack.addWidget(nothing)
