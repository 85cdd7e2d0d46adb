"""What can be done to a record, with keys, and why something cannot be done now."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QWidget

from planner.desktop.desk import Desk
from planner.desktop.sheets.pane_actions import allow, pane_action
from planner.desktop.sheets.visits.entry import RecordEntry
from planner.desktop.sheets.words import tr
from planner.domain.field.visit_record import RecordState


class RecordActions(QObject):
    """The commands of a record; ``judge`` says what each may do now."""

    def __init__(self, desk: Desk, pane: QWidget, entry: RecordEntry) -> None:
        super().__init__(pane)
        self._desk, self._pane, self._entry = desk, pane, entry
        self.point_planned = self._action(
            tr("Point as planned"), "Ctrl+D", tr("the planned times of the point, where none are written")
        )
        self.all_planned = self._action(
            tr("All as planned"), "Ctrl+Shift+D", tr("the planned times wherever none are written")
        )
        self.hand_in = self._action(tr("Hand in"), "Ctrl+Return", tr("the record is final, and what follows holds"))
        self.reopen = self._action(tr("Reopen"), "Ctrl+Shift+O", tr("a final record becomes a draft to be mended"))
        self.another = self._action(tr("Another evening"), "", tr("begin a record of the same visit on another date"))
        self.forget = self._action(tr("Take away"), "", tr("there is no record of this evening any more"))

    @property
    def all(self) -> tuple[QAction, ...]:
        """Every command, in the order of the buttons."""
        return self.point_planned, self.all_planned, self.hand_in, self.reopen, self.another, self.forget

    def judge(self) -> None:
        """Enable what can be done."""
        entry = self._entry
        none = "" if entry.key is not None else tr("Choose a visit first.")
        read_only = none or self._desk.session.snapshot.read_only_reason
        final = not none and entry.record.state is RecordState.FINAL
        unplanned = "" if entry.planned is not None else entry.why_unplanned or tr("The times are being computed.")
        for action in (self.point_planned, self.all_planned):
            allow(action, none or entry.locked or unplanned)
        allow(self.hand_in, read_only or self._why_not_in())
        allow(self.reopen, read_only or ("" if final else tr("The record is not handed in.")))
        allow(self.another, read_only or ("" if entry.is_kept else tr("Nothing is kept of this evening yet.")))
        allow(self.forget, read_only or ("" if entry.is_kept else tr("Nothing is kept of this evening yet.")))

    def connect_to(self, action: QAction, do: Callable[[], None]) -> None:
        """Have a command do something."""
        action.triggered.connect(lambda _checked=False: do())

    def _why_not_in(self) -> str:
        entry = self._entry
        if entry.record.state is RecordState.FINAL:
            return tr("The record is handed in already.")
        if entry.record.key.date > self._desk.today():
            return tr("The date is still to come.")
        if entry.all_unread:
            return "\n".join((tr("Something cannot be read:"), *entry.all_unread))
        if not entry.record.counts and entry.record.stopped is None:
            return tr("Nothing is counted: write the times, or say why the team stopped.")
        return ""

    def _action(self, text: str, key: str, does: str) -> QAction:
        return pane_action(self._pane, text, key, does)
