"""One thread that does jobs one after another and hands each result back on the interface thread."""

from __future__ import annotations

import itertools
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial
from typing import Generic, TypeVar

from PySide6.QtCore import QObject, Qt, Signal, Slot
from shiboken6 import isValid

_T = TypeVar("_T")
_numbers = itertools.count(1)


class Job:
    """One thing to do: its words for the status line, and the event that stops it where it can be stopped."""

    def __init__(self, words: str, topic: str, stop: threading.Event | None) -> None:
        self.number = next(_numbers)
        self.words = words
        self.topic = topic
        self.stop = stop
        self.over = False
        """Whether its result has been handed back or dropped."""


@dataclass(frozen=True, slots=True)
class _Ends(Generic[_T]):
    """What is to be done with an answer, and for whom."""

    then: Callable[[_T], None]
    failed: Callable[[BaseException], None]
    owner: QObject | None


@dataclass(frozen=True, slots=True)
class _Returned:
    """A job that is over, on its way to the interface thread."""

    job: Job
    hand_back: Callable[[], None]
    owner: QObject | None


class Worker(QObject):
    """A thread of its own for jobs that must not run side by side.

    A job of a topic makes the results of earlier jobs of that topic stale: those are not handed back, and not even
    begun where they still wait. Nothing is handed back to an owner that is gone.
    """

    began = Signal(object)
    """A Job that was given to the worker."""
    ended = Signal(object)
    """The same Job once it is over, whatever came of it."""
    _returned = Signal(object)

    def __init__(self, name: str, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pool = ThreadPoolExecutor(1, thread_name_prefix=name)
        self._newest: dict[str, int] = {}
        self._closed = False
        self._returned.connect(self._hand_back, Qt.ConnectionType.QueuedConnection)

    def give(
        self,
        work: Callable[[], _T],
        then: Callable[[_T], None],
        failed: Callable[[BaseException], None],
        *,
        job: Job | None = None,
        owner: QObject | None = None,
    ) -> Job:
        """Have work done on the thread, then ``then`` or ``failed`` called on the interface thread.

        After ``close`` nothing is done any more: a window that goes may still ask for something.
        """
        job = job or Job("", "", None)
        if self._closed:
            job.over = True
            return job
        if job.topic:
            self._newest[job.topic] = job.number
        self.began.emit(job)
        self._pool.submit(self._do, job, work, _Ends(then, failed, owner))
        return job

    def close(self, *, finish: bool = False) -> None:
        """End the thread once the job that runs is done; nothing is handed back any more.

        Args:
            finish: whether what waits is done before, but for questions of a topic; else it is dropped.
        """
        self._closed = True
        self._newest = dict.fromkeys(self._newest, 0)
        self._pool.shutdown(wait=True, cancel_futures=not finish)

    def _do(self, job: Job, work: Callable[[], _T], ends: _Ends[_T]) -> None:
        hand_back: Callable[[], None] = _nothing
        if not self._stale(job):
            try:
                hand_back = partial(ends.then, work())
            except BaseException as caught:  # noqa: BLE001  # it is raised again, or shown, on the interface thread
                hand_back = partial(ends.failed, caught)
        if not self._closed:
            self._returned.emit(_Returned(job, hand_back, ends.owner))

    def _stale(self, job: Job) -> bool:
        return bool(job.topic) and self._newest.get(job.topic) != job.number

    @Slot(object)
    def _hand_back(self, returned: _Returned) -> None:
        job, owner = returned.job, returned.owner
        job.over = True
        self.ended.emit(job)
        if not (self._closed or self._stale(job) or (owner is not None and not isValid(owner))):
            returned.hand_back()


def _nothing() -> None:
    """Hand nothing back: the answer was stale before it was looked for."""
