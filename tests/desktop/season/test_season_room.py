"""What stands, what is next, and where each finding leads."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QModelIndex, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog
from pytestqt.qtbot import QtBot

from planner.desktop.board.room import BoardRoom
from planner.desktop.desk import Desk
from planner.desktop.importing import ImportPreview
from planner.desktop.room import RoomName
from planner.desktop.rule_rooms import room_of
from planner.desktop.season.room import SeasonRoom
from planner.desktop.season.words import step_words
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.plan import Plan
from planner.store import SeasonFile
from planner.usecases.season.form import expect_no_weather
from planner.usecases.season_news import Next, Step, WhatNext
from tests.desktop.season.conftest import Went, do, settle, shown


def _save_plan(change: Callable[[Plan], Plan]) -> Callable[[SeasonFile], None]:
    def operation(file: SeasonFile) -> None:
        with file.step("Change the plan"):
            file.save_plan(change(file.plan()))

    return operation


def _last(plan: Plan) -> Plan:
    return plan.with_visit(replace(max(plan, key=lambda visit: visit.date), reserve=None))


def _click(room: SeasonRoom, index: QModelIndex) -> None:
    view = room.overview.findings.list
    view.scrollTo(index)
    QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=view.visualRect(index).center())


def test_that_the_season_is_told_in_figures(room: SeasonRoom) -> None:
    said = {words.text(): number.text() for number, words in room.overview.figures._figures}
    assert said["of 48 visits filled"] == "45"
    assert said["of 34 volunteers go out"] == "33"
    assert said["routes"] == "24"
    assert said["of driving, out and back"].endswith(" h")
    assert room.title.text() == "Nightjars on the heaths of Orrinsey, 2027"
    assert room.about.text() == "Heath nightjars at dusk (invented), 3 May 2027 to 2 July 2027"


def test_that_unfilled_visits_are_next_and_the_button_leads_to_the_board(room: SeasonRoom, went: Went) -> None:
    assert room.next.said.text() == "3 visits are unfilled. The board says why, and what would fill them."
    assert room.next.other.isHidden()
    QTest.mouseClick(room.next.main, Qt.MouseButton.LeftButton)
    assert went == [(RoomName.BOARD, Subject())]


def test_that_papers_no_longer_true_come_first_and_unfilled_visits_may_be_done_instead(
    room: SeasonRoom, went: Went, qtbot: QtBot
) -> None:
    do(qtbot, room, _save_plan(_last))
    assert "hold papers that are no longer true" in room.next.said.text()
    QTest.mouseClick(room.next.main, Qt.MouseButton.LeftButton)
    QTest.mouseClick(room.next.other, Qt.MouseButton.LeftButton)
    assert [name for name, _ in went] == [RoomName.PAPER, RoomName.BOARD]
    assert "unfilled" in room.next.other.toolTip()


def test_that_without_a_plan_the_troubles_are_shown_and_planning_is_offered(
    room: SeasonRoom, went: Went, qtbot: QtBot
) -> None:
    do(qtbot, room, _save_plan(lambda _plan: Plan()))
    checked = room.desk.session.checked
    assert checked is not None
    trouble = next(finding for finding in checked.findings if finding.severity is Severity.TROUBLE)
    assert "troubles would leave visits unfilled" in room.next.said.text()
    QTest.mouseClick(room.next.main, Qt.MouseButton.LeftButton)
    QTest.mouseClick(room.next.other, Qt.MouseButton.LeftButton)
    assert went == [(room_of(trouble.rule), trouble.subject), (RoomName.BOARD, Subject())]
    assert room.overview.risk.said.text() == "Nothing is planned yet."


def test_that_planning_is_begun_by_the_button_that_offers_it(small_desk: Desk, qtbot: QtBot) -> None:
    room = shown(small_desk, qtbot)
    board = BoardRoom(room.desk)
    qtbot.addWidget(board)
    do(qtbot, room, _save_plan(lambda _plan: Plan()))
    assert room.next.other.text() == "Plan the season"
    with qtbot.assertNotEmitted(board.planning.began):
        QTest.mouseClick(room.next.main, Qt.MouseButton.LeftButton)
    with qtbot.waitSignals([board.planning.began, board.planning.ended], timeout=60_000):
        QTest.mouseClick(room.next.other, Qt.MouseButton.LeftButton)
        board.planning.stop()
    settle(qtbot, room)


def test_that_the_pages_stay_where_they_are_whatever_is_next(room: SeasonRoom, qtbot: QtBot) -> None:
    room.resize(1104, 690)
    finding = Finding(Rule.SEASON_COORDINATOR, Severity.TROUBLE, Subject(), "None.", "Give it.")
    found: dict[int, list[str]] = {}
    for what in Next:
        for instead in (None, Step(Next.PLAN, 48), Step(Next.REPRINT, 33)):
            step = Step(what, 48, dt.date(2027, 5, 20), finding if what is Next.TROUBLES else None)
            room.next.show_next(WhatNext(step, instead))
            qtbot.wait(1)
            found.setdefault(room.pages.y(), []).append(f"{what.name} {instead}")
    assert len(found) == 1, found


def test_that_an_evening_with_people_out_is_next_on_its_own_date(
    knowing: Callable[[], Desk], season_path: Path, qtbot: QtBot
) -> None:
    desk = knowing()
    desk.now = lambda: dt.datetime(2027, 6, 4, 12, tzinfo=dt.UTC)
    with qtbot.waitSignal(desk.session.checked_changed, timeout=20_000):
        desk.session.open(lambda: SeasonFile.open(season_path), lambda: None)
    room = shown(desk, qtbot)
    assert room.next.said.text() == "18 routes have somebody out today."
    went: Went = []
    desk.went.connect(lambda name, subject: went.append((name, subject)))
    QTest.mouseClick(room.next.main, Qt.MouseButton.LeftButton)
    assert went == [(RoomName.TODAY, Subject(date=dt.date(2027, 6, 4)))]


def test_that_every_rule_has_a_room() -> None:
    rooms = {rule: room_of(rule) for rule in Rule}
    assert rooms[Rule.ROUTE_TOO_LONG] is RoomName.ROUTES
    assert rooms[Rule.VOLUNTEER_NO_EVENING] is RoomName.PEOPLE
    assert rooms[Rule.VISIT_UNFILLED] is rooms[Rule.RESERVE_DATE] is rooms[Rule.LOAD_LIMIT] is RoomName.BOARD
    assert rooms[Rule.SEASON_COORDINATOR] is rooms[Rule.PROTOCOL_UNVERIFIED] is RoomName.SEASON


def test_that_a_click_on_a_finding_leads_to_where_it_is_mended(room: SeasonRoom, went: Went) -> None:
    pane = room.overview.findings
    checked = room.desk.session.checked
    assert checked is not None
    assert [pane.model.findings[row] for row in range(pane.model.rowCount())] == list(checked.findings)
    for row in range(pane.shown.rowCount()):
        _click(room, pane.shown.index(row, 0))
    assert went == [(room_of(finding.rule), finding.subject) for finding in checked.findings]


def test_that_enter_leads_there_too_and_the_arrows_only_move(room: SeasonRoom, went: Went) -> None:
    view = room.overview.findings.list
    view.setFocus()
    view.setCurrentIndex(room.overview.findings.shown.index(0, 0))
    QTest.keyClick(view, Qt.Key.Key_Down)
    assert went == []
    QTest.keyClick(view, Qt.Key.Key_Return)
    finding = room.overview.findings.model.findings[1]
    assert went == [(room_of(finding.rule), finding.subject)]


def test_that_the_filter_says_how_many_there_are_and_why_the_list_is_empty(room: SeasonRoom) -> None:
    pane = room.overview.findings
    counts = {severity: button.text() for severity, button in pane.wanted.items()}
    assert sum(map(int, counts.values())) == pane.model.rowCount()
    for button in pane.wanted.values():
        QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    assert pane.shown.rowCount() == 0
    assert pane._none.text() == "The filter lets none of the findings through."
    assert pane._none.isVisible()
    QTest.mouseClick(pane.wanted[Severity.TROUBLE], Qt.MouseButton.LeftButton)
    assert pane.shown.rowCount() == int(counts[Severity.TROUBLE])
    pane.show_findings(())
    assert pane._none.text() == "Nothing was found: all is as it should be."


def test_that_the_coordinators_number_and_the_protocols_figures_are_mended_in_this_room(
    room: SeasonRoom, went: Went
) -> None:
    room._mend(Finding(Rule.SEASON_COORDINATOR, Severity.TROUBLE, Subject(), "None.", "Give it."))
    assert room.pages.details.isVisible()
    assert room.window().focusWidget() is room.pages.details.telephone
    room._mend(Finding(Rule.PROTOCOL_UNVERIFIED, Severity.NOTE, Subject(), "From memory.", "Compare."))
    assert room.pages.protocol.isVisible()
    assert went == []


def test_that_the_weakest_routes_come_first_and_lead_to_their_weakest_visit(room: SeasonRoom, went: Went) -> None:
    pane, checked = room.overview.risk, room.desk.session.checked
    assert checked is not None
    assert checked.risk is not None
    chances = [route.complete for route in pane.model.routes]
    assert chances == sorted(chances)
    assert len(chances) == 24
    expected = f"Expected: {checked.risk.risk.expected_visits:.1f} of 45 visits done."
    assert pane.said.text().startswith(expected)
    index = pane.model.index(2, 0)
    QTest.mouseClick(pane.table.viewport(), Qt.MouseButton.LeftButton, pos=pane.table.visualRect(index).center())
    third = pane.model.routes[2]
    assert went == [(RoomName.BOARD, Subject(route=third.route, visit=third.weakest_visit))]


def test_that_where_nothing_is_said_of_the_weather_it_can_be_said(room: SeasonRoom, qtbot: QtBot) -> None:
    do(qtbot, room, expect_no_weather)
    pane = room.overview.risk
    assert pane.said.text() == "Nothing is said of the weather, so no chance can be told."
    assert not pane.table.isVisible()
    QTest.mouseClick(pane.say_it, Qt.MouseButton.LeftButton)
    assert room.pages.details.isVisible()
    assert room.window().focusWidget() is next(iter(room.pages.details.weather.chances.values()))


def test_that_undo_brings_everything_back(room: SeasonRoom, qtbot: QtBot) -> None:
    before = (room.next.said.text(), room.overview.findings.model.findings, room.overview.risk.said.text())
    do(qtbot, room, _save_plan(lambda _plan: Plan()))
    assert room.next.said.text() != before[0]
    with qtbot.waitSignal(room.desk.session.checked_changed, timeout=10_000):
        room.desk.session.undo()
    settle(qtbot, room)
    after = (room.next.said.text(), room.overview.findings.model.findings, room.overview.risk.said.text())
    assert after == before


def test_that_an_empty_season_asks_for_files_and_dropped_ones_are_previewed(
    new_desk: Callable[[], Desk], tmp_path: Path, desk: Desk, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    season = replace(desk.session.snapshot.season, routes=(), volunteers=(), roads=None, lost_evenings=None)
    with SeasonFile.create(tmp_path / "empty.dimpsy", season):
        pass
    empty = new_desk()
    with qtbot.waitSignal(empty.session.checked_changed, timeout=20_000):
        empty.session.open(lambda: SeasonFile.open(tmp_path / "empty.dimpsy"), lambda: None)
    room = shown(empty, qtbot)
    assert room.next.said.text().startswith("There are no routes yet.")
    source = tmp_path / "volunteers.csv"
    source.write_text("code,name,latitude,longitude\nV1,Ada Reed,57.1,-4.2\n", encoding="utf-8")
    monkeypatch.setattr(QFileDialog, "getOpenFileNames", lambda *_args: ([str(source)], ""))
    QTest.mouseClick(room.next.main, Qt.MouseButton.LeftButton)
    preview = room.findChild(ImportPreview)
    assert preview is not None
    preview.close()
    QApplication.sendPostedEvents()
    files = QMimeData()
    files.setUrls([QUrl.fromLocalFile(str(source))])
    spot = QPointF(QPoint(5, 5))
    none = Qt.KeyboardModifier.NoModifier
    room.dropEvent(QDropEvent(spot, Qt.DropAction.CopyAction, files, Qt.MouseButton.LeftButton, none))
    qtbot.waitUntil(lambda: any(one.isVisible() for one in room.findChildren(ImportPreview)), timeout=10_000)
    for one in room.findChildren(ImportPreview):
        one.close()
    qtbot.waitUntil(lambda: not empty.session.working, timeout=10_000)


def test_that_every_step_can_be_said(room: SeasonRoom) -> None:
    for what in Next:
        for count in (1, 3):
            words = step_words(Step(what, count, dt.date(2027, 6, 4)))
            assert words.say
            assert "%" not in words.say
            assert words.button or what is Next.LOOK
    assert room.commands()
