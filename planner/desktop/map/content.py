"""Everything the map shows, as rooms hand it over."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, TypeVar

import numpy as np
from PySide6.QtCore import QRectF
from PySide6.QtWidgets import QWidget

from planner.desktop.look.colours import Colours
from planner.desktop.map.camera import bounds
from planner.desktop.map.ground import Flags, Ground
from planner.desktop.map.labels import ChosenNameLayer, LabelLayer, Labels, labels_of
from planner.desktop.map.layers import (
    BandLayer,
    HomeLayer,
    LandingLayer,
    Lines,
    MarkLayer,
    OrderLayer,
    ReachLayer,
    TieLayer,
    WayLayer,
)
from planner.desktop.map.road_names import RoadNameLayer, RoadNames
from planner.desktop.map.road_sheet import RoadSheet
from planner.desktop.map.route_layer import RouteLayer
from planner.desktop.map.route_sheet import RouteSheet
from planner.desktop.map.sprites import Sprites
from planner.desktop.map.surface import Layer, MapSurface
from planner.desktop.map.taken import taken_by
from planner.desktop.map.things import MapHome, MapTie
from planner.desktop.map.thinning import Thinned, rough, thin
from planner.desktop.units import Units
from planner.desktop.worker import Job, Worker
from planner.domain.finding import Severity
from planner.domain.geo import Place
from planner.domain.route import Route
from planner.usecases.roads.map_lines import MapLines, map_lines

if TYPE_CHECKING:
    from planner.travel import RoadNetwork

_T = TypeVar("_T")

LEAST_SPAN_M = 600.0
"""A single place is shown with at least this much ground."""


class MapContent(MapSurface):
    """The map and what lies on it.

    Positions are laid out about the middle of the first routes, roads or homes that are shown. Roads, and the sizes
    from which points and names are shown, are prepared on a thread of its own and appear once they are ready.
    """

    def __init__(self, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(colours, parent)
        self.sheet = RouteSheet.of((), self.ground, None)
        self._handed = self.sheet
        """The routes as the room handed them over, before a point was carried elsewhere."""
        self._thinned: Thinned | None = None
        self._labels: Labels | None = None
        """The names that are shown; those measured last may still wait to be thinned."""
        self._measured_labels = labels_of(self.sheet, (), self.ground, self.sprites)
        self._measured_from: tuple[RouteSheet, Sequence[MapHome], Sprites] = (self.sheet, (), self.sprites)
        self.homes: tuple[MapHome, ...] = ()
        self.ties: Sequence[MapTie] = ()
        self._way: tuple[Sequence[Place], Sequence[int]] = ((), ())
        self._reach: Sequence[Sequence[Place]] = ()
        self.findings: Mapping[tuple[str, int | None], Severity] = {}
        self.band: QRectF | None = None
        """The band that is being drawn, pixels of the window."""
        self._landing: Layer | None = None
        self.on_top: Sequence[Layer] = ()
        """What lies over everything else, such as a proposal."""
        self._network: RoadNetwork | None = None
        self._road_names: RoadNameLayer | None = None
        self._laid_out = False
        self._waiting: set[str] = set()
        self._worker = Worker("map", self)
        worker = self._worker
        self.destroyed.connect(worker.close)
        self.lay_out()

    @property
    def is_settled(self) -> bool:
        """Whether all that was handed over is prepared, and the roads in sight are painted at their own size."""
        return not self._waiting and self.roads_are_painted and self.is_at_rest

    def show_roads(self, network: RoadNetwork | None) -> None:
        """Show the roads of a network once they are prepared; None: no roads."""
        if network is self._network:
            return
        self._network = network
        self.show_road_sheet(None)
        self._road_names = None
        self.lay_out()
        if network is not None:
            roads, ground = network, self.ground if self._laid_out else None
            self._prepare("roads", lambda: _laid_out(map_lines(roads), ground), self._roads_ready)

    def show_routes(self, routes: Sequence[Route], radius_m: float | None) -> None:
        """Show routes with a circle of that radius, in metres, round each point; None draws no circles."""
        self.settle_ground([point.place for route in routes for point in route.points])
        if self.sheet.routes == tuple(routes) and self.sheet.radius_m == radius_m and self.sheet is self._handed:
            return
        before, self.sheet = self.sheet, RouteSheet.of(routes, self.ground, radius_m)
        self._handed = self.sheet
        if len(before.east) != len(self.sheet.east) or self._thinned is None:
            # Names are found out together with the points: until then there are none.
            self._thinned, self._labels = rough(self.sheet), None
        if [route.title for route in before.routes] != [route.title for route in routes]:
            self._labels = None
        self._landing = None
        self.lay_out()
        self._thin()
        if not len(before.east):
            self.fit_all()

    def show_homes(self, homes: Sequence[MapHome]) -> None:
        """Show where volunteers set out from."""
        if tuple(homes) == self.homes:
            return
        self.settle_ground([home.place for home in homes])
        self.homes = tuple(homes)
        self._thin()
        self.lay_out()

    def show_ties(self, ties: Sequence[MapTie]) -> None:
        """Show who goes where, as straight light lines."""
        self.ties = tuple(ties)
        self.lay_out()

    def show_way(self, way: Sequence[Place], order: Sequence[int]) -> None:
        """Show the way of one outing along roads, with arrows, and the points' order of counting; empty: none."""
        self._way = (tuple(way), tuple(order))
        self.lay_out()

    def show_reach(self, lines: Sequence[Sequence[Place]]) -> None:
        """Show the roads that somebody can reach; empty: none."""
        self._reach = tuple(lines)
        self.lay_out()

    def mark_findings(self, findings: Mapping[tuple[str, int | None], Severity]) -> None:
        """Mark the worst finding of points (route, number) and of routes as a whole (route, None)."""
        if self.findings == findings:
            return
        self.findings = dict(findings)
        self._thin()
        self.lay_out()

    def show_landing(self, place: Place | None, origin: Place | None = None) -> None:
        """Show where a point that hangs on the mouse at ``origin`` would come to lie; None: nowhere."""
        self._landing = None
        if place is not None:
            self._landing = LandingLayer(place, self.ground.spot(origin or place), self.ground)
        self.lay_out()

    def set_units(self, units: Units) -> None:
        """Show lengths in these units."""
        self.units = units
        self.update()

    def set_colours(self, colours: Colours) -> None:
        """Change the palette."""
        self.colours = colours
        self.repaint_all()
        self.colours_changed.emit(colours)

    def repaint_all(self) -> None:
        """Make everything anew that depends on colours, font or density; names may have become longer or shorter."""
        super().repaint_all()
        self._thin()

    def fit_all(self) -> None:
        """See all routes; without any, all homes or roads."""

        def extent() -> QRectF | None:
            found = self.sheet.extent()
            if found is None and self.homes:
                found = bounds(*self.ground.spots([home.place for home in self.homes]))
            if found is None and self.roads is not None:
                found = bounds(self.roads.details[0].east, self.roads.details[0].south)
            return _with_air(found)

        self.fit(extent)

    def fit_route(self, code: str) -> None:
        """See one route with its circles."""

        def extent() -> QRectF | None:
            place = self.sheet.route_place(code)
            return None if place is None else _with_air(self.sheet.extent(place))

        self.fit(extent)

    def fit_places(self, places: Sequence[Place]) -> None:
        """See some places."""
        if places:
            self.settle_ground(places)
            extent = _with_air(bounds(*self.ground.spots(places)))
            self.fit(lambda: extent)

    def shown_points(self, *, as_discs: bool = False) -> Flags:
        """Return which points of ``sheet`` are shown at this size, or stand as numbered discs."""
        thinned, (route, point) = self._thinned, self.selected
        if thinned is None:
            return np.zeros(len(self.sheet.east), dtype=bool)
        shown = (thinned.discs_from if as_discs else thinned.dots_from) <= self.camera.scale
        chosen = self.sheet.row(route, point) if point is not None else None
        if chosen is not None:
            shown[chosen] = True
        return shown

    def show_band(self, band: QRectF | None) -> None:
        """Show the band that is being drawn."""
        self.band = band
        below = [layer for layer in self.layers if not isinstance(layer, BandLayer)]
        self.layers = below if band is None else [*below, BandLayer(band)]
        self.update()

    def show_sheet(self, sheet: RouteSheet) -> None:
        """Show the same routes with a point elsewhere."""
        self.sheet = sheet
        self.lay_out()

    def lay_out(self) -> None:
        """Put the layers together in the order they are painted."""
        ground, (way, order) = self.ground, self._way
        homes, marks, labels = HomeLayer(self.homes, ground), MarkLayer(self.sheet, self.findings), None
        if self._labels is not None and self._thinned is not None:
            labels = LabelLayer(self._labels, self._thinned.names_from, self.sheet)
        lines = Lines.of([way], ground) if way else Lines(self.sheet.east, self.sheet.south, np.diff(self.sheet.starts))
        if self._road_names is not None:
            self._road_names.renew(taken_by(self.sheet, lines, homes, marks, labels))
        layers: list[Layer | None] = [
            self._road_names,
            ReachLayer(Lines.of(self._reach, ground)) if self._reach else None,
            TieLayer(self.ties, ground) if self.ties else None,
            WayLayer(way, ground, (self.sheet.east, self.sheet.south)) if way else None,
            self._landing,
            RouteLayer(self.sheet, self._thinned, has_way=bool(way)),
            OrderLayer(self.sheet, _rows_in_order(self.sheet, self.selected[0], order)) if order else None,
            homes,
            labels,
            marks,
            ChosenNameLayer(labels) if labels is not None else None,
            *self.on_top,
        ]
        self.layers = [layer for layer in layers if layer is not None]
        self.disturb()

    def _prepare(self, topic: str, work: Callable[[], _T], then: Callable[[_T], None]) -> None:
        """Have something prepared on the map's own thread; a later one of the same topic makes it stale."""
        self._waiting.add(topic)

        def done(result: _T) -> None:
            self._waiting.discard(topic)
            then(result)

        self._worker.give(work, done, _raise, job=Job("", topic, None), owner=self)

    def _roads_ready(self, made: tuple[RoadSheet, RoadNames]) -> None:
        sheet, names = made
        if not self._laid_out:
            self.ground, self._laid_out = sheet.ground, True
        if sheet.ground != self.ground:
            # Routes came while roads without a middle of their own were prepared.
            source, ground = sheet.source, self.ground
            self._prepare("roads", lambda: _laid_out(source, ground), self._roads_ready)
            return
        self.show_road_sheet(sheet)
        self._road_names = RoadNameLayer(names)
        self.lay_out()
        if not len(self.sheet.east) and not self.homes:
            self.fit_all()

    def _thin(self) -> None:
        """Find out anew from which sizes on points and names have room."""
        sheet = self.sheet
        labels = self._measured()
        marks = MarkLayer(sheet, self.findings).boxes()

        def ready(thinned: Thinned) -> None:
            self._thinned, self._labels = thinned, labels
            self.lay_out()

        self._prepare("points", lambda: thin(sheet, marks, labels), ready)

    def _measured(self) -> Labels:
        """Return the names of what is shown, measured anew only where they or the font have changed."""
        source = (self.sheet, self.homes, self.sprites)
        if any(one is not other for one, other in zip(source, self._measured_from, strict=True)):
            self._measured_labels = labels_of(self.sheet, self.homes, self.ground, self.sprites)
            self._measured_from = source
        return self._measured_labels

    def settle_ground(self, places: Sequence[Place]) -> None:
        """Choose the middle of the map once, from the first places that are shown."""
        if not self._laid_out and places:
            self.ground = Ground.about(places)
            self._laid_out = True


def _rows_in_order(sheet: RouteSheet, selected: str, order: Sequence[int]) -> list[int]:
    """Return the rows of the points of the selected route, or of the only one, in an order of their numbers."""
    code = selected or (sheet.routes[0].code if len(sheet.routes) == 1 else "")
    rows = [sheet.row(code, number) for number in order]
    return [row for row in rows if row is not None]


def _with_air(extent: QRectF | None) -> QRectF | None:
    """Return at least ``LEAST_SPAN_M`` of ground about the same middle."""
    if extent is None:
        return None
    wide, high = max(extent.width(), LEAST_SPAN_M), max(extent.height(), LEAST_SPAN_M)
    middle = extent.center()
    return QRectF(middle.x() - wide / 2, middle.y() - high / 2, wide, high)


def _laid_out(lines: MapLines, ground: Ground | None) -> tuple[RoadSheet, RoadNames]:
    """Lay roads and their names out on a ground; about their own middle where there is none yet."""
    middle = Place(float(np.median(lines.latitudes)), float(np.median(lines.longitudes)))
    sheet = RoadSheet.of(lines, ground or Ground(middle))
    return sheet, RoadNames.of(sheet)


def _raise(error: BaseException) -> None:
    raise error
