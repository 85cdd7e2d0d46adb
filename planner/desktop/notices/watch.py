"""Knows what has to be told to whom; looked at anew after each change, while somebody wants to know."""

from __future__ import annotations

import threading
from typing import NamedTuple

from PySide6.QtCore import QCoreApplication, QObject, Signal

from planner.desktop.desk import Desk
from planner.desktop.paper.watch import PaperWatch
from planner.domain.errors import DimpsyError
from planner.domain.field.told import Told, WrittenFile
from planner.store import SeasonFile
from planner.usecases.paper.itineraries import PrintFacts
from planner.usecases.sending.copies import sent_elsewhere
from planner.usecases.sending.news import KnownEntries, PersonNews, what_to_send


class _Log(NamedTuple):
    """What the season file knows of what went out."""

    told: tuple[Told, ...]
    identity: str
    ours: frozenset[WrittenFile]
    elsewhere: str


class NoticesWatch(QObject):
    """The news of the season that is open."""

    changed = Signal()

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.people: tuple[PersonNews, ...] = ()
        self.facts: PrintFacts | None = None
        """What the news was found with; None as long as it is not known for the season as it stands."""
        self.told: tuple[Told, ...] = ()
        """The log that it was compared with."""
        self.identity = ""
        """What names the season for good."""
        self.ours: frozenset[WrittenFile] = frozenset()
        """Files that went out before: no other is ever deleted."""
        self.elsewhere = ""
        """That files last went out from another copy of the season, in words; empty where they did not."""
        self.obstacle = ""
        """Why nothing can go out, in words."""
        self._desk = desk
        self.known = KnownEntries()
        self._stop = threading.Event()
        self._wanted = False
        self._paper = PaperWatch.of(desk)
        self._paper.changed.connect(self._look)
        desk.session.snapshot_changed.connect(lambda _snapshot: self._outdated())

    @property
    def fresh(self) -> bool:
        """Whether the news is that of the season as it stands."""
        return self.facts is not None

    def want(self) -> None:
        """Begin to look, and go on doing so after each change."""
        if not self._wanted:
            self._wanted = True
            self._paper.want()
            self._look()

    def _outdated(self) -> None:
        self._stop.set()
        self.facts = None
        self.changed.emit()

    def _look(self) -> None:
        facts = self._paper.facts
        if not self._wanted or (facts is not None and facts is self.facts):
            return
        self._stop.set()
        self.facts, self.obstacle = None, self._paper.obstacle
        if facts is None:
            self.changed.emit()
            return
        self._desk.session.ask(_log, lambda log: self._compare(facts, log), topic="told", owner=self, failed=self._fail)

    def _compare(self, facts: PrintFacts, log: _Log) -> None:
        if facts is not self._paper.facts:
            return
        self._stop = stop = threading.Event()
        now = self._desk.now().replace(microsecond=0)

        def found(people: tuple[PersonNews, ...]) -> None:
            if facts is self._paper.facts and not stop.is_set():
                self.people, self.facts = people, facts
                self.told, self.identity, self.ours, self.elsewhere = log
                self.changed.emit()

        self._desk.session.think_long(
            lambda: what_to_send(facts, log.told, now, self.known, stop.is_set),
            found,
            words=QCoreApplication.translate("NoticesWatch", "Looking who must be told what"),
            topic="news",
            owner=self,
            failed=self._fail,
        )

    def _fail(self, error: DimpsyError) -> None:
        self.people, self.obstacle = (), str(error)
        self.changed.emit()


def _log(file: SeasonFile) -> _Log:
    return _Log(file.told(), file.identity, file.written_files, sent_elsewhere(file))
