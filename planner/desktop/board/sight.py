"""How much of the board is seen: gathering, zoom, and the place that it opens at; remembered for the next time."""

from __future__ import annotations

from planner.desktop.board.lines import Fold
from planner.desktop.board.strokes import Strokes, width_of
from planner.desktop.board.view import BoardView
from planner.desktop.desk import Desk

_STEP = 1.25
_USUAL_WIDTH = 30
_ROUND_A_CODE = 9
"""Pixels of a date beside the code that stands in it."""


class BoardSight:
    """Changes what is seen of a board, never the plan."""

    def __init__(self, desk: Desk, view: BoardView) -> None:
        self._desk = desk
        self._view = view

    def restore(self) -> Fold:
        """Take up zoom and gathering as they were left, and return the latter."""
        settings = self._desk.settings
        self._view.zoom_to(settings.value("board/width", 0) or self._usual_width())
        kept = settings.value("board/fold", Fold.NOTHING.value)
        fold = Fold(kept) if kept in set(Fold) else Fold.NOTHING
        self._view.gather(fold)
        return fold

    def gather(self, fold: Fold) -> None:
        """Gather the routes."""
        self._view.gather(fold)
        self._desk.settings.keep("board/fold", fold.value)

    def narrower(self) -> None:
        """Show more dates."""
        self._zoom(round(self._view.board_geometry.column_width / _STEP))

    def wider(self) -> None:
        """Show fewer dates."""
        self._zoom(round(self._view.board_geometry.column_width * _STEP))

    def whole(self) -> None:
        """Show the whole season, as far as its dates can be told apart."""
        self._zoom(self._view.viewport().width() // max(len(self._view.board.days), 1))

    def go_to_today(self) -> None:
        """Go to today's date on the route that is looked at."""
        lines = self._view.board.lines
        row = max(self._view.currentIndex().row(), 0)
        line = lines[row] if row < len(lines) else None
        if line is not None and line.route is not None:
            self._view.show_route(line.route.code, self._desk.today())

    def open_at_what_is_next(self) -> None:
        """Go to the next visit to be made; to the last one where all are past."""
        by_date = sorted(self._desk.session.snapshot.plan, key=lambda visit: (visit.date, visit.key))
        to_come = [visit for visit in by_date if visit.date >= self._desk.today()]
        if by_date:
            self._view.show_visit((to_come or by_date[-1:])[0].key)

    def _usual_width(self) -> int:
        """Return the width of a date in which the codes of the volunteers can be read."""
        font = Strokes.of(self._desk.colours, self._view.font(), 1.0).small
        codes = [one.code for one in self._desk.session.snapshot.season.volunteers]
        return max(_USUAL_WIDTH, round(max((width_of(font, code) for code in codes), default=0.0)) + _ROUND_A_CODE)

    def _zoom(self, width: int) -> None:
        self._view.zoom_to(width)
        self._desk.settings.keep("board/width", self._view.board_geometry.column_width)
