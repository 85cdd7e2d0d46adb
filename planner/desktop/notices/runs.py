"""Writes the files of people into a folder, and keeps what they were told."""

from __future__ import annotations

import datetime as dt
import threading
from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from planner.desktop.notices.watch import NoticesWatch
from planner.desktop.session import SeasonSession
from planner.domain.errors import DimpsyError
from planner.usecases.sending.news import what_to_send
from planner.usecases.sending.send import Sent, SentPerson, record_told, send_job, write_files


class SendRuns(QObject):
    """One run at a time."""

    began = Signal()
    progressed = Signal(int, int)
    """How many people's files are written, and of how many."""
    ended = Signal(object)
    """A Sent: where it was stopped, with those done by then."""
    failed = Signal(object)
    """The DimpsyError that ended it."""

    def __init__(self, session: SeasonSession, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._stop: threading.Event | None = None

    @property
    def running(self) -> bool:
        """Whether a run goes on."""
        return self._stop is not None

    def write(
        self, watch: NoticesWatch, volunteers: Sequence[str], folder: Path, now: dt.datetime, *, clear: bool = False
    ) -> None:
        """Write the files of some people, each into a folder of their own; ``now`` is when they go out.

        With ``clear`` what went out before and is theirs no longer is deleted.
        """
        facts, told, identity, ours = watch.facts, watch.told, watch.identity, watch.ours
        if self._stop is not None or facts is None:
            return
        self._stop = stop = threading.Event()
        self.began.emit()

        def work() -> tuple[SentPerson, ...]:
            people = what_to_send(facts, told, now.replace(microsecond=0), watch.known)
            job = send_job(facts, identity, people, volunteers, ours=ours)
            return write_files(job, folder, clear=clear, on_done=self.progressed.emit, stop=stop.is_set)

        def written(sent: tuple[SentPerson, ...]) -> None:
            self._session.do(
                lambda file: record_told(file, sent), lambda _none: self._end(Sent(folder, sent)), self._fail
            )

        words = self.tr("Writing calendars and messages")
        self._session.think_long(work, written, words=words, stop=stop, owner=self, failed=self._fail)

    def stop(self) -> None:
        """Stop before the next person; files that are written stay, and count as told."""
        if self._stop is not None:
            self._stop.set()

    def _end(self, sent: Sent) -> None:
        self._stop = None
        self.ended.emit(sent)

    def _fail(self, error: DimpsyError) -> None:
        self._stop = None
        self.failed.emit(error)
