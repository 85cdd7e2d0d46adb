"""Visits are recorded by keyboard, judged as they are typed, and what follows is seen and acted on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest
from PySide6.QtCore import QDate, Qt
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.room import RoomName
from planner.desktop.sheets.visits.count_model import MARK_ROLE, TICK, CountColumn
from planner.desktop.sheets.visits.page import VisitsPage
from planner.desktop.sheets.visits.visit_model import WhichVisits
from planner.domain.disruption import PartlyDone
from planner.domain.field.visit_record import RecordKey, RecordState, Stopped, VisitRecord
from planner.domain.finding import Severity, Subject
from planner.domain.plan import Status, VisitKey
from planner.usecases.records.standing import RecordStanding
from tests.desktop.sheets.conftest import Hands
from tests.unit.usecases.checked_seasons import june

CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
ENTER, TAB = Qt.Key.Key_Return, Qt.Key.Key_Tab
FATAL = QAbstractItemModelTester.FailureReportingMode.Fatal
FIRST = RecordKey("R1", 1, june(2))
LATE = "2359"
"""Long after the light has gone."""

Settled = Callable[[], None]


def kept(desk: Desk) -> VisitRecord:
    (one,) = desk.session.snapshot.records
    return one


def clocks(desk: Desk, record: VisitRecord, name: str = "arrived_utc") -> list[str]:
    zone = desk.session.snapshot.season.tzinfo
    return [f"{getattr(one, name).astimezone(zone):%d %H:%M}" for one in record.counts]


def cell(page: VisitsPage, row: int, column: CountColumn, role: int = Qt.ItemDataRole.DisplayRole) -> object:
    model = page.pane.model
    return model.index(row, list(model.columns).index(column)).data(role)


def standing(page: VisitsPage) -> RecordStanding:
    return page.visits.evenings[0].standing


def as_planned(hands: Hands, settled: Settled) -> None:
    """Fill in every time as it was planned, by its key."""
    hands.presses(Qt.Key.Key_D, CTRL | SHIFT)
    settled()


def hand_in(hands: Hands, settled: Settled) -> None:
    """Hand the record in, by its key."""
    hands.presses(ENTER, CTRL)
    settled()


def late_at(page: VisitsPage, hands: Hands, settled: Settled, row: int) -> None:
    """Write over the end of one count with a time after the light."""
    page.pane.grid.go_to(row, CountColumn.ENDED)
    hands.types(LATE)
    hands.presses(ENTER)
    settled()


def test_that_what_is_said_of_a_record_does_not_make_the_window_higher(
    page: VisitsPage, hands: Hands, settled: Settled
) -> None:
    least = page.pane.minimumSizeHint().height()
    late_at(page, hands, settled, 0)
    assert any(beside.said for beside in page.pane.beside)
    assert page.pane.minimumSizeHint().height() == least
    page.resize(page.width(), 300)
    assert page.height() == 300


def test_that_the_tables_are_sound_while_records_are_written_and_others_are_shown(
    page: VisitsPage, hands: Hands, settled: Settled
) -> None:
    models = (page.pane.model, page.visits.model, page.visits.filter)
    testers = [QAbstractItemModelTester(model, FATAL) for model in models]
    hands.types("2150")
    hands.presses(ENTER)
    settled()
    page.visits.which.setCurrentIndex(page.visits.which.findData(WhichVisits.ALL))
    page.visits.choose(RecordKey("R2", 1, june(4)))
    as_planned(hands, settled)
    hand_in(hands, settled)
    page.pane.entry.show(None)
    assert page.pane.model.rowCount() == 0
    assert [tester.model() for tester in testers] == list(models)


def test_that_a_time_is_four_figures_and_enter_goes_down_where_the_row_was_begun(
    page: VisitsPage, hands: Hands, desk: Desk, settled: Settled
) -> None:
    steps = len(desk.session.snapshot.steps)
    for time in ("2150", "21.57", "9.58pm"):
        hands.types(time)
        hands.presses(ENTER)
        settled()
    assert clocks(desk, kept(desk)) == ["02 21:50", "02 21:57", "02 21:58"]
    assert (kept(desk).key, kept(desk).team, kept(desk).state) == (FIRST, ("V1",), RecordState.DRAFT)
    assert len(desk.session.snapshot.steps) == steps + 3
    assert page.pane.grid.currentIndex().row() == 3


def test_that_tab_goes_from_time_to_time_and_enter_back_to_the_first_of_the_next_point(
    hands: Hands, desk: Desk, settled: Settled
) -> None:
    for time in ("2150", "2151"):
        hands.types(time)
        hands.presses(TAB)
    hands.types("2157")
    hands.presses(ENTER)
    hands.types("2200")
    hands.presses(ENTER)
    settled()
    assert clocks(desk, kept(desk)) == ["02 21:50", "02 22:00"]
    (first, second) = kept(desk).counts
    assert (first.ended_utc, second.began_utc) == (dt.datetime(2027, 6, 2, 20, 57, tzinfo=dt.UTC), None)


def test_that_a_time_after_midnight_belongs_to_the_evening(hands: Hands, desk: Desk, settled: Settled) -> None:
    hands.types("0012")
    hands.presses(ENTER)
    settled()
    assert clocks(desk, kept(desk)) == ["03 00:12"]
    assert kept(desk).key == FIRST


def test_that_what_is_being_typed_is_not_written_over_when_the_row_before_is_kept(
    page: VisitsPage, hands: Hands, settled: Settled
) -> None:
    hands.types("2150")
    hands.presses(ENTER)
    hands.types("21")
    settled()
    hands.types("57")
    hands.presses(ENTER)
    assert cell(page, 1, CountColumn.ARRIVED) == "21:57"


@pytest.mark.parametrize("text", ["2575", "0945", "soon"])
def test_that_a_time_that_cannot_be_read_stays_with_its_reason_and_bars_handing_in(
    page: VisitsPage, hands: Hands, settled: Settled, text: str
) -> None:
    as_planned(hands, settled)
    page.pane.grid.go_to(1, CountColumn.BEGAN)
    hands.types(text)
    hands.presses(TAB)
    page.visits.choose(RecordKey("R2", 1, june(4)))
    page.visits.choose(FIRST)
    settled()
    assert cell(page, 1, CountColumn.BEGAN) == text
    assert cell(page, 1, CountColumn.BEGAN, MARK_ROLE) is Severity.BROKEN
    assert str(cell(page, 1, CountColumn.JUDGED)).startswith(f"'{text}': expected a time")
    action = page.pane.actions_here.hand_in
    assert not action.isEnabled()
    assert text in action.toolTip()
    page.pane.grid.go_to(1, CountColumn.BEGAN)
    hands.presses(Qt.Key.Key_Delete)
    settled()
    assert cell(page, 1, CountColumn.BEGAN) == ""
    assert action.isEnabled()


def test_that_as_planned_fills_what_is_blank_alone_and_all_points_count(
    page: VisitsPage, hands: Hands, desk: Desk, settled: Settled
) -> None:
    page.pane.grid.go_to(0, CountColumn.NOTE)
    hands.types("two birds")
    hands.presses(ENTER)
    as_planned(hands, settled)
    record = kept(desk)
    assert [one.note for one in record.counts if one.note] == ["two birds"]
    assert all(one.began_utc and one.ended_utc for one in record.counts[1:])
    assert (record.left_utc is not None, record.home_utc is not None) == (True, True)


def test_that_a_record_as_planned_makes_the_visit_done_and_undo_takes_that_back(
    page: VisitsPage, hands: Hands, desk: Desk, settled: Settled
) -> None:
    as_planned(hands, settled)
    assert page.pane.banner.line.words.text().startswith("Once handed in: 4 points count")
    assert [cell(page, row, CountColumn.JUDGED) for row in range(4)] == ["counts"] * 4
    assert [cell(page, row, CountColumn.JUDGED, MARK_ROLE) for row in range(4)] == [TICK] * 4
    hand_in(hands, settled)
    assert desk.session.snapshot.plan.by_key[VisitKey("R1", 1)].status is Status.DONE
    assert standing(page) is RecordStanding.DONE
    assert not page.pane.banner._decide.isVisible()
    desk.session.undo()
    settled()
    assert desk.session.snapshot.plan.by_key[VisitKey("R1", 1)].status is Status.PLANNED
    assert standing(page) is RecordStanding.DRAFT


def test_that_a_count_outside_its_light_is_said_beside_it_and_what_follows_above(
    page: VisitsPage, hands: Hands, settled: Settled
) -> None:
    as_planned(hands, settled)
    late_at(page, hands, settled, 3)
    page.pane.grid.go_to(3, CountColumn.ENDED)
    point = cell(page, 3, CountColumn.POINT)
    assert f"The count at point {point} ended at 23:59" in str(cell(page, 3, CountColumn.JUDGED))
    assert cell(page, 3, CountColumn.JUDGED, MARK_ROLE) is Severity.TROUBLE
    assert "its light window closes at" in page.pane.line.words.text()
    assert page.pane.banner.line.words.text().startswith("Once handed in: 3 of 4 points count. The whole visit")


def test_that_ways_on_are_asked_for_in_the_today_room_with_what_was_partly_done(
    page: VisitsPage, hands: Hands, desk: Desk, settled: Settled, qtbot: QtBot
) -> None:
    as_planned(hands, settled)
    late_at(page, hands, settled, 3)
    assert not page.pane.banner.ways.isVisible()
    hand_in(hands, settled)
    asked: list[object] = []
    desk.went.connect(lambda room, _subject: asked.append(room))
    desk.ways_wanted.connect(asked.append)
    page.pane.banner.ways.click()
    qtbot.waitUntil(lambda: len(asked) == 2, timeout=5000)
    assert asked == [RoomName.TODAY, PartlyDone(VisitKey("R1", 1), 3)]
    assert standing(page) is RecordStanding.PARTLY


def test_that_the_coordinator_lets_a_visit_stand_only_with_a_reason_and_may_take_that_back(
    page: VisitsPage, hands: Hands, desk: Desk, settled: Settled
) -> None:
    as_planned(hands, settled)
    late_at(page, hands, settled, 2)
    hand_in(hands, settled)
    banner = page.pane.banner
    assert not banner.stand.isEnabled()
    assert banner.stand.toolTip() == "Say first why it stands."
    banner.reason.setFocus()
    hands.types("clock ran fast")
    hands.presses(ENTER)
    settled()
    assert kept(desk).let_stand == "clock ran fast"
    assert desk.session.snapshot.plan.by_key[VisitKey("R1", 1)].status is Status.DONE
    assert "clock ran fast" in banner.line.words.text()
    banner.back.click()
    settled()
    assert kept(desk).let_stand == ""
    assert banner.ways.isEnabled()


def test_that_nothing_typed_is_lost_when_another_room_is_gone_to_in_the_middle(
    page: VisitsPage, hands: Hands, desk: Desk, settled: Settled
) -> None:
    hands.types("2150")
    page.hide()
    settled()
    assert clocks(desk, kept(desk)) == ["02 21:50"]


def test_that_undo_takes_back_what_is_still_being_typed_and_redo_brings_it_again(
    page: VisitsPage, hands: Hands, desk: Desk, settled: Settled
) -> None:
    hands.types("2150")
    desk.session.undo()
    settled()
    assert desk.session.snapshot.records == ()
    assert cell(page, 0, CountColumn.ARRIVED) == ""
    desk.session.redo()
    settled()
    assert clocks(desk, kept(desk)) == ["02 21:50"]


def test_that_the_evening_its_people_and_its_weather_are_written_field_by_field(
    page: VisitsPage, hands: Hands, desk: Desk, settled: Settled
) -> None:
    head = page.pane.head
    for line, text in ((head.left, "1930"), (head.home, "0010"), (head.distance, "21,5 mi")):
        line.setFocus()
        hands.types(text)
    page.pane.below.note.setFocus()
    hands.types("owls")
    head.second.setCurrentIndex(head.second.findData("V2"))
    head.second.activated.emit(head.second.currentIndex())
    head.second_distance.setFocus()
    hands.types("18")
    stopped = page.pane.below.stopped
    stopped.setCurrentIndex(stopped.findData("weather"))
    stopped.activated.emit(stopped.currentIndex())
    page.pane.grid.setFocus()
    settled()
    record = kept(desk)
    assert (record.team, record.stopped, record.note) == (("V1", "V2"), Stopped.WEATHER, "owls")
    assert record.left_utc == dt.datetime(2027, 6, 2, 18, 30, tzinfo=dt.UTC)
    assert record.home_utc == dt.datetime(2027, 6, 2, 23, 10, tzinfo=dt.UTC)
    assert record.distance_km == pytest.approx(34.6, abs=0.01)
    assert (head.distance.text(), head.second_distance.text()) == ("34.6 km", "18 km")
    assert record.second_km == 18.0


def test_that_nobody_goes_twice_and_the_form_says_so(page: VisitsPage, desk: Desk, settled: Settled) -> None:
    head = page.pane.head
    head.second.setCurrentIndex(head.second.findData("V1"))
    head.second.activated.emit(head.second.currentIndex())
    settled()
    assert "a team is one or two people" in page.pane.line.words.text()
    assert head.second.currentData() == ""
    assert desk.session.snapshot.records == ()


def test_that_a_record_of_another_evening_moves_with_its_times(
    page: VisitsPage, hands: Hands, desk: Desk, settled: Settled
) -> None:
    hands.types("0012")
    hands.presses(ENTER)
    settled()
    page.pane.head.date.setDate(QDate(2027, 6, 3))
    settled()
    assert kept(desk).key.date == june(3)
    assert clocks(desk, kept(desk)) == ["04 00:12"]
    assert page.pane.entry.key == kept(desk).key


def test_that_another_evening_of_a_visit_is_begun_beside_the_first(
    page: VisitsPage, hands: Hands, desk: Desk, settled: Settled
) -> None:
    as_planned(hands, settled)
    page.pane.actions_here.another.trigger()
    page.pane.grid.setFocus()
    hands.types("2200")
    hands.presses(ENTER)
    settled()
    assert [one.key.date for one in desk.session.snapshot.records] == [june(2), june(5)]


def test_that_a_record_is_taken_away_and_reopened_and_says_why_it_is_locked(
    page: VisitsPage, hands: Hands, desk: Desk, settled: Settled
) -> None:
    as_planned(hands, settled)
    hand_in(hands, settled)
    assert page.pane.head.lead.toolTip() == "The record is handed in: reopen it to change it."
    assert page.pane.head.left.isReadOnly()
    hands.presses(Qt.Key.Key_O, CTRL | SHIFT)
    settled()
    assert kept(desk).state is RecordState.DRAFT
    page.pane.actions_here.forget.trigger()
    settled()
    assert desk.session.snapshot.records == ()
    assert standing(page) is RecordStanding.AWAITED


def test_that_space_ticks_a_count_that_was_done_without_times(
    page: VisitsPage, hands: Hands, desk: Desk, settled: Settled
) -> None:
    page.pane.grid.go_to(1, CountColumn.DONE)
    hands.presses(Qt.Key.Key_Space)
    page.pane.grid.go_to(0, CountColumn.ARRIVED)
    settled()
    assert [(one.done, one.began_utc) for one in kept(desk).counts] == [(True, None)]
    page.pane.grid.go_to(1, CountColumn.DONE)
    hands.presses(Qt.Key.Key_Space)
    page.pane.grid.go_to(0, CountColumn.ARRIVED)
    settled()
    assert kept(desk).counts == ()


def test_that_the_list_is_searched_and_filtered_and_keeps_the_visit_that_is_shown(page: VisitsPage) -> None:
    visits = page.visits
    assert visits.filter.rowCount() == 2
    visits.which.setCurrentIndex(visits.which.findData(WhichVisits.ALL))
    assert visits.filter.rowCount() == 3
    visits.search.setText("r2 lane")
    assert [str(visits.filter.index(row, 0).data()) for row in range(visits.filter.rowCount())] == ["R1 · 1", "R2 · 1"]


def test_that_a_finding_is_shown_on_its_evening_and_its_point(page: VisitsPage, settled: Settled) -> None:
    subject = Subject("R2", 3, 1, date=june(4))
    assert page.takes(subject)
    assert not page.takes(Subject("R2", 3))
    page.show_subject(subject)
    settled()
    assert page.pane.entry.key == RecordKey("R2", 1, june(4))
    assert cell(page, page.pane.grid.currentIndex().row(), CountColumn.POINT) == "3"
    assert isinstance(page.focusWidget(), QWidget)


def test_that_a_visit_to_come_may_be_drafted_and_not_handed_in(
    page: VisitsPage, hands: Hands, settled: Settled
) -> None:
    page.visits.choose(RecordKey("R1", 2, june(12)))
    page.pane.grid.setFocus()
    settled()
    as_planned(hands, settled)
    action = page.pane.actions_here.hand_in
    assert not action.isEnabled()
    assert action.toolTip() == "The date is still to come."
