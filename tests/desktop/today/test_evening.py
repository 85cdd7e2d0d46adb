"""The evening on the screen: outings, dates, conditions, check-in and who is overdue."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import QDate, QMimeData, QRectF, Qt, QTime, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QGuiApplication
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QStyle
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.importing import ImportPreview
from planner.desktop.room import RoomName
from planner.desktop.today.outings_model import Column
from planner.desktop.today.panels import PanelName
from planner.desktop.today.room import TodayRoom
from planner.desktop.units import Units
from planner.domain.check_in import CheckIn, Stage
from planner.domain.conditions import Condition, Conditions, Seen
from planner.domain.finding import Severity, Subject
from planner.domain.measures import Speed
from planner.domain.plan import Plan
from planner.domain.verdict import Call
from planner.domain.weather import Quantity
from planner.shipped import demo_routes
from planner.store import SeasonFile
from planner.usecases.evening.check_in import check_in
from planner.usecases.evening.outings import outing_dates
from planner.usecases.evening.watch import evening_records
from tests.desktop.today.conftest import AFTERNOON, STORM

Clock = Callable[[dt.datetime], None]
Settled = Callable[[], None]


def texts(room: TodayRoom, column: Column) -> list[str]:
    rows = room.evening.table.rows
    return [str(rows.index(row, column).data()) for row in range(rows.rowCount())]


def click(button: QPushButton) -> None:
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def seen_button(room: TodayRoom, words: str, qtbot: QtBot) -> QPushButton:
    """Return the first button of the alarm with those words, once it can be seen."""

    def found() -> list[QPushButton]:
        buttons = room.evening.alarm.findChildren(QPushButton)
        return [one for one in buttons if one.text() == words and one.isVisible()]

    qtbot.waitUntil(lambda: bool(found()))
    return found()[0]


def test_that_every_outing_of_today_stands_in_the_table(today: TodayRoom, desk: Desk) -> None:
    plan = desk.session.snapshot.plan
    routes = {visit.key.route for visit in plan if visit.date == STORM}
    assert today.name is RoomName.TODAY
    assert today.watch.date == STORM
    assert {text[:3] for text in texts(today, Column.OUTING)} == routes
    leaving = [min(line[:5] for line in text.splitlines()) for text in texts(today, Column.TIMES)]
    assert leaving == sorted(leaving)
    assert all("07700 900" in text for text in texts(today, Column.PEOPLE))
    assert set(texts(today, Column.WEATHER)) == {"Wait"}
    assert "18 outings" in today.evening.dates.standing
    QAbstractItemModelTester(today.evening.table.rows, QAbstractItemModelTester.FailureReportingMode.Fatal)


def test_that_the_bar_goes_from_evening_to_evening(today: TodayRoom, desk: Desk, qtbot: QtBot) -> None:
    dates = outing_dates(desk.session.snapshot.plan)
    bar = today.evening.dates
    QTest.mouseClick(bar.later, Qt.MouseButton.LeftButton)
    following = dates[dates.index(STORM) + 1]
    assert today.watch.date == following
    qtbot.waitUntil(lambda: len(today.watch.shown) == 3)
    QTest.mouseClick(bar.earlier, Qt.MouseButton.LeftButton)
    QTest.mouseClick(bar.earlier, Qt.MouseButton.LeftButton)
    assert today.watch.date == dates[dates.index(STORM) - 1]
    click(bar.today)
    assert today.watch.date == STORM
    bar.other.setDate(QDate(2027, 5, 20))
    qtbot.waitUntil(lambda: "Nobody goes out" in bar.standing)
    plan = desk.session.snapshot.plan
    counting = {visit.date for visit in plan}
    alone = next(day for day in dates if day not in counting and [one.setup for one in plan].count(day) == 1)
    bar.other.setDate(QDate(alone.year, alone.month, alone.day))
    qtbot.waitUntil(lambda: "1 outing, 1 person. Leaving at " in bar.standing)
    bar.other.setDate(QDate(dates[-1].year, dates[-1].month, dates[-1].day))
    assert not bar.later.isEnabled()
    assert "none" in bar.later.toolTip()


def test_that_another_room_can_ask_for_a_visit_a_person_or_a_date(today: TodayRoom, desk: Desk, qtbot: QtBot) -> None:
    first = desk.session.snapshot.plan.by_key[next(v.key for v in desk.session.snapshot.plan if v.key.number == 1)]
    today.show_subject(Subject(route=first.key.route, visit=1))
    assert today.watch.date == first.date
    qtbot.waitUntil(lambda: [now.outing.key for now in today.evening.table.chosen] == [first.key])
    today.show_subject(Subject(date=STORM))
    assert today.watch.date == STORM
    today.show_subject(Subject(volunteer=first.lead, visit=1))
    assert today.watch.date == first.date
    today.show_subject(Subject(volunteer="V00"))
    assert today.watch.date == first.date


def test_that_conditions_for_every_outing_are_written_down_by_enter(
    today: TodayRoom, desk: Desk, settled: Settled
) -> None:
    panel = today.evening.panels.conditions
    assert not panel.keep.isEnabled()
    limits = {one.text() for one in panel.findChildren(QLabel)}
    assert {"Limit: at most 19 km/h", "No limit: write it down"} <= limits
    wind = panel.fields["wind"]
    assert wind.measure is not None
    QTest.keyClicks(wind.measure, "12")
    assert panel.keep.isEnabled()
    for name in ("rain", "fog"):
        word = panel.fields[name].word
        assert word is not None
        word.setCurrentIndex(word.findData(Seen.NONE.value))
    air = panel.fields["air_temperature"].measure
    assert air is not None
    QTest.keyClicks(air, "11 C")
    QTest.keyClick(air, Qt.Key.Key_Return)
    settled()
    assert set(texts(today, Column.WEATHER)) == {"Go"}
    assert desk.session.snapshot.undo_label.startswith("Conditions of Fri 4 Jun: wind 12 km/h")
    assert not panel.keep.isEnabled()
    assert wind.measure.text() == "12 km/h"
    assert "Go" in panel.verdict.said
    desk.session.undo()
    settled()
    assert set(texts(today, Column.WEATHER)) == {"Wait"}
    assert wind.measure.text() == ""


def test_that_the_chosen_ones_can_have_weather_of_their_own(today: TodayRoom, settled: Settled) -> None:
    panel = today.evening.panels.conditions
    assert not panel.chosen_only.isEnabled()
    assert "Choose outings" in panel.chosen_only.toolTip()
    today.evening.choose_routes(["R03", "R08"])
    panel.chosen_only.setChecked(True)
    wind = panel.fields["wind"].measure
    assert wind is not None
    QTest.keyClicks(wind, "30")
    click(panel.keep)
    settled()
    calls = dict(zip(texts(today, Column.OUTING), texts(today, Column.WEATHER), strict=True))
    assert sorted(name[:3] for name, call in calls.items() if call == "No-go") == ["R03", "R08"]
    assert "wind at most 19 km/h" in panel.verdict.said
    assert today.open_here() is not None
    assert (today.open_here().count, today.open_here().worst) == (2, Severity.BROKEN)  # type: ignore[union-attr]  # looked at above
    click(panel.forget)
    settled()
    assert set(texts(today, Column.WEATHER)) == {"Wait"}
    assert today.open_here() is None


def test_that_what_cannot_be_read_is_said_at_the_field_and_nothing_is_kept(
    today: TodayRoom, desk: Desk, settled: Settled
) -> None:
    panel = today.evening.panels.conditions
    wind = panel.fields["wind"].measure
    assert wind is not None
    QTest.keyClicks(wind, "brisk")
    click(panel.keep)
    settled()
    assert "write a number and a unit" in panel.fault
    assert not [step for step in desk.session.snapshot.steps if step.label.startswith("Conditions")]


def test_that_imperial_units_are_meant_where_they_are_chosen(today: TodayRoom, desk: Desk, settled: Settled) -> None:
    desk.count_in(Units.IMPERIAL)
    panel = today.evening.panels.conditions
    wind = panel.fields["wind"].measure
    assert wind is not None
    assert "mph" in wind.placeholderText()
    QTest.keyClicks(wind, "8")
    click(panel.keep)
    settled()
    (kept,) = today.watch.records.conditions
    assert kept.of(Quantity.WIND) == Condition(Quantity.WIND, Speed(8, "mph"))


def test_that_what_somebody_types_stays_while_something_else_is_written(
    today: TodayRoom, desk: Desk, settled: Settled
) -> None:
    wind = today.evening.panels.conditions.fields["wind"].measure
    assert wind is not None
    QTest.keyClicks(wind, "14")
    person = today.watch.shown[0].people[0]
    word = CheckIn(STORM, today.watch.shown[0].outing.key.route, person.goer.code, Stage.LEFT, AFTERNOON)
    desk.session.do(lambda file: check_in(file, [word]))
    settled()
    assert wind.text() == "14"


def test_that_the_shipped_forecast_of_a_storm_is_shown_and_taken_in(
    today: TodayRoom, qtbot: QtBot, settled: Settled
) -> None:
    storm = demo_routes() / "heath" / "conditions.csv"
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(storm))])
    move, left = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton
    enter = QDragEnterEvent(today.rect().center(), move, data, left, Qt.KeyboardModifier.NoModifier)
    QApplication.sendEvent(today, enter)
    assert enter.isAccepted()
    drop = QDropEvent(today.rect().center().toPointF(), move, data, left, Qt.KeyboardModifier.NoModifier)
    QApplication.sendEvent(today, drop)
    preview = today.findChildren(ImportPreview)[0]
    qtbot.waitUntil(preview.take.isEnabled)
    assert today.watch.records.conditions == (), "nothing is changed by looking"
    click(preview.take)
    settled()
    qtbot.waitUntil(lambda: today.watch.records.conditions != ())
    calls = {now.outing.key.route: now.verdict.call for now in today.watch.shown if now.verdict is not None}
    assert {route for route, call in calls.items() if call is Call.NO_GO} == {"R08", "R09", "R12", "R13", "R14"}
    assert {route for route, call in calls.items() if call is Call.WAIT} == {"R05", "R15"}
    assert today.open_here() is not None


def test_that_who_rings_in_is_written_down_and_a_slip_taken_back(
    today: TodayRoom, desk: Desk, at: Clock, settled: Settled
) -> None:
    today.evening.panels.show_panel(PanelName.CHECK_IN)
    now = today.watch.shown[0]
    assert now.outing.leave_utc is not None
    at(now.outing.leave_utc)
    panel = today.evening.panels.check_in
    assert len(panel.cards) == 2
    card = panel.cards[0]
    click(card.stages[Stage.LEFT])
    settled()
    assert card.heard[Stage.LEFT].text() == "19:58"
    assert texts(today, Column.WHERE)[0] == "on the way\nnot left yet"
    panel.at_now.setChecked(False)
    panel.time.setTime(QTime(0, 20))
    click(card.stages[Stage.HOME])
    settled()
    (home,) = (one for one in today.watch.records.check_ins if one.stage is Stage.HOME)
    assert home.when_utc == dt.datetime(2027, 6, 4, 23, 20, tzinfo=dt.UTC), "twenty past midnight, summer time"
    assert desk.session.snapshot.undo_label.endswith("safe home at 00:20, R15")
    assert card.back[Stage.HOME].isVisible()
    click(card.back[Stage.HOME])
    settled()
    assert texts(today, Column.WHERE)[0] == "on the way\nnot left yet"
    click(card.copy)
    assert QGuiApplication.clipboard().text() == now.people[0].goer.telephone


def test_that_a_check_in_that_comes_too_soon_is_named_and_taken_all_the_same(
    today: TodayRoom, at: Clock, settled: Settled
) -> None:
    today.evening.panels.show_panel(PanelName.CHECK_IN)
    panel = today.evening.panels.check_in
    assert panel.early.startswith("Nobody leaves before 19:58 by the plan.")
    at(AFTERNOON - dt.timedelta(days=2))
    today.watch.look_again()
    assert panel.early.startswith("This evening has not come yet: it is Fri 4 Jun.")
    assert panel._early.isVisible()
    click(panel.cards[0].stages[Stage.HOME])
    settled()
    assert [word.stage for word in today.watch.records.check_ins] == [Stage.HOME]
    at(dt.datetime(2027, 6, 4, 19, 30, tzinfo=dt.UTC))
    today.watch.look_again()
    assert panel.early == ""
    assert not panel._early.isVisible()
    panel.at_now.setChecked(False)
    panel.time.setTime(QTime(23, 40))
    assert panel.early == "The time that is set has not come yet."


def test_that_in_a_narrow_window_numbers_stay_whole(today: TodayRoom) -> None:
    table = today.evening.table
    today.resize(838, 620)
    QApplication.processEvents()
    assert table.horizontalHeader().length() > table.viewport().width(), "there is little room"
    index = table.rows.index(0, Column.PEOPLE)
    cell = table.visualRect(index)
    assert cell.right() <= table.viewport().width()
    numbers = [str(index.data()).splitlines()[row].split("  ")[0] for row in range(2)]
    assert numbers == [person.goer.telephone for person in today.watch.shown[0].people]
    room = cell.width() - 2 * (table.style().pixelMetric(QStyle.PixelMetric.PM_FocusFrameHMargin) + 1)
    for number in numbers:
        elided = table.fontMetrics().elidedText(f"{number}  Bartholomew", table.textElideMode(), room)
        assert elided.startswith(number)
    today.resize(1700, 700)
    QApplication.processEvents()
    assert table.columnWidth(Column.OUTING) >= table.sizeHintForColumn(Column.OUTING), "titles are whole again"


def test_that_an_outing_that_breaks_a_rule_is_marked_and_says_so(
    today: TodayRoom, desk: Desk, qtbot: QtBot, settled: Settled
) -> None:
    visit = next(one for one in desk.session.snapshot.plan if one.date == STORM)

    def hold_the_date_itself(file: SeasonFile) -> None:
        with file.step("Hold the date itself"):
            file.save_plan(file.plan().with_visit(replace(visit, reserve=visit.date)))

    rows = today.evening.table.rows

    def marked() -> set[str]:
        cells = [rows.index(row, Column.OUTING) for row in range(rows.rowCount())]
        return {str(one.data())[:3] for one in cells if one.data(Qt.ItemDataRole.DecorationRole) is not None}

    assert marked() == set()
    desk.session.do(hold_the_date_itself)
    settled()
    qtbot.waitUntil(lambda: marked() == {visit.key.route}, timeout=20_000)
    (text,) = (text for text in texts(today, Column.OUTING) if text[:3] == visit.key.route)
    assert text.splitlines()[1].startswith("Breaks a rule; ")
    row = texts(today, Column.OUTING).index(text)
    assert "does not come after the visit" in str(rows.index(row, 0).data(Qt.ItemDataRole.AccessibleTextRole))
    desk.session.undo()
    settled()
    qtbot.waitUntil(lambda: marked() == set(), timeout=20_000)


def test_that_one_of_a_team_rings_for_all_as_one_step(today: TodayRoom, desk: Desk, settled: Settled) -> None:
    today.evening.panels.show_panel(PanelName.CHECK_IN)
    panel = today.evening.panels.check_in
    steps = len(desk.session.snapshot.steps)
    click(panel.team[Stage.LEFT])
    settled()
    assert len(desk.session.snapshot.steps) == steps + 1
    assert texts(today, Column.WHERE)[0] == "on the way\non the way"
    assert not panel.team[Stage.LEFT].isEnabled()
    assert "written down" in panel.team[Stage.LEFT].toolTip()
    today.evening.choose_routes(["R12"])
    assert not panel.team[Stage.ARRIVED].isVisible()


def test_that_who_is_not_home_in_time_is_named_loudly_whatever_date_is_shown(
    today: TodayRoom, desk: Desk, qtbot: QtBot, at: Clock, settled: Settled
) -> None:
    now = next(one for one in today.watch.shown if len(one.people) == 1)
    goer = now.people[0].goer
    assert goer.leave_utc is not None
    assert goer.due_utc is not None
    left = CheckIn(STORM, now.outing.key.route, goer.code, Stage.LEFT, goer.leave_utc)
    others = [
        CheckIn(STORM, one.outing.key.route, person.goer.code, Stage.HOME, goer.leave_utc)
        for one in today.watch.shown
        for person in one.people
        if person.goer.code != goer.code
    ]
    desk.session.do(lambda file: check_in(file, [left, *others]))
    settled()
    alarm = today.evening.alarm
    assert not alarm.isVisible()
    at(goer.due_utc + dt.timedelta(minutes=31))
    today.watch.look_again()
    assert alarm.isVisible()
    assert alarm.said.startswith("OVERDUE: 1")
    assert goer.name in alarm.said
    assert goer.telephone in " ".join(button.text() for button in alarm.findChildren(QPushButton))
    assert "OVERDUE: 1, safe home: 20" in today.evening.dates.standing
    assert today.open_here() is not None
    QTest.mouseClick(today.evening.dates.later, Qt.MouseButton.LeftButton)
    assert alarm.isVisible()
    click(seen_button(today, "Show", qtbot))
    assert today.watch.date == STORM
    qtbot.waitUntil(lambda: [one.outing.key for one in today.evening.table.chosen] == [now.outing.key])
    click(seen_button(today, "Is safe home", qtbot))
    settled()
    assert not alarm.isVisible()
    assert today.open_here() is None


def test_that_who_is_overdue_is_said_in_the_status_line_while_another_room_is_shown(
    today: TodayRoom, desk: Desk, at: Clock, qtbot: QtBot
) -> None:
    today.hide()
    last = max(one.outing.due_utc for one in today.watch.shown if one.outing.due_utc is not None)
    at(last + dt.timedelta(minutes=45))
    with qtbot.waitSignal(desk.said) as said:
        today.watch.look_again()
    assert said.args == ["Overdue: 21. See Today."]


def test_that_more_grace_makes_fewer_overdue_and_is_remembered(today: TodayRoom, desk: Desk, at: Clock) -> None:
    last = max(one.outing.due_utc for one in today.watch.shown if one.outing.due_utc is not None)
    at(last + dt.timedelta(minutes=45))
    today.watch.look_again()
    assert len(today.watch.overdue) == 21
    today.evening.panels.show_panel(PanelName.CHECK_IN)
    today.evening.panels.check_in.grace.setValue(200)
    assert today.watch.overdue == ()
    assert TodayRoom(desk).watch.grace == dt.timedelta(minutes=200)


def test_that_who_left_for_an_outing_that_is_gone_is_named_until_they_are_home(
    today: TodayRoom, desk: Desk, qtbot: QtBot, settled: Settled
) -> None:
    visit = next(one for one in desk.session.snapshot.plan if one.date == STORM)
    word = CheckIn(STORM, visit.key.route, visit.lead, Stage.LEFT, AFTERNOON)
    desk.session.do(lambda file: check_in(file, [word]))

    def take_out(file: object) -> None:
        assert file is not None
        with file.step("Take it out"):  # type: ignore[attr-defined]  # a season file
            file.save_plan(Plan(tuple(v for v in desk.session.snapshot.plan if v.key != visit.key)))  # type: ignore[attr-defined]  # a season file

    desk.session.do(take_out)
    settled()
    qtbot.waitUntil(today.evening.alarm.isVisible)
    assert "NOT IN THE PLAN ANY MORE: 1" in today.evening.alarm.said
    click(seen_button(today, "Is safe home", qtbot))
    settled()
    assert not today.evening.alarm.isVisible()


def test_that_an_area_on_the_map_chooses_its_outings(today: TodayRoom, qtbot: QtBot) -> None:
    view = today.evening.map.view
    qtbot.waitUntil(lambda: view.is_settled)
    with qtbot.waitSignal(view.area_chosen) as told:
        view.choose_band(QRectF(view.rect()))
    assert told.args is not None
    assert len(today.evening.table.chosen) == 18
    view.route_clicked.emit("R12")
    assert [one.outing.key.route for one in today.evening.table.chosen] == ["R12"]
    assert today.evening.table.current is today.evening.table.chosen[0]


def test_that_enter_shows_the_timeline_of_an_outing(today: TodayRoom, desk: Desk, qtbot: QtBot) -> None:
    today.evening.choose_routes(["R12"])
    with qtbot.waitSignal(desk.went) as went:
        QTest.keyClick(today.evening.table, Qt.Key.Key_Return)
    assert went.args == [RoomName.OUTING, Subject(route="R12", visit=2, date=STORM)]


def test_that_chosen_rows_are_copied_as_lines(today: TodayRoom) -> None:
    today.evening.choose_routes(["R12"])
    today.evening.table.setFocus()
    QTest.keyClick(today.evening.table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    cells = QGuiApplication.clipboard().text().split("\t")
    assert cells[0].startswith("R12 ")
    assert "07700 900359" in cells[2]


def test_that_the_records_follow_the_file(today: TodayRoom, desk: Desk, settled: Settled, qtbot: QtBot) -> None:
    windy = Conditions(STORM, known=(Condition(Quantity.WIND, Speed(50, "km/h")),))

    def write(file: object) -> None:
        with file.step("Wind"):  # type: ignore[attr-defined]  # a season file
            file.save_conditions([windy])  # type: ignore[attr-defined]  # a season file

    desk.session.do(write)
    settled()
    qtbot.waitUntil(lambda: set(texts(today, Column.WEATHER)) == {"No-go"})
    desk.session.ask(evening_records, lambda found: setattr(today, "found", found))
    settled()
    assert today.watch.records.conditions == (windy,)


@pytest.mark.parametrize("words", ["cautions", "Local law"])
def test_that_the_cautions_can_be_read(today: TodayRoom, words: str) -> None:
    today.evening.panels.show_panel(PanelName.CARE)
    said = " ".join(label.text() for label in today.evening.findChildren(type(today.evening.alarm._todo)))
    assert words in said
