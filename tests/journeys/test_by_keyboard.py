"""Everything by keyboard alone: the demo is opened, planned, a visit moved, a route and a person found, papers made."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QPushButton

from planner.desktop.board.view import BoardView
from planner.desktop.room import RoomName
from planner.domain.finding import Subject
from planner.domain.plan import VisitKey
from planner.store import SeasonFile
from tests.journeys.person import CTRL, Person

KEY = VisitKey("R04", 2)


def tabs_to(person: Person, name: str, most: int = 80) -> None:
    """Press Tab until the keyboard is in something of that name."""
    way = []
    for _ in range(most):
        widget = QApplication.focusWidget()
        text = getattr(widget, "text", None)
        words = [widget.accessibleName() if widget else "", str(text()) if callable(text) else ""]
        if any(read.replace("&", "").startswith(name) for read in words if read):
            return
        way.append(f"{type(widget).__name__} {words}")
        person.presses(Qt.Key.Key_Tab)
    raise AssertionError(f"Tab does not reach {name!r} on its way: {way}")


def test_that_the_whole_work_is_done_without_a_mouse(
    person: Person, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    tabs_to(person, "Open the demo")
    person.presses(Qt.Key.Key_Space)
    person.rests()
    session = person.pane.desk.session
    path = session.snapshot.path
    assert path.is_relative_to(tmp_path)

    person.goes_to(RoomName.BOARD)
    person.presses(Qt.Key.Key_K, CTRL)
    person.types("plan all")
    person.presses(Qt.Key.Key_Return)
    person.waits(lambda: len(session.snapshot.plan) > 40, seconds=60)
    person.rests()
    person.takes_picture("keys_1_planned")

    person.presses(Qt.Key.Key_K, CTRL)
    person.types("linnet")
    person.presses(Qt.Key.Key_Return)
    person.rests()
    assert person.pane.shown is RoomName.ROUTES
    person.takes_picture("keys_2_found")

    person.pane.desk.go(RoomName.BOARD, Subject(route=KEY.route, visit=KEY.number))
    person.rests()
    before = session.snapshot.plan.by_key[KEY]
    assert before.reserve is not None
    board = person.sees(BoardView, "Board")
    assert QApplication.focusWidget() is board
    person.presses(Qt.Key.Key_Return)
    person.presses(Qt.Key.Key_Right, times=(before.reserve - before.date).days)
    person.waits(lambda: board.carrying.verdict is not None and board.carrying.verdict.visit.date == before.reserve)
    person.takes_picture("keys_3_hanging")
    person.presses(Qt.Key.Key_Return)
    person.waits(lambda: session.snapshot.plan.by_key[KEY].date == before.reserve)
    person.rests()

    person.goes_to(RoomName.PAPER)
    _makes_two_papers(person, tmp_path / "papers")
    person.window.close()
    with SeasonFile.open(path) as file:
        assert file.plan().by_key[KEY].date == before.reserve
        assert isinstance(file.season().dates.first, dt.date)


def _makes_two_papers(person: Person, papers: Path) -> None:
    """Tick everybody and nobody, then two people, all by keys, and write their papers into a new folder."""
    session = person.pane.desk.session
    going = {code for visit in session.snapshot.plan for code in visit.people}
    tabs_to(person, "Tick all")
    person.presses(Qt.Key.Key_Space)
    person.sees(QPushButton, f"Make {len(going)} PDF files")
    tabs_to(person, "None")
    person.presses(Qt.Key.Key_Space)
    tabs_to(person, "Volunteers and their paper")
    person.presses(Qt.Key.Key_Space)
    person.presses(Qt.Key.Key_Down)
    person.presses(Qt.Key.Key_Space)
    papers.mkdir()
    person.names_files([papers])
    tabs_to(person, "Make 2 PDF files")
    person.presses(Qt.Key.Key_Space)
    person.waits(lambda: len(session.snapshot.print_runs) > 0, seconds=90)
    person.rests()
    person.takes_picture("keys_4_papers")
    printed = {run.volunteer for run in session.snapshot.print_runs}
    assert printed < going
    assert {path.name.split()[0] for path in papers.glob("*.pdf")} == printed
    assert len(printed) == 2
