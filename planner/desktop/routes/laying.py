"""A layout while a person asks for it: what was said, and the proposal that it comes to."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from planner.desktop.desk import Desk
from planner.desktop.routes.layout_wish import LayoutWish, Way
from planner.desktop.routes.words import tr
from planner.domain.errors import DimpsyError
from planner.domain.geo import Place
from planner.store import SeasonFile
from planner.usecases.laying_out import FoundLine, Laid, accept_layout, lay_out, lines_of, road_at, roads_named
from planner.usecases.routes.editing import RouteChanged


class Laying(QObject):
    """Keeps what was said; each change gives a proposal anew, worked out off the interface thread."""

    changed = Signal()
    """Something else is wished."""
    laid_changed = Signal()
    """There is another proposal, or none, or it is being worked out."""
    lines_found = Signal(object)
    """The lines of the file that was chosen, a tuple of FoundLine."""
    road_found = Signal()
    """A road was named before any place on it was chosen, and it is known where it runs."""
    taken = Signal(str)
    """The points were taken as those of the route of that code."""

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.is_on = False
        self.wish = LayoutWish()
        self.laid: Laid | None = None
        self.trouble = ""
        """Why there is no proposal, though nothing is lacking; empty where that is not so."""
        self.is_working = False
        self.road_lines: tuple[tuple[Place, ...], ...] = ()
        """Where the named road runs, while no place on it has been chosen."""
        desk.session.problem_changed.connect(lambda _problem: self._lay_out())

    def begin(self) -> None:
        """Go on with what was wished when it was last left."""
        self.is_on = True
        self.changed.emit()
        self._lay_out()

    def leave(self) -> None:
        """Leave; what was wished is kept."""
        self.is_on = False
        self.changed.emit()

    def want(self, wish: LayoutWish) -> None:
        """Wish for something else."""
        if wish == self.wish:
            return
        self.wish = wish
        self.changed.emit()
        self._lay_out()
        if wish.way is Way.ROAD and not wish.road and wish.places:
            self._name_road(wish)

    def add_place(self, place: Place) -> None:
        """Go on to another place; along a road the second says which way, and a third comes in its stead."""
        kept = self.wish.places[:1] if self.wish.way is Way.ROAD else self.wish.places
        self.want(replace(self.wish, places=(*kept, place)))

    def read_lines(self, path: Path) -> None:
        """Look for the lines of a file; the longest is taken first."""

        def found(lines: tuple[FoundLine, ...]) -> None:
            self.lines_found.emit(lines)
            self.want(replace(self.wish, way=Way.LINE, line=lines[0], avoid=()))

        self._desk.session.think_long(
            lambda: lines_of(path),
            found,
            words=tr("Reading %1", path.name),
            topic="line",
            owner=self,
            failed=self._refused,
        )

    def take(self, code: str, name: str) -> None:
        """Take the points as those of a route, new or there already."""
        laid = self.laid
        if laid is None:
            return

        def accept(file: SeasonFile) -> RouteChanged:
            return accept_layout(file, code, name, laid)

        def accepted(changed: RouteChanged) -> None:
            self.wish, self.laid = LayoutWish(), None
            self._desk.say(tr("%1. Ctrl+Z takes it back.", changed.label))
            self.leave()
            if changed.after is not None:
                self.taken.emit(changed.after.code)

        self._desk.session.do(accept, accepted, self._refused)

    def _lay_out(self) -> None:
        """Work out the proposal of what is wished now."""
        if not self.is_on:
            return
        self.is_working = not self.wish.lacks
        if not self.is_working:
            self._show(None)
            self._look_for_road()
            return
        self.road_lines = ()
        self.laid_changed.emit()
        session, wish = self._desk.session, self.wish
        protocol, network = session.snapshot.season.protocol, session.network

        def show(laid: Laid | None, trouble: str = "") -> None:
            if wish == self.wish:
                self._show(laid, trouble)

        session.think(
            lambda: lay_out(protocol, network, wish.request()),
            show,
            topic="laying out",
            owner=self,
            failed=lambda error: show(None, str(error)),
        )

    def _show(self, laid: Laid | None, trouble: str = "") -> None:
        self.laid, self.trouble, self.is_working = laid, trouble, False
        self.laid_changed.emit()

    def _refused(self, error: DimpsyError) -> None:
        """Say what could not be; what was proposed stays."""
        self.trouble = str(error)
        self.laid_changed.emit()

    def _look_for_road(self) -> None:
        """Find where the named road runs, so that its start can be clicked."""
        wish, network = self.wish, self._desk.session.network
        if wish.way is not Way.ROAD or not wish.road or wish.places or network is None:
            self.road_lines = ()
            return

        def found(lines: tuple[tuple[Place, ...], ...], trouble: str = "") -> None:
            if wish != self.wish:
                return
            is_other, self.road_lines = lines != self.road_lines, lines
            self._show(None, trouble)
            if is_other and lines:
                self.road_found.emit()

        self._desk.session.think(
            lambda: roads_named(wish.road, network),
            found,
            topic="road lines",
            owner=self,
            failed=lambda error: found((), str(error)),
        )

    def _name_road(self, wish: LayoutWish) -> None:
        """Take the road that the first place is on; a person may write another."""
        network = self._desk.session.network
        if network is None:
            return

        def named(road: str) -> None:
            if road and self.wish == wish:
                self.want(replace(wish, road=road))

        self._desk.session.think(lambda: road_at(wish.places[0], network), named, topic="road", owner=self)
