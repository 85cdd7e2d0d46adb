"""What a person does to routes, each as one step in the season file."""

from __future__ import annotations

from collections.abc import Callable, Collection

from PySide6.QtCore import QObject, Signal

from planner.desktop.desk import Desk
from planner.desktop.routes.chosen import ChosenRoute
from planner.desktop.routes.point_model import PointEdit
from planner.desktop.routes.words import tr
from planner.domain.geo import Place
from planner.store import SeasonFile
from planner.usecases.route_fixes import Fix, apply_fix
from planner.usecases.routes.editing import (
    RouteChanged,
    RouteWish,
    add_point,
    add_route,
    change_point,
    change_route,
    drop_points,
    drop_route,
    free_route_code,
    set_area,
    shift_point,
)
from planner.usecases.routes.placing_points import place_for_new_point

Then = Callable[[RouteChanged], None]


def _nothing(_changed: RouteChanged) -> None:
    """Do nothing more."""


class RouteSteps(QObject):
    """Does what is asked for to the chosen route, on the file's own thread."""

    refused = Signal(object)
    """The DimpsyError that says why something cannot be done; nothing was changed."""
    follow_point = Signal(object)
    """The number of the point to look at now, or None."""

    def __init__(self, desk: Desk, chosen: ChosenRoute, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk, self._chosen = desk, chosen

    def fix(self, fix: Fix) -> None:
        """Do a fix."""
        self._do(lambda file: apply_fix(file, fix))

    def add_route(self, then: Then) -> None:
        """Add a route with the next free code."""
        self._do(lambda file: add_route(file, free_route_code(file.season())), then)

    def drop_route(self, then: Then) -> None:
        """Take the chosen route out of the season."""
        code = self._chosen.code
        self._do(lambda file: drop_route(file, code), then)

    def change_route(self, wish: RouteWish, then: Then) -> None:
        """Change what the chosen route is called and asks for."""
        code = self._chosen.code
        self._do(lambda file: change_route(file, code, wish), then)

    def set_area(self, codes: Collection[str], area: str) -> None:
        """Count some routes to an area."""
        self._desk.session.do(
            lambda file: set_area(file, codes, area),
            lambda changed: self._desk.say(tr("%1. Ctrl+Z takes it back.", changed.label)),
            self.refused.emit,
        )

    def move_point(self, code: str, number: int, place: Place) -> None:
        """Move a point of any route."""
        self._do(lambda file: change_point(file, code, number, place=place), self._following(place))

    def edit_point(self, edit: PointEdit) -> None:
        """Write over a point of the chosen route."""
        code = self._chosen.code

        def change(file: SeasonFile) -> RouteChanged:
            return change_point(file, code, edit.number, new_number=edit.new_number, place=edit.place, note=edit.note)

        self._do(change)

    def drop_points(self, numbers: Collection[int]) -> None:
        """Take points off the chosen route."""
        code = self._chosen.code
        self._do(lambda file: drop_points(file, code, numbers))

    def shift_point(self, number: int, by: int) -> None:
        """Let a point change places with its neighbour."""
        route = self._chosen.route
        if route is not None:
            code, place = route.code, route.point(number).place
            self._do(lambda file: shift_point(file, code, number, by), self._following(place))

    def add_point(self, after: int | None, in_sight: Place) -> None:
        """Add a point behind another, or behind the last, where the road goes on."""
        route, session = self._chosen.route, self._desk.session
        if route is None:
            return
        protocol, network, code = session.snapshot.season.protocol, session.network, route.code

        def add(place: Place) -> None:
            self._do(lambda file: add_point(file, code, place, after=after), self._following(place))

        session.think(
            lambda: place_for_new_point(protocol, network, route, after, in_sight),
            add,
            topic="new point",
            owner=self,
            failed=self.refused.emit,
        )

    def _do(self, operation: Callable[[SeasonFile], RouteChanged], then: Then = _nothing) -> None:
        def done(changed: RouteChanged) -> None:
            self._desk.say(tr("%1. Ctrl+Z takes it back.", changed.label))
            then(changed)

        self._desk.session.do(operation, done, self.refused.emit)

    def _following(self, place: Place) -> Then:
        """Return what looks at the point that now stands at a place."""

        def follow(changed: RouteChanged) -> None:
            points = changed.after.points if changed.after is not None else ()
            self.follow_point.emit(next((point.number for point in points if point.place == place), None))

        return follow
