"""The habitat page: the routes with what came in, the grid of the one chosen, and what belongs to its points."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QSplitter, QVBoxLayout

from planner.desktop.desk import Desk
from planner.desktop.sheets.grid_pane import GridPane
from planner.desktop.sheets.page import SheetsPage
from planner.desktop.sheets.route_pane import RoutePane
from planner.domain.finding import Finding, Subject
from planner.usecases.sheet_standing import sheet_standings

_SHARES = [270, 830]
_RULES = ("sheet.", "photo.")


class HabitatPage(SheetsPage):
    """Sheets route by route."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.routes = RoutePane(desk)
        self.pane = GridPane(desk)
        self._lay_out()
        self.routes.chosen.connect(self.pane.show_route)
        desk.session.snapshot_changed.connect(lambda _found: self._refresh())
        desk.session.checked_changed.connect(lambda _checked: self._show_standings())
        self.setFocusProxy(self.pane.grid)
        self._refresh()
        self._choose_first()

    def takes(self, subject: Subject) -> bool:
        """A route or a point of one is shown here, unless a date is spoken of."""
        return bool(subject.route) and subject.date is None

    def show_subject(self, subject: Subject) -> None:
        """Show the sheets of a route, and stand on its point."""
        self.routes.choose(subject.route)
        self.pane.show_route(subject.route, subject.visit, subject.volunteer or None)
        if subject.point is not None:
            self.pane.go_to(subject.point)

    def commands(self) -> Sequence[QAction]:
        """Return what can be done to sheets."""
        return self.pane.actions_here.all

    def _refresh(self) -> None:
        self._show_standings()
        self.pane.refresh()

    def _show_standings(self) -> None:
        found = self.desk.session.snapshot
        self.routes.show_standings(sheet_standings(found.season, found.sheets, self._findings()))

    def _findings(self) -> Sequence[Finding]:
        checked = self.desk.session.checked
        return [one for one in checked.findings if one.rule.startswith(_RULES)] if checked is not None else ()

    def _choose_first(self) -> None:
        routes = self.desk.session.snapshot.season.routes
        if routes:
            self.routes.choose(routes[0].code)

    def _lay_out(self) -> None:
        split = QSplitter(Qt.Orientation.Horizontal)
        split.addWidget(self.routes)
        split.addWidget(self.pane)
        split.setChildrenCollapsible(False)
        split.setSizes(_SHARES)
        split.setStretchFactor(1, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(split, 1)
