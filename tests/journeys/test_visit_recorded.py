"""An evening is recorded by keyboard; a count outside its light is seen, ways on are found, one is accepted, undone."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QLabel, QTableView
from pytestqt.qtbot import QtBot

from planner.desktop.room import RoomName
from planner.desktop.sheets.visits.count_model import CountColumn, CountModel
from planner.domain.field.visit_record import RecordState
from planner.domain.plan import VisitKey
from tests.desktop.windows import open_season
from tests.journeys.person import CTRL, Person

SHIFT = Qt.KeyboardModifier.ShiftModifier
VISIT = VisitKey("R01", 1)
ARRIVED = ("2055", "2104", "2112", "2121", "2129", "2138", "2146", "2155", "2203", "2310")
"""As planned to the minute or so, but for the last: half an hour after the light has gone."""


def types(person: Person, text: str) -> None:
    """Type letter by letter, each into what has the keyboard by then."""
    for letter in text:
        person.types(letter)


def turns_to_visits(person: Person) -> QTableView:
    """Turn to the page of visits as a person finds it by its name."""
    person.presses(Qt.Key.Key_K, CTRL)
    types(person, "sheets: visits")
    person.presses(Qt.Key.Key_Return)
    grid = person.sees(QTableView, "Counts of the visit")
    person.waits(grid.hasFocus)
    person.rests()
    return grid


def judged(grid: QTableView, row: int) -> str:
    model = grid.model()
    assert isinstance(model, CountModel)
    return str(model.index(row, list(model.columns).index(CountColumn.JUDGED)).data())


def test_that_an_evening_is_recorded_judged_and_repaired_by_keyboard_alone(
    person: Person, qtbot: QtBot, season_path: Path
) -> None:
    open_season(qtbot, person.window, season_path)
    person.waits(lambda: person.pane.is_furnished)
    person.rests()
    person.goes_to(RoomName.TODAY)
    person.goes_to(RoomName.SHEETS)
    person.rests()
    session = person.pane.desk.session
    planned = session.snapshot.plan.by_key[VISIT]

    grid = turns_to_visits(person)
    person.takes_picture("visit_1_blank")

    for time in ARRIVED:
        types(person, time)
        person.presses(Qt.Key.Key_Tab)
        person.presses(Qt.Key.Key_Tab)
        person.presses(Qt.Key.Key_Tab)
    person.waits(lambda: any(len(one.counts) == len(ARRIVED) for one in session.snapshot.records))
    person.rests()
    person.takes_picture("visit_2_typed")
    assert "43 min after its light window closes" in judged(grid, len(ARRIVED) - 1)
    assert [judged(grid, row) for row in range(3)] == ["counts"] * 3
    person.sees(QLabel, "Once handed in: 9 of 10 points count. The whole visit is to be made again.")

    person.presses(Qt.Key.Key_Return, CTRL)
    person.waits(lambda: session.snapshot.records[0].state is RecordState.FINAL)
    person.rests()
    ways = person.sees(QAbstractButton, "Find ways on")
    person.takes_picture("visit_3_handed_in")
    ways.setFocus()
    person.presses(Qt.Key.Key_Space)
    accept = person.sees(QAbstractButton, "Accept way 1")
    person.rests()
    person.takes_picture("visit_4_ways_on")
    accept.setFocus()
    person.presses(Qt.Key.Key_Space)
    person.waits(lambda: session.snapshot.plan.by_key[VISIT].date > planned.date)
    person.rests()
    moved = session.snapshot.plan.by_key[VISIT]

    person.goes_to(RoomName.SHEETS)
    person.rests()
    person.takes_picture("visit_5_moved_on")
    assert not ways.isEnabled()
    person.presses(Qt.Key.Key_Z, CTRL)
    person.waits(lambda: session.snapshot.plan.by_key[VISIT] == planned)
    person.rests()
    person.waits(ways.isEnabled)
    person.presses(Qt.Key.Key_Z, CTRL)
    person.waits(lambda: session.snapshot.records[0].state is RecordState.DRAFT)
    person.presses(Qt.Key.Key_Z, CTRL | SHIFT, times=2)
    person.waits(lambda: session.snapshot.plan.by_key[VISIT] == moved)
