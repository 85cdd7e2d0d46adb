"""The people who could go on a visit, each with a verdict; the list fills while it is being computed."""

from __future__ import annotations

from collections.abc import Sequence
from enum import IntEnum
from typing import TYPE_CHECKING

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal

from planner.desktop.board.said import tr
from planner.desktop.board.verdict_card import verdict_heading
from planner.desktop.desk import Desk
from planner.desktop.look.marks import mark_pixmap
from planner.domain.plan import Plan, PlannedVisit
from planner.domain.season import Season
from planner.usecases.plan.judging import Verdict
from planner.usecases.plan.proposing import Candidate, Role, candidate, ranked, within_reach

if TYPE_CHECKING:
    from planner.scheduling import SeasonProblem

Index = QModelIndex | QPersistentModelIndex
AT_A_TIME = 3
"""People judged in one go, so that a verdict that is waited for comes in between."""


class PeopleRole(IntEnum):
    """What the list tells beside Qt's own roles."""

    CODE = Qt.ItemDataRole.UserRole + 1
    SAID = Qt.ItemDataRole.UserRole + 2
    """The verdict in a line."""


class PeopleModel(QAbstractListModel):
    """Candidates for one visit, those first who break nothing."""

    found = Signal()
    """All who are worth asking have been judged."""

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk
        self._found: tuple[Candidate, ...] = ()
        self._asked: tuple[PlannedVisit, Role, Plan] | None = None

    def look(self, visit: PlannedVisit | None, role: Role) -> None:
        """Find who could go on a visit as it stands or is proposed; None empties the list."""
        session = self._desk.session
        asked = (visit, role, session.snapshot.plan) if visit is not None else None
        if asked == self._asked:
            return
        self._asked = asked
        self._show(())
        problem, plan = session.problem, session.snapshot.plan
        if visit is None or problem is None:
            self._asked = None
            return

        def reach() -> tuple[str, ...]:
            return within_reach(problem, visit, role)

        session.think(
            reach,
            lambda codes: self._judge(problem, plan, codes),
            topic="board people",
            owner=self,
            failed=lambda _: None,
        )

    @property
    def candidates(self) -> tuple[Candidate, ...]:
        """Those who have been judged so far."""
        return self._found

    def rowCount(self, parent: Index = QModelIndex()) -> int:
        """Return how many people have been judged."""
        return 0 if parent.isValid() else len(self._found)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a person, the verdict, and its mark."""
        if not index.isValid():
            return None
        one = self._found[index.row()]
        if role == Qt.ItemDataRole.DecorationRole:
            return mark_pixmap(verdict_heading(one.verdict, {})[0], self._desk.colours, 16, 2.0)
        said = f"{self._named(one)}: {verdict_in_a_line(one.verdict)}"
        return {
            int(Qt.ItemDataRole.DisplayRole): self._named(one),
            int(Qt.ItemDataRole.ToolTipRole): said,
            int(Qt.ItemDataRole.AccessibleTextRole): said,
            int(PeopleRole.CODE): one.code,
            int(PeopleRole.SAID): verdict_in_a_line(one.verdict),
        }.get(int(role))

    def _named(self, one: Candidate) -> str:
        name = _name_of(self._desk.session.snapshot.season, one.code)
        return tr("%1 %2, %3 min away", one.code, name, f"{one.one_way_minutes:.0f}")

    def _judge(self, problem: SeasonProblem, plan: Plan, codes: Sequence[str]) -> None:
        """Judge the next few, then those after them."""
        if self._asked is None:
            return
        visit, role, _ = self._asked
        some, rest = codes[:AT_A_TIME], codes[AT_A_TIME:]
        if not some:
            self.found.emit()
            return

        def judge() -> tuple[Candidate, ...]:
            return tuple(candidate(problem, plan, visit, role, code) for code in some)

        def judged(new: tuple[Candidate, ...]) -> None:
            self._add(new)
            self._judge(problem, plan, rest)

        self._desk.session.think(judge, judged, topic="board people", owner=self)

    def _add(self, new: Sequence[Candidate]) -> None:
        self._show(ranked((*self._found, *new)))

    def _show(self, found: tuple[Candidate, ...]) -> None:
        self.beginResetModel()
        self._found = found
        self.endResetModel()


def verdict_in_a_line(verdict: Verdict) -> str:
    """Return a verdict in one line: the first thing that is wrong, or that it fits and what it costs."""
    wrong = [*verdict.broken, *verdict.still_broken]
    if wrong:
        more = len(wrong) - 1
        return wrong[0].what if not more else tr("%1 And %2 more.", wrong[0].what, more)
    margin = "" if verdict.margin_minutes is None else tr(", margin %1 min", f"{verdict.margin_minutes:.0f}")
    drive = round(verdict.drive_change_minutes)
    driving = tr(", driving %1%2 min", "+" if drive > 0 else "−", abs(drive)) if drive else ""
    if verdict.visit.reserve is None:
        return tr("fits, without a reserve date%1%2", margin, driving)
    return tr("fits%1%2", margin, driving)


def _name_of(season: Season, code: str) -> str:
    return next((one.name for one in season.volunteers if one.code == code), "")
