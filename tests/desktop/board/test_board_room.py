"""The whole room: details and their buttons, people, what is unfilled, and the commands."""

from __future__ import annotations

import contextlib
import datetime as dt
from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QComboBox, QLabel, QPushButton
from pytestqt.qtbot import QtBot

from planner.desktop.board.people_list import PeopleList
from planner.desktop.board.people_model import PeopleRole
from planner.desktop.board.room import BoardRoom
from planner.desktop.desk import Desk
from planner.desktop.room import RoomName
from planner.domain.finding import Subject
from planner.domain.plan import Plan, PlannedVisit, Status, VisitKey
from planner.store import SeasonFile
from planner.usecases.plan.proposing import Role, candidates
from planner.usecases.plan.relaxing import Offer
from tests.desktop.board.few_routes import known_early, paper_hashes, season_path
from tests.desktop.walking import clipped, disabled_without_reason, nameless, without_keys

__all__ = ["known_early", "paper_hashes", "season_path"]

Rest = Callable[[Desk], None]
KEY = VisitKey("R09", 1)


def _shown(room: BoardRoom, key: VisitKey, rest: Rest) -> None:
    room.show_subject(Subject(route=key.route, visit=key.number))
    rest(room.desk)


def _stands(room: BoardRoom, key: VisitKey = KEY) -> PlannedVisit:
    return room.desk.session.snapshot.plan.by_key[key]


def _press(room: BoardRoom, name: str, rest: Rest) -> None:
    button = room.visit_pane.findChild(QPushButton, name)
    assert isinstance(button, QPushButton)
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    rest(room.desk)


def _said(widget: object) -> str:
    labels = widget.findChildren(QLabel)  # type: ignore[attr-defined]  # any widget
    return "\n".join(label.text() for label in labels if not label.isHidden())


def test_that_the_board_opens_at_the_next_visit_to_be_made(room: BoardRoom) -> None:
    current = room.view.current_visit
    assert current is not None
    plan = room.desk.session.snapshot.plan
    assert plan.by_key[current].date == min(visit.date for visit in plan)
    assert room.view.viewport().rect().contains(room.view.visualRect(room.view.currentIndex()))


def test_that_the_details_say_who_when_and_how_much_is_to_spare(room: BoardRoom, rest: Rest) -> None:
    _shown(room, KEY, rest)
    said = _said(room.visit_pane)
    assert "R09 Grebeholm Sands, visit 1" in said
    assert "Mon 10 May 2027" in said
    assert "V28 Percival Gannock" in said
    assert "4 min to spare before the window closes" in said  # point 4 is walked to: 298 m there and back
    boxes = room.visit_pane.findChildren(QComboBox)
    assert [box.currentText() for box in boxes] == ["Mon 17 May", "Mon 10 May"]


def test_that_pin_confirm_and_take_out_are_one_step_each_and_the_buttons_follow(room: BoardRoom, rest: Rest) -> None:
    _shown(room, KEY, rest)
    steps = len(room.desk.session.snapshot.steps)
    _press(room, "pin", rest)
    assert _stands(room).pinned
    out = room.visit_pane.findChild(QPushButton, "out")
    assert isinstance(out, QPushButton)
    assert not out.isEnabled()
    assert "is pinned. Unpin it first." in out.toolTip()
    _press(room, "pin", rest)
    _press(room, "confirm", rest)
    assert _stands(room).status is Status.CONFIRMED
    _press(room, "confirm", rest)
    _press(room, "out", rest)
    assert KEY not in room.desk.session.snapshot.plan.by_key
    assert [step.label for step in room.desk.session.snapshot.steps[steps:]] == [
        "Pin R09 visit 1",
        "Unpin R09 visit 1",
        "Confirm R09 visit 1",
        "Take back the confirmation of R09 visit 1",
        "Take R09 visit 1 out of the plan",
    ]
    assert "Unfilled." in _said(room.visit_pane)


