"""The board on the desk: the open season's routes by dates, visits lifted and dropped by mouse or keys."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPoint, QPointF, QRect, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QApplication, QWidget

from planner.desktop.board.carrying import Carrying
from planner.desktop.board.edge_scroll import EdgeScroll
from planner.desktop.board.feed import BoardFeed
from planner.desktop.board.grid import BoardGrid, paint_ring
from planner.desktop.board.lines import Fold, Line
from planner.desktop.board.model import BoardModel
from planner.desktop.board.said import named, tr
from planner.desktop.board.verdict_card import VerdictCard
from planner.desktop.desk import Desk
from planner.domain.plan import Plan, VisitKey

_ARROWS = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
_LEADS = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_WEEK = 7


class BoardView(BoardGrid):
    """The board of the open season.

    Keys: arrows go from cell to cell. Enter lifts the visit of the current cell; then left and right move it by a day
    (with Shift a week), up and down give it to the next person, L asks for the list of people, Enter drops it, Escape
    puts it back. F2 or a double click asks for the visit's details.
    """

    visit_changed = Signal(object)
    """The VisitKey that the current cell speaks of, or None."""
    visit_picked = Signal(object)
    """The VisitKey that stands where a person has gone by mouse or keys."""
    opened = Signal(object)
    """A VisitKey whose details are asked for."""
    people_asked = Signal()
    """The list of people is asked for, for the visit in the hand or else the current one."""
    dragged = Signal(object)
    """The place on the screen (QPoint) over which a visit is dragged outside the dates."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(BoardModel(), desk.colours, parent)
        self.board.setParent(self)
        self._desk = desk
        self.feed = BoardFeed(desk, self.board)
        self.carrying = Carrying(desk, self)
        self.card = VerdictCard(self, desk.colours)
        self._pressed: tuple[VisitKey, dt.date, QPointF] | None = None
        self._dragging = False
        self._edges = EdgeScroll(self, self._hang_at)
        self.carrying.put_down.connect(self._edges.stop)
        self.carrying.changed.connect(self._hangs)
        self.carrying.put_down.connect(self.card.hide)
        self.carrying.put_down.connect(self.viewport().update)
        self.carrying.refused.connect(self._refused)
        self.carrying.placed.connect(self.show_visit)
        # What the card says of another cell, or of the plan as it stood, is not meant any more.
        self.visit_changed.connect(lambda: self.card.setVisible(self.card.isVisible() and self.carrying.holds))
        self._frozen.titles.fold_asked.connect(self.feed.toggle)
        desk.look_changed.connect(self._look)
        desk.session.snapshot_changed.connect(self._stepped)
        self.setAccessibleDescription(
            tr("Enter lifts a visit, arrows move it, up and down change its lead, Enter drops it, Escape puts it back.")
        )

    @property
    def current_visit(self) -> VisitKey | None:
        """The visit that the current cell speaks of."""
        return self.board.visit_at(self.currentIndex())

    def show_preview(self, plan_after: Plan | None) -> None:
        """Show how visits would stand in another plan: ghosts where they stand, arrows to where they would go.

        Args:
            plan_after: the plan; None shows the plan that stands alone again.
        """
        self.feed.preview(plan_after)
        line = next((line for line in self.board.lines if line.after is not None), None)
        if line is not None and line.route is not None:
            after = line.after or ()
            differ = [visit for visit in (*line.visits, *after) if visit not in after or visit not in line.visits]
            row, column = self.board.row_of(line.route.code), self.board.column_of(differ[0].date)
            index = self.board.index(row, max(column, 0))
            self.scrollTo(index, self.ScrollHint.PositionAtCenter)

    def gather(self, fold: Fold) -> None:
        """Gather the routes by area or lead, or not at all; the current route stays the current one."""
        line = self.board.lines[self.currentIndex().row()] if self.currentIndex().isValid() else None
        day = self.board.days[self.currentIndex().column()] if line is not None else None
        self.feed.gather(fold)
        if line is not None and line.route is not None and day is not None:
            self.show_route(line.route.code, day)

    def show_visit(self, key: VisitKey) -> None:
        """Make the cell of a visit the current one: its date, or the first that it may have."""
        plan, season = self._desk.session.snapshot.plan, self._desk.session.snapshot.season
        visit = plan.by_key.get(key)
        self.show_route(key.route, visit.date if visit is not None else season.visits[key.number - 1].first)

    def show_route(self, code: str, day: dt.date) -> None:
        """Make a cell the current one; a group that hides its route is opened."""
        if self.board.row_of(code) < 0:
            self.feed.unfold(code)
        row, column = self.board.row_of(code), max(self.board.column_of(day), 0)
        if row >= 0:
            index = self.board.index(row, column)
            seen = self.viewport().rect().contains(self.visualRect(index))
            self.setCurrentIndex(index)
            self.scrollTo(index, self.ScrollHint.EnsureVisible if seen else self.ScrollHint.PositionAtCenter)

    # Keys and mouse.

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Lift, move, drop; fold; all else as in every item view."""
        key = Qt.Key(event.key())
        if self.carrying.holds:
            self._carry(key, event)
        elif key in _ENTER and self.current_visit is not None:
            self._lift(self.current_visit, self.board.days[self.currentIndex().column()])
        elif key in (*_ENTER, *_ARROWS, Qt.Key.Key_Space) and self._current_head() is not None:
            self.feed.toggle(self._current_head() or "")
        elif key is Qt.Key.Key_F2 and self.current_visit is not None:
            self.opened.emit(self.current_visit)
        elif key is Qt.Key.Key_L and self.current_visit is not None:
            self.people_asked.emit()
        elif key is Qt.Key.Key_Escape and self.card.isVisible():
            self.card.hide()
        else:
            before = self.currentIndex()
            super().keyPressEvent(event)
            there = self.board.standing_at(self.currentIndex())
            if self.currentIndex() != before and there is not None:
                self.visit_picked.emit(there)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose a cell, and remember the block that is under the pointer."""
        self.card.hide()
        self._pressed = None
        if self.carrying.holds:
            self.carrying.put_back()
            return
        super().mousePressEvent(event)
        index = self.indexAt(event.position())
        if event.button() is Qt.MouseButton.LeftButton and index.isValid():
            line, day = self.board.lines[index.row()], self.board.days[index.column()]
            if line.on(day):
                self._pressed = line.on(day)[0].visit.key, day, event.position()
                self.visit_picked.emit(self._pressed[0])

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag the block that was pressed."""
        if self._pressed is None:
            super().mouseMoveEvent(event)
            return
        if not self._dragging:
            key, day, start = self._pressed
            if (event.position() - start).manhattanLength() < QApplication.startDragDistance():
                return
            if not self._lift(key, day, by_mouse=True):
                self._pressed = None
                return
            self._dragging = True
            self.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)
        self._edges.follow(event.position().toPoint())
        if self.viewport().rect().contains(event.position().toPoint()):
            self.carrying.give_to("")
            self._hang_at(event.position().toPoint())
        else:
            self.dragged.emit(event.globalPosition().toPoint())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Drop what is dragged; where that is refused it goes back, and the reason stays."""
        if not self._dragging:
            self._pressed = None
            super().mouseReleaseEvent(event)
            return
        self._pressed, self._dragging = None, False
        self.viewport().unsetCursor()
        self.carrying.drop()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Ask for the details of the visit under the pointer."""
        self._pressed = None
        if self.current_visit is not None:
            self.opened.emit(self.current_visit)
        event.accept()

    def currentChanged(
        self, current: QModelIndex | QPersistentModelIndex, previous: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Tell which visit is looked at now."""
        super().currentChanged(current, previous)
        self.visit_changed.emit(self.board.visit_at(current))
        self.viewport().update()

    # Painting.

    def line_shown(self, row: int) -> Line:
        """Return what is painted in a row: where a visit hangs over it, how it would stand."""
        line = self.board.lines[row]
        key, day = self.carrying.key, self.carrying.day
        if key is None or day is None or line.route is None or line.route.code != key.route:
            return line
        verdict = self.carrying.verdict
        others = [visit for visit in line.visits if visit.key != key]
        stood = self.carrying.stood
        hangs = verdict.visit if verdict is not None else replace(stood, date=day) if stood is not None else None
        return replace(line, after=tuple([*others, hangs] if hangs is not None else others))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the board, and a ring round the cell over which a visit hangs."""
        super().paintEvent(event)
        cell = self._carried_cell()
        if self.carrying.holds and cell is not None:
            painter = QPainter(self.viewport())
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            paint_ring(painter, cell, self._strokes)
            painter.end()

    # Inside.

    def _carry(self, key: Qt.Key, event: QKeyEvent) -> None:
        """Move what is in the hand by a key."""
        week = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if key in _ENTER:
            self.carrying.drop()
        elif key is Qt.Key.Key_Escape:
            self.carrying.put_back()
        elif key in _ARROWS and self.carrying.day is not None:
            self._move_by(_ARROWS[key] * (_WEEK if week else 1))
        elif key in _LEADS:
            self.carrying.next_lead(_LEADS[key])
        elif key is Qt.Key.Key_L:
            self.people_asked.emit()

    def _hang_at(self, place: QPoint) -> None:
        self.carrying.hover(self.board.day_at(self.board_geometry.column_at(place.x())))

    def _move_by(self, days: int) -> None:
        assert self.carrying.day is not None
        assert self.carrying.key is not None
        column = self.board.column_of(self.carrying.day) + days
        if 0 <= column < len(self.board.days):
            self.scrollTo(self.board.index(self.board.row_of(self.carrying.key.route), column))
            self.carrying.hover(self.board.days[column])

    def _lift(self, key: VisitKey, day: dt.date, *, by_mouse: bool = False) -> bool:
        if self.feed.sources.after is not None:
            self._refused(
                tr("%1 cannot be moved", key), (tr("Another plan is previewed: accept it or leave it first."),)
            )
            return False
        visit = self._desk.session.snapshot.plan.by_key.get(key)
        return self.carrying.lift(key, visit.date if visit is not None else day, by_mouse=by_mouse)

    def _current_head(self) -> str | None:
        index = self.currentIndex()
        line = self.board.lines[index.row()] if index.isValid() else None
        return line.group if line is not None and line.heads else None

    def _carried_cell(self) -> QRect | None:
        """Return the cell over which a visit hangs, or hung last."""
        spot = self.carrying.spot
        row = self.board.row_of(spot[0].route) if spot is not None else -1
        return self.board_geometry.cell(row, self.board.column_of(spot[1])) if spot is not None and row >= 0 else None

    def _beside(self) -> QRect:
        """Return the cell that the card is to stand beside, in pixels of this widget."""
        cell = self._carried_cell() or self.visualRect(self.currentIndex())
        return cell.translated(self.viewport().mapTo(self, QPoint(0, 0)))

    def _hangs(self) -> None:
        if not self.carrying.holds:
            return
        if self.carrying.verdict is None:
            self.card.show_thinking(self._beside())
        else:
            self.card.show_verdict(self.carrying.verdict, self.board.names, self._beside())
            self._desk.say(self.card.text.splitlines()[0])
        self.viewport().update()

    def _refused(self, what: str, reasons: Sequence[str]) -> None:
        self.card.show_refusal(what, [named(reason, self.board.names) for reason in reasons], self._beside())
        self._desk.say(what)

    def _stepped(self) -> None:
        self.carrying.put_back()
        self.visit_changed.emit(self.current_visit)

    def _look(self) -> None:
        self.show_in(self._desk.colours)
        self.card.show_in(self._desk.colours)
