"""The season's own form: each change is a step, undo shows in the fields, what is refused is said beside them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QDate, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.look.colours import DARK, LIGHT
from planner.desktop.season.details_page import DetailsPage
from planner.desktop.season.field import StepLine
from planner.desktop.season.protocol_page import ProtocolPage
from planner.desktop.season.room import SeasonRoom
from planner.domain.calendar import DateRange
from planner.domain.lost_evenings import LostEvenings
from planner.exchange import shipped_protocol
from planner.store import SeasonFile
from tests.desktop.season.conftest import settle, shown


@pytest.fixture
def desk(small_desk: Desk) -> Desk:
    """Return the desk that the forms stand on: a few routes and people do."""
    return small_desk


def _page(room: SeasonRoom) -> DetailsPage:
    room.pages.turn_to_details()
    return room.pages.details


def _type(qtbot: QtBot, room: SeasonRoom, line: StepLine, text: str) -> None:
    with qtbot.waitSignal(room.desk.session.snapshot_changed, timeout=10_000):
        line.setFocus()
        line.selectAll()
        QTest.keyClicks(line, text)
        QTest.keyClick(line, Qt.Key.Key_Return)
    settle(qtbot, room)


def _last_label(room: SeasonRoom) -> str:
    return room.desk.session.snapshot.steps[-1].label


def test_that_a_new_name_is_a_step_and_undo_shows_the_old_one(room: SeasonRoom, qtbot: QtBot) -> None:
    page = _page(room)
    before = page.name.text()
    _type(qtbot, room, page.name, "Dusk on the heath")
    assert _last_label(room) == "Call the season 'Dusk on the heath'"
    assert room.title.text() == "Dusk on the heath"
    page.zone.setFocus()
    with qtbot.waitSignal(room.desk.session.snapshot_changed, timeout=10_000):
        room.desk.session.undo()
    settle(qtbot, room)
    assert page.name.text() == before
    assert room.title.text() == before


def test_that_an_empty_name_is_refused_and_the_old_one_put_back(room: SeasonRoom, qtbot: QtBot) -> None:
    page = _page(room)
    before = page.name.text()
    page.name.setFocus()
    page.name.clear()
    with qtbot.waitSignal(room.desk.session.failed, timeout=10_000) as refused:
        QTest.keyClick(page.name, Qt.Key.Key_Return)
    assert "needs a name" in str(refused.args[0])
    assert page.name.text() == before


def test_that_escape_takes_back_what_was_typed(room: SeasonRoom) -> None:
    page = _page(room)
    before, steps = page.telephone.text(), len(room.desk.session.snapshot.steps)
    page.telephone.setFocus()
    QTest.keyClicks(page.telephone, "99")
    QTest.keyClick(page.telephone, Qt.Key.Key_Escape)
    assert page.telephone.text() == before
    page.email.setFocus()
    assert len(room.desk.session.snapshot.steps) == steps


def test_that_the_coordinator_is_kept_and_an_empty_number_is_said_to_be_missing(room: SeasonRoom, qtbot: QtBot) -> None:
    page = _page(room)
    _type(qtbot, room, page.telephone, "07700 900123")
    assert room.desk.session.snapshot.season.coordinator.telephone == "07700 900123"
    assert not page.trouble.isVisible()
    page.telephone.setFocus()
    page.telephone.clear()
    with qtbot.waitSignal(room.desk.session.snapshot_changed, timeout=10_000):
        QTest.keyClick(page.telephone, Qt.Key.Key_Return)
    assert page.trouble.isVisible()


def test_that_dates_are_set_together_as_one_step(room: SeasonRoom, qtbot: QtBot) -> None:
    page = _page(room)
    box = page.dates
    assert not box.set_button.isEnabled()
    assert box.set_button.toolTip() == "The dates are those of the file"
    box.visits[1].last.setDate(QDate(2027, 6, 28))
    with qtbot.waitSignal(room.desk.session.snapshot_changed, timeout=10_000):
        QTest.mouseClick(box.set_button, Qt.MouseButton.LeftButton)
    season = room.desk.session.snapshot.season
    assert season.visits[1] == DateRange(dt.date(2027, 6, 4), dt.date(2027, 6, 28))
    assert not box.set_button.isEnabled()


def test_that_impossible_dates_are_refused_beside_the_button_and_can_be_put_back(
    room: SeasonRoom, qtbot: QtBot
) -> None:
    page = _page(room)
    box = page.dates
    box.season.last.setDate(QDate(2027, 6, 10))
    QTest.mouseClick(box.set_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: "must lie inside the season" in box.trouble.text(), timeout=10_000)
    assert box.trouble.isVisible()
    box.season.last.setDate(QDate(2027, 4, 1))
    QTest.mouseClick(box.set_button, Qt.MouseButton.LeftButton)
    assert "dates are reversed" in box.trouble.text()
    QTest.mouseClick(box.back, Qt.MouseButton.LeftButton)
    assert box.season.range == room.desk.session.snapshot.season.dates
    assert not box.trouble.isVisible()


def test_that_what_is_expected_of_the_weather_is_said_and_unsaid(room: SeasonRoom, qtbot: QtBot) -> None:
    page = _page(room)
    box, before = page.weather, room.desk.session.snapshot.season.lost_evenings
    assert before is not None
    number = next(iter(box.chances))
    assert box.chances[number].value() == round(100 * before.chances[number])
    box.chances[number].setValue(20)
    with qtbot.waitSignal(room.desk.session.snapshot_changed, timeout=10_000):
        QTest.mouseClick(box.say, Qt.MouseButton.LeftButton)
    weather = room.desk.session.snapshot.season.lost_evenings
    assert isinstance(weather, LostEvenings)
    assert weather.chances[number] == 0.2
    assert not box.say.isEnabled()
    with qtbot.waitSignal(room.desk.session.snapshot_changed, timeout=10_000):
        QTest.mouseClick(box.unsay, Qt.MouseButton.LeftButton)
    assert room.desk.session.snapshot.season.lost_evenings is None
    assert box.unsay.toolTip() == "Nothing is said of the weather"
    assert box.say.isEnabled()


def test_that_notes_are_kept_when_asked_to(room: SeasonRoom, qtbot: QtBot) -> None:
    page = _page(room)
    assert not page.keep_notes.isEnabled()
    page.notes.setFocus()
    QTest.keyClicks(page.notes, "Ring the warden first.")
    with qtbot.waitSignal(room.desk.session.snapshot_changed, timeout=10_000):
        QTest.mouseClick(page.keep_notes, Qt.MouseButton.LeftButton)
    assert room.desk.session.snapshot.season.notes == "Ring the warden first."
    assert not page.keep_notes.isEnabled()


def test_that_a_file_open_for_reading_cannot_be_changed_and_says_why(
    desk: Desk, new_desk: Callable[[], Desk], small_path: Path, qtbot: QtBot
) -> None:
    assert desk.session.snapshot.read_only_reason == ""
    other = new_desk()
    with qtbot.waitSignal(other.session.checked_changed, timeout=20_000):
        other.session.open(lambda: SeasonFile.open(small_path), lambda: None)
    page = _page(shown(other, qtbot))
    assert page.name.isReadOnly()
    assert page.name.toolTip() == other.session.snapshot.read_only_reason != ""
    page.weather.persistence.setValue(1)
    assert not page.weather.say.isEnabled()
    page.dates.season.first.setDate(QDate(2027, 5, 4))
    assert not page.dates.set_button.isEnabled()


def test_that_figures_from_memory_are_named_first_and_marked_in_words(qtbot: QtBot) -> None:
    protocol = shipped_protocol("marsh_birds")
    assert protocol.from_memory
    page = ProtocolPage(protocol, LIGHT)
    qtbot.addWidget(page)
    said = [label.text() for label in page.findChildren(QLabel) if label.text()]
    marks = [text for text in said if text.endswith(("relying on it.", "says nothing.", "in the source."))]
    assert marks[0] == "From memory, not verified: check it before relying on it."
    for figure in protocol.from_memory:
        assert any(figure.words in text and figure.source in text for text in said)
    assert "Local law, the land manager and the survey's own safety rules come first." in said
    page.set_colours(DARK)
