"""The visits that lack something: why, and the smallest changes that would mend each, to be pressed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QListView, QPushButton, QVBoxLayout, QWidget

from planner.desktop.board.lacking_model import LackingModel
from planner.desktop.board.offer_rows import OfferRows
from planner.desktop.board.said import tr
from planner.desktop.desk import Desk
from planner.desktop.look.fitted_scroll import FittedScroll
from planner.desktop.look.words import heading, quiet
from planner.domain.errors import DimpsyError
from planner.domain.plan import Plan, VisitKey
from planner.domain.season import Season
from planner.usecases.plan.placing import Placed
from planner.usecases.plan.relaxing import Offer, explained, lacking_visits, relax

if TYPE_CHECKING:
    from planner.store import SeasonFile

Index = QModelIndex | QPersistentModelIndex
LOOKED_FOR_AT_ONCE = 12
"""Up to so many visits that lack something, what would help is looked for without being asked."""

MOST_ROWS = 8
"""Rows of the list that are seen at once."""


class LackingPane(QWidget):
    """A list of visits, and below it the explanation of the one that is chosen."""

    visit_chosen = Signal(object)
    """The VisitKey of the row that is chosen."""
    count_changed = Signal(int)
    """How many visits are unfilled."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._offer: Offer | None = None
        self._looking = False
        self._checked: tuple[Season, Plan] | None = None
        """What light and drives are known for; nothing is looked for before that is the plan as it stands."""
        self._vain: Plan | None = None
        """The plan for which looking failed, so that it is not tried again and again."""
        self.lacking = LackingModel(desk, self)
        self.list = QListView()
        self.list.setModel(self.lacking)
        self.list.setAccessibleName(tr("Visits that lack something"))
        self._none = quiet(tr("Every visit is filled and has a reserve date."))
        self._counts = quiet()
        self._title = heading()
        self._state = quiet()
        self._look = QPushButton(tr("What would help?"))
        self._look.setToolTip(tr("Finds the smallest changes that would mend each visit; each is checked by planning."))
        self.offers = OfferRows()
        self._lay_out()
        self._look.clicked.connect(self.look)
        self.list.selectionModel().currentChanged.connect(self._chosen)
        self.offers.pressed.connect(self._relax)
        self.lacking.modelReset.connect(self._listed)
        desk.session.checked_changed.connect(self._check)
        desk.session.snapshot_changed.connect(self._list)
        desk.look_changed.connect(self.list.viewport().update)
        self._list()
        if desk.session.checked is not None:
            self._check()

    def keep(self, offer: Offer) -> None:
        """Keep what a planning run found out about the visits that lack something."""
        self._offer = offer
        self._refresh()

    def look(self) -> None:
        """Find why visits lack something and what would help, in the background."""
        session = self._desk.session
        problem, season, plan = session.problem, session.snapshot.season, session.snapshot.plan
        if problem is None or self._looking:
            return

        def explain() -> Offer:
            return explained(problem, season, plan)

        self._looking = True
        self._refresh()
        words = tr("Looking for what would help")
        session.think_long(explain, self._found, words=words, topic="explain", owner=self, failed=self._not_found)

    def choose(self, key: VisitKey) -> None:
        """Choose the row of a visit, if it lacks something."""
        if key in self.lacking.keys:
            self.list.setCurrentIndex(self.lacking.index(self.lacking.keys.index(key), 0))

    def _lay_out(self) -> None:
        below = QWidget()
        inner = QVBoxLayout(below)
        inner.setContentsMargins(0, 0, 6, 0)
        for widget in (self._title, self._state, self._look, self.offers):
            inner.addWidget(widget)
        inner.addStretch(1)
        scroll = FittedScroll(below)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 12, 12, 12)
        column.addWidget(self._none)
        column.addWidget(self._counts)
        column.addWidget(self.list)
        column.addWidget(scroll, 1)

    def _list(self) -> None:
        snapshot = self._desk.session.snapshot
        self.lacking.show(lacking_visits(snapshot.season, snapshot.plan))
        self._refresh()

    def _check(self) -> None:
        snapshot = self._desk.session.snapshot
        self._checked = (snapshot.season, snapshot.plan)
        self._refresh()

    def _listed(self) -> None:
        unfilled = self.lacking.unfilled
        self.count_changed.emit(unfilled)
        self._counts.setText(tr("%1 unfilled, %2 without a reserve date", unfilled, self.lacking.rowCount() - unfilled))
        rows = min(max(self.lacking.rowCount(), 2), MOST_ROWS)
        self.list.setFixedHeight(rows * max(self.list.sizeHintForRow(0), 20) + 2 * self.list.frameWidth() + 4)
        if self.lacking.rowCount():
            self.list.setCurrentIndex(self.lacking.index(0, 0))

    def _chosen(self, current: Index) -> None:
        if current.isValid():
            self.visit_chosen.emit(self.lacking.keys[current.row()])
        self._refresh()

    def _key(self) -> VisitKey | None:
        index = self.list.currentIndex()
        return self.lacking.keys[index.row()] if index.isValid() else None

    def _refresh(self) -> None:
        """Show the explanation of the visit that is chosen, as far as there is one for the plan as it stands."""
        key, offer = self._key(), self._offer
        snapshot = self._desk.session.snapshot
        self._none.setVisible(self.lacking.rowCount() == 0)
        for widget in (self._counts, self.list, self._title, self.offers):
            widget.setVisible(key is not None)
        stale = offer is not None and not self._holds(offer)
        explanation = offer.of(key) if offer is not None and key is not None else None
        if key is not None:
            self._title.setText(str(key))
        self._state.setText(self._state_said(stale=stale, known=explanation is not None))
        self._state.setVisible(key is not None and bool(self._state.text()))
        self._look.setVisible(key is not None and (stale or explanation is None) and not self._looking)
        why_not = snapshot.read_only_reason or (tr("The plan has changed since: look again first.") if stale else "")
        self.offers.show_explanation(explanation, snapshot.season, why_not)
        if key is not None and (offer is None or stale):
            self._look_at_once()

    def _look_at_once(self) -> None:
        """Look without being asked where that takes no time to speak of and somebody sees it."""
        snapshot, few = self._desk.session.snapshot, self.lacking.rowCount() <= LOOKED_FOR_AT_ONCE
        fresh = self._checked is not None and all(
            a is b for a, b in zip(self._checked, (snapshot.season, snapshot.plan), strict=True)
        )
        if few and fresh and self.isVisible() and self._vain is not snapshot.plan:
            self.look()

    def showEvent(self, event: QShowEvent) -> None:
        """Look for what would help when the pane is first seen."""
        super().showEvent(event)
        self._refresh()

    def _state_said(self, *, stale: bool, known: bool) -> str:
        if self._looking:
            return tr("Looking for what would help …")
        if stale and known:
            return tr("This was found for the plan as it stood before; the plan has changed since.")
        return "" if known else tr("Nobody has looked yet what would help.")

    def _found(self, offer: Offer) -> None:
        self._looking = False
        # A planning run may have told more of a newer plan meanwhile.
        known = self._offer is not None and self._holds(self._offer)
        if known and not self._holds(offer):
            self._refresh()
        else:
            self.keep(offer)

    def _holds(self, offer: Offer) -> bool:
        """Whether an offer was made for the season and the plan as they stand."""
        snapshot = self._desk.session.snapshot
        return offer.season is snapshot.season and offer.plan is snapshot.plan

    def _not_found(self, error: DimpsyError) -> None:
        self._looking, self._vain = False, self._desk.session.snapshot.plan
        self._desk.session.failed.emit(error)
        self._refresh()

    def _relax(self, number: int) -> None:
        key, offer, problem = self._key(), self._offer, self._desk.session.problem
        if key is None or offer is None:
            return

        def do(file: SeasonFile) -> Placed:
            return relax(file, offer, key, number, problem=problem)

        self._desk.session.do(do, then=lambda placed: self._desk.say(placed.label))