def test_that_single_keys_pin_confirm_and_take_out_while_the_board_has_the_focus(room: BoardRoom, rest: Rest) -> None:
    _shown(room, KEY, rest)
    QTest.keyClick(room.view, Qt.Key.Key_P)
    rest(room.desk)
    assert _stands(room).pinned
    QTest.keyClick(room.view, Qt.Key.Key_P)
    rest(room.desk)
    QTest.keyClick(room.view, Qt.Key.Key_Delete)
    rest(room.desk)
    assert KEY not in room.desk.session.snapshot.plan.by_key


def test_that_another_reserve_date_is_held_or_refused_and_the_box_shows_what_stands(
    room: BoardRoom, rest: Rest, qtbot: QtBot
) -> None:
    _shown(room, KEY, rest)
    box = room.visit_pane._reserve

    def choose(words: str) -> None:
        box.setCurrentIndex(box.findText(words))
        box.activated.emit(box.currentIndex())
        rest(room.desk)

    choose("none")
    assert _stands(room).reserve is None
    choose("Mon 17 May")
    assert _stands(room).reserve == dt.date(2027, 5, 17)
    with qtbot.waitSignal(room.desk.session.failed) as told:
        choose("Thu 13 May")
    assert "has not given the evening of Thu 13 May" in str(told.args[0])
    assert _stands(room).reserve == dt.date(2027, 5, 17)
    assert box.currentText() == "Mon 17 May"


def _other_lead(room: BoardRoom) -> tuple[VisitKey, str]:
    """A visit that somebody else could lead as well, and that person."""
    problem, plan = room.desk.session.problem, room.desk.session.snapshot.plan
    assert problem is not None
    return next(
        (visit.key, one.code)
        for visit in plan
        for one in candidates(problem, plan, visit, Role.LEAD)
        if one.verdict.allowed and one.code != visit.lead
    )


def _row_of(people: PeopleList, code: str) -> int:
    return next(row for row, one in enumerate(people.people.candidates) if one.code == code)


def test_that_choosing_a_person_gives_them_the_visit(room: BoardRoom, rest: Rest) -> None:
    key, other = _other_lead(room)
    _shown(room, key, rest)
    people = room.visit_pane.people
    lead, row = _stands(room, key).lead, _row_of(people, other)
    people.setCurrentIndex(people.people.index(row, 0))
    code = str(people.people.data(people.people.index(row, 0), PeopleRole.CODE))
    QTest.keyClick(people, Qt.Key.Key_Return)
    rest(room.desk)
    assert _stands(room, key).lead == code != lead
    assert room.desk.session.snapshot.steps[-1].label.startswith(f"Give {key} to {other}")


def test_that_a_second_is_given_and_taken_away(room: BoardRoom, rest: Rest) -> None:
    key = VisitKey("R05", 1)
    _shown(room, key, rest)
    before = _stands(room, key)
    assert before.second
    alone = room.visit_pane._alone
    assert alone.isHidden()
    QTest.mouseClick(room.visit_pane._as_second, Qt.MouseButton.LeftButton)
    rest(room.desk)
    assert before.lead not in {one.code for one in room.visit_pane.people.people.candidates}
    QTest.mouseClick(alone, Qt.MouseButton.LeftButton)
    rest(room.desk)
    assert _stands(room, key) == replace(before, second="")
    assert alone.isHidden()
    people = room.visit_pane.people
    people.setCurrentIndex(people.people.index(_row_of(people, before.second), 0))
    QTest.keyClick(people, Qt.Key.Key_Return)
    rest(room.desk)
    assert _stands(room, key) == before


def test_that_nothing_is_offered_where_no_visit_is_chosen(room: BoardRoom, rest: Rest) -> None:
    _shown(room, VisitKey("R05", 1), rest)
    QTest.mouseClick(room.visit_pane._as_second, Qt.MouseButton.LeftButton)
    rest(room.desk)
    room.visit_pane.show_visit(None)
    assert [one.text() for one in room.visit_pane.findChildren(QAbstractButton) if not one.isHidden()] == []


