"""The route that is looked at: what is known of it, and what can be done about each finding on it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial

from PySide6.QtCore import QObject, Signal

from planner.desktop.desk import Desk
from planner.desktop.routes.known_figures import raised
from planner.desktop.worker import Job, Worker
from planner.domain.finding import Finding
from planner.domain.route import Route
from planner.usecases.route_fixes import (
    Surroundings,
    WeighedFix,
    WeighedRoute,
    drop_fix,
    fixes_for,
    order_fixes,
    weigh,
    weigh_fix,
)


class ChosenRoute(QObject):
    """One route at a time, weighed in the background; what is worked out of an older state is dropped."""

    changed = Signal()
    """Another route was chosen, or the route stands differently."""
    weighed_changed = Signal()
    """Its figures are known."""
    offers_changed = Signal()
    """Fixes for its findings, or other orders, are known."""

    def __init__(self, desk: Desk, worker: Worker, parent: QObject | None = None) -> None:
        """Look at no route yet.

        Args:
            desk: the desk.
            worker: what looks for fixes; a thread of its own, so that nothing that follows the mouse waits for it.
            parent: owns this.
        """
        super().__init__(parent)
        self._desk, self._worker = desk, worker
        self._looking: set[str] = set()
        self._weighed_in: tuple[Route, Surroundings] | None = None
        self._looked_for: list[Finding] = []
        self.code = ""
        self.route: Route | None = None
        self.weighed: WeighedRoute | None = None
        self.offers: dict[Finding, tuple[WeighedFix, ...]] = {}
        """Fixes by finding; a finding that is not in it has not been looked at yet."""
        self.orders: tuple[WeighedFix, ...] = ()
        session = desk.session
        session.snapshot_changed.connect(lambda _found: self._look_again())
        session.problem_changed.connect(lambda _found: self._weigh())
        session.checked_changed.connect(lambda _found: self._find_fixes())

    @property
    def is_settled(self) -> bool:
        """Whether all fixes and orders of the route are known."""
        return not self._looking

    @property
    def findings(self) -> Sequence[Finding]:
        """What the checks say of the route, worst first."""
        checked = self._desk.session.checked
        if checked is None or not self.code:
            return ()
        return tuple(finding for finding in checked.findings if self.code in finding.subject.routes)

    def choose(self, code: str) -> None:
        """Look at another route; an empty code: none."""
        if code != self.code:
            self.code = code
            self.route = None
            self._look_again()

    def weigh_without(self, numbers: Sequence[int], then: Callable[[WeighedFix], None]) -> None:
        """Work out what dropping points would do."""
        weighed, around = self.weighed, self._around()
        if weighed is None or weighed.route != self.route:
            return
        self._desk.session.think(
            lambda: weigh_fix(around, weighed, drop_fix(weighed.route, numbers)),
            then,
            topic="drop of points",
            owner=self,
        )

    def _look_again(self) -> None:
        routes: Mapping[str, Route] = {route.code: route for route in self._desk.session.snapshot.season.routes}
        route = routes.get(self.code)
        if route is None:
            self.code = ""
        if route is not None and route == self.route:
            return
        self.route, self.weighed, self.offers, self.orders = route, None, {}, ()
        self._weighed_in = None
        self.changed.emit()
        self._weigh()

    def _around(self) -> Surroundings:
        session = self._desk.session
        found = session.snapshot
        return Surroundings(found.season, found.plan, session.network, self._desk.today(), session.problem)

    def _weigh(self) -> None:
        """Weigh the route once its roads are known, and again where anything that it is weighed against has changed."""
        route = self.route
        if route is None or self._desk.session.problem is None:
            return
        around = self._around()
        if self._weighed_in is not None and self._weighed_in[0] is route and _same(self._weighed_in[1], around):
            return
        self._weighed_in = route, around
        self._desk.session.think(lambda: weigh(around, route), self._take, topic="weigh a route", owner=self)

    def _take(self, weighed: WeighedRoute) -> None:
        if weighed.route != self.route:
            return
        self.weighed = weighed
        self.weighed_changed.emit()
        self._looked_for = []
        self._find_fixes()
        around = self._around()
        self._look_for(
            "orders",
            lambda: tuple(weigh_fix(around, weighed, fix) for fix in order_fixes(weighed)),
            partial(self._offer_orders, weighed),
        )

    def _find_fixes(self) -> None:
        """Look for fixes of the route as it is weighed, one finding after the other, each once."""
        weighed = self.weighed
        if weighed is None or weighed.route != self.route:
            return
        around = self._around()
        for finding in self.findings:
            if finding in self._looked_for:
                continue
            topic = f"fixes {len(self._looked_for)}"
            self._looked_for.append(finding)
            self._look_for(topic, partial(fixes_for, around, weighed, finding), partial(self._offer, weighed, finding))

    def _look_for(
        self, topic: str, work: Callable[[], tuple[WeighedFix, ...]], then: Callable[[tuple[WeighedFix, ...]], None]
    ) -> None:
        def found(fixes: tuple[WeighedFix, ...]) -> None:
            self._looking.discard(topic)
            then(fixes)

        def failed(error: BaseException) -> None:
            self._looking.discard(topic)
            raised(error)

        self._looking.add(topic)
        self._worker.give(work, found, failed, job=Job("", topic, None), owner=self)

    def _offer(self, weighed: WeighedRoute, finding: Finding, offers: tuple[WeighedFix, ...]) -> None:
        if weighed is self.weighed:
            self.offers[finding] = offers
            self.offers_changed.emit()

    def _offer_orders(self, weighed: WeighedRoute, orders: tuple[WeighedFix, ...]) -> None:
        if weighed is self.weighed:
            self.orders = orders
            self.offers_changed.emit()


def _same(one: Surroundings, other: Surroundings) -> bool:
    """Whether a route comes to the same in both; what is known of them beforehand only makes it quicker to find."""
    return (
        one.season is other.season
        and one.plan is other.plan
        and one.network is other.network
        and one.today == other.today
    )
