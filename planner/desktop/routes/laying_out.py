"""Laying out points in the Routes room: the form stands at the right, the proposal on the map and below it."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QStackedWidget, QWidget

from planner.desktop.desk import Desk
from planner.desktop.map import MapBarred, MapProposal, MapStop
from planner.desktop.routes.chosen import ChosenRoute
from planner.desktop.routes.laid_model import LaidRow
from planner.desktop.routes.laid_table import LaidTable
from planner.desktop.routes.laying import Laying
from planner.desktop.routes.laying_form import LayingForm
from planner.desktop.routes.laying_words import stop_words, why_words
from planner.desktop.routes.layout_wish import Way
from planner.desktop.routes.map_pane import MapPane
from planner.desktop.routes.words import tr
from planner.domain.geo import Place


class LayingOut(QObject):
    """Takes the places of the points' table and the route's panel while points are laid out."""

    def __init__(self, desk: Desk, chosen: ChosenRoute, map_pane: MapPane, room: QWidget) -> None:
        super().__init__(room)
        self._desk, self._chosen, self._map_pane = desk, chosen, map_pane
        self.laying = Laying(desk, self)
        self.below, self.right = QStackedWidget(), QStackedWidget()
        """What stands below the map and at its right: first what stands there usually."""
        self._form: LayingForm | None = None
        self._table: LaidTable | None = None
        self._shown = False
        self.leave = QAction(tr("Leave laying out points"), room)
        self.leave.setShortcut(QKeySequence("Esc"))
        self.leave.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        self.leave.setEnabled(False)
        self.leave.setToolTip(tr("No points are being laid out"))
        self.leave.triggered.connect(lambda _checked: self.laying.leave())
        room.addAction(self.leave)
        self.laying.changed.connect(self._show)
        self.laying.laid_changed.connect(self._draw)
        self.laying.road_found.connect(self._see_road)
        map_pane.map.proposing.place_picked.connect(self.laying.add_place)
        chosen.changed.connect(self._offer)
        desk.session.snapshot_changed.connect(lambda _found: self._offer())

    @property
    def form(self) -> LayingForm:
        """The form at the right; made when points are first laid out."""
        if self._form is None:
            self._form = LayingForm(self._desk, self.laying)
            self.right.addWidget(self._form)
        return self._form

    @property
    def table(self) -> LaidTable:
        """The proposal below the map; made when points are first laid out."""
        if self._table is None:
            self._table = LaidTable(self._desk, self.laying)
            self._table.picked.connect(self._look_at)
            self.below.addWidget(self._table)
        return self._table

    def begin(self) -> None:
        """Lay out points; for the chosen route where it has none yet."""
        self.form.use_road_names()
        self.laying.begin()
        self.form.target.begin(self._desk.session.snapshot.season, self._chosen.route)

    def _show(self) -> None:
        """Turn to the form and the proposal, or back to the points and the route."""
        on, wish = self.laying.is_on, self.laying.wish
        if on or self._shown:
            self._map_pane.pick_places(_hints()[wish.way] if on else "")
        if on is not self._shown:
            self._shown = on
            # Before what has the keyboard is hidden: Ctrl+Z must not end in a field that comes next by chance.
            self._map_pane.map.setFocus(Qt.FocusReason.OtherFocusReason)
            self.leave.setEnabled(on)
            self.leave.setToolTip(tr("Nothing is changed (Esc)") if on else tr("No points are being laid out"))
            for stack, part in ((self.below, self.table), (self.right, self.form)):
                stack.setCurrentIndex(stack.indexOf(part) if on else 0)
        self._draw()

    def _draw(self) -> None:
        """Show on the map what is chosen and proposed."""
        self._map_pane.map.proposing.show(self._proposal() if self.laying.is_on else None)

    def _proposal(self) -> MapProposal:
        wish, laid, units = self.laying.wish, self.laying.laid, self._desk.units
        pins = () if wish.way is Way.LINE else wish.places
        if laid is None:
            line = wish.line.along.places if wish.way is Way.LINE and wish.line is not None else ()
            return MapProposal(pins, line, roads=self.laying.road_lines)
        habitat = self._desk.session.snapshot.season.protocol.habitat
        return MapProposal(
            pins=pins,
            line=_places(laid.line),
            stops=tuple(MapStop(point.number, point.place, stop_words(point, units)) for point in laid.points),
            barred=tuple(
                MapBarred(_places(laid.between(one.from_m, one.to_m)), why_words(one)) for one in laid.skipped
            ),
            radius_m=habitat.radius.metres if habitat is not None else None,
        )

    def _see_road(self) -> None:
        """See the whole of the road that was named."""
        self._map_pane.map.fit_places([place for line in self.laying.road_lines for place in line])

    def _offer(self) -> None:
        if self.laying.is_on:
            self.form.target.offer(self._desk.session.snapshot.season, self._chosen.route)

    def _look_at(self, row: LaidRow) -> None:
        """Bring a point, or a stretch that is left out, into sight."""
        laid, view = self.laying.laid, self._map_pane.map
        if row.point is not None:
            view.bring_into_sight(*view.ground.spot(row.point.place))
        elif row.skipped is not None and laid is not None:
            stretch = _places(laid.between(row.skipped.from_m, row.skipped.to_m))
            view.bring_into_sight(*view.ground.spot(stretch[len(stretch) // 2]))


def _hints() -> dict[Way, str]:
    """Return what a click on the map means; nothing where it means what it usually does."""
    return {
        Way.PLACES: tr("Click where the line starts, goes through and ends. Esc leaves."),
        Way.ROAD: tr("Click where the line starts on the road; a second click says which way. Esc leaves."),
        Way.LINE: "",
    }


def _places(corners: tuple[tuple[float, float], ...]) -> tuple[Place, ...]:
    return tuple(Place(*corner) for corner in corners)
