"""Has the protocol's word on a record, and the times that were planned, worked out away from the interface."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QObject

from planner.desktop.desk import Desk
from planner.desktop.sheets.visits.entry import RecordEntry
from planner.desktop.sheets.words import tr
from planner.domain.errors import DimpsyError
from planner.usecases.records import Judged, judge_record
from planner.usecases.records.entry import planned_times


class Judging(QObject):
    """Asks anew whenever the record is another one, and when light and drives have been computed."""

    def __init__(self, desk: Desk, entry: RecordEntry) -> None:
        super().__init__(entry)
        self._desk = desk
        self._entry = entry
        entry.written.connect(self.judge)
        desk.session.problem_changed.connect(lambda _problem: self.look_again())

    def look_again(self) -> None:
        """Work out everything anew: another record is shown, or the season is another."""
        self._plan()
        self.judge()

    def judge(self) -> None:
        """Ask what the protocol says of the record as it stands on the screen."""
        problem, key = self._desk.session.problem, self._entry.key
        if problem is None or key is None:
            self._entry.take_judged(None)
            return
        found, record, today = self._desk.session.snapshot, self._entry.record, self._desk.today()

        def judged(result: Judged) -> None:
            if self._entry.key == key:
                self._entry.take_judged(result)

        self._desk.session.think(
            lambda: judge_record(replace(problem, today=today), found.plan, record, found.records),
            judged,
            topic="visits.judge",
            owner=self,
            failed=lambda error: self._entry.refused.emit(str(error)),
        )

    def _plan(self) -> None:
        problem, key, visit = self._desk.session.problem, self._entry.key, self._entry.visit
        if key is None:
            return
        if visit is None or problem is None:
            self._entry.take_planned(
                None, tr("Light and drives are still being computed.") if visit else tr("The visit is not in the plan.")
            )
            return

        def failed(error: DimpsyError) -> None:
            if self._entry.key == key:
                self._entry.take_planned(None, " ".join(str(error).split()))

        self._desk.session.think(
            lambda: planned_times(problem, visit, key.date),
            lambda times: self._entry.take_planned(times) if self._entry.key == key else None,
            topic="visits.planned",
            owner=self,
            failed=failed,
        )
