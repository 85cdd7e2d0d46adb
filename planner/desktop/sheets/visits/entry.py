"""The record that is being written: as it is kept, what was typed over it, and what the protocol says of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence

from PySide6.QtCore import QObject, Signal

from planner.desktop.desk import Desk
from planner.desktop.sheets.typed_sheets import TypedRecords
from planner.desktop.sheets.visits.words import is_blank
from planner.desktop.sheets.words import tr
from planner.domain.errors import DimpsyError
from planner.domain.field.record_ground import CountKey
from planner.domain.field.visit_record import PointRecord, RecordKey, RecordState, VisitRecord
from planner.domain.plan import PlannedVisit
from planner.domain.route import Route
from planner.domain.season import Season
from planner.usecases.records import Judged
from planner.usecases.records.entry import PlannedTimes, blank_record, count_order, read_time


class RecordEntry(QObject):
    """One record at a time; what is typed stays until the file has it, also while another one is shown."""

    shown = Signal()
    """Another record is shown, or the same one as it is kept now."""
    written = Signal()
    """The record has become another by what was typed."""
    judged_anew = Signal()
    """What the protocol says of it is known anew."""
    refused = Signal(str)
    """Why something was not taken, in words."""

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._key: RecordKey | None = None
        self._record: VisitRecord | None = None
        self._unread: dict[tuple[RecordKey, str], tuple[str, str]] = {}
        self.typed = TypedRecords()
        self.order: list[CountKey] = []
        """The counts from top to bottom, those not done among them."""
        self.judged: Judged | None = None
        """None: not known yet."""
        self.planned: PlannedTimes | None = None
        self.why_unplanned = ""
        """Why there are no planned times, in words."""
        self.is_typing: Callable[[], bool] = bool
        """Whether a cell is open: then rows stay where they are."""
        self._planned_order: Sequence[PointRecord] = ()

    @property
    def key(self) -> RecordKey | None:
        """Which record is shown; None: none."""
        return self._key

    @property
    def record(self) -> VisitRecord:
        """The record as it stands on the screen.

        Raises:
            RuntimeError: none is shown.
        """
        if self._record is None:
            raise RuntimeError("no record is shown")
        return self._record

    @property
    def season(self) -> Season:
        """The season as it stands."""
        return self._desk.session.snapshot.season

    @property
    def route(self) -> Route | None:
        """The route of the record; None: the season does not have it."""
        code = self._key.route if self._key is not None else ""
        return next((one for one in self.season.routes if one.code == code), None)

    @property
    def visit(self) -> PlannedVisit | None:
        """The visit as it stands in the plan."""
        plan = self._desk.session.snapshot.plan
        return plan.by_key.get(self._key.visit_key) if self._key is not None else None

    @property
    def passes(self) -> int:
        """How often each point is counted."""
        return self.season.protocol.passes(self.visit.window if self.visit is not None else "")

    @property
    def is_kept(self) -> bool:
        """Whether the file has a record of this key."""
        return any(one.key == self._key for one in self._desk.session.snapshot.records)

    @property
    def locked(self) -> str:
        """Why nothing may be written, in words; empty where it may."""
        read_only = self._desk.session.snapshot.read_only_reason
        if read_only or self._record is None:
            return read_only or tr("Choose a visit first.")
        final = self._record.state is RecordState.FINAL
        return tr("The record is handed in: reopen it to change it.") if final else ""

    def show(self, key: RecordKey | None) -> None:
        """Show another record."""
        self._key, self.judged, self.planned, self.why_unplanned = key, None, None, ""
        self.order, self._planned_order = [], ()
        self.refresh()

    def refresh(self) -> None:
        """Show the record as it is kept now, what is typed over it."""
        if self._key is None:
            self._record = None
        else:
            self._record = self.typed.get(self._key) or self._kept(self._key)
            self._put_in_order()
        self.shown.emit()

    def write(self, change: Callable[[VisitRecord], VisitRecord]) -> bool:
        """Change the record, or say why it cannot be; return whether it could."""
        if self.locked:
            self.refused.emit(self.locked)
            return False
        try:
            other = change(self.record)
        except DimpsyError as error:
            self.refused.emit(str(error))
            return False
        if other != self.record:
            self._record = other
            self.typed.put(other, self._kept(other.key))
            self._put_in_order()
            self.written.emit()
        return True

    def write_time(
        self, name: str, text: str, change: Callable[[VisitRecord, dt.datetime | None], VisitRecord], *, counting: bool
    ) -> bool:
        """Take a time as it was typed; one that cannot be read stays where it was typed, and says why."""
        if self.locked or self._key is None:
            self.refused.emit(self.locked)
            return False
        try:
            when = read_time(self.season, self._desk.session.snapshot.plan, self._key, text, counting=counting)
        except DimpsyError as error:
            self.keep_unread(name, text, str(error))
            return True
        self.keep_unread(name, "", "")
        return self.write(lambda record: change(record, when))

    def keep_unread(self, name: str, text: str, why: str) -> None:
        """Keep a text that cannot be read with its field, or let go of it where it is empty."""
        if self._key is None or self.unread(name) == text:
            return
        if text:
            self._unread[self._key, name] = text, why
        else:
            self._unread.pop((self._key, name), None)
        self.written.emit()

    def unread(self, name: str) -> str:
        """Return the text of a field that could not be read; empty where there is none."""
        return self._unread.get((self._key, name), ("", ""))[0] if self._key is not None else ""

    def why_unread(self, name: str) -> str:
        """Return why it could not be read."""
        return self._unread.get((self._key, name), ("", ""))[1] if self._key is not None else ""

    @property
    def all_unread(self) -> tuple[str, ...]:
        """Why texts of this record could not be read, for each of them."""
        return tuple(why for (key, _), (_, why) in self._unread.items() if key == self._key)

    def take_planned(self, planned: PlannedTimes | None, why_not: str = "") -> None:
        """Take the times as they were planned, or why there are none."""
        self.planned, self.why_unplanned = planned, why_not
        if planned is not None and not self.is_typing():
            self._planned_order = planned.counts
        if self._record is not None:
            self._put_in_order()
            self.shown.emit()

    def take_judged(self, judged: Judged | None) -> None:
        """Take what the protocol says."""
        self.judged = judged
        self.judged_anew.emit()

    def follow(self, key: RecordKey) -> None:
        """Go on with the same record under another key: it was given another date."""
        before = self._key
        for (old, name), said in list(self._unread.items()):
            if old == before:
                self._unread[key, name] = self._unread.pop((old, name), said)
        self.show(key)

    def _put_in_order(self) -> None:
        route = self.route
        self.order = count_order(self.record, route, self.passes, self._planned_order) if route is not None else []

    def _kept(self, key: RecordKey) -> VisitRecord:
        found = self._desk.session.snapshot
        return next((one for one in found.records if one.key == key), blank_record(found.plan, key))

    @property
    def blank(self) -> bool:
        """Whether nothing came back on it yet."""
        return self._record is None or (is_blank(self._record) and not self.all_unread)
