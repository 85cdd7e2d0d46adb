"""The frozen edges of the board together: dates above, routes at the left, and the corner where they meet."""

from __future__ import annotations

from PySide6.QtCore import QItemSelection, QItemSelectionModel, QRect, Qt
from PySide6.QtWidgets import QAbstractItemView, QLabel

from planner.desktop.board.geometry import BoardGeometry
from planner.desktop.board.headers import DatesHeader, LinesHeader
from planner.desktop.board.model import BoardModel
from planner.desktop.board.said import tr
from planner.desktop.board.strokes import Strokes


class Edges:
    """Keeps the three in step with the board."""

    def __init__(self, board: QAbstractItemView, model: BoardModel) -> None:
        self._board = board
        self._model = model
        self._dates = DatesHeader(model, board)
        self.titles = LinesHeader(model, board)
        self.titles.row_clicked.connect(self._choose_row)
        self._corner = QLabel(tr("Route and leads"), board)
        self._corner.setAlignment(Qt.AlignmentFlag.AlignBottom | Qt.AlignmentFlag.AlignLeft)
        self._corner.setMargin(6)
        self._corner.setAutoFillBackground(True)

    def dress(self, strokes: Strokes, geometry: BoardGeometry) -> tuple[int, int]:
        """Take up a palette and measures, and return the width at the left and the height above that are needed."""
        self.titles.strokes = self._dates.strokes = strokes
        palette = self._corner.palette()
        palette.setColor(palette.ColorRole.Window, strokes.group)
        palette.setColor(palette.ColorRole.WindowText, strokes.quiet.color())
        self._corner.setPalette(palette)
        self._corner.setFont(strokes.small)
        return self.titles.sizeHint().width(), self._dates.wanted_height(strokes, geometry)

    def place(self, port: QRect, inset: int) -> None:
        """Lie round the viewport; ``inset`` is the width of the board's frame."""
        self._dates.setGeometry(port.left(), inset, port.width(), port.top() - inset)
        self.titles.setGeometry(inset, port.top(), port.left() - inset, port.height())
        self._corner.setGeometry(inset, inset, port.left() - inset, port.top() - inset)

    def scroll(self, geometry: BoardGeometry, *, across: bool, down: bool) -> None:
        """Show what lies beside the viewport now; an edge is painted only where it moves along."""
        self._dates.geometry_of_board = self.titles.geometry_of_board = geometry
        if across:
            self._dates.update()
        if down:
            self.titles.update()

    def show_selection(self) -> None:
        """Mark the titles of the rows that are chosen."""
        self.titles.selected_rows = frozenset(index.row() for index in self._board.selectionModel().selectedRows())
        self.titles.update()

    def _choose_row(self, row: int, held: Qt.KeyboardModifier) -> None:
        """Choose a route by its title: alone, one more with Ctrl, or all up to it with Shift."""
        current, chosen, flags = self._board.currentIndex(), self._board.selectionModel(), _Flags
        index = self._model.index(row, max(current.column(), 0))
        if held & Qt.KeyboardModifier.ControlModifier:
            chosen.setCurrentIndex(index, flags.Toggle | flags.Rows)
        elif held & Qt.KeyboardModifier.ShiftModifier and current.isValid():
            first, last = sorted((current.row(), row))
            span = QItemSelection(self._model.index(first, 0), self._model.index(last, 0))
            chosen.select(span, flags.ClearAndSelect | flags.Rows)
        else:
            chosen.setCurrentIndex(index, flags.ClearAndSelect | flags.Rows)


_Flags = QItemSelectionModel.SelectionFlag
