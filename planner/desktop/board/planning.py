"""A planning run from the window: read, solve on the long thread with live progress, keep; or stopped, or failed."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from planner.desktop.board.said import tr
from planner.desktop.desk import Desk
from planner.domain.errors import DimpsyError
from planner.domain.plan import VisitKey
from planner.usecases.plan.planning import Planned, PlanningTask, Scope, keep, listed_codes, read_task, solve_until
from planner.usecases.plan.relaxing import Offer

if TYPE_CHECKING:
    from planner.scheduling import Progress, SeasonResult
    from planner.store import SeasonFile

A_SECOND = 10
"""Events shown in a second at most: more nobody reads."""


class End(StrEnum):
    """How a run ended: three different things."""

    FINISHED = "finished"
    STOPPED = "stopped"
    FAILED = "failed"


@dataclass(frozen=True, slots=True)
class RunEnd:
    """What became of a run."""

    end: End
    words: str
    offer: Offer | None = None
    """Why visits lack something and what would help; None where the run looked at some routes only, or failed."""
    broken: tuple[VisitKey, ...] = ()
    """Visits that still break a rule: the run left them as they stood."""
    saved: bool = False
    """Whether the plan changed."""


class Planning(QObject):
    """One planning run at a time."""

    began = Signal()
    progressed = Signal(object)
    """A Progress of the run that goes on; at most ten in a second."""
    ended = Signal(object)
    """A RunEnd."""

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._stop: threading.Event | None = None

    @property
    def runs(self) -> bool:
        """Whether a run goes on."""
        return self._stop is not None

    def start(self, scope: Scope, routes: Iterable[str] = ()) -> None:
        """Plan all, the chosen routes or what is missing; while a run goes on, nothing happens."""
        if self.runs:
            return
        stop, today, chosen = threading.Event(), self._desk.today(), tuple(routes)
        self._stop = stop
        self.began.emit()

        def read(file: SeasonFile) -> PlanningTask:
            return read_task(file, scope=scope, routes=chosen, today=today)

        self._desk.session.ask(read, partial(self._solve, stop), owner=self, failed=self._fail)

    def stop(self) -> None:
        """Stop the run and keep the best plan so far."""
        if self._stop is not None:
            self._stop.set()

    def _solve(self, stop: threading.Event, task: PlanningTask) -> None:
        tell = _throttled(self.progressed.emit)

        def solve() -> SeasonResult:
            return solve_until(task, stop, on_event=tell)

        self._desk.session.think_long(
            solve, partial(self._keep, task), words=tr("Planning"), stop=stop, owner=self, failed=self._fail
        )

    def _keep(self, task: PlanningTask, result: SeasonResult) -> None:
        def save(file: SeasonFile) -> Planned:
            return keep(file, task, result)

        self._desk.session.do(save, then=partial(self._kept, task), failed=self._fail)

    def _kept(self, task: PlanningTask, planned: Planned) -> None:
        snapshot = self._desk.session.snapshot
        whole = task.scope is not Scope.SELECTED
        offer = Offer(snapshot.season, snapshot.plan, planned.result.explanations) if whole else None
        end = End(planned.result.outcome.value)
        self._stop = None
        self.ended.emit(RunEnd(end, _said(end, planned), offer, planned.broken, planned.saved))

    def _fail(self, error: DimpsyError) -> None:
        self._stop = None
        self.ended.emit(RunEnd(End.FAILED, tr("Planning failed, nothing was changed. %1", error)))


def _said(end: End, planned: Planned) -> str:
    """Return what a run came to, in words; what still breaks a rule comes first, how far estimates may be off last."""
    came_to, broken = f"{_came_to(end, planned)} {planned.drives_said}".rstrip(), planned.broken
    if not broken:
        return came_to
    named = listed_codes([str(key) for key in broken])
    if len(broken) == 1:
        still = tr("1 visit still breaks a rule: %1. It was left as it was; the Board shows it.", named)
    else:
        still = tr(
            "%1 visits still break a rule: %2. They were left as they were; the Board shows them.", len(broken), named
        )
    return f"{still} {came_to}"


def _came_to(end: End, planned: Planned) -> str:
    plan = planned.result.plan
    reserved = sum(visit.reserve is not None for visit in plan)
    what = tr("%1 of %2 visits filled, %3 with a reserve date.", len(plan), planned.visits, reserved)
    empty = planned.visits - len(plan)
    if empty:
        unfilled = tr("1 is unfilled.") if empty == 1 else tr("%1 are unfilled.", empty)
        what = f"{what} {unfilled} {tr('The list of unfilled visits says why, and what would help.')}"
    if end is End.STOPPED:
        how = (
            tr("Stopped. The best plan found so far is kept:")
            if planned.saved
            else tr("Stopped. The plan stays as it was:")
        )
        return f"{how} {what}"
    how = tr("Finished:") if planned.saved else tr("Finished. Nothing better was found, the plan stays as it was:")
    why = planned.result.why
    return f"{how} {what} {tr('Of all other visits: %1.', why.rstrip('.')) if planned.broken else _sentence(why)}"


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:].rstrip('.')}." if words else ""


def _throttled(emit: Callable[[Progress], None]) -> Callable[[Progress], None]:
    """Return what hands events on, so many in a second at most."""
    last = [float("-inf")]

    def tell(event: Progress) -> None:
        now = time.monotonic()
        if now - last[0] >= 1 / A_SECOND:
            last[0] = now
            emit(event)

    return tell
