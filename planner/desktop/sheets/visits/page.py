"""The visits page: the list of visits, and the record of the one chosen."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QAction, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QSplitter

from planner.desktop.desk import Desk
from planner.desktop.sheets.page import SheetsPage
from planner.desktop.sheets.visits.record_pane import RecordPane
from planner.desktop.sheets.visits.visit_pane import VisitPane
from planner.domain.field.visit_record import RecordKey
from planner.domain.finding import Subject

_SHARES = [306, 794]
_BEGIN_MS = 20


class VisitsPage(SheetsPage):
    """What teams wrote about their evenings, visit by visit."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.visits = VisitPane(desk)
        self.pane = RecordPane(desk)
        self._lay_out()
        self.visits.chosen.connect(self.pane.show_record)
        self.pane.key_changed.connect(self._follow)
        desk.session.snapshot_changed.connect(lambda _found: self._refresh())
        self.setFocusProxy(self.pane.grid)
        self._is_stale = True

    def takes(self, subject: Subject) -> bool:
        """What is of one evening of a route is shown here."""
        return bool(subject.route) and subject.date is not None

    def show_subject(self, subject: Subject) -> None:
        """Show the record of an evening, and stand on its point."""
        self._catch_up()
        key = self.visits.best(subject.route, subject.visit, subject.date)
        if key is not None:
            self.visits.choose(key)
        if subject.point is not None:
            self.pane.go_to(subject.point)

    def commands(self) -> Sequence[QAction]:
        """Return what can be done to records."""
        return self.pane.commands()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what happened meanwhile, once the page is seen: both at once would be a pause."""
        super().showEvent(event)
        QTimer.singleShot(_BEGIN_MS, self, self._catch_up)

    def _refresh(self) -> None:
        """Show what the file holds now; while nobody sees the page, later."""
        self._is_stale = True
        if self.isVisible():
            self._catch_up()

    def _catch_up(self) -> None:
        if not self._is_stale:
            return
        self._is_stale = False
        self.visits.refresh()
        self.pane.refresh()
        if self.pane.entry.key is None:
            self.visits.choose_first()

    def _follow(self, key: RecordKey | None) -> None:
        if key is not None:
            self.visits.follow(key)

    def _lay_out(self) -> None:
        split = QSplitter(Qt.Orientation.Horizontal)
        split.addWidget(self.visits)
        split.addWidget(self.pane)
        split.setChildrenCollapsible(False)
        split.setSizes(_SHARES)
        split.setStretchFactor(1, 1)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(split)
