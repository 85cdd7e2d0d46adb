"""The list of routes at the left: searched, chosen, added to, and brought in from files."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QItemSelectionModel, QModelIndex, Qt, QTimer, Signal
from PySide6.QtGui import QAction, QKeyEvent
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLineEdit, QListView, QToolButton, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import quiet, title
from planner.desktop.routes.known_figures import KnownFigures
from planner.desktop.routes.route_model import ROW_ROLE, RouteFilter, RouteModel, RouteRow, findings_by_route
from planner.desktop.routes.route_row import RouteRowPainter
from planner.desktop.routes.words import route_line, tr
from planner.desktop.worker import Worker
from planner.domain.route import Route
from planner.usecases.route_fixes import RouteFigures


class RouteList(QWidget):
    """The routes of the season, to choose one from."""

    chosen = Signal(str)
    """Code of the route that was chosen; empty: none."""
    area_wanted = Signal(tuple, str)
    """Codes of the routes that are shown, and the area that all of them are to be counted to."""

    def __init__(self, desk: Desk, worker: Worker, actions: tuple[QAction, ...], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.figures = KnownFigures(desk, worker, self)
        self.model = RouteModel(self)
        self.filter = RouteFilter(self)
        self.filter.setSourceModel(self.model)
        self.search = self._made_search()
        self.only = QCheckBox(tr("Only with findings"))
        self.only.toggled.connect(self._only_troubled)
        self.area = self._made_area()
        self.view = self._made_view()
        self._said = quiet()
        self._lay_out(actions)
        self._code = ""
        self._lines: dict[str, tuple[RouteFigures, str]] = {}
        session = desk.session
        session.snapshot_changed.connect(lambda _found: self.refresh())
        session.checked_changed.connect(lambda _found: self.refresh())
        self.figures.found.connect(self._measured)
        desk.units_changed.connect(self._in_other_units)
        desk.look_changed.connect(self.view.viewport().update)
        self.refresh()

    def refresh(self) -> None:
        """Show the routes as they stand; the chosen one stays in the list, though it may have been mended."""
        if self.filter.mapFromSource(self.model.row_of(self._code)).isValid():
            self.filter.keep(self._code)
        session = self._desk.session
        checked = session.checked
        by_route = findings_by_route(checked.findings if checked is not None else ())
        routes = session.snapshot.season.routes
        self.model.show_rows([RouteRow(route, self._line(route), by_route.get(route.code, ())) for route in routes])
        self.select(self._code)
        self._say()

    def select(self, code: str) -> None:
        """Show a route as chosen, without saying that a person chose it."""
        self._remember(code)
        index = self.filter.mapFromSource(self.model.row_of(code))
        picked = self.view.selectionModel()
        if index == picked.currentIndex() and (not index.isValid() or picked.isSelected(index)):
            return
        picked.blockSignals(True)
        picked.setCurrentIndex(index, QItemSelectionModel.SelectionFlag.ClearAndSelect)
        picked.blockSignals(False)
        self.view.viewport().update()
        if index.isValid():
            self.view.scrollTo(index)

    def show_code(self, code: str) -> None:
        """Choose a route that may be hidden by the search: what hides it is taken away."""
        if not self.filter.mapFromSource(self.model.row_of(code)).isValid():
            self.search.clear()
            self.only.setChecked(False)
        self.select(code)

    def search_now(self) -> None:
        """Let a person type what to search for."""
        self.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.search.selectAll()

    @property
    def first_code(self) -> str:
        """Code of the first route shown; empty where there is none."""
        row = self.filter.index(0, 0).data(ROW_ROLE)
        return row.route.code if isinstance(row, RouteRow) else ""

    @property
    def codes_shown(self) -> tuple[str, ...]:
        """Codes of the routes that are shown, in their order."""
        rows = (self.filter.index(row, 0).data(ROW_ROLE) for row in range(self.filter.rowCount()))
        return tuple(row.route.code for row in rows if isinstance(row, RouteRow))

    def _line(self, route: Route) -> str:
        """Return the figures of a route in a line; made once for the same figures."""
        figures = self.figures.of(route.code)
        if figures is None or len(figures.points) != len(route.points):
            return tr("working it out …") if route.points else tr("no points yet")
        known = self._lines.get(route.code)
        if known is None or known[0] is not figures:
            known = self._lines[route.code] = (figures, route_line(figures, self._desk.units))
        return known[1]

    def _measured(self, codes: tuple[str, ...]) -> None:
        for code in codes:
            row = self.model.row_at(code)
            if row is not None:
                self.model.show_row(replace(row, line=self._line(row.route)))

    def _in_other_units(self) -> None:
        self._lines.clear()
        self.refresh()

    def _picked(self, index: QModelIndex) -> None:
        row = index.data(ROW_ROLE)
        if isinstance(row, RouteRow) and row.route.code != self._code:
            self._remember(row.route.code)
            self.chosen.emit(row.route.code)

    def _remember(self, code: str) -> None:
        if code != self._code:
            self._code = code
            # Not at once: the list is in the midst of choosing, and no row may go from under it.
            QTimer.singleShot(0, self, self._let_go)

    def _let_go(self) -> None:
        """Hide a route again that was in the list only because it was chosen."""
        if self.filter.kept != self._code:
            self.filter.keep("")
            self._say()

    def _only_troubled(self, only: bool) -> None:
        self.filter.keep("")
        self.filter.show_only_troubled(only)
        self.select(self._code)
        self._say()

    def _searched(self, text: str) -> None:
        self.filter.keep("")
        self.filter.search(text)
        self.select(self._code)
        self._say()

    def _say(self) -> None:
        """Say why fewer routes, or none, are shown."""
        shown, of = self.filter.rowCount(), self.model.rowCount()
        if not of:
            self._said.setText(tr("There are no routes yet. Bring files in, drop them here, or make a new route."))
        else:
            self._said.setText(tr("%1 of %2 routes shown", shown, of))
        self._said.setVisible(not of or shown < of)
        self.area.setVisible(1 < shown < of)
        why_not = self._desk.session.snapshot.read_only_reason
        self.area.setEnabled(not why_not)
        self.area.setToolTip(why_not or tr("Enter counts all routes shown to this area; Ctrl+Z takes it back"))

    def _made_search(self) -> QLineEdit:
        search = QLineEdit()
        search.setPlaceholderText(tr("Search routes"))
        search.setAccessibleName(tr("Search routes"))
        search.setToolTip(tr("By code, name, area, need, lead or finding"))
        search.setClearButtonEnabled(True)
        search.textChanged.connect(self._searched)
        return search

    def _made_area(self) -> QLineEdit:
        """Return the field that counts all routes shown to one area: seen while a search leaves some of them."""
        area = QLineEdit()
        area.setPlaceholderText(tr("Area for these"))
        area.setAccessibleName(tr("Area for the routes shown"))
        area.returnPressed.connect(self._give_area)
        return area

    def _give_area(self) -> None:
        area = self.area.text().strip()
        if area:
            self.area.clear()
            self.area_wanted.emit(self.codes_shown, area)

    def _made_view(self) -> QListView:
        view = QListView()
        view.setModel(self.filter)
        view.setItemDelegate(RouteRowPainter(self._desk))
        view.setUniformItemSizes(True)
        view.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        view.setAccessibleName(tr("Routes"))
        view.setMinimumWidth(200)
        view.selectionModel().currentChanged.connect(lambda now, _before: self._picked(now))
        return view

    def _lay_out(self, actions: tuple[QAction, ...]) -> None:
        head = QHBoxLayout()
        head.addWidget(title(tr("Routes")), 1)
        for action in actions:
            button = QToolButton()
            button.setDefaultAction(action)
            button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonIconOnly)
            button.setAccessibleName(action.text())
            button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            head.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 12, 6, 12)
        column.setSpacing(8)
        column.addLayout(head)
        column.addWidget(self.search)
        column.addWidget(self.only)
        column.addWidget(self._said)
        column.addWidget(self.area)
        column.addWidget(self.view, 1)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go from the search down into the list."""
        if event.key() == Qt.Key.Key_Down and self.search.hasFocus():
            self.view.setFocus()
        else:
            super().keyPressEvent(event)
