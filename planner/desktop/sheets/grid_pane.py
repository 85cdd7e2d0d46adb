"""The grid of one route with what stands over and under it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QAction, QHideEvent
from PySide6.QtWidgets import QApplication, QHBoxLayout, QStackedLayout, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import quiet
from planner.desktop.sheets.cell_words import fault_words
from planner.desktop.sheets.fault_line import MarkedLine
from planner.desktop.sheets.grid_actions import GridActions
from planner.desktop.sheets.grid_facts import GridFacts
from planner.desktop.sheets.grid_head import GridHead
from planner.desktop.sheets.keeping import Keeping
from planner.desktop.sheets.sheet_grid import SheetGrid
from planner.desktop.sheets.sheet_model import SheetModel
from planner.desktop.sheets.words import tr
from planner.domain.field.absent_class import EVERY_POINT, AbsentClass
from planner.domain.field.habitat_sheet import HabitatSheet, SheetState
from planner.domain.field.sheet_rules import SheetFault
from planner.domain.finding import Severity
from planner.domain.plan import VisitKey
from planner.domain.route import Route
from planner.usecases.sheets.entry import is_unfinished
from planner.usecases.sheets.observers import Observer, offered_observers

_MOST_FAULTS = 3
_LINES_BELOW = 2
"""Of what is wrong, for which there is always room under the grid."""


class GridPane(QWidget):
    """Which visit and whose estimate, the grid, and the line that says what is wrong at the point stood on."""

    point_changed = Signal()
    """Another point is stood on, or its sheet has become another."""
    key_wanted = Signal()
    """The class key is wanted."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._route = ""
        self._visit = 1
        self._observer: str | None = None
        self.model = SheetModel(self)
        self.grid = SheetGrid(desk, self.model)
        self.keeping = Keeping(desk, self.model)
        self.actions_here = GridActions(self, self.model)
        visits = len(desk.session.snapshot.season.protocol.visits)
        self.head = GridHead(visits, self.actions_here.all)
        self.line = MarkedLine(desk.colours)
        self.line.keep_room(_LINES_BELOW)
        self._empty = quiet()
        self._lay_out()
        self._connect()

    @property
    def row(self) -> int:
        """The row that is stood on; -1: none."""
        return self.grid.currentIndex().row()

    @property
    def sheet(self) -> HabitatSheet | None:
        """The sheet of the point that is stood on."""
        return self.model.rows.sheet(self.row) if 0 <= self.row < self.model.rowCount() else None

    @property
    def visit(self) -> int:
        """The visit that is shown."""
        return self._visit

    def show_route(self, code: str, visit: int | None = None, observer: str | None = None) -> None:
        """Show a route; of a visit and observer where they are said, else as it most likely is wanted."""
        self.keep()
        other = code != self._route or (visit is not None and visit != self._visit)
        self._route = code
        self._visit = visit or self._visit
        if other or observer is not None:
            self._observer = observer
        self.refresh()

    def go_to(self, point: int, field: str = "") -> None:
        """Stand on a point, on the cell of a field where one is named, and take the keyboard."""
        row = self.model.rows.row_of(point)
        if row >= 0:
            near = self.grid.currentIndex().column()
            self.grid.go_to(row, self.model.rows.column_of(field, near) if field else -1)
            self.grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def refresh(self) -> None:
        """Show the sheets as they are kept now, what is typed over them."""
        found = self._desk.session.snapshot
        rule = found.season.protocol.habitat
        route = next((one for one in found.season.routes if one.code == self._route), None)
        self.model.rows.why_not = found.read_only_reason
        if rule is None or route is None or not route.points:
            self._show_nothing(route)
            return
        key = VisitKey(route.code, self._visit)
        offered = offered_observers(found.season, found.plan, found.sheets, key)
        if self._observer is None or all(one.code != self._observer for one in offered):
            self._observer = offered[0].code
        self.head.title.name(route.title)
        self.head.show_season(found.season.dates.first)
        self.head.show_visit(self._visit)
        self.head.show_observers([(one.code, observer_words(one)) for one in offered], self._observer)
        self.model.show(GridFacts.of(found, route, rule, self._visit, self._observer))
        self._stack.setCurrentIndex(0)
        self._show_point()

    def keep(self) -> None:
        """Keep what is typed, the cell that is still open as well."""
        self.grid.commit()
        self.keeping.keep()

    def hideEvent(self, event: QHideEvent) -> None:
        """Keep what is typed when another room or page is gone to."""
        self.keep()
        super().hideEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """Follow the palette."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.PaletteChange:
            self.line.set_colours(self._desk.colours)

    def say(self, text: str) -> None:
        """Say why something was not done, in the line under the grid; the next key takes it away."""
        self.line.say(text, Severity.DOUBT)

    def _show_point(self) -> None:
        """Say what the sheet of the current point lacks."""
        sheet, row = self.sheet, self.row
        if row != self.model.rows.current:
            before, self.model.rows.current = self.model.rows.current, row
            self.model.tell(before, before)
            self.model.tell(row, row)
        self.actions_here.judge(row)
        self._judge_absent()
        why_not = self.model.rows.locked(row) if sheet is not None else tr("Choose a point first.")
        self.head.show_date(sheet.date if sheet is not None else None, why_not)
        if sheet is None or sheet.empty:
            keys = tr("Type a figure and Tab. Enter: next point. R: the class takes the rest. K: class key.")
            self.line.say(keys, marked=False)
        elif self.model.rows.faults(row):
            self._say_faults(sheet, self.model.rows.faults(row))
        elif sheet.state is SheetState.FINAL:
            self.line.say(tr("Point %1 is handed in.", sheet.key.point))
        else:
            self.line.say(tr("Point %1 is in order and may be handed in.", sheet.key.point))
        self.point_changed.emit()

    def _say_faults(self, sheet: HabitatSheet, faults: Sequence[SheetFault]) -> None:
        """Say what is wrong in full; what is only still to be written, in few words."""
        wrong = [fault for fault in faults if not is_unfinished(sheet, fault)]
        lacking = [str(fault) for fault in faults if is_unfinished(sheet, fault)]
        said = [fault_words(fault) for fault in wrong[:_MOST_FAULTS]]
        if len(wrong) > _MOST_FAULTS:
            said.append(tr("And %1 more.", len(wrong) - _MOST_FAULTS))
        if lacking:
            said.append(tr("Still to do: %1.", "; ".join(lacking)))
        self.line.say(tr("Point %1: %2", sheet.key.point, " ".join(said)), Severity.BROKEN if wrong else Severity.NOTE)

    def _show_nothing(self, route: Route | None) -> None:
        self.model.show(None)
        self.actions_here.judge(-1)
        self._judge_absent()
        self._stack.setCurrentIndex(1)
        if self._desk.session.snapshot.season.protocol.habitat is None:
            self._empty.setText(tr("The protocol asks for no habitat: there are no sheets to fill in."))
        elif not self._desk.session.snapshot.season.routes:
            self._empty.setText(tr("There are no routes yet. Bring in their files in the Season room."))
        elif route is None:
            self._empty.setText(tr("Choose a route at the left: its points stand here, to be filled in."))
        else:
            self._empty.setText(tr("%1 has no points yet. Give it points in the Routes room.", route.title))

    def _row_changed(self) -> None:
        self.keeping.keep()
        self._show_point()

    def _focus_moved(self, old: QWidget | None, new: QWidget | None) -> None:
        """Keep what is typed once the keyboard is elsewhere."""
        if old is not None and new is not None and self.isAncestorOf(old) and not self.grid.isAncestorOf(new):
            self.keeping.keep()

    def _date_chosen(self, date: dt.date) -> None:
        if self.sheet is not None:
            self.model.date_sheet(self.row, date)

    def _hand_in_point(self) -> None:
        self.grid.commit()
        if self.sheet is not None and not self.model.rows.faults(self.row):
            self.keeping.hand_in([self.sheet.key])

    def _reopen_point(self) -> None:
        if self.sheet is not None:
            self.keeping.reopen([self.sheet.key])

    def _ask_key(self) -> None:
        self.grid.commit()
        self.key_wanted.emit()

    def _judge_absent(self) -> None:
        """Show what is said of the class of the current cell."""
        code = self.grid.class_code
        said = {
            one.point
            for one in self._desk.session.snapshot.season.absent_classes
            if (one.route, one.class_code) == (self._route, code)
        }
        self.actions_here.judge_absent(code, said)

    def _say_absent(self, action: QAction, *, whole_route: bool) -> None:
        point = EVERY_POINT if whole_route else self.model.rows.point(self.row)
        self.keeping.say_absent(AbsentClass(self._route, self.grid.class_code, point), absent=action.isChecked())

    def _connect(self) -> None:
        do = self.actions_here
        do.connect_to(do.absent_point, lambda: self._say_absent(do.absent_point, whole_route=False))
        do.connect_to(do.absent_route, lambda: self._say_absent(do.absent_route, whole_route=True))
        self.grid.addActions([do.key, do.rest, do.copy_point, do.copy_visit, *do.absent])
        self.grid.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        self.grid.selectionModel().currentChanged.connect(lambda _now, _before: self._judge_absent())
        do.connect_to(do.rest, self.grid.take_rest)
        do.connect_to(do.copy_point, lambda: self.model.copy_point(self.row))
        do.connect_to(do.copy_visit, lambda: self.model.copy_visit(self.row))
        do.connect_to(do.key, self._ask_key)
        do.connect_to(do.hand_in, self._hand_in_point)
        do.connect_to(do.hand_in_all, lambda: self.keeping.hand_in(do.drafts()))
        do.connect_to(do.reopen, self._reopen_point)
        self.grid.selectionModel().currentRowChanged.connect(lambda _now, _before: self._row_changed())
        self.grid.key_wanted.connect(self._ask_key)
        self.grid.finished.connect(self.keeping.keep)
        self.grid.left.connect(lambda: self.head.observer.setFocus(Qt.FocusReason.TabFocusReason))
        self.model.typed.connect(lambda _row: self._show_point())
        self.model.refused.connect(self.say)
        self.keeping.failed.connect(self.say)
        self.head.side_chosen.connect(self.grid.turn_to_side)
        self.grid.side_shown.connect(self.head.show_side)
        self.head.visit_chosen.connect(lambda visit: self.show_route(self._route, visit))
        self.head.observer_chosen.connect(lambda code: self.show_route(self._route, self._visit, code))
        self.head.date_chosen.connect(self._date_chosen)
        self._desk.session.handing_over.connect(self.keep)
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.focusChanged.connect(self._focus_moved)

    def _lay_out(self) -> None:
        filled = QWidget()
        column = QVBoxLayout(filled)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addWidget(self.head)
        column.addWidget(self.grid, 1)
        column.addWidget(self.line)
        nothing = QWidget()
        row = QHBoxLayout(nothing)
        row.addWidget(self._empty)
        self._stack = QStackedLayout(self)
        self._stack.addWidget(filled)
        self._stack.addWidget(nothing)


def observer_words(one: Observer) -> str:
    """Return an observer as they are offered: code and name, and how many sheets of theirs there are."""
    words = f"{one.code} {one.name}".strip() or tr("Nobody named")
    if one.sheets == 1:
        return tr("%1 (1 sheet)", words)
    return tr("%1 (%2 sheets)", words, one.sheets) if one.sheets else words
