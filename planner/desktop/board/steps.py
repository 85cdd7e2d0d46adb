"""The steps that the board's buttons do in the season file."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from planner.desktop.desk import Desk
from planner.domain.errors import DimpsyError
from planner.domain.plan import PlannedVisit, Status, VisitKey
from planner.usecases.plan.placing import (
    Placed,
    confirm,
    pin,
    place,
    set_reserve,
    set_second,
    set_setup,
    take_out,
    unconfirm,
    unpin,
)

if TYPE_CHECKING:
    from planner.scheduling import SeasonProblem
    from planner.store import SeasonFile


class Steps(QObject):
    """Each method does one use case on the file's thread; a refusal is told to the window and to whoever listens."""

    refused = Signal(object)
    """A DimpsyError: nothing was changed."""
    done = Signal(object)
    """A Placed: what one step changed."""

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk

    def place(self, visit: PlannedVisit) -> None:
        """Make a visit stand as given."""
        problem = self._problem

        def do(file: SeasonFile) -> Placed:
            return place(file, visit, problem=problem)

        self._do(do)

    def hold(self, key: VisitKey, day: dt.date | None) -> None:
        """Hold a reserve date, or none."""
        problem = self._problem

        def do(file: SeasonFile) -> Placed:
            return set_reserve(file, key, day, problem=problem)

        self._do(do)

    def set_up(self, key: VisitKey, day: dt.date | None) -> None:
        """Lay the set-up on a date, or take it away."""
        problem = self._problem

        def do(file: SeasonFile) -> Placed:
            return set_setup(file, key, day, problem=problem)

        self._do(do)

    def go_alone(self, key: VisitKey) -> None:
        """Let the lead go without a second."""
        problem = self._problem

        def do(file: SeasonFile) -> Placed:
            return set_second(file, key, "", problem=problem)

        self._do(do)

    def toggle_pin(self, *keys: VisitKey) -> None:
        """Pin visits, or unpin them where all are pinned."""
        stands = self._desk.session.snapshot.plan.by_key
        pinned = all(stands[key].pinned for key in keys if key in stands)

        def do(file: SeasonFile) -> Placed:
            return unpin(file, *keys) if pinned else pin(file, *keys)

        self._do(do)

    def toggle_confirmed(self, *keys: VisitKey) -> None:
        """Confirm visits, or take that back where all are confirmed."""
        stands = self._desk.session.snapshot.plan.by_key
        confirmed = all(stands[key].status is Status.CONFIRMED for key in keys if key in stands)

        def do(file: SeasonFile) -> Placed:
            return unconfirm(file, *keys) if confirmed else confirm(file, *keys)

        self._do(do)

    def take_out(self, *keys: VisitKey) -> None:
        """Leave visits unfilled."""
        today = self._desk.today()

        def do(file: SeasonFile) -> Placed:
            return take_out(file, *keys, today=today)

        self._do(do)

    @property
    def _problem(self) -> SeasonProblem | None:
        return self._desk.session.problem

    def _do(self, operation: Callable[[SeasonFile], Placed]) -> None:
        self._desk.session.do(operation, then=self.done.emit, failed=self._refuse)

    def _refuse(self, error: DimpsyError) -> None:
        self._desk.session.failed.emit(error)
        self.refused.emit(error)
