"""The figures of the Drives page: a picture with each drive, routes and roads before and after, what no longer fits."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QSplitter, QTabWidget, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import heading
from planner.desktop.season.finding_delegate import FindingDelegate
from planner.desktop.season.findings_model import FindingsModel
from planner.desktop.season.findings_pane import FindingsList
from planner.desktop.sheets.drives.model import RoutesModel, RowsModel
from planner.desktop.sheets.drives.plot import DrivesPlot
from planner.desktop.sheets.drives.rows import (
    left_out_headings,
    left_out_rows,
    leg_headings,
    leg_rows,
    road_headings,
    road_rows,
)
from planner.desktop.sheets.drives.said import leg_words
from planner.desktop.sheets.drives.table import OrderedTable
from planner.desktop.sheets.words import tr
from planner.domain.finding import Finding, Subject
from planner.usecases.calibrating import Calibrated

_SHARES = [360, 730]
_LEFT, _RIGHT = [290, 180], [310, 160]


class DriveFigures(QWidget):
    """Drives at the left, what they change at the right."""

    finding_entered = Signal(object)
    """A Finding that was clicked."""
    visit_entered = Signal(object)
    """The Subject of a visit to come."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._found: Calibrated | None = None
        self.plot = DrivesPlot(desk.colours)
        self.route_model = RoutesModel(desk.colours, self)
        self.leg_model, self.road_model = RowsModel(leg_headings(), self), RowsModel(road_headings(), self)
        self.left_out_model = RowsModel(left_out_headings(), self)
        self.legs = OrderedTable(self.leg_model, tr("Drives that were used"), 0)
        self.routes = OrderedTable(self.route_model, tr("Routes before and after"), 6)
        self.roads = OrderedTable(self.road_model, tr("Road classes before and after"), 5)
        self.left_out = OrderedTable(self.left_out_model, tr("Drives that were left out"), 1)
        self.tabs = QTabWidget()
        self.broken_title = heading()
        self.broken_model = FindingsModel(self)
        self.broken = FindingsList()
        self._delegate = FindingDelegate(self.broken, desk.colours, self)
        self._lay_out()
        self._connect()

    def show_found(self, found: Calibrated | None) -> None:
        """Show what recorded drives came to; None, or without a figure: nothing of them."""
        if found is self._found:
            return
        self._found = found
        there = found is not None and found.season is not None
        self._left.setVisible(there)
        self.tabs.setVisible(there)
        if found is None:
            return
        self.plot.show_legs(found.legs, found.season)
        self.leg_model.show_rows(leg_rows(found.legs), lambda place: leg_words(found.legs[place]))
        self.route_model.show_routes(found.routes)
        self.road_model.show_rows(road_rows(found))
        self.left_out_model.show_rows(left_out_rows(found.left_out))
        self.tabs.setTabText(2, tr("Left out (%1)", len(found.left_out)))

    def show_broken(self, findings: Sequence[Finding], *, would: bool) -> None:
        """Show rules that visits break.

        Args:
            findings: the rules.
            would: whether they would be broken with other figures, or are as the plan stands.
        """
        self.broken_model.show_findings(findings)
        words = tr("Would no longer fit (%1)", len(findings)) if would else tr("No longer fits (%1)", len(findings))
        self.broken_title.setText(words)
        self.broken.setAccessibleName(words)
        self._below.setVisible(bool(findings))

    def dress(self) -> None:
        """Change to the desk's palette."""
        self.plot.set_colours(self._desk.colours)
        self.route_model.set_colours(self._desk.colours)
        self._delegate.colours = self._desk.colours
        self.broken.viewport().update()

    def _leg_stood_on(self, row: int) -> None:
        self.plot.choose(self.leg_model.place(row) if row >= 0 else None)

    def _leg_picked(self, place: int) -> None:
        self.legs.stand_on(self.leg_model.row(place))
        self.legs.setFocus(Qt.FocusReason.MouseFocusReason)

    def _route_stood_on(self, row: int) -> None:
        route = self.route_model.route(row) if row >= 0 else None
        self.plot.show_route(route.route if route is not None and route.legs else "")

    def _route_entered(self, row: int) -> None:
        """Go to the visit of a route that would no longer fit, else to its first."""
        route = self.route_model.route(row)
        visits = route.visits
        first = next((one for one in visits if one.no_longer_fits), next(iter(visits), None))
        if first is None:
            self._desk.say(tr("No visit of %1 is yet to come.", route.route))
        else:
            self.visit_entered.emit(Subject(first.key.route, visit=first.key.number, date=first.date))

    def _connect(self) -> None:
        self.legs.stood_on.connect(self._leg_stood_on)
        self.plot.picked.connect(self._leg_picked)
        self.routes.stood_on.connect(self._route_stood_on)
        self.routes.entered_row.connect(self._route_entered)
        self.broken.entered.connect(self.finding_entered)

    def _lay_out(self) -> None:
        self.broken.setModel(self.broken_model)
        self.broken.setItemDelegate(self._delegate)
        self.tabs.setAccessibleName(tr("What recorded drives change"))
        self.tabs.tabBar().setAccessibleName(tr("What recorded drives change"))
        for page, name in ((self.routes, tr("Routes")), (self.roads, tr("Roads")), (self.left_out, tr("Left out"))):
            self.tabs.addTab(page, name)
        self._left = QSplitter(Qt.Orientation.Vertical)
        self._below = QWidget()
        below = QVBoxLayout(self._below)
        below.setContentsMargins(0, 4, 0, 0)
        below.addWidget(self.broken_title)
        below.addWidget(self.broken, 1)
        right, whole = QSplitter(Qt.Orientation.Vertical), QSplitter(Qt.Orientation.Horizontal)
        for splitter, parts, shares in (
            (self._left, (self.plot, self.legs), _LEFT),
            (right, (self.tabs, self._below), _RIGHT),
            (whole, (self._left, right), _SHARES),
        ):
            for part in parts:
                splitter.addWidget(part)
            splitter.setChildrenCollapsible(False)
            splitter.setSizes(shares)
        whole.setStretchFactor(1, 1)
        for part in (self._left, self.tabs, self._below):
            part.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(whole)
