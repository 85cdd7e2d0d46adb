"""Dates are painted with the mouse, walked with the keys and said in a sentence; each is one step of the file."""

from __future__ import annotations

import datetime as dt

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.people.room import PeopleRoom
from planner.domain.calendar import DateRange
from planner.domain.finding import Rule
from planner.domain.window import PartOfDay
from planner.usecases.people.giving_dates import DateCell
from tests.desktop.people.conftest import Settle

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


def _dusk(month: int, day: int) -> DateCell:
    return dt.date(2027, month, day), PartOfDay.DUSK


def _spot(room: PeopleRoom, cell: DateCell) -> QPoint:
    return room.dates.view.visualRect(room.dates.model.index_of(cell)).center()


def _drag(room: PeopleRoom, start: DateCell, end: DateCell, *, release: bool = True) -> None:
    viewport = room.dates.view.viewport()
    QTest.mousePress(viewport, LEFT, NONE, _spot(room, start))
    QTest.mouseMove(viewport, _spot(room, end))
    if release:
        QTest.mouseRelease(viewport, LEFT, NONE, _spot(room, end))


def _given(desk: Desk, code: str = "V29") -> set[DateCell]:
    season = desk.session.snapshot.season
    person = season.volunteer(code)
    return {(day, part) for day in season.dates for part in person.parts_on(day)}


def _no_evening(desk: Desk) -> set[str]:
    checked = desk.session.checked
    assert checked is not None
    return {finding.subject.volunteer for finding in checked.findings if finding.rule is Rule.VOLUNTEER_NO_EVENING}


def test_that_the_room_says_on_the_spot_that_nothing_given_can_be_used(room: PeopleRoom) -> None:
    assert room.dates.count.text() == "0"
    assert "7 have no window" in room.dates.sums_up.text()
    assert "None of the 7 evenings that V29 has given has a window" in room.findings.findings[0].what


def test_that_the_count_follows_the_stroke_before_the_file_has_it(room: PeopleRoom, desk: Desk) -> None:
    before = _given(desk)
    _drag(room, _dusk(5, 11), _dusk(5, 26), release=False)
    assert room.dates.count.text() == "6"
    assert _given(desk) == before
    QTest.mouseMove(room.dates.view.viewport(), _spot(room, _dusk(5, 18)))
    assert room.dates.count.text() == "2"
    QTest.mouseRelease(room.dates.view.viewport(), LEFT, NONE, _spot(room, _dusk(5, 18)))


def test_that_a_stroke_is_one_step_and_makes_the_finding_go_away(room: PeopleRoom, desk: Desk, settle: Settle) -> None:
    assert _no_evening(desk) == {"V29"}
    before, steps = _given(desk), len(desk.session.snapshot.steps)
    _drag(room, _dusk(5, 11), _dusk(5, 25))
    settle()
    assert _given(desk) == before | {_dusk(5, 11), _dusk(5, 18), _dusk(5, 25)}
    assert [step.label for step in desk.session.snapshot.steps[steps:]] == ["V29 gives 3 evenings"]
    assert _no_evening(desk) == set()
    assert not room.findings.findings
    assert room.dates.count.text() == "3"
    desk.session.undo()
    settle()
    assert _given(desk) == before
    assert _no_evening(desk) == {"V29"}
    assert room.dates.count.text() == "0"


def test_that_a_stroke_that_begins_on_a_given_date_takes_away(room: PeopleRoom, desk: Desk, settle: Settle) -> None:
    _drag(room, _dusk(5, 11), _dusk(5, 13))
    settle()
    _drag(room, _dusk(5, 12), _dusk(5, 14))
    settle()
    assert _dusk(5, 11) in _given(desk)
    assert not _given(desk) & {_dusk(5, 12), _dusk(5, 13), _dusk(5, 14)}
    assert desk.session.snapshot.steps[-1].label == "V29 takes back 2 evenings"


def test_that_escape_lets_go_of_a_stroke(room: PeopleRoom, desk: Desk, settle: Settle) -> None:
    before, steps = _given(desk), len(desk.session.snapshot.steps)
    _drag(room, _dusk(5, 11), _dusk(5, 25), release=False)
    QTest.keyClick(room.dates.view, Qt.Key.Key_Escape)
    assert room.dates.count.text() == "0"
    QTest.mouseRelease(room.dates.view.viewport(), LEFT, NONE, _spot(room, _dusk(5, 25)))
    settle()
    assert _given(desk) == before
    assert len(desk.session.snapshot.steps) == steps


