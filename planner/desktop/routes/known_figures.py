"""Length and margin of every route, from what the checks have measured, remembered as long as they hold."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QObject, Signal

from planner.desktop.desk import Desk
from planner.desktop.worker import Job, Worker
from planner.domain.route import Route
from planner.usecases.route_fixes import RouteFigures, figures_of

_AT_ONCE = 6
"""Routes in one go, so that fixes for the route that is looked at come in between."""


def raised(error: BaseException) -> None:
    """Raise what a thread failed with: it is a fault of the program."""
    raise error


class KnownFigures(QObject):
    """The figures of routes; a route that stands as it did is not looked at again."""

    found = Signal(object)
    """Codes of the routes whose figures have just come, a tuple."""

    def __init__(self, desk: Desk, worker: Worker, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk, self._worker = desk, worker
        self._known: dict[str, tuple[Route, object, RouteFigures]] = {}
        desk.session.checked_changed.connect(lambda _checked: self._go_on())
        self._go_on()

    def of(self, code: str) -> RouteFigures | None:
        """Return the figures of a route, which may be those before the newest change; None: not known yet."""
        known = self._known.get(code)
        return None if known is None else known[2]

    def _frame(self) -> object:
        """Return all that figures hang on beside the route itself."""
        season = self._desk.session.snapshot.season
        roads = (season.roads, season.road_speeds, season.drive_factors)
        homes = tuple(one.home for one in season.volunteers)  # the part of the road map that drives are on
        return season.protocol, season.zone, season.dates, season.visits, roads, homes

    def _go_on(self) -> None:
        """Work out those of the next few routes whose figures are not known or no longer true."""
        checked = self._desk.session.checked
        measured = checked.measured if checked is not None else None
        if measured is None:
            return
        season, facts, frame = measured.problem.season, measured.facts, self._frame()
        wanted = [route for route in season.routes if not self._holds(route, frame)][:_AT_ONCE]
        if not wanted:
            return

        def work() -> Mapping[str, RouteFigures]:
            return {route.code: figures_of(season, route, facts[route.code]) for route in wanted}

        def take(figures: Mapping[str, RouteFigures]) -> None:
            self._known.update({route.code: (route, frame, figures[route.code]) for route in wanted})
            self.found.emit(tuple(figures))
            self._go_on()

        self._worker.give(work, take, raised, job=Job("", "figures of routes", None), owner=self)

    def _holds(self, route: Route, frame: object) -> bool:
        known = self._known.get(route.code)
        return known is not None and known[0] == route and known[1] == frame
