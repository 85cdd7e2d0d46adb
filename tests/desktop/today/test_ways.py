"""Something breaks: ways on beside each other, one taken as one step, and those told whom it touches."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QAbstractItemModelTester, QTest
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.room import RoomName
from planner.desktop.today.moves_model import MoveColumn
from planner.desktop.today.notices_model import NoticeColumn, NoticesModel
from planner.desktop.today.panels import PanelName
from planner.desktop.today.room import TodayRoom
from planner.desktop.today.tell_page import TellPage
from planner.desktop.today.ways_page import WaysPage
from planner.domain.conditions import Condition
from planner.domain.disruption import (
    Disruption,
    EveningCancelled,
    PartlyDone,
    RoadClosed,
    SetupCancelled,
    VisitCancelled,
    VisitsCancelled,
    VolunteerLeaves,
)
from planner.domain.measures import Speed
from planner.domain.plan import VisitKey
from planner.domain.weather import Quantity
from planner.usecases.evening.conditions import keep_conditions
from tests.desktop.today.conftest import STORM

Clock = Callable[[dt.datetime], None]
Settled = Callable[[], None]


def ways_of(room: TodayRoom, disruption: Disruption, qtbot: QtBot) -> WaysPage:
    """Ask for the ways on and wait for the cards."""
    room.find_ways(disruption)
    page = room.ways
    assert page is not None
    assert room.pages.currentWidget() is page
    qtbot.waitUntil(lambda: bool(page.cards), timeout=60_000)
    return page


def take(room: TodayRoom, number: int, qtbot: QtBot) -> TellPage:
    """Accept a way and wait for those who must be told."""
    assert room.ways is not None
    QTest.mouseClick(room.ways.cards[number - 1].accept, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: room.tell is not None and room.pages.currentWidget() is room.tell, timeout=20_000)
    qtbot.waitUntil(lambda: not room.desk.session.working, timeout=20_000)
    assert room.tell is not None
    return room.tell


def test_that_a_stormy_evening_is_cancelled_seen_taken_told_and_undone(
    today: TodayRoom, desk: Desk, qtbot: QtBot, settled: Settled
) -> None:
    before = desk.session.snapshot.plan
    panel = today.evening.panels.disruption
    today.evening.panels.show_panel(PanelName.BREAKS)
    with qtbot.waitSignal(panel.broke) as broke:
        QTest.mouseClick(panel.evening, Qt.MouseButton.LeftButton)
    assert broke.args == [EveningCancelled(STORM)]
    page = today.ways
    assert page is not None
    qtbot.waitUntil(lambda: len(page.cards) == 3, timeout=60_000)
    assert desk.session.snapshot.plan is before, "nothing is changed by looking"
    assert page.moves.rowCount() == 18
    second = page.offer.ways[1] if page.offer else None
    assert second is not None
    QTest.mouseClick(page.cards[1].look, Qt.MouseButton.LeftButton)
    move = second.moves[0]
    assert move.after is not None
    assert f"{move.after.date:%a} {move.after.date.day}" in str(page.moves.index(0, MoveColumn.AFTER).data())
    tell = take(today, 2, qtbot)
    assert desk.session.snapshot.plan == second.plan
    assert desk.session.snapshot.undo_label == "Weather cancels Fri 4 Jun for everybody: 18 visits change"
    assert {one.volunteer for one in tell.rows.notices} == set(second.papers)
    desk.session.undo()
    settled()
    assert desk.session.snapshot.plan == before
    assert "may no longer be true" in tell.standing
    assert not tell.print.isEnabled()
    QTest.mouseClick(tell.back, Qt.MouseButton.LeftButton)
    assert today.pages.currentWidget() is today.evening


def test_that_the_no_go_ones_are_chosen_and_cancelled_together_told_and_printed(
    today: TodayRoom, desk: Desk, qtbot: QtBot, tmp_path: Path, settled: Settled
) -> None:
    gale = [Condition(Quantity.WIND, Speed(60, "km/h"))]
    desk.session.do(lambda file: keep_conditions(file, STORM, gale, ["R03", "R08"]))
    settled()
    panel = today.evening.panels.disruption
    today.evening.panels.show_panel(PanelName.BREAKS)
    QTest.mouseClick(panel.no_go, Qt.MouseButton.LeftButton)
    with qtbot.waitSignal(panel.broke) as broke:
        QTest.mouseClick(panel.weather, Qt.MouseButton.LeftButton)
    assert broke.args == [VisitsCancelled((VisitKey("R03", 2), VisitKey("R08", 2)))]
    assert today.open_here() is not None
    page = today.ways
    assert page is not None
    qtbot.waitUntil(lambda: bool(page.cards), timeout=60_000)
    first = page.offer.ways[0] if page.offer else None
    assert first is not None
    tell = take(today, 1, qtbot)
    assert not [one for one in desk.session.snapshot.plan if one.date == STORM and one.key.route in ("R03", "R08")]
    assert len([one for one in desk.session.snapshot.plan if one.date == STORM]) == 16
    assert today.open_here() is None, "nothing stands against the weather any more"
    network, desk.session.network = desk.session.network, None  # as where the file of the road map is gone
    tell.write_into(tmp_path / "estimated")
    assert "so drives cannot be told" in tell.printed_words
    assert not (tmp_path / "estimated").exists()
    desk.session.network = network
    tell.write_into(tmp_path / "papers")
    qtbot.waitUntil(lambda: "lie in" in tell.printed_words, timeout=60_000)
    settled()
    assert len(list((tmp_path / "papers").glob("*.pdf"))) == len(first.papers) > 1
    assert {run.volunteer for run in desk.session.snapshot.print_runs[-len(first.papers) :]} == set(first.papers)


def test_that_a_set_up_day_chosen_alone_is_cancelled_by_itself(
    today: TodayRoom, desk: Desk, at: Clock, qtbot: QtBot, settled: Settled
) -> None:
    own_day = next(one for one in desk.session.snapshot.plan if one.setup not in (None, one.date))
    assert own_day.setup is not None
    at(dt.datetime.combine(own_day.setup, dt.time(8), tzinfo=dt.UTC))
    today.watch.show_date(own_day.setup)
    qtbot.waitUntil(lambda: any(not one.outing.counts for one in today.watch.shown), timeout=10_000)
    panel = today.evening.panels.disruption
    today.evening.panels.show_panel(PanelName.BREAKS)
    today.evening.choose_routes([own_day.key.route])
    assert panel.weather.text() == f"Cancel the set-up day of {own_day.key.route} …"
    panel.broke.disconnect()
    asked: list[Disruption] = []
    panel.broke.connect(asked.append)
    QTest.mouseClick(panel.weather, Qt.MouseButton.LeftButton)
    assert asked == [SetupCancelled(own_day.key)]
    settled()


def test_that_each_kind_of_break_is_asked_for_as_it_is_filled_in(today: TodayRoom, desk: Desk, at: Clock) -> None:
    panel = today.evening.panels.disruption
    asked: list[Disruption] = []
    panel.broke.disconnect()
    panel.broke.connect(asked.append)
    today.evening.panels.show_panel(PanelName.BREAKS)
    assert not panel.weather.isEnabled()
    assert "Choose outings" in panel.weather.toolTip()
    today.evening.choose_routes(["R12"])
    assert not panel.no_go.isEnabled()
    for button in (panel.weather, panel.leaves, panel.closed, panel.partly):
        QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    lead = desk.session.snapshot.plan.by_key[VisitKey("R12", 2)].lead
    assert asked[0] == VisitCancelled(VisitKey("R12", 2))
    assert asked[1] == VolunteerLeaves(lead, STORM)
    assert isinstance(asked[2], RoadClosed)
    assert asked[2].route == "R12"
    assert asked[3] == PartlyDone(VisitKey("R12", 2), panel.points.value())
    at(dt.datetime(2027, 6, 5, 12, tzinfo=dt.UTC))
    today.watch.look_again()
    assert not panel.evening.isEnabled()
    assert "past" in panel.evening.toolTip()
    at(dt.datetime(2027, 6, 1, 12, tzinfo=dt.UTC))
    today.watch.look_again()
    assert not panel.partly.isEnabled()
    assert "still to come" in panel.partly.toolTip()


def test_that_who_drops_out_is_nobody_elses_affair_and_their_paper_is_void(
    today: TodayRoom, desk: Desk, qtbot: QtBot
) -> None:
    lead = desk.session.snapshot.plan.by_key[VisitKey("R12", 2)].lead
    ways_of(today, VolunteerLeaves(lead, STORM), qtbot)
    tell = take(today, 1, qtbot)
    assert not desk.session.snapshot.plan.of_volunteer(lead) or all(
        one.date < STORM for one in desk.session.snapshot.plan.of_volunteer(lead)
    )
    assert all("because of" not in one.text for one in tell.rows.notices)


def test_that_where_nothing_hangs_on_it_the_page_says_so(today: TodayRoom, qtbot: QtBot) -> None:
    today.find_ways(EveningCancelled(dt.date(2027, 6, 20)))
    page = today.ways
    assert page is not None
    qtbot.waitUntil(lambda: "nothing to repair" in page.told, timeout=20_000)
    assert not page.cards
    QTest.mouseClick(page.back, Qt.MouseButton.LeftButton)
    assert today.pages.currentWidget() is today.evening


def test_that_ways_of_a_season_that_has_changed_cannot_be_taken(
    today: TodayRoom, desk: Desk, qtbot: QtBot, settled: Settled
) -> None:
    page = ways_of(today, VisitCancelled(VisitKey("R12", 2)), qtbot)
    plan = desk.session.snapshot.plan

    def take_out(file: object) -> None:
        with file.step("Take one out"):  # type: ignore[attr-defined]  # a season file
            file.save_plan(plan.without(VisitKey("R03", 2)))  # type: ignore[attr-defined]  # a season file

    desk.session.do(take_out)
    settled()
    assert "has changed" in page.told
    assert not any(card.accept.isEnabled() for card in page.cards)


@pytest.fixture
def told(today: TodayRoom, qtbot: QtBot) -> TellPage:
    """The page of those to tell after one visit was cancelled."""
    ways_of(today, VisitCancelled(VisitKey("R15", 2)), qtbot)
    return take(today, 1, qtbot)


def test_that_the_letter_and_number_are_copied_and_opened_in_the_mail_program(told: TellPage) -> None:
    opened: list[QUrl] = []

    def answer(address: QUrl) -> bool:
        opened.append(address)
        return True

    told._open = answer
    notice = told.rows.notices[0]
    assert told.text.toPlainText() == notice.text
    QTest.mouseClick(told.copy, Qt.MouseButton.LeftButton)
    assert QGuiApplication.clipboard().text() == notice.text
    QTest.mouseClick(told.copy_number, Qt.MouseButton.LeftButton)
    assert QGuiApplication.clipboard().text() == notice.telephone
    QTest.mouseClick(told.mail, Qt.MouseButton.LeftButton)
    address = urlsplit(bytes(opened[0].toEncoded().data()).decode())
    assert address.scheme == "mailto"
    assert parse_qs(address.query)["body"] == [notice.text.replace("\n", "\r\n")]
    assert told.unanswered == ""


def test_that_where_no_program_answers_it_is_said_in_place(told: TellPage, tmp_path: Path, settled: Settled) -> None:
    told._open = lambda _address: False
    QTest.mouseClick(told.mail, Qt.MouseButton.LeftButton)
    assert told.unanswered == "No mail program answered; copy the text instead."
    told.table.setCurrentIndex(told.rows.index(1, 0))
    assert told.unanswered == ""
    told.write_into(tmp_path / "out")
    settled()
    QTest.mouseClick(told.open_folder, Qt.MouseButton.LeftButton)
    assert told.printed_words.endswith(f"The itineraries lie in {tmp_path / 'out'}.")
    assert "No program answered" in told.printed_words


def test_that_calendars_and_messages_of_those_touched_are_asked_for_in_the_paper_room(told: TellPage) -> None:
    assert told.calendars.text() == f"Calendars and messages for {len(told.rows.notices)} …"
    asked: list[object] = []
    told._desk.went.connect(lambda room, _subject: asked.append(room))
    told._desk.telling_wanted.connect(asked.append)
    QTest.mouseClick(told.calendars, Qt.MouseButton.LeftButton)
    assert asked == [RoomName.PAPER, tuple(one.volunteer for one in told.rows.notices)]


def test_that_telling_goes_from_one_to_the_next(told: TellPage) -> None:
    count = len(told.rows.notices)
    assert count == 2
    assert f"{count} of {count}" in told.standing
    QTest.keyClick(told.told, Qt.Key.Key_Space)
    assert told.table.currentIndex().row() == 1
    assert "1 of 2" in told.standing
    QTest.keyClick(told.told, Qt.Key.Key_Space)
    assert "Everybody has been told" in told.standing
    told.rows.setData(told.rows.index(0, 0), Qt.CheckState.Unchecked.value, Qt.ItemDataRole.CheckStateRole)
    assert "1 of 2" in told.standing


def test_that_who_is_not_told_yet_can_be_come_back_to(
    told: TellPage, today: TodayRoom, desk: Desk, settled: Settled
) -> None:
    letters = today.evening.letters
    QTest.mouseClick(told.told, Qt.MouseButton.LeftButton)
    QTest.mouseClick(told.back, Qt.MouseButton.LeftButton)
    assert letters.isVisible()
    assert "1 …" in letters.text()
    QTest.mouseClick(letters, Qt.MouseButton.LeftButton)
    assert today.pages.currentWidget() is told
    assert told.rows.left == 1
    QTest.mouseClick(told.back, Qt.MouseButton.LeftButton)
    desk.session.undo()
    settled()
    assert not letters.isVisible(), "what is undone need not be told"


def test_that_the_models_of_this_part_are_sound(told: TellPage, today: TodayRoom) -> None:
    fatal = QAbstractItemModelTester.FailureReportingMode.Fatal
    QAbstractItemModelTester(told.rows, fatal)
    told.rows.show(told.rows.notices[:1])
    told.rows.tell(0, told=True)
    assert today.ways is not None
    QAbstractItemModelTester(today.ways.moves, fatal)
    assert NoticesModel().rowCount() == 0
    assert [told.rows.headerData(column, Qt.Orientation.Horizontal) for column in NoticeColumn] == [
        "Told",
        "Telephone",
        "Paper",
    ]
