"""Keeps watch over the evenings: what the file holds of them, the timetables, and the clock."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from PySide6.QtCore import QObject, QTimer, Signal

from planner.desktop.desk import Desk
from planner.domain.plan import Plan
from planner.scheduling import SeasonProblem
from planner.usecases.evening.check_in import USUAL_GRACE
from planner.usecases.evening.outings import EveningOuting, date_to_show, fits, outings_on
from planner.usecases.evening.watch import (
    EveningRecords,
    OutingNow,
    PersonNow,
    StillOut,
    actions_due,
    dates_to_watch,
    evening_records,
    longest_overdue,
    outings_now,
    still_out,
)

EVERY_MS = 30_000
GRACE_KEY = "today/grace_minutes"

_Outings = Mapping[dt.date, tuple[EveningOuting, ...]]


class Watch(QObject):
    """The evening that is shown, and all evenings on which somebody may have to act."""

    changed = Signal()
    """What is shown, or what wants somebody to act, may be otherwise."""
    date_changed = Signal(object)
    """Another date is shown."""

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.date: dt.date = date_to_show(desk.session.snapshot.plan, desk.today())
        self.records = EveningRecords()
        self.shown: tuple[OutingNow, ...] = ()
        """The outings of the date that is shown."""
        self.watched: tuple[OutingNow, ...] = ()
        """The outings of all dates on which somebody may have to act."""
        self.strays: tuple[StillOut, ...] = ()
        self._outings: _Outings = {}
        self._of: tuple[SeasonProblem, Plan] | None = None
        self._timer = QTimer(self)
        self._timer.setInterval(EVERY_MS)
        self._timer.timeout.connect(self.look_again)
        self._timer.start()
        desk.session.snapshot_changed.connect(lambda _snapshot: self._read())
        desk.session.problem_changed.connect(lambda _problem: self._time())
        self._read()

    @property
    def grace(self) -> dt.timedelta:
        """How long after the time due back somebody counts as overdue."""
        usual = round(USUAL_GRACE.total_seconds() / 60)
        return dt.timedelta(minutes=self.desk.settings.value(GRACE_KEY, usual))

    @property
    def timed(self) -> bool:
        """Whether the timetables of the date that is shown are there."""
        return self.date in self._outings

    @property
    def problem(self) -> SeasonProblem | None:
        """The season with its light and drives, if they are those of the season as it stands."""
        problem = self.desk.session.problem
        return problem if problem is not None and fits(problem, self.desk.session.snapshot.season) else None

    @property
    def overdue(self) -> tuple[tuple[OutingNow, PersonNow], ...]:
        """Everybody who must be rung, whatever date is shown; who is longest overdue comes first."""
        return longest_overdue(self.watched, self.desk.now())

    @property
    def due(self) -> int:
        """How many things want somebody to act."""
        return actions_due(self.watched, self.strays)

    def keep_grace(self, minutes: int) -> None:
        """Remember how many minutes after the time due back somebody counts as overdue."""
        self.desk.settings.keep(GRACE_KEY, minutes)
        self.look_again()

    def show_date(self, date: dt.date) -> None:
        """Show another date."""
        if date != self.date:
            self.date = date
            self.shown = ()
            self.date_changed.emit(date)
            self._time()

    def look_again(self) -> None:
        """Hold what is known against the clock."""
        season, now = self.desk.session.snapshot.season, self.desk.now()
        dates = dates_to_watch(self.desk.session.snapshot.plan, self.records, self.desk.today())

        def at(date: dt.date) -> tuple[OutingNow, ...]:
            return outings_now(self._outings.get(date, ()), season.protocol, self.records, now, self.grace)

        self.shown = at(self.date)
        self.watched = tuple(one for date in dates for one in at(date))
        self.strays = still_out(self.desk.session.snapshot.plan, self.records)
        self.changed.emit()

    def _read(self) -> None:
        self.desk.session.ask(evening_records, self._take, topic="today.records", owner=self)
        self._time()

    def _take(self, records: EveningRecords) -> None:
        self.records = records
        self._time()

    def _time(self) -> None:
        """Make the timetables that are wanted and not there, away from the interface."""
        problem, plan = self.problem, self.desk.session.snapshot.plan
        if problem is None:
            return
        same = self._of is not None and self._of[0] is problem and self._of[1] is plan
        there: _Outings = self._outings if same else {}
        wanted = {self.date, *dates_to_watch(plan, self.records, self.desk.today())} - there.keys()

        def work() -> _Outings:
            return {date: outings_on(problem, plan, date) for date in sorted(wanted)}

        def done(found: _Outings) -> None:
            self._outings, self._of = {**there, **found}, (problem, plan)
            self.look_again()

        if wanted:
            self.desk.session.think(work, done, topic="today.outings", owner=self)
        else:
            self.look_again()
