"""A visit is dragged to another date with the mouse, seen judged while it hangs, dropped, and pinned."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from PySide6.QtCore import QPoint, Qt

from planner.desktop.board.view import BoardView
from planner.desktop.room import RoomName
from planner.domain.finding import Subject
from planner.domain.plan import VisitKey
from planner.store import SeasonFile
from tests.journeys.person import CTRL, Person

KEY = VisitKey("R04", 2)
NOW = dt.datetime(2027, 5, 20, 12, tzinfo=dt.UTC)


def middle(board: BoardView, code: str, day: dt.date) -> QPoint:
    """Return the middle of a route's cell on a date."""
    return board.visualRect(board.board.index(board.board.row_of(code), board.board.column_of(day))).center()


def test_that_a_dragged_visit_is_judged_while_it_hangs_dropped_in_one_step_and_pinned(
    person: Person, season_path: Path
) -> None:
    person.window.open_season(season_path)
    person.rests()
    person.pane.desk.go(RoomName.BOARD, Subject(route=KEY.route, visit=KEY.number))
    person.rests()
    session = person.pane.desk.session
    before, steps = session.snapshot.plan.by_key[KEY], len(session.snapshot.steps)
    board = person.sees(BoardView, "Board")
    assert before.reserve is not None
    day = before.reserve
    person.drags(
        board.viewport(),
        middle(board, KEY.route, before.date),
        middle(board, KEY.route, day),
        rest=lambda: board.carrying.verdict is not None and board.carrying.verdict.visit.date == day,
        hanging=lambda: person.takes_picture("drag_1_hanging"),
    )
    person.waits(lambda: session.snapshot.plan.by_key[KEY].date == day)
    person.rests()
    assert len(session.snapshot.steps) == steps + 1
    person.clicks("Pin")
    person.waits(lambda: session.snapshot.plan.by_key[KEY].pinned)
    person.rests()
    person.takes_picture("drag_2_pinned")
    with SeasonFile.open(season_path) as file:
        assert file.plan().by_key[KEY].pinned
        assert file.plan().by_key[KEY].date == day
    person.presses(Qt.Key.Key_Z, CTRL)
    person.presses(Qt.Key.Key_Z, CTRL)
    person.rests()
    assert session.snapshot.plan.by_key[KEY] == before
