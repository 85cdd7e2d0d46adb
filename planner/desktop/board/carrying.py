"""A visit in the hand: lifted from the board, judged wherever it hangs, dropped as one step or put back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from planner.desktop.board.said import tr
from planner.desktop.desk import Desk
from planner.domain.errors import DimpsyError, ImpossibleError
from planner.domain.plan import PlannedVisit, VisitKey
from planner.usecases.plan.judging import Verdict
from planner.usecases.plan.placing import Placed, place, why_fixed
from planner.usecases.plan.proposing import Role, propose, within_reach

if TYPE_CHECKING:
    from planner.store import SeasonFile


class Carrying(QObject):
    """What is lifted, where it hangs, and the verdict on it there."""

    changed = Signal()
    """Something about it is otherwise: where it hangs, who leads it, the verdict."""
    put_down = Signal()
    """It is no longer in the hand, whatever became of it."""
    refused = Signal(str, object)
    """What was refused, and the reasons (a tuple of sentences)."""
    placed = Signal(object)
    """The VisitKey of a visit that stands somewhere else now."""

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk
        self.key: VisitKey | None = None
        """The visit in the hand; None: the hand is empty."""
        self.day: dt.date | None = None
        self.lead = ""
        """Who is to lead it; empty: whoever does now."""
        self.verdict: Verdict | None = None
        """On the visit where it hangs; None while it is being judged."""
        self.spot: tuple[VisitKey, dt.date] | None = None
        """The visit and the date over which one hung last, for what is said after it has been put down."""
        self._by_mouse = False
        self._reach: tuple[str, ...] = ()
        self._dropping = False

    @property
    def holds(self) -> bool:
        """Whether something is in the hand."""
        return self.key is not None

    @property
    def stood(self) -> PlannedVisit | None:
        """How the visit in the hand stands in the plan; None where it is unfilled."""
        return self._desk.session.snapshot.plan.by_key.get(self.key) if self.key is not None else None

    def lift(self, key: VisitKey, day: dt.date, *, by_mouse: bool = False) -> bool:
        """Take a visit into the hand over a date; return whether it may be moved at all, else say why not.

        Args:
            key: the visit.
            day: the date over which it hangs at first.
            by_mouse: whether it is dragged; then it goes back where a drop is refused, else it stays in the hand.
        """
        session = self._desk.session
        visit = session.snapshot.plan.by_key.get(key)
        reason = session.snapshot.read_only_reason or (why_fixed(visit, self._desk.today()) if visit else "")
        if session.problem is None:
            reason = tr("Light and drives are still being computed; try again in a moment.")
        self.spot = key, day
        if reason:
            self.refused.emit(tr("%1 cannot be moved", key), (reason,))
            return False
        self.key, self.lead, self._reach, self._dropping, self._by_mouse = key, "", (), False, by_mouse
        self.hover(day)
        return True

    def hover(self, day: dt.date) -> None:
        """Hang the visit over a date."""
        if self.key is not None and day != self.day:
            self.day, self.spot = day, (self.key, day)
            self._judge()

    def give_to(self, code: str) -> None:
        """Let somebody else lead the visit in the hand; empty: whoever does now."""
        if self.key is not None and code != self.lead:
            self.lead = code
            self._judge()

    def next_lead(self, step: int) -> None:
        """Let the next of those within reach lead it, nearest first; a negative step goes back."""
        if self._reach:
            now = self.lead or (self.verdict.visit.lead if self.verdict is not None else "")
            place = self._reach.index(now) if now in self._reach else -1
            self.give_to(self._reach[(place + step) % len(self._reach)])

    def drop(self) -> None:
        """Place the visit where it hangs, once it has been judged; refused where a rule would be broken."""
        if self.verdict is None:
            self._dropping = self.holds
            return
        verdict, key = self.verdict, self.key
        if key is None:
            return
        if verdict.broken:
            if self._by_mouse:
                self._empty()
            self.refused.emit(tr("%1 cannot be placed here", key), tuple(one.what for one in verdict.broken))
            return
        self._empty()
        if verdict.visit == verdict.before:
            return
        problem = self._desk.session.problem

        def save(file: SeasonFile) -> Placed:
            return place(file, verdict.visit, problem=problem)

        self._desk.session.do(save, then=lambda _: self.placed.emit(key), failed=self._failed)

    def put_back(self) -> None:
        """Leave the visit where it stands."""
        if self.holds:
            self._empty()

    def _empty(self) -> None:
        self.key, self.day, self.lead, self.verdict, self._dropping = None, None, "", None, False
        self.put_down.emit()

    def _judge(self) -> None:
        """Ask for the verdict where the visit hangs; an older question is dropped."""
        self.verdict = None
        self.changed.emit()
        session, key, day, lead = self._desk.session, self.key, self.day, self.lead
        problem, plan = session.problem, session.snapshot.plan
        if problem is None or key is None or day is None:
            return

        def think() -> tuple[Verdict, tuple[str, ...]]:
            verdict = propose(problem, plan, key, day, lead)
            return verdict, self._reach or within_reach(problem, verdict.visit, Role.LEAD)

        session.think(think, self._judged, topic="board verdict", owner=self, failed=self._failed)

    def _judged(self, found: tuple[Verdict, Sequence[str]]) -> None:
        verdict, reach = found
        if verdict.visit.key != self.key or verdict.visit.date != self.day:
            return
        self.verdict, self._reach = verdict, tuple(reach)
        self.changed.emit()
        if self._dropping:
            self._dropping = False
            self.drop()

    def _failed(self, error: DimpsyError) -> None:
        asked, reasons = (error.asked, error.reasons) if isinstance(error, ImpossibleError) else (str(error), ())
        self._empty()
        self.refused.emit(asked, reasons)