def test_that_the_calendar_is_painted_by_keys_alone(room: PeopleRoom, desk: Desk, settle: Settle) -> None:
    view = room.dates.view
    view.setFocus()
    room.dates.go_to(dt.date(2027, 5, 12))
    QTest.keyClick(view, Qt.Key.Key_Right)
    QTest.keyClick(view, Qt.Key.Key_Right, SHIFT)
    QTest.keyClick(view, Qt.Key.Key_Down, SHIFT)
    QTest.keyClick(view, Qt.Key.Key_Down, SHIFT)
    before = _given(desk)
    QTest.keyClick(view, Qt.Key.Key_Space)
    settle()
    painted = {_dusk(5, 13), _dusk(5, 14), _dusk(5, 20), _dusk(5, 21)}
    assert _given(desk) == before | painted
    room.dates.go_to(dt.date(2027, 5, 14))
    QTest.keyClick(view, Qt.Key.Key_Space)
    settle()
    assert _given(desk) == before | painted - {_dusk(5, 14)}


def test_that_plain_arrows_let_go_of_the_mark(room: PeopleRoom, desk: Desk, settle: Settle) -> None:
    view = room.dates.view
    view.setFocus()
    room.dates.go_to(dt.date(2027, 5, 12))
    QTest.keyClick(view, Qt.Key.Key_Right, SHIFT)
    QTest.keyClick(view, Qt.Key.Key_Right)
    before = _given(desk)
    QTest.keyClick(view, Qt.Key.Key_Space)
    settle()
    assert _given(desk) == before | {_dusk(5, 14)}


def test_that_another_person_has_no_part_in_a_mark(room: PeopleRoom, desk: Desk, settle: Settle) -> None:
    room.dates.view.setFocus()
    room.dates.go_to(dt.date(2027, 5, 12))
    QTest.keyClick(room.dates.view, Qt.Key.Key_Right, SHIFT)
    room.table.choose("V01")
    settle()
    assert not any(
        cell.marked
        for row in range(room.dates.model.rowCount())
        for column in range(7)
        if (cell := room.dates.model.index(row, column).data(Qt.ItemDataRole.UserRole)) is not None
    )
    assert desk.session.snapshot.season.volunteer("V01").code == room.table.code


def _weekdays(room: PeopleRoom, *wanted: int) -> None:
    for number, button in enumerate(room.dates.rule.weekdays):
        if button.isChecked() != (number in wanted):
            QTest.mouseClick(button, LEFT)


def test_that_every_tuesday_evening_is_said_in_a_sentence(room: PeopleRoom, desk: Desk, settle: Settle) -> None:
    before = _given(desk)
    _weekdays(room, 1)
    tuesdays = {(day, PartOfDay.DUSK) for day in desk.session.snapshot.season.dates if day.weekday() == 1}
    assert room.dates.rule.says.text() == f"changes {len(tuesdays - before)} evenings"
    QTest.mouseClick(room.dates.rule.button, LEFT)
    settle()
    assert _given(desk) == before | tuesdays
    assert not room.dates.rule.button.isEnabled()
    assert room.dates.rule.button.toolTip() == "All of it is given already."


def test_that_a_week_away_is_taken_back_in_a_sentence(room: PeopleRoom, desk: Desk, settle: Settle) -> None:
    room.table.choose("V24")
    settle()
    rule, away = room.dates.rule, DateRange(dt.date(2027, 5, 10), dt.date(2027, 5, 16))
    rule.verb.setCurrentIndex(1)
    rule.parts.setCurrentIndex(rule.parts.count() - 1)
    rule.first.setDate(away.first)  # type: ignore[arg-type]  # PySide takes Python's dates too
    rule.last.setDate(away.last)  # type: ignore[arg-type]  # PySide takes Python's dates too
    QTest.mouseClick(rule.button, LEFT)
    settle()
    person = desk.session.snapshot.season.volunteer("V24")
    season = desk.session.snapshot.season.dates
    assert all(bool(person.parts_on(day)) == (day not in away) for day in season)
    assert len(person.availability) == 2


@pytest.mark.parametrize(
    ("gap", "words"), [("weekdays", "Choose at least one weekday."), ("dates", "The last date comes before the first.")]
)
def test_that_a_sentence_with_a_gap_says_which(room: PeopleRoom, gap: str, words: str) -> None:
    rule = room.dates.rule
    if gap == "weekdays":
        _weekdays(room)
    else:
        rule.last.setDate(dt.date(2027, 5, 4))  # type: ignore[arg-type]  # PySide takes Python's dates too
        rule.first.setDate(dt.date(2027, 5, 6))  # type: ignore[arg-type]  # PySide takes Python's dates too
    assert rule.says.text() == rule.button.toolTip() == words
    assert not rule.button.isEnabled()


def test_that_what_is_planned_stands_on_the_calendar(room: PeopleRoom, desk: Desk, qtbot: QtBot) -> None:
    plan = desk.session.snapshot.plan
    visit = next(visit for visit in plan if visit.lead == "V34")
    room.table.choose("V34")
    qtbot.waitUntil(lambda: room.table.code == "V34")
    index = room.dates.model.index_of((visit.date, PartOfDay.DUSK))
    assert f"leads {visit.key.route} visit {visit.key.number}" in index.data(Qt.ItemDataRole.AccessibleTextRole)
