"""The evening at a glance: who is overdue, the date, the outings, the map, and what can be done."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.desk import Desk
from planner.desktop.look.words import quiet
from planner.desktop.room import RoomName
from planner.desktop.today.alarm import Alarm
from planner.desktop.today.date_bar import DateBar
from planner.desktop.today.evening_map import EveningMap
from planner.desktop.today.outings_table import OutingsTable
from planner.desktop.today.panels import WIDTH, PanelName, Panels
from planner.desktop.today.watch import Watch
from planner.domain.check_in import CheckIn, Stage
from planner.domain.finding import Subject
from planner.usecases.evening.check_in import check_in
from planner.usecases.evening.outings import neighbour_dates
from planner.usecases.evening.watch import OutingNow, PersonNow, StillOut


class EveningPage(QWidget):
    """One date: the table and the map at the left, weather, check-in, disruptions and cautions at the right."""

    letters_wanted = Signal()
    """The letters of the change made last are wanted again."""

    def __init__(self, desk: Desk, watch: Watch) -> None:
        super().__init__()
        self._desk, self._watch = desk, watch
        self.alarm = Alarm(desk.colours)
        self.dates = DateBar(desk.colours)
        self.table = OutingsTable(desk)
        self.map = EveningMap(desk)
        self.panels = Panels(desk, watch)
        self.letters = QPushButton()
        self.letters.hide()
        self._wanted: tuple[str, ...] = ()
        self._lay_out()
        self._connect()
        self.refresh()

    def refresh(self) -> None:
        """Show the evening as it stands now."""
        season, plan = self._desk.session.snapshot.season, self._desk.session.snapshot.plan
        watch = self._watch
        self.dates.show_date(watch.date, self._desk.today(), neighbour_dates(plan, watch.date))
        self.dates.show_standing(watch.shown, season.tzinfo, timed=watch.timed)
        self.alarm.show_overdue(watch.overdue, watch.strays, season, self._desk.now())
        checked = self._desk.session.checked
        self.table.rows.say_findings(checked.findings if checked is not None else ())
        self.table.rows.show(watch.shown, season.tzinfo)
        self.map.show_outings(watch.shown)
        self._look_at(self.table.current)
        self._choose_wanted()

    def show_letters_left(self, count: int) -> None:
        """Offer the way back to letters as long as somebody has not been told."""
        self.letters.setVisible(count > 0)
        self.letters.setText(self.tr("Not told yet of the last change: %1 …").replace("%1", str(count)))

    def choose_routes(self, codes: Sequence[str]) -> None:
        """Choose the outings of some routes."""
        self.table.choose(one for one in self._watch.shown if one.outing.key.route in codes)

    def choose_when_there(self, codes: Sequence[str]) -> None:
        """Choose the outings of some routes, as soon as the timetables of the date are there."""
        self._wanted = tuple(codes)
        self._choose_wanted()

    def _choose_wanted(self) -> None:
        if self._wanted and self._watch.shown:
            codes, self._wanted = self._wanted, ()
            self.choose_routes(codes)

    def _look_at(self, now: OutingNow | None) -> None:
        self.panels.look_at(now)
        self.map.look_at(now)

    def _open_outing(self, now: OutingNow) -> None:
        """Show the evening's timeline of one outing."""
        key = now.outing.key
        self._desk.go(RoomName.OUTING, Subject(route=key.route, visit=key.number, date=now.outing.date))

    def _show_outing(self, date: dt.date, route: str) -> None:
        """Look at one outing, of whatever date, with its check-in."""
        self._watch.show_date(date)
        self.choose_when_there((route,))
        self.panels.show_panel(PanelName.CHECK_IN)

    def _safe(self, outing: OutingNow, person: PersonNow) -> None:
        word = CheckIn(outing.outing.date, outing.outing.key.route, person.goer.code, Stage.HOME, self._desk.now())
        self._desk.session.do(lambda file: check_in(file, [word]))

    def _stray_safe(self, stray: StillOut) -> None:
        word = CheckIn(stray.date, stray.route, stray.volunteer, Stage.HOME, self._desk.now())
        self._desk.session.do(lambda file: check_in(file, [word]))

    def _connect(self) -> None:
        watch = self._watch
        watch.changed.connect(self.refresh)
        watch.date_changed.connect(lambda _date: self.refresh())
        self.dates.wanted.connect(watch.show_date)
        self.alarm.outing_wanted.connect(self._show_outing)
        self.alarm.safe.connect(self._safe)
        self.alarm.stray_safe.connect(self._stray_safe)
        self.table.looked_at.connect(self._look_at)
        self.table.chosen_changed.connect(lambda: self.panels.set_chosen(self.table.chosen))
        self.table.opened.connect(self._open_outing)
        self.map.routes_chosen.connect(self.choose_routes)
        self.panels.choose.connect(self.table.choose)
        self.letters.clicked.connect(lambda _on: self.letters_wanted.emit())
        self._desk.look_changed.connect(self._dress)
        self._desk.session.checked_changed.connect(lambda _checked: self.refresh())

    def _dress(self) -> None:
        for part in (self.alarm, self.dates):
            part.set_colours(self._desk.colours)
        self.table.rows.set_colours(self._desk.colours)

    def _lay_out(self) -> None:
        left = QSplitter(Qt.Orientation.Vertical)
        left.addWidget(self.table)
        left.addWidget(self.map)
        left.setStretchFactor(0, 3)
        left.setStretchFactor(1, 2)
        left.setChildrenCollapsible(False)
        whole = QSplitter(Qt.Orientation.Horizontal)
        whole.addWidget(left)
        whole.addWidget(self.panels)
        whole.setStretchFactor(0, 1)
        whole.setStretchFactor(1, 0)
        whole.setChildrenCollapsible(False)
        whole.setSizes([2 * WIDTH, WIDTH])
        self.setFocusProxy(self.table)
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 10, 12, 6)
        column.setSpacing(8)
        column.addWidget(self.alarm)
        column.addWidget(self.dates)
        column.addWidget(whole, 1)
        column.addLayout(self._care_line())

    def _care_line(self) -> QHBoxLayout:
        words = self.tr(
            "Local law, the land manager and the survey's own safety rules come first. No count is worth an accident:"
            " whoever stands out there may always stop."
        )
        more = QPushButton(self.tr("All cautions"))
        more.clicked.connect(lambda _on: self.panels.show_panel(PanelName.CARE))
        line = QHBoxLayout()
        line.addWidget(quiet(words), 1)
        line.addWidget(self.letters)
        line.addWidget(more)
        return line
