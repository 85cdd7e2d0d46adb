"""The People room: who is chosen, the form, somebody new, somebody who leaves, what can be reached, files dropped."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.importing import ImportPreview
from planner.desktop.look.colours import Colours
from planner.desktop.people.new_person import NewPersonDialog
from planner.desktop.people.removal import RemovalStrip
from planner.desktop.people.room import PeopleRoom
from planner.desktop.people.table_filter import Only
from planner.desktop.people.table_model import Column
from planner.desktop.room import RoomName
from planner.domain.finding import Subject
from planner.domain.plan import Plan, Status
from planner.store import SeasonFile
from planner.usecases.people.editing import add_person, remove_person
from planner.usecases.people.person_entry import PersonEntry, PersonField
from planner.usecases.people.reach import routes_in_reach
from tests.desktop.people.conftest import Settle

LEFT = Qt.MouseButton.LeftButton


def _type(edit: QLineEdit, text: str) -> None:
    edit.setFocus()
    edit.selectAll()
    QTest.keyClicks(edit, text)
    QTest.keyClick(edit, Qt.Key.Key_Return)


def _details(room: PeopleRoom, code: str, settle: Settle) -> dict[PersonField, QLineEdit]:
    room.table.choose(code)
    room.tabs.setCurrentWidget(room.person)
    settle()
    return room.person.fields.edits


def test_that_everybody_stands_in_the_table_with_their_visits(room: PeopleRoom, desk: Desk) -> None:
    season, plan = desk.session.snapshot.season, desk.session.snapshot.plan
    shown = [(row.person.code, row.load.planned) for row in room.table.model.rows]
    assert shown == [(person.code, len(plan.of_volunteer(person.code))) for person in season.volunteers]
    assert room.table.code == "V29"
    assert room.who.text() == "Ottoline Starkey"
    assert "34 volunteers" in room.table.stands.text()


def test_that_narrowing_down_shows_those_meant_and_choosing_lifts_it(room: PeopleRoom) -> None:
    room.table.only.setCurrentIndex(room.table.only.findData(Only.NO_EVENING))
    assert room.table.shown.rowCount() == 1
    room.show_subject(Subject(volunteer="V03"))
    assert room.table.code == "V03"
    assert room.table.shown.rowCount() == 34


def test_that_a_change_of_a_field_is_one_step_and_is_undone(room: PeopleRoom, desk: Desk, settle: Settle) -> None:
    edits = _details(room, "V03", settle)
    _type(edits[PersonField.TELEPHONE], "07700 900999")
    settle()
    assert desk.session.snapshot.season.volunteer("V03").telephone == "07700 900999"
    assert desk.session.snapshot.steps[-1].label == "V03: telephone"
    desk.session.undo()
    settle()
    assert edits[PersonField.TELEPHONE].text() == "07700 900441"


def test_that_a_fault_is_said_under_its_field_until_it_is_mended(room: PeopleRoom, desk: Desk, settle: Settle) -> None:
    edits, fields = _details(room, "V03", settle), room.person.fields
    before = desk.session.snapshot.season
    _type(edits[PersonField.HOME], "north of the church")
    settle()
    assert "Expected a latitude and a longitude" in fields.fault(PersonField.HOME)
    assert edits[PersonField.HOME].text() == "north of the church"
    assert desk.session.snapshot.season is before
    _type(edits[PersonField.HOME], "54 42 30 N, 2 2 24 E")
    settle()
    assert fields.fault(PersonField.HOME) == ""
    assert round(desk.session.snapshot.season.volunteer("V03").home.longitude, 5) == 2.04
    assert edits[PersonField.HOME].text() == "54.70833, 2.04000"


def test_that_a_shorter_drive_limit_is_judged_anew_in_table_and_reach(
    room: PeopleRoom, desk: Desk, settle: Settle, qtbot: QtBot
) -> None:
    room.tabs.setCurrentWidget(room.reach)
    room.table.choose("V03")
    settle()
    qtbot.waitUntil(lambda: "within 40 minutes" in room.reach.says.text())
    edits = _details(room, "V03", settle)
    _type(edits[PersonField.DRIVE_LIMIT], "10")
    settle()
    room.tabs.setCurrentWidget(room.reach)
    qtbot.waitUntil(lambda: "within 10 minutes" in room.reach.says.text())
    problem = desk.session.problem
    assert problem is not None
    expected = routes_in_reach(problem, desk.session.snapshot.plan, "V03")
    within = sum(route.within for route in expected)
    assert 0 < within < len(expected)
    assert room.reach.says.text() == f"{within} of 24 routes lie within 10 minutes of Odette's home."
    shown = [room.reach.model.index(row, 0).data() for row in range(room.reach.model.rowCount())]
    assert shown == [route.title for route in expected]


def test_that_a_new_code_keeps_the_person_chosen(room: PeopleRoom, desk: Desk, settle: Settle) -> None:
    edits = _details(room, "V03", settle)
    _type(edits[PersonField.CODE], "W99")
    settle()
    assert desk.session.snapshot.season.volunteer("W99").name == "Odette Marlpit"
    assert room.table.code == "W99"
    assert room.who.text() == "Odette Marlpit"


def _new_dialog(room: PeopleRoom, qtbot: QtBot) -> NewPersonDialog:
    room.new_action.trigger()
    qtbot.waitUntil(lambda: bool(room.findChildren(NewPersonDialog)))
    return room.findChildren(NewPersonDialog)[0]


def test_that_somebody_new_is_asked_for_until_all_is_right_and_then_chosen(
    room: PeopleRoom, desk: Desk, settle: Settle, qtbot: QtBot
) -> None:
    dialog = _new_dialog(room, qtbot)
    edits = dialog.fields.edits
    assert edits[PersonField.CODE].text() == "V35"
    edits[PersonField.NAME].setText("Ivy Example")
    QTest.mouseClick(dialog.add, LEFT)
    settle()
    assert dialog.isVisible()
    assert dialog.fields.fault(PersonField.HOME)
    assert not dialog.fields.fault(PersonField.NAME)
    edits[PersonField.HOME].setText("54.71, 2.20")
    with qtbot.waitSignal(dialog.added):
        QTest.mouseClick(dialog.add, LEFT)
    settle()
    assert desk.session.snapshot.season.volunteer("V35").name == "Ivy Example"
    qtbot.waitUntil(lambda: room.table.code == "V35")
    assert room.tabs.currentWidget() is room.dates
    qtbot.waitUntil(lambda: room.dates.count.text() == "0")
    assert room.dates.sums_up.text() == "No evening is given: paint some on the calendar."


def test_that_removing_is_said_beforehand_and_can_be_left(room: PeopleRoom, desk: Desk, settle: Settle) -> None:
    room.table.choose("V30")
    settle()
    before = desk.session.snapshot
    keys = [visit.key for visit in before.plan if visit.lead == "V30"]
    room.remove_action.trigger()
    assert room.removal.isVisible()
    assert all(str(key) in room.removal.says.text() for key in keys)
    assert "The lead of R14 would be open again." in room.removal.says.text()
    QTest.mouseClick(room.removal.keep, LEFT)
    settle()
    assert not room.removal.isVisible()
    assert desk.session.snapshot is before


def test_that_removing_empties_their_visits_in_one_step_that_is_undone_in_one(
    room: PeopleRoom, desk: Desk, settle: Settle
) -> None:
    room.table.choose("V30")
    settle()
    before, steps = desk.session.snapshot, len(desk.session.snapshot.steps)
    room.remove_action.trigger()
    QTest.mouseClick(room.removal.remove, LEFT)
    settle()
    after = desk.session.snapshot
    assert "V30" not in {person.code for person in after.season.volunteers}
    assert not after.plan.of_volunteer("V30")
    assert [step.label for step in after.steps[steps:]] == ["Remove volunteer V30"]
    assert room.table.code == "V31"
    desk.session.undo()
    settle()
    assert (desk.session.snapshot.season, desk.session.snapshot.plan) == (before.season, before.plan)
    assert room.table.model.row_of("V30") == 29


def test_that_whoever_is_chosen_stays_chosen_when_others_leave(room: PeopleRoom, desk: Desk, settle: Settle) -> None:
    room.table.choose("V05")
    desk.session.do(lambda file: remove_person(file, "V01"))
    settle()
    assert room.table.code == "V05"
    assert room.who.text() == "Imogen Sparrowhill"


def test_that_a_removal_asked_for_is_dropped_when_somebody_else_is_chosen(room: PeopleRoom, settle: Settle) -> None:
    room.remove_action.trigger()
    room.table.choose("V01")
    settle()
    assert not room.removal.isVisible()


def test_that_a_route_in_reach_is_opened_in_its_room(room: PeopleRoom, desk: Desk, settle: Settle) -> None:
    room.tabs.setCurrentWidget(room.reach)
    settle()
    went: list[tuple[RoomName, Subject]] = []
    desk.went.connect(lambda name, subject: went.append((name, subject)))
    room.reach.list.selectRow(0)
    room.reach.list.setFocus()
    QTest.keyClick(room.reach.list, Qt.Key.Key_Return)
    title = str(room.reach.model.index(0, 0).data())
    assert went == [(RoomName.ROUTES, Subject(route=title.split(maxsplit=1)[0]))]


def test_that_a_planned_visit_is_opened_in_the_outing_room(room: PeopleRoom, desk: Desk, settle: Settle) -> None:
    _details(room, "V34", settle)
    went: list[tuple[RoomName, Subject]] = []
    desk.went.connect(lambda name, subject: went.append((name, subject)))
    room.person.list.selectRow(0)
    room.person.list.setFocus()
    QTest.keyClick(room.person.list, Qt.Key.Key_Return)
    first = desk.session.snapshot.plan.of_volunteer("V34")[0]
    subject = Subject(route=first.key.route, visit=first.key.number, volunteer="V34", date=first.date)
    assert went == [(RoomName.OUTING, subject)]


def test_that_a_subject_with_a_date_is_shown_on_the_calendar(room: PeopleRoom, desk: Desk) -> None:
    day = desk.session.snapshot.plan.of_volunteer("V01")[0].date
    room.tabs.setCurrentWidget(room.reach)
    room.show_subject(Subject(volunteer="V01", date=day))
    assert room.table.code == "V01"
    assert room.tabs.currentWidget() is room.dates
    cell = room.dates.model.cell(room.dates.view.currentIndex())
    assert cell is not None
    assert cell[0] == day


def test_that_files_dropped_are_previewed_before_anything_changes(
    room: PeopleRoom, desk: Desk, settle: Settle, qtbot: QtBot, tmp_path: Path
) -> None:
    table = tmp_path / "more.csv"
    table.write_text("code,name,latitude,longitude\nV40,Ivy Example,54.71,2.20\n", encoding="utf-8")
    files = QMimeData()
    files.setUrls([QUrl.fromLocalFile(str(table))])
    before = desk.session.snapshot
    enter = QDragEnterEvent(QPoint(20, 20), Qt.DropAction.CopyAction, files, LEFT, Qt.KeyboardModifier.NoModifier)
    drop = QDropEvent(QPointF(20, 20), Qt.DropAction.CopyAction, files, LEFT, Qt.KeyboardModifier.NoModifier)
    QApplication.sendEvent(room, enter)
    QApplication.sendEvent(room, drop)
    assert enter.isAccepted()
    assert drop.isAccepted()
    preview = room.findChildren(ImportPreview)[0]
    qtbot.waitUntil(lambda: preview.understood is not None, timeout=10_000)
    settle()
    assert desk.session.snapshot is before
    preview.close()


def test_that_a_file_that_may_only_be_read_locks_everything_and_says_why(
    knowing: Callable[[], Desk], season_path: Path, qtbot: QtBot
) -> None:
    with SeasonFile.open(season_path):
        desk = knowing()
        with qtbot.waitSignal(desk.session.checked_changed, timeout=20_000):
            desk.session.open(lambda: SeasonFile.open(season_path), lambda: None)
        room = PeopleRoom(desk)
        qtbot.addWidget(room)
        room.show()
        qtbot.waitUntil(lambda: bool(room.table.code) and not desk.session.working)
        reason = desk.session.snapshot.read_only_reason
        assert reason
        for action in (room.new_action, room.remove_action, room.import_action):
            assert not action.isEnabled()
            assert action.toolTip() == reason
        assert room.person.fields.edits[PersonField.NAME].isReadOnly()
        assert room.dates.rule.button.toolTip() == reason
        steps = len(desk.session.snapshot.steps)
        view = room.dates.view
        QTest.mouseClick(view.viewport(), LEFT, pos=view.visualRect(view.model().index(5, 3)).center())
        QTest.keyClick(view, Qt.Key.Key_Space)
        qtbot.waitUntil(lambda: not desk.session.working)
        assert len(desk.session.snapshot.steps) == steps
        desk.session.close()


def test_that_the_room_is_narrow_enough_for_a_small_screen(room: PeopleRoom) -> None:
    assert room.minimumSizeHint().width() <= 1000
    assert room.minimumSizeHint().height() <= 660


def test_that_both_palettes_are_taken_up_at_once(room: PeopleRoom, desk: Desk, colours: Colours) -> None:
    desk.show_in(colours)
    picture = room.dates.view.viewport().grab().toImage()
    index = room.dates.model.index(1, 5)
    spot = room.dates.view.visualRect(index).center()
    assert picture.pixelColor(spot).name() == colours.ground


def test_that_commands_are_named_and_lead_to_the_parts_of_the_room(room: PeopleRoom) -> None:
    commands = {action.text(): action for action in room.commands()}
    assert all(commands)
    commands["Volunteer: Reach"].trigger()
    assert room.tabs.currentWidget() is room.reach


def test_that_sorting_by_a_header_keeps_who_is_chosen(room: PeopleRoom) -> None:
    room.table.view.sortByColumn(Column.USABLE, Qt.SortOrder.AscendingOrder)
    assert room.table.shown.index(0, Column.CODE).data() == "V29"
    assert room.table.code == "V29"


def test_that_a_removal_that_cannot_be_says_why(room: PeopleRoom, desk: Desk, settle: Settle) -> None:
    visit = desk.session.snapshot.plan.of_volunteer("V01")[0]
    desk.session.do(lambda file: _done(file, visit.lead))
    settle()
    room.table.choose(visit.lead)
    settle()
    room.remove_action.trigger()
    strip = room.removal
    assert isinstance(strip, RemovalStrip)
    assert not strip.remove.isEnabled()
    assert strip.remove.toolTip() == strip.says.text()
    assert "cannot be removed" in strip.says.text()


def _done(file: SeasonFile, lead: str) -> None:
    plan = file.plan()
    with file.step("Done"):
        file.save_plan(plan.with_status(plan.of_volunteer(lead)[0].key, Status.DONE))


def test_that_a_season_without_people_is_no_trouble_and_the_first_one_is_shown(
    room: PeopleRoom, desk: Desk, settle: Settle, qtbot: QtBot
) -> None:
    desk.session.do(_emptied)
    settle()
    assert room.table.model.rowCount() == 0
    assert room.who.text() == "Nobody is chosen"
    assert room.table.stands.text() == "Nobody yet. Add a volunteer, or drop a table of volunteers here."
    assert not room.remove_action.isEnabled()
    assert room.dates.rule.button.toolTip() == "Choose a volunteer first."
    for page in (room.dates, room.person, room.reach):
        room.tabs.setCurrentWidget(page)
    assert room.reach.says.text() == ""
    assert room.reach.model.rowCount() == 0
    entry = PersonEntry("V01", "Ivy Example", home="54.71, 2.20")
    desk.session.do(lambda file: add_person(file, entry))
    settle()
    qtbot.waitUntil(lambda: room.table.code == "V01")
    assert room.who.text() == "Ivy Example"
    desk.session.undo()
    desk.session.undo()
    settle()
    assert room.table.model.rowCount() == 34


def _emptied(file: SeasonFile) -> None:
    with file.step("Empty"):
        file.save_plan(Plan())
        file.save_season(replace(file.season(), volunteers=(), routes=()))
