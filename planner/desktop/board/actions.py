"""What can be done on the board, as actions with words, keys, and reasons where they are disabled."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction, QKeySequence

from planner.desktop.board.said import tr
from planner.desktop.desk import Desk
from planner.desktop.paper.watch import PaperWatch
from planner.domain.plan import PlannedVisit, VisitKey


class BoardActions(QObject):
    """The board's actions, made once."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.plan_all = self._action(tr("Plan all visits"), tip=tr("Fixed visits stay; all others may change."))
        self.plan_missing = self._action(tr("Plan what is missing"), tip=tr("Only unfilled visits are planned."))
        self.plan_chosen = self._action(tr("Plan the chosen routes"), tip=tr("All other routes stay as they are."))
        self.stop = self._action(tr("Stop planning"))
        self.help_find = self._action(tr("What would help unfilled visits?"))
        self.next_lacking = self._action(tr("Next unfilled visit"), key="Ctrl+J")
        self.pin = self._action(tr("Pin the visit"), key="P")
        self.confirm = self._action(tr("Confirm the visit"), key="C")
        self.take_out = self._action(tr("Take the visit out of the plan"), key="Del")
        self.narrower = self._action(tr("Narrower dates"), key="Ctrl+-", icon_text="−")
        self.wider = self._action(tr("Wider dates"), key="Ctrl++", icon_text="+")
        self.whole = self._action(tr("Whole season"), key="Ctrl+0", icon_text=tr("Season"))
        self.today = self._action(tr("Go to today"), key="Ctrl+T", icon_text=tr("Today"))

    @property
    def on_visits(self) -> tuple[QAction, ...]:
        """Those whose single keys hold while the board itself has the focus."""
        return (self.pin, self.confirm, self.take_out)

    @property
    def every(self) -> tuple[QAction, ...]:
        """All of them."""
        return tuple(self.findChildren(QAction))

    def allow(self, desk: Desk, visit: PlannedVisit | None, chosen: int, *, running: bool, why_fixed: str) -> None:
        """Enable what can be done now; what cannot says why.

        Args:
            desk: the desk.
            visit: the filled visit that is chosen.
            chosen: how many routes are chosen.
            running: whether a planning run goes on.
            why_fixed: why the chosen visit may not be moved.
        """
        read_only = desk.session.snapshot.read_only_reason
        going = tr("A planning run is going on; stop it first.") if running else ""
        season = desk.session.snapshot.season
        empty = "" if season.routes and season.volunteers else tr("The season needs routes and volunteers first.")
        reason = read_only or going or empty
        none = tr("Choose a visit on the board first.") if visit is None else ""
        self.plan_all.setProperty("tip", plan_all_tip(PaperWatch.of(desk)))
        _set(self.plan_all, reason)
        _set(self.plan_missing, reason)
        _set(self.plan_chosen, reason or ("" if chosen else tr("Choose routes on the board first.")))
        _set(self.stop, "" if running else tr("No planning run is going on."))
        _set(self.pin, read_only or none)
        _set(self.confirm, read_only or none)
        _set(self.take_out, read_only or none or why_fixed)

    def connect_all(self, does: dict[QAction, Callable[[], None]]) -> None:
        """Say what each action does."""
        for action, do in does.items():
            action.triggered.connect(lambda _checked=False, do=do: do())

    def _action(self, words: str, *, tip: str = "", key: str = "", icon_text: str = "") -> QAction:
        action = QAction(words, self)
        action.setProperty("tip", tip or words)
        action.setToolTip(tip or words)
        if icon_text:
            action.setIconText(icon_text)
        if key:
            action.setShortcut(QKeySequence(key))
        return action


def _set(action: QAction, reason: str) -> None:
    action.setEnabled(not reason)
    action.setToolTip(reason or str(action.property("tip")))


def plan_all_tip(watch: PaperWatch) -> str:
    """Return what planning everything does, and how many people's paper it may make untrue."""
    tip, papers = tr("Fixed visits stay; all others may change."), watch.papers
    printed = {one.code for one in papers.people if one.printed_utc is not None} if papers is not None else set()
    true = len(printed.difference(papers.wrong if papers is not None else ()))
    if not true:
        return tip
    held = tr("1 person holds a printed paper") if true == 1 else tr("%1 people hold printed papers", true)
    may = tr("%1 that this may make untrue; 'Plan what is missing' leaves the filled visits alone.", held)
    return f"{tip} {may}"


def visit_of(desk: Desk, key: VisitKey | None) -> PlannedVisit | None:
    """Return a visit as it stands; None where it is unfilled, or none is meant."""
    return desk.session.snapshot.plan.by_key.get(key) if key is not None else None
