"""Brings what is written on records into the season file, each change one step, and what is decided on them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import replace

from PySide6.QtCore import QObject, Signal

from planner.desktop.desk import Desk
from planner.desktop.sheets.visits.entry import RecordEntry
from planner.domain.errors import DimpsyError
from planner.domain.field.visit_record import RecordState, VisitRecord
from planner.store import SeasonFile
from planner.usecases.records import (
    KeptRecord,
    forget_record,
    keep_records,
    let_visit_stand,
    redate_record,
    reopen_record,
)


class RecordKeeping(QObject):
    """Keeps, hands in, reopens, moves and takes away records."""

    failed = Signal(str)
    """Why something could not be done, in words; what was typed stays on the screen."""

    def __init__(self, desk: Desk, entry: RecordEntry) -> None:
        super().__init__(entry)
        self._desk = desk
        self._entry = entry

    def keep(self) -> None:
        """Give to the file what it does not have yet."""
        records = self._entry.typed.unsaved()
        if not records:
            return
        today, problem = self._desk.today(), self._desk.session.problem
        self._entry.typed.send(records)
        self._desk.session.do(
            lambda file: keep_records(file, records, today, problem),
            lambda _kept: self._settle(records, kept=True),
            lambda error: self._refused(records, error),
        )

    def hand_in(self, then: Callable[[KeptRecord], None]) -> None:
        """Make the record final, as one step; what is typed is kept before."""
        self.keep()
        record = replace(self._entry.record, state=RecordState.FINAL)
        today, problem = self._desk.today(), self._desk.session.problem
        self._desk.session.do(
            lambda file: keep_records(file, (record,), today, problem)[0],
            then,
            failed=self._say,
        )

    def reopen(self) -> None:
        """Make the record a draft again, as one step."""
        self._on_record(reopen_record)

    def forget(self) -> None:
        """Take the record away, as one step."""
        self._on_record(forget_record)

    def redate(self, date: dt.date) -> None:
        """Give the record another date, as one step; one that is not kept yet is only shown as of that date."""
        entry = self._entry
        if entry.key is None or entry.key.date == date:
            return
        moved = replace(entry.key, date=date)
        if not entry.is_kept and entry.blank:
            entry.show(moved)
            return
        self.keep()
        key, today, problem = entry.key, self._desk.today(), self._desk.session.problem
        self._desk.session.do(
            lambda file: redate_record(file, key, date, today, problem),
            lambda _kept: entry.follow(moved),
            failed=self._say_and_show,
        )

    def stand(self, because: str) -> None:
        """Let the visit stand whatever the protocol asks, as one step; without a reason, take that back."""
        self._on_record(
            lambda file, key, today, problem: let_visit_stand(file, key, because, today, problem),
        )

    def _on_record(self, do: Callable[..., object]) -> None:
        key, today, problem = self._entry.key, self._desk.today(), self._desk.session.problem
        if key is None:
            return
        self.keep()

        def step(file: SeasonFile) -> object:
            return do(file, key, today, problem)

        self._desk.session.do(step, failed=self._say)

    def _settle(self, records: Sequence[VisitRecord], *, kept: bool) -> None:
        self._entry.typed.settle(records, kept=kept)
        self._entry.refresh()

    def _refused(self, records: Sequence[VisitRecord], error: DimpsyError) -> None:
        self._settle(records, kept=False)
        self._say(error)

    def _say_and_show(self, error: DimpsyError) -> None:
        """Say why the date is not another one, and show the date that stands."""
        self._entry.refresh()
        self._say(error)

    def _say(self, error: DimpsyError) -> None:
        self.failed.emit(" ".join(str(error).split()))