def test_that_l_lists_the_people_for_the_visit_in_the_hand_and_one_of_them_takes_it(
    room: BoardRoom, rest: Rest, qtbot: QtBot
) -> None:
    _shown(room, KEY, rest)
    QTest.keyClick(room.view, Qt.Key.Key_Return)
    QTest.keyClick(room.view, Qt.Key.Key_Right)
    qtbot.waitUntil(lambda: room.view.carrying.verdict is not None)
    QTest.keyClick(room.view, Qt.Key.Key_L)
    people = room.visit_pane.people
    rest(room.desk)
    assert people.hasFocus()
    assert {one.verdict.visit.date for one in people.people.candidates} == {dt.date(2027, 5, 11)}
    people.setCurrentIndex(people.people.index(1, 0))
    code = people.people.candidates[1].code
    QTest.keyClick(people, Qt.Key.Key_Return)
    assert room.view.carrying.lead == code
    assert room.view.hasFocus()
    QTest.keyClick(room.view, Qt.Key.Key_Escape)
    rest(room.desk)
    assert _stands(room).lead == "V28"


def test_that_a_visit_dropped_onto_a_person_is_theirs(room: BoardRoom, rest: Rest, qtbot: QtBot) -> None:
    key, code = _other_lead(room)
    _shown(room, key, rest)
    people, view = room.visit_pane.people, room.view
    row = _row_of(people, code)
    people.scrollTo(people.people.index(row, 0))
    date = _stands(room, key).date
    cell = view.visualRect(view.board.index(view.board.row_of(key.route), view.board.column_of(date)))
    there = view.viewport().mapFromGlobal(
        people.viewport().mapToGlobal(people.visualRect(people.people.index(row, 0)).center())
    )
    QTest.mousePress(view.viewport(), Qt.MouseButton.LeftButton, pos=cell.center())
    for place in (cell.center() + QPoint(15, 0), there):
        _move(view.viewport(), place)
    assert view.carrying.lead == code
    qtbot.waitUntil(lambda: view.carrying.verdict is not None)
    QTest.mouseRelease(view.viewport(), Qt.MouseButton.LeftButton, pos=there)
    qtbot.waitUntil(lambda: _stands(room, key).lead == code, timeout=10_000)
    assert _stands(room, key).date == date
    rest(room.desk)


