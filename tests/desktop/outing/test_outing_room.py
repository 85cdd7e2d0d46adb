"""The room with a season open: outings chosen, tried out, never saved."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.look.colours import DARK, LIGHT, Colours
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.look.style import apply_look
from planner.desktop.outing.evening_view import EveningView, Grip
from planner.desktop.outing.room import OutingRoom
from planner.desktop.outing.trial import LATEST
from planner.desktop.room import RoomName
from planner.domain.finding import Severity, Subject
from planner.domain.outing import StepKind
from planner.domain.plan import VisitKey
from planner.domain.window import MoonRule, Strength
from planner.scheduling import outing_for
from planner.store import SeasonFile
from planner.usecases.evening.outing_view import Occasion, OutingDate
from tests.unit.light.ephemeris import true_moon

DOZENS = 40
"""Wishes made faster than anything could be computed."""


@pytest.fixture
def room(desk: Desk, qtbot: QtBot) -> OutingRoom:
    """The room as it first comes into sight."""
    found = OutingRoom(desk)
    qtbot.addWidget(found)
    found.resize(1120, 720)
    found.show()
    settle(desk, qtbot)
    return found


def settle(desk: Desk, qtbot: QtBot) -> None:
    """Wait until everything is computed and shown."""
    qtbot.waitUntil(lambda: not desk.session.working, timeout=10_000)


def shown(room: OutingRoom) -> EveningView:
    view = room.page.view
    assert view.evening is not None
    return view


def choose(room: OutingRoom, qtbot: QtBot, route: str, visit: int) -> OutingDate:
    room.show_subject(Subject(route=route, visit=visit))
    settle(room.desk, qtbot)
    dated = room.choice.dated
    assert dated is not None
    assert dated.key == VisitKey(route, visit)
    return dated


def points_counted(room: OutingRoom) -> int:
    evening = shown(room).evening
    assert evening is not None
    return len(evening.lanes[0].outing.order)


def test_that_it_begins_with_the_next_outing_from_today_on(room: OutingRoom) -> None:
    dated = room.choice.dated
    assert dated is not None
    assert dated.date >= room.desk.today()
    evening = shown(room).evening
    assert evening is not None
    problem, plan = room.desk.session.problem, room.desk.session.snapshot.plan
    assert problem is not None
    reserve = dated.occasion is Occasion.RESERVE
    expected = outing_for(problem, plan.by_key[dated.key], dated.people[0], reserve=reserve)
    assert evening.lanes[0].outing.order == expected.order
    assert f"{int((expected.margin_minutes or 0) + 1e-4)} min" == room.page.figures.margin.value.text()
    assert room.page.title.text() == room.desk.session.snapshot.season.route(dated.key.route).title
    assert room.page.table.model().rowCount() == len(expected.steps)


def test_that_the_keys_move_the_departure_until_points_fall_out_and_escape_brings_them_back(
    room: OutingRoom, qtbot: QtBot
) -> None:
    choose(room, qtbot, "R23", 1)
    before, revision = points_counted(room), room.desk.session.snapshot.revision
    view = shown(room)
    view.setFocus()
    for _ in range(5):
        QTest.keyClick(view, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    settle(room.desk, qtbot)
    assert points_counted(room) < before
    assert "not counted" in room.page.figures.points.meaning.text()
    assert room.page.figures.margin.value.text().startswith("−")
    assert any("has closed before the count ends" in text for _, text in room.page.rules.lines)
    assert room.page.try_bar.departure.value() == 50
    QTest.keyClick(view, Qt.Key.Key_Escape)
    settle(room.desk, qtbot)
    assert points_counted(room) == before
    assert room.page.try_bar.departure.value() == 0
    assert room.desk.session.snapshot.revision == revision


def test_that_the_mark_at_the_margin_is_the_worst_of_what_is_said(room: OutingRoom, qtbot: QtBot) -> None:
    def mark() -> QImage:
        return room.page.figures.margin.mark.pixmap().toImage()

    def of(severity: Severity | None) -> QImage:
        return mark_pixmap(severity, room.desk.colours, 22, room.devicePixelRatioF()).toImage()

    choose(room, qtbot, "R15", 2)
    before = points_counted(room)
    assert mark() == of(None)
    room.page.try_bar.departure.setValue(10)
    settle(room.desk, qtbot)
    assert points_counted(room) == before
    assert any("in the dark" in text for severity, text in room.page.rules.lines if severity is Severity.TROUBLE)
    assert mark() == of(Severity.TROUBLE)
    room.page.try_bar.departure.setValue(LATEST)
    settle(room.desk, qtbot)
    assert mark() == of(Severity.BROKEN)
    QTest.keyClick(shown(room), Qt.Key.Key_Escape)
    settle(room.desk, qtbot)
    assert mark() == of(None)


def test_that_longer_counts_push_points_out(room: OutingRoom, qtbot: QtBot) -> None:
    choose(room, qtbot, "R23", 1)
    before = points_counted(room)
    room.page.try_bar.count.setValue(9.0)
    settle(room.desk, qtbot)
    assert points_counted(room) < before
    evening = shown(room).evening
    assert evening is not None
    assert all(step.minutes == pytest.approx(9.0) for step in evening.lanes[0].outing.of_kind(StepKind.COUNT))


def test_that_the_newest_of_many_wishes_is_what_is_shown(room: OutingRoom, qtbot: QtBot) -> None:
    choose(room, qtbot, "R23", 1)
    view = shown(room)
    for offset in range(DOZENS):
        view.departure_wished.emit(offset)
    settle(room.desk, qtbot)
    evening = view.evening
    assert evening is not None
    assert evening.leave_utc == evening.latest_utc + dt.timedelta(minutes=DOZENS - 1)


def test_that_the_mouse_drags_the_departure(room: OutingRoom, qtbot: QtBot) -> None:
    choose(room, qtbot, "R23", 1)
    view = shown(room)
    where = view.spot_of(Grip.DEPARTURE)
    assert where is not None
    start = where.toPoint()
    QTest.mousePress(view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, start)
    for _ in range(12):
        start.setX(start.x() + 10)
        QTest.mouseMove(view, start)
        QApplication.processEvents()
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, start)
    settle(room.desk, qtbot)
    assert room.page.try_bar.departure.value() > 20
    assert room.page.try_bar.back.isEnabled()


def test_that_habitat_between_the_counts_shows_what_it_costs(room: OutingRoom, qtbot: QtBot) -> None:
    choose(room, qtbot, "R15", 2)
    before = points_counted(room)
    assert any("Between the counts there" in text for _, text in room.page.rules.lines)
    room.page.try_bar.between.click()
    settle(room.desk, qtbot)
    evening = shown(room).evening
    assert evening is not None
    kinds = [step.kind for step in evening.lanes[0].outing.steps if step.kind in (StepKind.HABITAT, StepKind.COUNT)]
    assert kinds[:4] == [StepKind.HABITAT, StepKind.COUNT, StepKind.HABITAT, StepKind.COUNT]
    assert points_counted(room) < before
    QTest.keyClick(shown(room), Qt.Key.Key_Right)
    settle(room.desk, qtbot)
    # One minute later than what was shown, which leaves two hours after the plan.
    assert room.page.try_bar.departure.value() > 60


def test_that_what_cannot_be_is_said_and_what_could_be_stays(room: OutingRoom, qtbot: QtBot) -> None:
    def shorten(file: SeasonFile) -> None:
        season = file.season()
        window = season.protocol.windows[0]
        run = replace(window.passes[0], open=replace(window.passes[0].open, offset_minutes=-40.0))
        protocol = replace(season.protocol, windows=(replace(window, passes=(run,)),))
        with file.step("A shorter window"):
            file.save_season(replace(season, protocol=protocol))

    choose(room, qtbot, "R15", 2)
    room.desk.session.do(shorten)
    settle(room.desk, qtbot)
    room.page.try_bar.between.click()
    settle(room.desk, qtbot)
    counted = points_counted(room)
    said: list[str] = []
    room.desk.said.connect(said.append)
    shown(room).count_wished.emit(55.0)
    settle(room.desk, qtbot)
    assert "no count of 55 minutes fits" in said[0]
    assert points_counted(room) == counted
    assert room.page.try_bar.count.value() == 6.0
    assert room.page.try_bar.between.isChecked()


def test_that_the_moon_is_told_where_the_protocol_asks_for_it(room: OutingRoom, qtbot: QtBot) -> None:
    def ask_for_the_moon(file: SeasonFile) -> None:
        season = file.season()
        moon = MoonRule(0.0, above_horizon=False, strength=Strength.PREFERRED)
        with file.step("The moon is asked for"):
            file.save_season(replace(season, protocol=replace(season.protocol, moon=moon)))

    choose(room, qtbot, "R15", 2)
    assert "Moon" not in room.page.about.text()
    room.desk.session.do(ask_for_the_moon)
    settle(room.desk, qtbot)
    # Skyfield with the JPL ephemeris DE421 is the authority.
    opens = dt.datetime(2027, 6, 4, 21, 15, tzinfo=dt.UTC).timestamp()
    place = room.desk.session.snapshot.season.route("R15").points[-1].place
    altitude, lit = true_moon([opens], place.latitude, place.longitude)
    said = f"Moon {round(float(lit[0]) * 100)} % lit, {round(float(altitude[0]))}° as the window opens"
    assert said in room.page.about.text()


def test_that_the_way_goes_through_all_outings_by_date(room: OutingRoom, qtbot: QtBot) -> None:
    with qtbot.waitActive(room):
        room.activateWindow()
    first = room.choice.dated
    assert first is not None
    room.choice.following.trigger()
    settle(room.desk, qtbot)
    second = room.choice.dated
    assert second is not None
    assert (second.date, second.key) >= (first.date, first.key)
    assert second != first
    QTest.keyClick(room, Qt.Key.Key_PageUp, Qt.KeyboardModifier.AltModifier)
    settle(room.desk, qtbot)
    assert room.choice.dated == first
    while room.choice.previous.isEnabled():
        room.choice.previous.trigger()
    assert room.choice.previous.toolTip() == "This is the first outing."


def test_that_the_second_is_shown_from_their_own_home(room: OutingRoom, qtbot: QtBot) -> None:
    dated = choose(room, qtbot, "R23", 1)
    evening = shown(room).evening
    assert evening is not None
    leads = evening.leave_utc
    room.choice.people.setCurrentIndex(1)
    room.choice.people.activated.emit(1)
    settle(room.desk, qtbot)
    evening = shown(room).evening
    assert evening is not None
    assert evening.leave_utc != leads
    assert room.choice.person == dated.people[1]
    # A subject that names a volunteer shows that volunteer's outing from that volunteer's home.
    room.show_subject(Subject(volunteer=dated.people[1], date=dated.date))
    settle(room.desk, qtbot)
    assert room.choice.person == dated.people[1]


def test_that_a_visit_that_is_not_filled_says_why_and_leads_to_the_board(room: OutingRoom, qtbot: QtBot) -> None:
    room.show_subject(Subject(route="R17", visit=1))
    settle(room.desk, qtbot)
    assert room.choice.dated is None
    assert room.reasons.isVisible()
    assert "too long" in room.reasons.lines[0][1]
    with qtbot.waitSignal(room.desk.went) as said:
        room.to_board.click()
    assert said.args == [RoomName.BOARD, Subject(route="R17", visit=1)]
    room.choice.following.trigger()
    settle(room.desk, qtbot)
    assert room.choice.dated is not None


def test_that_a_change_of_the_plan_is_followed(room: OutingRoom, qtbot: QtBot) -> None:
    dated = choose(room, qtbot, "R23", 1)
    plan = room.desk.session.snapshot.plan
    visit = plan.by_key[dated.key]

    def drop_second(file: SeasonFile) -> None:
        with file.step("Second out"):
            file.save_plan(plan.with_visit(replace(visit, second="")))

    room.choice.people.setCurrentIndex(1)
    room.choice.people.activated.emit(1)
    room.desk.session.do(drop_second)
    settle(room.desk, qtbot)
    assert room.choice.people.count() == 1
    assert room.choice.dated is not None
    assert room.choice.dated.key == dated.key
    room.desk.session.undo()
    settle(room.desk, qtbot)
    assert room.choice.people.count() == 2


def test_that_the_table_the_picture_and_the_map_point_at_the_same(room: OutingRoom, qtbot: QtBot) -> None:
    choose(room, qtbot, "R23", 1)
    evening = shown(room).evening
    assert evening is not None
    count = evening.lanes[0].outing.of_kind(StepKind.COUNT)[2]
    room.page.view.step_pointed.emit(count)
    row = room.page.table.currentIndex().row()
    assert room.page.steps.step_at(row) == count
    other = evening.lanes[0].outing.of_kind(StepKind.COUNT)[4]
    assert other.point is not None
    room.page.ground.map.point_clicked.emit("R23", other.point)
    assert room.page.steps.step_at(room.page.table.currentIndex().row()) == other


def test_that_the_route_and_the_visit_are_shown_in_their_rooms(room: OutingRoom, qtbot: QtBot) -> None:
    choose(room, qtbot, "R23", 1)
    for action, name in ((room.on_board, RoomName.BOARD), (room.on_map, RoomName.ROUTES)):
        assert action in room.commands()
        with qtbot.waitSignal(room.desk.went) as said:
            action.trigger()
        assert said.args == [name, Subject(route="R23", visit=1)]


def test_that_the_picture_is_copied_without_names(room: OutingRoom, qtbot: QtBot) -> None:
    said: list[str] = []
    room.desk.said.connect(said.append)
    assert room.copy in room.commands()
    room.copy.trigger()
    assert QGuiApplication.clipboard().pixmap().width() > 400
    assert said == ["The picture is on the clipboard. It shows no names."]
    settle(room.desk, qtbot)


def test_that_all_that_can_be_used_has_a_name_and_a_keyboard_way(room: OutingRoom, qtbot: QtBot) -> None:
    choose(room, qtbot, "R23", 1)
    reached: set[QWidget] = set()
    with qtbot.waitActive(room):
        room.activateWindow()
    room.choice.routes.setFocus()
    for _ in range(80):
        focused = QApplication.focusWidget()
        assert focused is not None
        reached.add(focused)
        QTest.keyClick(focused, Qt.Key.Key_Tab)
    controls = (
        room.choice.routes,
        room.choice.outings,
        room.choice.people,
        room.page.view,
        room.page.try_bar.departure,
        room.page.try_bar.count,
        room.page.table,
        room.page.ground.map,
    )
    for control in controls:
        assert control in reached
    for widget in reached:
        assert widget.accessibleName() or getattr(widget, "text", lambda: "")(), widget


def test_that_it_is_made_at_once_and_painted_in_both_palettes(
    desk: Desk, colours: Colours, qtbot: QtBot, qapp: QApplication, grab: Callable[[QWidget, str], Path]
) -> None:
    apply_look(qapp, colours)
    desk.show_in(colours)
    room = OutingRoom(desk)
    room.resize(1120, 720)
    settle(desk, qtbot)
    assert grab(room, f"outing_{colours.name}").exists()
    other = DARK if colours is LIGHT else LIGHT
    desk.show_in(other)
    apply_look(qapp, LIGHT)


def test_that_a_season_without_outings_says_what_to_do(desk: Desk, qtbot: QtBot) -> None:
    def empty(file: SeasonFile) -> None:
        with file.step("Plan taken away"):
            file.save_plan(type(file.plan())())

    desk.session.do(empty)
    settle(desk, qtbot)
    room = OutingRoom(desk)
    qtbot.addWidget(room)
    room.show()
    settle(desk, qtbot)
    assert room.choice.dated is None
    assert room.to_board.isVisible()
    room.show_subject(Subject(volunteer="V99"))
    assert not room.choice.following.isEnabled()
