"""Knows how everybody's paper stands to the plan; looked at anew after each change, while somebody wants to know."""

from __future__ import annotations

import threading
import time
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QObject, QTimer, Signal

from planner.desktop.desk import Desk
from planner.domain.errors import ImpossibleError

if TYPE_CHECKING:  # all of it is loaded by the time that a problem is there
    from planner.store import SeasonFile
    from planner.usecases.paper.itineraries import PrintFacts
    from planner.usecases.paper.papers import PaperHashes, PaperLog, Papers


SLICE_S = 0.4
"""Looking through a large season is cut into slices, so that planning need not wait for the end of it."""


class PaperWatch(QObject):
    """The papers of the season that is open. There is one for each desk: see :meth:`of`."""

    changed = Signal()
    """The papers, or the facts that they are made from."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.papers: Papers | None = None
        """How they stand; None until that is known for the first time."""
        self.facts: PrintFacts | None = None
        """What they are printed from; None while the light and the drives of the season as it stands are computed."""
        self.fresh = False
        """Whether ``papers`` is that of the season as it stands."""
        self.obstacle = ""
        """Why nothing can be printed, in words: the road map is gone."""
        self._desk = desk
        self._hashes: PaperHashes | None = None
        self._stop = threading.Event()
        self._wanted = False
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._look)
        session = desk.session
        session.snapshot_changed.connect(lambda _snapshot: self._outdated())
        session.problem_changed.connect(lambda _problem: self._outdated())

    @classmethod
    def of(cls, desk: Desk) -> PaperWatch:
        """Return the desk's watch; it is made when it is first asked for."""
        found = desk.findChild(cls)
        return found if isinstance(found, cls) else cls(desk)

    def want(self) -> None:
        """Begin to look, and go on doing so after each change."""
        if not self._wanted:
            self._wanted = True
            self._soon.start(0)

    def _outdated(self) -> None:
        self.fresh = False
        self._stop.set()
        if self._wanted:
            self._soon.start(0)

    def _look(self) -> None:
        self.facts = self._facts_now()
        if self.facts is not None:
            session, facts = self._desk.session, self.facts
            session.ask(_log, lambda log: self._judge(facts, log), topic="paper log", owner=self)
        self.changed.emit()

    def _judge(self, facts: PrintFacts, log: PaperLog) -> None:
        if facts is not self.facts:
            return
        from planner.usecases.paper.papers import PaperHashes, papers

        self._stop = stop = threading.Event()
        hashes = self._hashes = self._hashes or PaperHashes()
        words = QCoreApplication.translate("PaperWatch", "Looking whose paper has changed")

        def judged(found: Papers) -> None:
            if facts is not self.facts or stop.is_set():
                return
            if not found.whole:
                self._judge(facts, log)
                return
            self.papers, self.fresh = found, True
            self.changed.emit()

        def judge() -> Papers:
            end = time.monotonic() + SLICE_S
            return papers(facts, log, hashes, lambda: stop.is_set() or time.monotonic() > end)

        self._desk.session.think_long(judge, judged, words=words, topic="papers", owner=self)

    def _facts_now(self) -> PrintFacts | None:
        session = self._desk.session
        found, problem = session.snapshot, session.problem
        self.obstacle = ""
        if problem is None:
            return None
        from planner.usecases.paper.print_facts import is_of, print_facts

        if not is_of(problem, found.season):
            return None
        try:
            return print_facts(found, problem, session.network, self._desk.today())
        except ImpossibleError as error:
            self.obstacle = str(error)
            return None


def _log(file: SeasonFile) -> PaperLog:
    from planner.usecases.paper.papers import paper_log

    return paper_log(file)