def _move(port: object, place: QPoint) -> None:
    event = QMouseEvent(
        QEvent.Type.MouseMove,
        QPointF(place),
        QPointF(port.mapToGlobal(place)),  # type: ignore[attr-defined]  # a viewport
        Qt.MouseButton.NoButton,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    QApplication.sendEvent(port, event)  # type: ignore[arg-type]  # as above


def test_that_an_unfilled_visit_says_why_and_pressing_an_offer_fills_it_in_one_step(
    room: BoardRoom, rest: Rest, qtbot: QtBot
) -> None:
    key = VisitKey("R22", 2)
    _shown(room, key, rest)
    assert room.tabs.currentWidget() is room.lacking_pane
    assert room.tabs.tabText(1) == "Unfilled (3)"
    qtbot.waitUntil(lambda: "free at dusk" in _said(room.lacking_pane.offers), timeout=20_000)
    name = "Do this: V04 gives 1 evening more: Fri 4 Jun."
    buttons = {one.accessibleName(): one for one in room.lacking_pane.offers.findChildren(QPushButton)}
    assert "Find somebody, enter them in People" in _said(room.lacking_pane.offers)
    QTest.mouseClick(buttons[name], Qt.MouseButton.LeftButton)
    rest(room.desk)
    snapshot = room.desk.session.snapshot
    assert snapshot.steps[-1].label == "R22 visit 2 is filled: V04 gives 1 evening more: Fri 4 Jun"
    assert _stands(room, key).date == dt.date(2027, 6, 4)
    lacking = room.lacking_pane.lacking
    assert [str(lacking.data(lacking.index(row, 0))) for row in range(lacking.rowCount())] == [
        "R17 visit 1, unfilled",
        "R17 visit 2, unfilled",
        "R22 visit 2, no reserve date",
    ]
    room.desk.session.undo()
    rest(room.desk)
    assert key not in room.desk.session.snapshot.plan.by_key


def test_that_what_was_found_for_an_older_plan_does_not_replace_what_is_known_of_the_newer(
    room: BoardRoom, rest: Rest
) -> None:
    snapshot = room.desk.session.snapshot
    newer, older = Offer(snapshot.season, snapshot.plan, ()), Offer(snapshot.season, Plan(), ())
    room.lacking_pane.keep(newer)
    room.lacking_pane._found(older)
    assert room.lacking_pane._offer is newer
    room.lacking_pane.keep(older)
    room.lacking_pane._found(newer)
    assert room.lacking_pane._offer is newer
    rest(room.desk)


def test_that_offers_found_for_another_plan_cannot_be_pressed(room: BoardRoom, rest: Rest, qtbot: QtBot) -> None:
    _shown(room, VisitKey("R22", 2), rest)
    qtbot.waitUntil(lambda: bool(room.lacking_pane.offers.findChildren(QPushButton)), timeout=20_000)
    room.tabs.setCurrentWidget(room.visit_pane)
    room.steps.toggle_pin(KEY)
    rest(room.desk)
    buttons = [one for one in room.lacking_pane.offers.findChildren(QPushButton) if not one.isHidden()]
    assert buttons
    assert not any(one.isEnabled() for one in buttons)
    assert all("look again first" in one.toolTip() for one in buttons)


def test_that_the_buttons_lead_to_the_outing_and_to_cancelling(room: BoardRoom, rest: Rest, qtbot: QtBot) -> None:
    _shown(room, KEY, rest)
    for name, there in (("outing", RoomName.OUTING), ("cancel", RoomName.TODAY)):
        with qtbot.waitSignal(room.desk.went) as told:
            _press(room, name, rest)
        assert told.args == [there, Subject(route="R09", visit=1, date=dt.date(2027, 5, 10))]


@pytest.mark.parametrize(
    ("subject", "shown"),
    [
        (Subject(route="R05", visit=2), VisitKey("R05", 2)),
        (Subject(route="R05", date=dt.date(2027, 5, 10)), VisitKey("R05", 1)),
        (Subject(volunteer="V28"), VisitKey("R09", 1)),
        (Subject(date=dt.date(2027, 6, 20)), VisitKey("R01", 2)),
    ],
)
def test_that_a_subject_is_shown(subject: Subject, shown: VisitKey, room: BoardRoom, rest: Rest) -> None:
    room.show_subject(subject)
    rest(room.desk)
    assert room.view.current_visit == shown


def test_that_a_visit_that_is_clicked_is_shown_though_the_unfilled_ones_were(room: BoardRoom, rest: Rest) -> None:
    _shown(room, KEY, rest)
    view, day = room.view, _stands(room).date

    def click(date: dt.date) -> None:
        room.tabs.setCurrentWidget(room.lacking_pane)
        index = view.board.index(view.board.row_of("R09"), view.board.column_of(date))
        QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=view.visualRect(index).center())

    click(day + dt.timedelta(days=1))
    assert room.tabs.currentWidget() is room.lacking_pane
    QTest.keyClick(view, Qt.Key.Key_Left)
    assert room.tabs.currentWidget() is room.visit_pane
    click(day)
    assert room.tabs.currentWidget() is room.visit_pane
    room.tabs.setCurrentWidget(room.lacking_pane)
    room.lacking_pane.choose(VisitKey("R17", 2))
    assert room.view.current_visit == VisitKey("R17", 2)
    assert room.tabs.currentWidget() is room.lacking_pane
    rest(room.desk)


def _without_a_reserve(room: BoardRoom, key: VisitKey, rest: Rest) -> None:
    room.steps.hold(key, None)
    rest(room.desk)


