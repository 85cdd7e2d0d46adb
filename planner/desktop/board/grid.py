"""The board as a view: its own painting over the item model, frozen edges, cells that keys and mouse can reach."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from PySide6.QtCore import (
    QEvent,
    QItemSelection,
    QItemSelectionModel,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    QPointF,
    QRect,
    Qt,
)
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent, QRegion, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QAbstractItemView, QWidget

from planner.desktop.board.edges import Edges
from planner.desktop.board.geometry import BoardGeometry, lanes_for
from planner.desktop.board.lines import Line
from planner.desktop.board.model import BoardModel
from planner.desktop.board.painting import BoardPainter
from planner.desktop.board.said import tr
from planner.desktop.board.strokes import Strokes
from planner.desktop.look.colours import Colours

Index = QModelIndex | QPersistentModelIndex
_Hint = QAbstractItemView.ScrollHint
_Move = QAbstractItemView.CursorAction

NARROWEST, WIDEST = 9, 72
"""Pixels of a date at the smallest and the largest zoom."""


class BoardGrid(QAbstractItemView):
    """Rows of routes, columns of dates."""

    def __init__(self, model: BoardModel, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.board = model
        self._strokes = Strokes.of(colours, self.font(), self.devicePixelRatioF())
        self._geometry = BoardGeometry(0, 0, 32, _lane_height(self.fontMetrics()))
        self._frozen = Edges(self, model)
        self.setModel(model)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("Board: routes by dates"))
        self._held: tuple[str, dt.date] | None = None
        """The route and date of the current cell, while the lines are laid out anew."""
        model.modelAboutToBeReset.connect(self._hold_place)
        model.modelReset.connect(self._take_place)
        model.dataChanged.connect(self._repaint)
        model.headerDataChanged.connect(self._measure)
        self._measure()

    # What it shows.

    @property
    def board_geometry(self) -> BoardGeometry:
        """Where everything lies now."""
        return replace(self._geometry, left=self.horizontalScrollBar().value(), top=self.verticalScrollBar().value())

    def show_in(self, colours: Colours) -> None:
        """Change to another palette."""
        self._strokes = Strokes.of(colours, self.font(), self.devicePixelRatioF())
        self._measure()

    def zoom_to(self, column_width: int, around: int | None = None) -> None:
        """Make each date that many pixels wide; the date at a place of the viewport stays where it is."""
        width = min(max(column_width, NARROWEST), WIDEST)
        x = self.viewport().width() // 2 if around is None else around
        held = (x + self.horizontalOffset()) / self._geometry.column_width
        self._geometry = replace(self._geometry, column_width=width)
        self._measure()
        self.horizontalScrollBar().setValue(round(held * width - x))

    def selected_lines(self) -> tuple[Line, ...]:
        """Return the routes that are chosen."""
        rows = sorted({index.row() for index in self.selectionModel().selectedRows()})
        return tuple(self.board.lines[row] for row in rows if not self.board.lines[row].heads)

    # What Qt asks of an item view.

    def visualRect(self, index: Index) -> QRect:
        """Return where a cell lies in the viewport."""
        return self.board_geometry.cell(index.row(), index.column()) if index.isValid() else QRect()

    def scrollTo(self, index: Index, hint: _Hint = _Hint.EnsureVisible) -> None:
        """Scroll until a cell is seen."""
        cell, port = self.visualRect(index), self.viewport().rect()
        across, down = self.horizontalScrollBar(), self.verticalScrollBar()
        if hint is _Hint.PositionAtCenter:
            across.setValue(across.value() + cell.center().x() - port.center().x())
            down.setValue(down.value() + cell.center().y() - port.center().y())
            return
        across.setValue(across.value() + _outside(cell.left(), cell.right(), port.right()))
        down.setValue(down.value() + _outside(cell.top(), cell.bottom(), port.bottom()))

    def indexAt(self, point: QPoint | QPointF) -> QModelIndex:
        """Return the cell at a place of the viewport."""
        x, y = point.x(), point.y()
        at = self.board_geometry
        return self.board.index(at.row_at(y), at.column_at(x))

    def moveCursor(self, action: _Move, _modifiers: Qt.KeyboardModifier) -> QModelIndex:
        """Return the cell that a key leads to."""
        current = self.currentIndex()
        if not current.isValid():
            return self.board.index(0, max(self.board.column_of(self.board.today), 0))
        page = max(self.viewport().height() // self._geometry.row_height - 1, 1)
        last_row, last_column = self._geometry.rows - 1, self._geometry.columns - 1
        down, across = {
            _Move.MoveUp: (-1, 0),
            _Move.MoveDown: (1, 0),
            _Move.MoveLeft: (0, -1),
            _Move.MoveRight: (0, 1),
            _Move.MovePrevious: (0, -1),
            _Move.MoveNext: (0, 1),
            _Move.MovePageUp: (-page, 0),
            _Move.MovePageDown: (page, 0),
            _Move.MoveHome: (0, -last_column),
            _Move.MoveEnd: (0, last_column),
        }[action]
        row = min(max(current.row() + down, 0), last_row)
        return self.board.index(row, min(max(current.column() + across, 0), last_column))

    def horizontalOffset(self) -> int:
        """Return the pixels scrolled away at the left."""
        return self.horizontalScrollBar().value()

    def verticalOffset(self) -> int:
        """Return the pixels scrolled away above."""
        return self.verticalScrollBar().value()

    def isIndexHidden(self, _index: Index) -> bool:
        """Return false: what is folded away is not in the model."""
        return False

    def setSelection(self, rect: QRect, command: QItemSelectionModel.SelectionFlag) -> None:
        """Choose the rows that a rectangle of the viewport touches."""
        at, box = self.board_geometry, rect.normalized()
        rows = at.rows_in(box.top(), box.bottom())
        if not rows or not self._geometry.columns:
            return
        corner = self.board.index(rows[-1], self._geometry.columns - 1)
        self.selectionModel().select(QItemSelection(self.board.index(rows[0], 0), corner), command)

    def visualRegionForSelection(self, _selection: QItemSelection) -> QRegion:
        """Return the whole viewport: painting it takes no longer than finding out what changed."""
        self._frozen.show_selection()
        return QRegion(self.viewport().rect())

    def updateGeometries(self) -> None:
        """Lay out the frozen edges, and tell the scroll bars how much there is."""
        super().updateGeometries()
        port = self.viewport().size()
        for bar, whole, page, step in (
            (self.horizontalScrollBar(), self._geometry.width, port.width(), self._geometry.column_width),
            (self.verticalScrollBar(), self._geometry.height, port.height(), self._geometry.row_height),
        ):
            bar.setRange(0, max(whole - page, 0))
            bar.setPageStep(page)
            bar.setSingleStep(step)
        self._repaint()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the frozen edges at the edges."""
        super().resizeEvent(event)
        self._frozen.place(self.viewport().geometry(), self.frameWidth())

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        """Paint anew: all that is seen costs a few milliseconds; an edge only where it moves along."""
        self._frozen.scroll(self.board_geometry, across=dx != 0, down=dy != 0)
        self.viewport().update()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Scroll, or zoom with Ctrl about the date under the pointer."""
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            steps = event.angleDelta().y() / 120
            self.zoom_to(round(self._geometry.column_width * 1.15**steps + (steps > 0)), round(event.position().x()))
            event.accept()
            return
        super().wheelEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the lines that are seen, and the ring round the current cell."""
        painter, clip, at = QPainter(self.viewport()), event.rect(), self.board_geometry
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        board = BoardPainter(self._strokes, at, self.board.days)
        board.paint_ground(painter, clip, self.board.today)
        for row in at.rows_in(clip.top(), clip.bottom()):
            board.paint_line(painter, row, self.line_shown(row), clip)
        if not self.board.lines:
            painter.setPen(self._strokes.quiet)
            words = tr("There are no routes yet. Bring files in from the Routes room, or draw a route there.")
            painter.drawText(
                self.viewport().rect().adjusted(30, 30, -30, -30),
                int(Qt.AlignmentFlag.AlignCenter) | int(Qt.TextFlag.TextWordWrap),
                words,
            )
        current = self.currentIndex()
        if current.isValid() and self.hasFocus():
            paint_ring(painter, self.visualRect(current), self._strokes)
        painter.end()

    def line_shown(self, row: int) -> Line:
        """Return what is painted in a row."""
        return self.board.lines[row]

    def changeEvent(self, event: QEvent) -> None:
        """Measure again when the font has changed."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange:
            self.show_in(self._strokes.colours)

    # Inside.

    def _hold_place(self) -> None:
        index = self.currentIndex()
        route = self.board.lines[index.row()].route if index.isValid() else None
        self._held = (route.code, self.board.day_at(index.column())) if route is not None else None

    def _take_place(self) -> None:
        """Measure, and make the cell the current one again that was, if it is still shown."""
        self._measure()
        row = self.board.row_of(self._held[0]) if self._held is not None else -1
        if self._held is not None and row >= 0:
            self.setCurrentIndex(self.board.index(row, max(self.board.column_of(self._held[1]), 0)))
        self._frozen.show_selection()

    def _measure(self) -> None:
        """Take the measures anew: another season, font, palette or zoom."""
        # The season's own ranges too: the header names them where no route is shown.
        ranges = [self.board.visit_ranges, *(line.ranges for line in self.board.lines if not line.heads)]
        self._geometry = BoardGeometry(
            rows=len(self.board.lines),
            columns=len(self.board.days),
            column_width=self._geometry.column_width,
            lane_height=_lane_height(self.fontMetrics()),
            lanes=lanes_for(ranges, len(self.board.visit_ranges)),
        )
        left, top = self._frozen.dress(self._strokes, self._geometry)
        self.setViewportMargins(left, top, 0, 0)
        self._frozen.place(self.viewport().geometry(), self.frameWidth())
        self.updateGeometries()

    def _repaint(self) -> None:
        self._frozen.scroll(self.board_geometry, across=True, down=True)
        self.viewport().update()


def _outside(low: int, high: int, end: int) -> int:
    """Return by how much a span must be moved to lie inside a viewport that ends there."""
    return low if low < 0 else max(high - end, 0)


def paint_ring(painter: QPainter, cell: QRect, strokes: Strokes) -> None:
    """Paint a ring round a cell: it has the focus, or a visit hangs over it."""
    painter.setPen(strokes.focus)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRoundedRect(cell.adjusted(0, 1, 0, -1), 3, 3)


def _lane_height(metrics: QFontMetrics) -> int:
    return max(round(metrics.height() * 1.35), 20)
