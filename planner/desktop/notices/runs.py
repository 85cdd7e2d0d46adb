"""Writes the files of people into a folder, and keeps what they were told."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path

from planner.desktop.notices.watch import NoticesWatch
from planner.desktop.paper.one_run import OneRun
from planner.usecases.sending.news import what_to_send
from planner.usecases.sending.send import Sent, SentPerson, record_told, send_job, write_files


class SendRuns(OneRun):
    """One run at a time; it ends with a Sent."""

    def write(
        self, watch: NoticesWatch, volunteers: Sequence[str], folder: Path, now: dt.datetime, *, clear: bool = False
    ) -> None:
        """Write the files of some people, each into a folder of their own; ``now`` is when they go out.

        With ``clear`` what went out before and is theirs no longer is deleted.
        """
        facts, told, identity, ours = watch.facts, watch.told, watch.identity, watch.ours
        if self._stop is not None or facts is None:
            return
        stop = self._begin()

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
