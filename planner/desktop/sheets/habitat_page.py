"""The habitat page: the routes with what came in, the grid of the one chosen, and what belongs to its points."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QSplitter, QStackedLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.sheets.beside import Beside
from planner.desktop.sheets.grid_pane import GridPane
from planner.desktop.sheets.page import SheetsPage
from planner.desktop.sheets.photo_images import PhotoImages
from planner.desktop.sheets.photo_view import PhotoView
from planner.desktop.sheets.route_pane import RoutePane
from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey, SheetState
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.usecases.sheets.standing import sheet_standings

_SHARES = [232, 868]
_HEIGHTS = [450, 215]
_RULES = ("sheet.", "photo.")
_OF_DRAFTS = frozenset(
    {
        Rule.SHEET_SUM,
        Rule.SHEET_STEP,
        Rule.SHEET_CLASS,
        Rule.SHEET_NOTE,
        Rule.SHEET_GRAZED,
        Rule.SHEET_MISSING,
        Rule.SHEET_UNREAD,
    }
)
"""What the grid itself shows of drafts, cell by cell."""


class HabitatPage(SheetsPage):
    """Sheets route by route; under the grid what they say to each other, photos, and the class key."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        images = PhotoImages(desk.session, self)
        self.routes = RoutePane(desk)
        self.pane = GridPane(desk)
        self.beside = Beside(desk, images)
        self.large = PhotoView(desk, images)
        self._lay_out()
        self._connect()
        self.setFocusProxy(self.pane.grid)
        self._refresh()
        self._choose_first()

    def takes(self, subject: Subject) -> bool:
        """A route or a point of one is shown here, unless a date is spoken of."""
        return bool(subject.route) and subject.date is None

    def show_subject(self, subject: Subject) -> None:
        """Show the sheets of a route, and stand on its point."""
        self._back_to_sheets()
        self.routes.choose(subject.route)
        self.pane.show_route(subject.route, subject.visit, subject.volunteer or None)
        if subject.point is not None:
            self.pane.go_to(subject.point)

    def commands(self) -> Sequence[QAction]:
        """Return what can be done to sheets."""
        return (*self.pane.actions_here.all, *self.pane.actions_here.absent)

    @property
    def stands_on(self) -> str:
        """The sheet of the point that is stood on, unless it is handed in."""
        sheet = self.pane.sheet
        return str(sheet.key) if sheet is not None and sheet.state is SheetState.DRAFT else ""

    def take_pictures(self, paths: Sequence[Path]) -> None:
        """Attach pictures that were dropped to the point that is stood on."""
        self.pane.keep()
        self.beside.take_pictures(paths)

    def _refresh(self) -> None:
        self._show_standings()
        self.pane.refresh()
        self.beside.show_season()

    def _show_standings(self) -> None:
        found, said = self.desk.session.snapshot, self._findings()
        self.routes.show_standings(sheet_standings(found.season, found.sheets, said))
        self._show_findings()

    def _show_findings(self) -> None:
        code = self.routes.code
        self.beside.show_route(code, [one for one in self._findings() if code in one.subject.routes])

    def _findings(self) -> Sequence[Finding]:
        """Return what is found on sheets, but for what the grid shows of drafts anyhow."""
        checked = self.desk.session.checked
        every = checked.findings if checked is not None else ()
        return [
            one
            for one in every
            if one.rule.startswith(_RULES) and not (one.rule in _OF_DRAFTS and one.severity >= Severity.DOUBT)
        ]

    def _choose_first(self) -> None:
        routes = self.desk.session.snapshot.season.routes
        if routes:
            self.routes.choose(routes[0].code)

    def _route_chosen(self, code: str) -> None:
        self.pane.show_route(code)
        self._show_findings()

    def _show_point(self) -> None:
        self.beside.show_point(self.pane.sheet)

    def _back_to_grid(self) -> None:
        self.pane.grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def _put(self, code: str) -> None:
        self._open_cell(code)
        self.pane.grid.take_rest()

    def _open_cell(self, code: str) -> None:
        if self.pane.sheet is not None:
            self.pane.go_to(self.pane.sheet.key.point, code)

    def _correct(self, key: SheetKey) -> None:
        """Go to a sheet that is to be mended; one that is handed in is opened again first."""
        self.pane.show_route(key.route, key.visit, key.observer)
        self.pane.go_to(key.point)
        sheet = self.pane.sheet
        if sheet is not None and sheet.state is SheetState.FINAL:
            self.pane.keeping.reopen([key])

    def _show_large(self, sheet: HabitatSheet, at: int) -> None:
        self._stack.setCurrentWidget(self.large)
        self.large.show_photo(sheet, at)

    def _back_to_sheets(self) -> None:
        if self._stack.currentWidget() is self.large:
            self._stack.setCurrentIndex(0)
            self.beside.photos.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def _connect(self) -> None:
        session = self.desk.session
        self.routes.chosen.connect(self._route_chosen)
        self.pane.point_changed.connect(self._show_point)
        self.pane.key_wanted.connect(self.beside.ask_key)
        self.beside.put.connect(self._put)
        self.beside.opened.connect(self._open_cell)
        self.beside.left.connect(self._back_to_grid)
        self.beside.correct.connect(self._correct)
        self.beside.wanted_large.connect(self._show_large)
        self.large.left.connect(self._back_to_sheets)
        session.snapshot_changed.connect(lambda _found: self._refresh())
        session.checked_changed.connect(lambda _checked: self._show_standings())
        self.desk.units_changed.connect(self._show_point)

    def _lay_out(self) -> None:
        right, split = QSplitter(Qt.Orientation.Vertical), QSplitter(Qt.Orientation.Horizontal)
        for splitter, parts, shares in (
            (right, (self.pane, self.beside), _HEIGHTS),
            (split, (self.routes, right), _SHARES),
        ):
            for part in parts:
                splitter.addWidget(part)
            splitter.setChildrenCollapsible(False)
            splitter.setSizes(shares)
        split.setStretchFactor(1, 1)
        right.setStretchFactor(0, 1)
        right.setStretchFactor(1, 0)
        whole: QWidget = split
        self._stack = QStackedLayout(self)
        self._stack.addWidget(whole)
        self._stack.addWidget(self.large)
