"""Choosing an outing: by route and visit, by the one before or after it, and from whose home it is seen."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction, QIcon
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QSizePolicy, QToolButton, QWidget

from planner.desktop.outing.words import occasion_words
from planner.domain.finding import Subject
from planner.domain.plan import Plan, VisitKey
from planner.domain.season import Season
from planner.printing.times import short_date
from planner.usecases.evening.outing_view import Occasion, OutingDate, outings_of, outings_of_visit


class ChoiceBar(QWidget):
    """Route, outing, person, and the way to the outing before and after."""

    chosen = Signal()
    """Another outing or person is chosen, or the same one has changed in the plan."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._season: Season | None = None
        self._plan = Plan()
        self._outings: tuple[OutingDate, ...] = ()
        self.routes = self._combo(self.tr("Route"))
        self.outings = self._combo(self.tr("Visit, set-up day or reserve date"))
        self.people = self._combo(self.tr("Seen from the home of"))
        self.previous = QAction(self.tr("Previous outing"), self)
        self.previous.setShortcut("Alt+PgUp")
        self.following = QAction(self.tr("Next outing"), self)
        self.following.setShortcut("Alt+PgDown")
        self.previous.triggered.connect(lambda: self._go(-1))
        self.following.triggered.connect(lambda: self._go(1))
        self.routes.activated.connect(self._route_chosen)
        self.outings.activated.connect(self._outing_chosen)
        self.people.activated.connect(lambda _index: self.chosen.emit())
        self._lay_out()

    @property
    def dated(self) -> OutingDate | None:
        """The outing that is chosen; None where its visit is not filled, or there is no plan."""
        data = self.outings.currentData()
        return data if isinstance(data, OutingDate) else None

    @property
    def visit(self) -> VisitKey | None:
        """The visit that is chosen, filled or not; None without routes."""
        data = self.outings.currentData()
        if isinstance(data, OutingDate):
            return data.key
        return data if isinstance(data, VisitKey) else None

    @property
    def person(self) -> str:
        """Code of the volunteer from whose home the outing is seen; empty where no outing is chosen."""
        return str(self.people.currentData() or "")

    def set_icons(self, previous: QIcon, following: QIcon) -> None:
        """Dress the two buttons anew, after a change of palette."""
        self.previous.setIcon(previous)
        self.following.setIcon(following)

    def add_button(self, action: QAction) -> None:
        """Set a button for an action at the end."""
        button = QToolButton()
        button.setDefaultAction(action)
        button.setAccessibleName(action.text())
        self._row.addWidget(button)

    def show_plan(self, season: Season, plan: Plan, today: dt.date) -> None:
        """Offer the outings of a plan; the choice stays where it was, if it is still there."""
        before, visit, person = self.dated, self.visit, self.person
        self._season, self._plan, self._outings = season, plan, outings_of(plan)
        self.routes.clear()
        for route in season.routes:
            self.routes.addItem(route.title, route.code)
        start = before or self._first(today)
        if start is not None and (visit is None or before is not None):
            self._choose(start, person)
        else:
            self._offer(visit or self._first_visit(), None, "")
        self.chosen.emit()

    def choose(self, subject: Subject) -> None:
        """Choose the outing that fits a subject best; nothing happens where none fits its route or volunteer."""
        fitting = [dated for dated in self._outings if _fits(dated, subject)]
        if fitting:
            best = min(fitting, key=lambda dated: (dated.date != subject.date, dated.occasion is not Occasion.VISIT))
            self._choose(best, subject.volunteer)
        elif subject.route and self._season is not None and self.routes.findData(subject.route) >= 0:
            self._offer(VisitKey(subject.route, subject.visit or 1), None, "")
        else:
            return
        self.chosen.emit()

    def _first(self, today: dt.date) -> OutingDate | None:
        """The next outing from today on, else the last one."""
        return next((dated for dated in self._outings if dated.date >= today), next(reversed(self._outings), None))

    def _first_visit(self) -> VisitKey | None:
        code = self.routes.itemData(0)
        return VisitKey(code, 1) if code else None

    def _choose(self, dated: OutingDate, person: str) -> None:
        """Choose an outing, or what stands nearest to it in the plan if it is no longer there."""
        same = [one for one in self._outings if (one.key, one.occasion) == (dated.key, dated.occasion)]
        self._offer(dated.key, same[0] if same else None, person)

    def _offer(self, key: VisitKey | None, dated: OutingDate | None, person: str) -> None:
        """Fill the lists for a visit and choose the outing in them."""
        self.outings.clear()
        if key is None:
            self.people.clear()
            return
        self.routes.setCurrentIndex(self.routes.findData(key.route))
        for words, data in self._of_route(key.route):
            self.outings.addItem(words, data)
        wanted = dated or key
        index = next((at for at in range(self.outings.count()) if self._is(at, wanted)), 0)
        self.outings.setCurrentIndex(index)
        self._offer_people(person)

    def _is(self, index: int, wanted: OutingDate | VisitKey) -> bool:
        data = self.outings.itemData(index)
        if isinstance(wanted, OutingDate):
            return bool(data == wanted)
        key = data.key if isinstance(data, OutingDate) else data
        return bool(key == wanted and not (isinstance(data, OutingDate) and data.occasion is Occasion.SETUP))

    def _of_route(self, code: str) -> Iterator[tuple[str, OutingDate | VisitKey]]:
        assert self._season is not None, "routes are offered with their season"
        for number in range(1, len(self._season.protocol.visits) + 1):
            key = VisitKey(code, number)
            visit = self._plan.by_key.get(key)
            if visit is None:
                yield self.tr("Visit {number}: not filled").format(number=number), key
            else:
                for dated in outings_of_visit(visit):
                    yield f"{occasion_words(dated)}, {short_date(dated.date)}", dated

    def _offer_people(self, person: str) -> None:
        self.people.clear()
        dated = self.dated
        self.people.setEnabled(dated is not None)
        self.people.setToolTip("" if dated else self.tr("Nobody goes: the visit is not filled."))
        for code, role in zip(dated.people if dated else (), (self.tr("Lead"), self.tr("Second")), strict=False):
            assert self._season is not None, "people are offered with their season"
            self.people.addItem(f"{role}: {self._season.volunteer(code).name}", code)
        self.people.setCurrentIndex(max(0, self.people.findData(person)))
        self._enable_steps()

    def _enable_steps(self) -> None:
        for action, step in ((self.previous, -1), (self.following, 1)):
            there = self._neighbour(step) is not None
            action.setEnabled(there)
            keys = action.shortcut().toString()
            why = self.tr("This is the first outing.") if step < 0 else self.tr("This is the last outing.")
            action.setToolTip(f"{action.text()} ({keys})" if there else why)

    def _neighbour(self, step: int) -> OutingDate | None:
        dated = self.dated
        if dated is None:
            return self._outings[0 if step > 0 else -1] if self._outings else None
        at = self._outings.index(dated) + step
        return self._outings[at] if 0 <= at < len(self._outings) else None

    def _go(self, step: int) -> None:
        dated = self._neighbour(step)
        if dated is not None:
            self._choose(dated, self.person)
            self.chosen.emit()

    def _route_chosen(self, index: int) -> None:
        self._offer(VisitKey(self.routes.itemData(index), 1), None, self.person)
        self.chosen.emit()

    def _outing_chosen(self, _index: int) -> None:
        self._offer_people(self.person)
        self.chosen.emit()

    def _combo(self, name: str) -> QComboBox:
        combo = QComboBox()
        combo.setAccessibleName(name)
        combo.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        combo.setMinimumContentsLength(12)
        combo.setMaxVisibleItems(24)
        combo.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        return combo

    def _lay_out(self) -> None:
        row = self._row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        for words, combo in (
            (self.tr("&Route"), self.routes),
            (self.tr("&Outing"), self.outings),
            (self.tr("&Seen from"), self.people),
        ):
            label = QLabel(words)
            label.setBuddy(combo)
            row.addWidget(label)
            row.addWidget(combo, 1)
            row.addSpacing(8)
        for action in (self.previous, self.following):
            self.add_button(action)


def _fits(dated: OutingDate, subject: Subject) -> bool:
    if subject.route and subject.route != dated.key.route:
        return False
    if subject.visit is not None and subject.visit != dated.key.number:
        return False
    if subject.volunteer and subject.volunteer not in dated.people:
        return False
    if subject.date is not None and not subject.route and subject.date != dated.date:
        return False
    return bool(subject.route or subject.volunteer or subject.date)