def test_that_planning_all_says_beforehand_how_many_hold_paper_that_is_true(room: BoardRoom, rest: Rest) -> None:
    tip = room.actions_here.plan_all.toolTip
    assert "6 people hold printed papers that this may make untrue" in tip()
    assert "'Plan what is missing' leaves the filled visits alone" in tip()
    people = len(_stands(room).people)
    _without_a_reserve(room, KEY, rest)
    assert f"{6 - people} people hold printed papers" in tip()


def test_that_the_tab_counts_unfilled_visits_and_the_list_says_what_else_it_holds(room: BoardRoom, rest: Rest) -> None:
    _without_a_reserve(room, KEY, rest)
    room.tabs.setCurrentWidget(room.lacking_pane)
    assert room.tabs.tabText(1) == "Unfilled (3)"
    assert "3 unfilled, 1 without a reserve date" in _said(room.lacking_pane)
    rest(room.desk)


def test_that_next_unfilled_goes_round(room: BoardRoom, rest: Rest) -> None:
    seen = []
    for _ in range(4):
        room.actions_here.next_lacking.trigger()
        seen.append(str(room.view.current_visit))
    rest(room.desk)
    assert seen == ["R17 visit 1", "R17 visit 2", "R22 visit 2", "R17 visit 1"]


def test_that_commands_say_why_they_are_disabled(room: BoardRoom, rest: Rest) -> None:
    room.view.setCurrentIndex(room.view.board.index(-1, -1))
    room.view.clearSelection()
    room._allow()
    reasons = {action.text(): action.toolTip() for action in room.commands() if not action.isEnabled()}
    assert reasons["Pin the visit"] == "Choose a visit on the board first."
    assert reasons["Stop planning"] == "No planning run is going on."
    assert reasons["Plan the chosen routes"] == "Choose routes on the board first."
    rest(room.desk)


def test_that_gathering_and_zoom_are_remembered(room: BoardRoom, early_desk: Desk, qtbot: QtBot, rest: Rest) -> None:
    room.bar.fold.setCurrentIndex(1)
    room.bar.fold.activated.emit(1)
    room.actions_here.wider.trigger()
    width = room.view.board_geometry.column_width
    again = BoardRoom(early_desk)
    qtbot.addWidget(again)
    rest(early_desk)
    assert again.view.board_geometry.column_width == width > 30
    assert again.bar.fold.currentText() == "By area"
    assert again.view.board.lines[0].heads


def test_that_a_season_that_may_not_be_written_offers_nothing_that_changes_it(
    room: BoardRoom, knowing: Callable[[], Desk], season_path: object, rest: Rest, qtbot: QtBot
) -> None:
    reader = knowing()
    reader.now = room.desk.now
    with qtbot.waitSignal(reader.session.checked_changed, timeout=20_000):
        reader.session.open(lambda: SeasonFile.open(str(season_path)), lambda: None)
    second = BoardRoom(reader)
    qtbot.addWidget(second)
    second.show_subject(Subject(route="R09", visit=1))
    rest(reader)
    reason = reader.session.snapshot.read_only_reason
    assert reason
    for action in (second.actions_here.plan_all, second.actions_here.pin, second.actions_here.take_out):
        assert not action.isEnabled()
        assert reason in action.toolTip()
    QTest.keyClick(second.view, Qt.Key.Key_Return)
    assert not second.view.carrying.holds


def test_that_everything_has_a_name_a_key_and_room_for_its_words(room: BoardRoom, rest: Rest, qtbot: QtBot) -> None:
    for key in (KEY, VisitKey("R22", 2)):
        _shown(room, key, rest)
        with contextlib.suppress(qtbot.TimeoutError):  # words that came last are laid out in the next turns of the loop
            qtbot.waitUntil(lambda: not clipped(room))
        assert nameless(room) == []
        assert without_keys(room) == []
        assert disabled_without_reason(room) == []
        assert clipped(room) == []
