"""One open season file: what it holds, what is known of it, and the threads that read, write and compute."""

from __future__ import annotations

import datetime as dt
import threading
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QObject, Signal

from planner.desktop.worker import Job, Worker
from planner.domain.errors import DimpsyError
from planner.usecases.season.history import redo, undo
from planner.usecases.season.snapshot import Snapshot, snapshot

if TYPE_CHECKING:
    from planner.domain.season import Season
    from planner.scheduling import SeasonProblem
    from planner.store import SeasonFile, Step
    from planner.travel import RoadNetwork
    from planner.usecases.checking import Checked

_T = TypeVar("_T")


class SeasonSession(QObject):
    """A season file while it is open in the window.

    One thread reads and writes the file; a second answers what a person waits for with the mouse in hand; a third does
    the long computing. After each step the snapshot is read anew; then the light and the drives, then the findings
    follow in the background. Results that a later change has overtaken are dropped.
    """

    snapshot_changed = Signal(object)
    """A Snapshot: the file after opening, a step, undo or redo."""
    problem_changed = Signal(object)
    """A SeasonProblem: light windows and drives of the season as it stands."""
    checked_changed = Signal(object)
    """A Checked: findings and risk of the season as it stands."""
    failed = Signal(object)
    """A DimpsyError that nobody else has taken."""
    busy = Signal(object)
    """A Job that may take long, as it begins."""
    idle = Signal(object)
    """The same Job once it is over."""
    work_changed = Signal()
    """Whether anything is still being read, written or computed may have changed."""

    handing_over = Signal()
    """What is being written is to be given now: the season is about to step back or forth, or to be closed."""

    def __init__(self, today: Callable[[Snapshot], dt.date], parent: QObject | None = None) -> None:
        """Make a session without a file; ``today`` tells the date before which visits are past."""
        super().__init__(parent)
        self._snapshot: Snapshot | None = None
        self.problem: SeasonProblem | None = None
        self._problem_of: Season | None = None
        self.checked: Checked | None = None
        self.network: RoadNetwork | None = None
        self._file: SeasonFile | None = None
        self._today = today
        self._open_jobs: list[Job] = []
        self._files = Worker("file", self)
        self._quick = Worker("quick", self)
        self._background = Worker("background", self)
        self._long = Worker("long", self)
        for worker in self._workers:
            worker.began.connect(self._began)
            worker.ended.connect(self._ended)

    @property
    def snapshot(self) -> Snapshot:
        """The file as it stands.

        Raises:
            RuntimeError: no file has been opened yet.
        """
        if self._snapshot is None:
            raise RuntimeError("there is no snapshot before a season file has been opened")
        return self._snapshot

    @property
    def _workers(self) -> tuple[Worker, ...]:
        return (self._files, self._quick, self._background, self._long)

    @property
    def working(self) -> bool:
        """Whether anything is being read, written or computed."""
        return bool(self._open_jobs)

    def open(self, make: Callable[[], SeasonFile], then: Callable[[], None]) -> None:
        """Open a season file, made or found by ``make`` on the file's thread; ``then`` once its snapshot is there."""

        def work() -> Snapshot:
            self._file = make()
            return snapshot(self._file)

        def opened(found: Snapshot) -> None:
            self._take(found)
            then()

        self._files.give(work, opened, self._report)

    def close(self) -> None:
        """Stop everything and let go of the file, once the steps that were given stand in it."""
        self.handing_over.emit()
        for job in self._open_jobs:
            if job.stop is not None:
                job.stop.set()
        for worker in (self._long, self._background, self._quick):
            worker.close()
        self._files.close(finish=True)
        if self._file is not None:
            self._file.close()
            self._file = None

    def do(
        self,
        operation: Callable[[SeasonFile], _T],
        then: Callable[[_T], None] | None = None,
        failed: Callable[[DimpsyError], None] | None = None,
        words: str = "",
    ) -> Job:
        """Do one step in the file; all views are told of what it changed before ``then`` is."""

        def work() -> tuple[_T, Snapshot]:
            result = operation(self._opened)
            return result, snapshot(self._opened, self._snapshot)

        def done(returned: tuple[_T, Snapshot]) -> None:
            result, found = returned
            self._take(found)
            if then is not None:
                then(result)

        return self._files.give(work, done, self._failing(failed), job=Job(words, "", None))

    def ask(
        self,
        query: Callable[[SeasonFile], _T],
        then: Callable[[_T], None],
        *,
        topic: str = "",
        owner: QObject | None = None,
        failed: Callable[[DimpsyError], None] | None = None,
        words: str = "",
    ) -> Job:
        """Read something from the file."""
        return self._files.give(
            lambda: query(self._opened), then, self._failing(failed), job=Job(words, topic, None), owner=owner
        )

    def think(
        self,
        work: Callable[[], _T],
        then: Callable[[_T], None],
        *,
        topic: str = "",
        owner: QObject | None = None,
        failed: Callable[[DimpsyError], None] | None = None,
    ) -> Job:
        """Compute something that is waited for, without the file."""
        return self._quick.give(work, then, self._failing(failed), job=Job("", topic, None), owner=owner)

    def think_long(
        self,
        work: Callable[[], _T],
        then: Callable[[_T], None],
        *,
        words: str,
        stop: threading.Event | None = None,
        topic: str = "",
        owner: QObject | None = None,
        failed: Callable[[DimpsyError], None] | None = None,
    ) -> Job:
        """Compute something long, without the file; ``stop`` is set when a person presses Stop."""
        job = Job(words, topic, stop)
        return self._long.give(work, then, self._failing(failed), job=job, owner=owner)

    def undo(self, then: Callable[[Step], None] | None = None) -> None:
        """Take the newest step back; what is being written is a step too."""
        self.handing_over.emit()
        self.do(undo, then)

    def redo(self, then: Callable[[Step], None] | None = None) -> None:
        """Do the step again that was undone last; what is being written comes first, and leaves nothing to do again."""
        self.handing_over.emit()
        self.do(redo, then)

    @property
    def _opened(self) -> SeasonFile:
        if self._file is None:
            raise DimpsyError("The season is closed; nothing was changed.")
        return self._file

    def _take(self, found: Snapshot) -> None:
        before, self._snapshot = self._snapshot, found
        self.snapshot_changed.emit(found)
        if before is None or found.season is not before.season or found.plan is not before.plan:
            self._look_again(found)
        elif found.sheets is before.sheets and found.records is before.records:
            return
        elif self.problem is not None and self._problem_of is found.season:
            self._check(found, self.problem, self.network)

    def _look_again(self, found: Snapshot) -> None:
        """Compute the problem of a snapshot, then its findings; each is shown as soon as it is there."""
        today, problem, network = self._today(found), self.problem, self.network

        def prepare() -> tuple[SeasonProblem, RoadNetwork | None]:
            from planner.usecases.season.opening import road_network
            from planner.usecases.season.problem import roads_from_homes, season_problem_after

            roads = found.season.roads
            same = (network and network.content_hash) == (roads and roads.content_hash)
            found_network = network if same else road_network(found.path, roads)
            changed = season_problem_after(problem, found.season, found_network, today, same_roads=same)
            return changed, roads_from_homes(found.season, found_network)

        def prepared(returned: tuple[SeasonProblem, RoadNetwork | None]) -> None:
            self.problem, self.network = returned
            self._problem_of = found.season
            self.problem_changed.emit(self.problem)
            self._check(self.snapshot, *returned)  # sheets and records may have come in since

        self._background.give(prepare, prepared, self._report, job=Job("", "problem", None))

    def _check(self, found: Snapshot, problem: SeasonProblem, network: RoadNetwork | None) -> None:
        before = self.checked

        def check() -> Checked:
            from planner.usecases.checking import check_season
            from planner.usecases.sheets import KeptSheets

            kept = KeptSheets(found.sheets, found.path)
            return check_season(found.season, found.plan, problem, network, before, records=found.records, sheets=kept)

        def checked(result: Checked) -> None:
            self.checked = result
            self.checked_changed.emit(result)

        self._background.give(check, checked, self._report, job=Job("", "check", None))

    def _failing(self, failed: Callable[[DimpsyError], None] | None) -> Callable[[BaseException], None]:
        def fail(error: BaseException) -> None:
            if failed is not None and isinstance(error, DimpsyError):
                failed(error)
            else:
                self._report(error)

        return fail

    def _report(self, error: BaseException) -> None:
        """Show what a person can act on; anything else is a fault of the program and is raised."""
        if not isinstance(error, (DimpsyError, OSError)):
            raise error
        self.failed.emit(error if isinstance(error, DimpsyError) else _in_words(error))

    def _began(self, job: Job) -> None:
        self._open_jobs.append(job)
        self.busy.emit(job)
        self.work_changed.emit()

    def _ended(self, job: Job) -> None:
        self._open_jobs.remove(job)
        self.idle.emit(job)
        self.work_changed.emit()


def season_path(path: str | Path) -> Path:
    """Return a season's path as it is remembered: whole, so that it holds from wherever the program is started."""
    return Path(path).expanduser().absolute()


def _in_words(error: OSError) -> DimpsyError:
    name = f"{error.filename}: " if error.filename else ""
    return DimpsyError(f"{name}cannot be read or written ({error.strerror or error}). Look whether the disk is full.")
