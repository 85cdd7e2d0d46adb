"""In the Routes room everything is one step, said before it is done, and the planted troubles go by a click."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QLineEdit
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.importing import ImportPreview
from planner.desktop.room import RoomName
from planner.desktop.routes.finding_card import FixRow
from planner.desktop.routes.point_model import Column
from planner.desktop.routes.room import RoutesRoom
from planner.desktop.routes.route_model import ROW_ROLE
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.geo import Place
from planner.domain.route import Route
from planner.store import SeasonFile
from planner.usecases.route_fixes import FixKind
from tests.desktop.routes.conftest import Settle


def route(room: RoutesRoom, code: str) -> Route:
    return room.desk.session.snapshot.season.route(code)


def findings(room: RoutesRoom, code: str, rule: Rule) -> list[Finding]:
    checked = room.desk.session.checked
    assert checked is not None
    return [one for one in checked.findings if one.subject.route == code and one.rule is rule]


def rows(room: RoutesRoom, rule: Rule) -> tuple[FixRow, ...]:
    (card,) = [card for card in room.panel.cards if card.finding.rule is rule]
    return card.rows


PLANTED = [
    ("R05", Rule.ROUTE_CIRCLES, FixKind.SPACE_OUT),
    ("R17", Rule.ROUTE_TOO_LONG, FixKind.DROP),
    ("R09", Rule.ROUTE_OFF_ROAD, FixKind.TO_ROAD),
]


@pytest.mark.parametrize(("code", "rule", "kind"), PLANTED)
def test_that_a_planted_trouble_goes_by_one_click_and_comes_back_by_undo(
    room: RoutesRoom, settle: Settle, code: str, rule: Rule, kind: FixKind
) -> None:
    room.show_subject(findings(room, code, rule)[0].subject)
    settle()
    before, steps = room.desk.session.snapshot.season, len(room.desk.session.snapshot.steps)
    first = rows(room, rule)[0]
    assert first.fix.kind is kind
    QTest.mouseClick(first.button, Qt.MouseButton.LeftButton)
    settle()
    assert findings(room, code, rule) == []
    assert [card.finding.rule for card in room.panel.cards if card.finding.rule is rule] == []
    assert len(room.desk.session.snapshot.steps) == steps + 1
    room.desk.session.undo()
    settle()
    assert room.desk.session.snapshot.season == before
    assert findings(room, code, rule)


def test_that_a_mended_route_stays_chosen_and_listed_until_another_is_chosen(
    room: RoutesRoom, qtbot: QtBot, settle: Settle
) -> None:
    room.list.only.setChecked(True)
    room.choose("R05")
    settle()
    listed = room.list.filter.rowCount()
    assert [one.rule for one in room.chosen.findings] == [Rule.ROUTE_CIRCLES]
    QTest.mouseClick(rows(room, Rule.ROUTE_CIRCLES)[0].button, Qt.MouseButton.LeftButton)
    settle()
    assert room.chosen.findings == ()
    assert room.chosen.code == "R05"
    assert room.list.view.currentIndex().data(ROW_ROLE).route.code == "R05"
    assert room.list.filter.rowCount() == listed
    QTest.keyClick(room.list.view, Qt.Key.Key_Down)
    other = room.chosen.code
    assert other != "R05"
    qtbot.waitUntil(lambda: room.list.filter.rowCount() == listed - 1, timeout=5_000)
    assert room.chosen.code == room.list.view.currentIndex().data(ROW_ROLE).route.code == other


def test_that_a_fix_says_what_it_would_change_before_it_is_done(room: RoutesRoom, settle: Settle) -> None:
    room.choose("R17")
    settle()
    row = rows(room, Rule.ROUTE_TOO_LONG)[0]
    assert row.button.accessibleName() == "Drop points 1 and 2"
    assert row.button.accessibleDescription().startswith("Margin −16 → 10 min, drive 43 → 31 min")
    room.choose("R05")
    settle()
    said = [one.button.accessibleDescription() for one in rows(room, Rule.ROUTE_CIRCLES)]
    assert "nearest neighbours 620 → 802 m, moved by 175 m at most" in said[0].lower()


def test_that_a_finding_that_is_mended_elsewhere_leads_there(room: RoutesRoom, qtbot: QtBot, settle: Settle) -> None:
    room.choose("R22")
    settle()
    (card,) = [one for one in room.panel.cards if one.finding.rule is Rule.VISIT_NOBODY]
    button = next(one for one in card.findChildren(QAbstractButton) if one.text() == "Show on the board")
    with qtbot.waitSignal(room.desk.went) as went:
        QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    assert went.args == [RoomName.BOARD, card.finding.subject]


def test_that_a_finding_is_looked_at_on_the_map_between_its_neighbours(room: RoutesRoom, settle: Settle) -> None:
    room.choose("R05")
    settle()
    (card,) = room.panel.cards
    assert card.where.accessibleName() == f"Show on the map: {card.finding.subject}"
    QTest.mouseClick(card.where, Qt.MouseButton.LeftButton)
    view, number = room.map_pane.map, card.finding.subject.point
    assert number is not None
    assert view.selected == ("R05", number)
    assert room.table.selected == (number,)
    for shown in (number - 1, number, number + 1):
        assert view.rect().contains(spot(room, "R05", shown))
    assert not view.rect().contains(spot(room, "R05", 1))


def test_that_a_finding_on_several_routes_is_said_and_shown_on_each_of_them(room: RoutesRoom, settle: Settle) -> None:
    settle()
    session = room.desk.session
    assert session.checked is not None
    subject = Subject(route="R01", more_routes=("R02", "R03"))
    area = Finding(Rule.AREA_NOBODY, Severity.TROUBLE, subject, "Nobody reaches them.", "Find somebody nearer.")
    session.checked = replace(session.checked, findings=(area, *session.checked.findings))
    session.checked_changed.emit(session.checked)
    for code in subject.routes:
        room.choose(code)
        settle()
        assert [card.finding for card in room.panel.cards] == [area]
        assert room.list.view.currentIndex().data(ROW_ROLE).findings == (area,)
        assert room.map_pane.map.findings[code, None] is Severity.TROUBLE
    QTest.mouseClick(room.panel.cards[0].where, Qt.MouseButton.LeftButton)
    for code in subject.routes:
        for point in route(room, code).points:
            assert room.map_pane.map.rect().contains(spot(room, code, point.number))


def test_that_a_route_in_order_says_so(room: RoutesRoom, settle: Settle) -> None:
    room.choose("R01")
    settle()
    assert room.panel.cards == ()
    assert not room.panel._sound.isHidden()
    assert room.panel._margin.text() == "15 min"


def spot(room: RoutesRoom, code: str, number: int) -> QPoint:
    view = room.map_pane.map
    row = view.sheet.row(code, number)
    assert row is not None
    where = view.camera.spot(float(view.sheet.east[row]), float(view.sheet.south[row]))
    return where.toPoint()


def drag(room: RoutesRoom, qtbot: QtBot, start: QPoint, *way: QPoint) -> None:
    target = room.map_pane.map
    QTest.mousePress(target, Qt.MouseButton.LeftButton, pos=start)
    for step in way:
        QTest.mouseMove(target, step)
    qtbot.waitUntil(lambda: room.map_pane.said.text().startswith("Point "), timeout=5_000)


def test_that_a_dragged_point_says_what_changes_snaps_to_the_road_and_is_one_step(
    room: RoutesRoom, qtbot: QtBot, settle: Settle
) -> None:
    room.choose("R05")
    settle()
    qtbot.waitUntil(lambda: room.map_pane.map.is_settled, timeout=10_000)
    before = route(room, "R05").point(7).place
    steps = len(room.desk.session.snapshot.steps)
    start = spot(room, "R05", 7)
    drag(room, qtbot, start, start + QPoint(12, 4), start + QPoint(25, 8))
    words = room.map_pane.said.text()
    assert "from point 6 (was 620 m)" in words
    assert "from point 8 (was 857 m)" in words
    assert "drive along the route" in words
    assert route(room, "R05").point(7).place == before
    end = start + QPoint(25, 8)
    QTest.mouseRelease(room.map_pane.map, Qt.MouseButton.LeftButton, pos=end)
    qtbot.waitUntil(lambda: route(room, "R05").point(7).place != before, timeout=5_000)
    settle()
    network = room.desk.session.network
    assert network is not None
    assert network.snap([route(room, "R05").point(7).place])[0].distance_m < 1
    labels = [step.label for step in room.desk.session.snapshot.steps[steps:]]
    assert labels == ["Route R05: move point 7"]
    room.desk.session.undo()
    settle()
    assert route(room, "R05").point(7).place == before


def test_that_a_point_is_moved_by_the_keyboard_alone(room: RoutesRoom, qtbot: QtBot, settle: Settle) -> None:
    room.choose("R09")
    settle()
    view = room.map_pane.map
    view.setFocus()
    view.select("R09", 5)
    before = route(room, "R09").point(5).place
    for _ in range(8):
        QTest.keyClick(view, Qt.Key.Key_Right, Qt.KeyboardModifier.AltModifier)
    qtbot.waitUntil(lambda: room.map_pane.said.text().startswith("Point 5"), timeout=5_000)
    QTest.keyClick(view, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: route(room, "R09").point(5).place != before, timeout=5_000)


def test_that_a_drag_given_up_changes_nothing(room: RoutesRoom, settle: Settle) -> None:
    room.choose("R09")
    settle()
    before, view = room.desk.session.snapshot.steps, room.map_pane.map
    view.setFocus()
    view.select("R09", 5)
    QTest.keyClick(view, Qt.Key.Key_Right, Qt.KeyboardModifier.AltModifier)
    QTest.keyClick(view, Qt.Key.Key_Escape)
    settle()
    assert room.desk.session.snapshot.steps == before
    assert room.map_pane.said.text().startswith("Drag a point")


def pick(room: RoutesRoom, number: int) -> None:
    room.table.view.setFocus()
    room.table.view.selectRow(room.table.model.row_of(number))


def test_that_dropping_selected_points_is_said_before_it_is_done(
    room: RoutesRoom, qtbot: QtBot, settle: Settle
) -> None:
    room.choose("R05")
    settle()
    pick(room, 7)
    qtbot.waitUntil(lambda: room.map_pane.said.text().startswith("Drop point 7?"), timeout=5_000)
    assert "margin 10 → 17 min" in room.map_pane.said.text().lower()
    QTest.keyClick(room.table.view, Qt.Key.Key_Delete)
    settle()
    assert [point.number for point in route(room, "R05").points] == [1, 2, 3, 4, 5, 6, 8, 9, 10]
    numbering = next(row for row in room.panel.orders if row.fix.kind is FixKind.RENUMBER)
    QTest.mouseClick(numbering.button, Qt.MouseButton.LeftButton)
    settle()
    assert [point.number for point in route(room, "R05").points] == list(range(1, 10))


def test_that_points_change_places_by_key_and_stay_selected(room: RoutesRoom, settle: Settle) -> None:
    room.choose("R05")
    settle()
    second = route(room, "R05").point(2).place
    pick(room, 2)
    QTest.keyClick(room.table.view, Qt.Key.Key_Down, Qt.KeyboardModifier.AltModifier)
    settle()
    assert route(room, "R05").point(3).place == second
    assert room.table.selected == (3,)
    QTest.keyClick(room.table.view, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    settle()
    assert route(room, "R05").point(2).place == second


def test_that_a_new_route_is_made_named_given_points_and_dropped(room: RoutesRoom, settle: Settle) -> None:
    room.doing.new_route.trigger()
    settle()
    assert room.chosen.code == "R25"
    form = room.panel.form
    assert form.name.hasFocus()
    QTest.keyClicks(form.name, "Withy Bottom")
    QTest.keyClick(form.name, Qt.Key.Key_Return)
    settle()
    assert route(room, "R25").name == "Withy Bottom"
    for count in (1, 2, 3):
        room.table.add.trigger()
        settle()
        assert len(route(room, "R25").points) == count
    room.panel.drop.click()
    settle()
    assert "R25" not in {one.code for one in room.desk.session.snapshot.season.routes}
    assert room.chosen.code == "R01"


def test_that_a_planned_route_says_that_its_visits_go_and_they_go_in_the_same_step(
    room: RoutesRoom, settle: Settle
) -> None:
    room.choose("R01")
    settle()
    planned = len(room.desk.session.snapshot.plan)
    assert room.panel._drop_words.text() == "Its 2 planned visits go with it."
    room.panel.drop.click()
    settle()
    assert len(room.desk.session.snapshot.plan) == planned - 2
    room.desk.session.undo()
    settle()
    assert len(room.desk.session.snapshot.plan) == planned


def test_that_an_area_is_typed_for_one_route_or_for_all_that_a_search_shows(room: RoutesRoom, settle: Settle) -> None:
    room.choose("R03")
    settle()
    form = room.panel.form
    assert form.area.text() == "Wyke Side"
    form.area.setText(" Far  Wyke ")
    form.area.editingFinished.emit()
    settle()
    assert route(room, "R03").area == "Far Wyke"
    assert not room.list.area.isVisible()
    QTest.keyClicks(room.list.search, "north shore")
    shown = room.list.codes_shown
    assert len(shown) == 5
    assert room.list.area.isVisible()
    QTest.keyClick(room.list.area, Qt.Key.Key_Return)
    QTest.keyClicks(room.list.area, "Skerries")
    QTest.keyClick(room.list.area, Qt.Key.Key_Return)
    settle()
    found = room.desk.session.snapshot
    assert {one.code for one in found.season.routes if one.area == "Skerries"} == set(shown)
    assert found.undo_label == "5 routes: area Skerries"
    room.desk.session.undo()
    settle()
    assert not [one for one in room.desk.session.snapshot.season.routes if one.area == "Skerries"]


def test_that_fields_of_the_form_are_steps_once_they_are_left(room: RoutesRoom, settle: Settle) -> None:
    room.choose("R03")
    settle()
    form = room.panel.form
    form.needs.setText("High Clearance; kayak")
    form.needs.editingFinished.emit()
    settle()
    assert route(room, "R03").needs == {"high clearance", "kayak"}
    form.lead.setCurrentIndex(form.lead.findData("V05"))
    form.lead.activated.emit(form.lead.currentIndex())
    settle()
    assert route(room, "R03").lead == "V05"
    form.dates[0].own.click()
    form.dates[0].first.setDate(form.dates[0].first.date().addDays(3))
    form.dates[0].changed.emit()
    settle()
    assert [number for number, _ in route(room, "R03").visit_dates] == [1]
    form.dates[0].own.click()
    settle()
    assert route(room, "R03").visit_dates == ()
    form.code.setText("X3")
    form.code.editingFinished.emit()
    settle()
    assert room.chosen.code == "X3"
    assert {str(one.key) for one in room.desk.session.snapshot.plan.of_route("X3")} == {"X3 visit 1", "X3 visit 2"}


def test_that_what_cannot_be_is_said_and_the_field_shows_again_what_stands(
    room: RoutesRoom, qtbot: QtBot, settle: Settle
) -> None:
    room.choose("R03")
    settle()
    room.panel.form.code.setText("R01")
    with qtbot.waitSignal(room.desk.session.failed) as failed:
        room.panel.form.code.editingFinished.emit()
    assert "is there already" in str(failed.args[0])
    assert room.panel.form.code.text() == "R03"


def test_that_a_cell_is_written_over_as_one_step(room: RoutesRoom, settle: Settle) -> None:
    room.choose("R05")
    settle()
    view, index = room.table.view, room.table.model.index(1, Column.NOTE)
    view.setCurrentIndex(index)
    view.edit(index)
    editor = view.findChild(QLineEdit)
    assert isinstance(editor, QLineEdit)
    editor.setText("behind the chapel")
    QTest.keyClick(editor, Qt.Key.Key_Return)
    settle()
    assert route(room, "R05").point(2).note == "behind the chapel"
    assert index.data() == "behind the chapel"


def test_that_a_whole_place_may_be_pasted_and_nonsense_is_refused_in_words(
    room: RoutesRoom, qtbot: QtBot, settle: Settle
) -> None:
    room.choose("R05")
    settle()
    model = room.table.model
    model.setData(model.index(0, Column.LATITUDE), "54.69, 2.33")
    settle()
    assert route(room, "R05").point(1).place == Place(54.69, 2.33)
    for column, text in ((Column.LATITUDE, "95"), (Column.LONGITUDE, "x"), (Column.NUMBER, "two")):
        with qtbot.waitSignal(room.desk.session.failed) as failed:
            model.setData(model.index(0, column), text)
        assert "found" in str(failed.args[0])
    with qtbot.waitSignal(room.desk.session.failed) as failed:
        model.setData(model.index(0, Column.NUMBER), "2")
    assert "appears twice" in str(failed.args[0])


def selected(room: RoutesRoom) -> tuple[str, int | None]:
    return room.map_pane.map.selected


def test_that_the_map_the_list_and_the_table_choose_together(room: RoutesRoom, settle: Settle) -> None:
    room.map_pane.map.point_clicked.emit("R12", 4)
    settle()
    assert room.chosen.code == "R12"
    assert room.table.selected == (4,)
    room.list.view.setCurrentIndex(room.list.filter.index(1, 0))
    settle()
    assert room.chosen.code == "R02"
    assert selected(room) == ("R02", None)
    room.show_subject(Subject(route="R09", point=4))
    assert room.table.selected == (4,)
    assert selected(room) == ("R09", 4)


def test_that_a_route_hidden_by_the_search_is_shown_when_somebody_comes_for_it(
    room: RoutesRoom, settle: Settle
) -> None:
    room.list.search.setText("candlewick")
    assert room.list.filter.rowCount() == 1
    room.show_subject(Subject(route="R09"))
    settle()
    assert room.list.search.text() == ""
    assert room.chosen.code == "R09"


def test_that_files_dropped_on_the_room_are_shown_before_anything_changes(
    room: RoutesRoom, qtbot: QtBot, settle: Settle, tmp_path: Path
) -> None:
    path = tmp_path / "routes.csv"
    path.write_text("route,name\nR25,Withy Bottom\n", encoding="utf-8")
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    where, copy = QPoint(300, 300), Qt.DropAction.CopyAction
    left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    entering = QDragEnterEvent(where, copy, data, left, none)
    room.dragEnterEvent(entering)
    assert entering.isAccepted()
    room.dropEvent(QDropEvent(QPointF(where), copy, data, left, none))
    preview = room.findChild(ImportPreview)
    assert isinstance(preview, ImportPreview)
    qtbot.waitUntil(lambda: preview.understood is not None, timeout=5_000)
    assert "R25" not in {one.code for one in room.desk.session.snapshot.season.routes}
    with qtbot.waitSignal(preview.taken):
        preview.take.click()
    settle()
    assert route(room, "R25").name == "Withy Bottom"


def test_that_a_season_that_may_only_be_read_says_why_nothing_can_be_changed(
    knowing: Callable[[], Desk], season_path: Path, qtbot: QtBot
) -> None:
    with SeasonFile.open(season_path):
        desk = knowing()
        with qtbot.waitSignal(desk.session.checked_changed, timeout=20_000):
            desk.session.open(lambda: SeasonFile.open(season_path), lambda: None)
        room = RoutesRoom(desk)
        qtbot.addWidget(room)
        qtbot.waitUntil(lambda: not desk.session.working, timeout=15_000)
        room.choose("R05")
        qtbot.waitUntil(lambda: not desk.session.working, timeout=15_000)
        why = desk.session.snapshot.read_only_reason
        assert why
        for action in (room.doing.new_route, room.doing.bring, *room.table.actions_here):
            assert not action.isEnabled()
            assert why in action.toolTip()
        for button in (room.panel.drop, *(row.button for row in rows(room, Rule.ROUTE_CIRCLES))):
            assert not button.isEnabled()
            assert button.toolTip() == why
        assert not room.panel.form.isEnabled()
        assert not room.map_pane.map.is_editable
        assert not room.table.model.flags(room.table.model.index(0, 0)) & Qt.ItemFlag.ItemIsEditable
