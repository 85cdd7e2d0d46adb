"""Every part of the People room: named, reachable, nothing cut in a longer language, and never waited for."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.people.new_person import NewPersonDialog
from planner.desktop.people.room import PeopleRoom
from planner.usecases.people.person_entry import PersonEntry, PersonField
from tests.desktop.people.conftest import Settle
from tests.desktop.walking import PseudoLanguage, clipped, disabled_without_reason, nameless, without_keys
from tests.desktop.watchdog import BLOCKED_AT_MOST_MS, Watchdog


@pytest.fixture
def longer_language(qapp: QApplication) -> Iterator[None]:
    """Have everything said in the pseudo-language."""
    language = PseudoLanguage(qapp)
    assert qapp.installTranslator(language)
    yield
    qapp.removeTranslator(language)


def _parts(room: PeopleRoom, desk: Desk, settle: Settle) -> Iterator[QWidget]:
    """Yield the room with each of its pages, a removal asked for and a fault told."""
    for page in (room.dates, room.reach, room.person):
        room.tabs.setCurrentWidget(page)
        settle()
        yield room
    room.remove_action.trigger()
    edit = room.person.fields.edits[PersonField.HOME]
    edit.setFocus()
    QTest.keyClicks(edit, "?")
    QTest.keyClick(edit, Qt.Key.Key_Return)
    settle()
    assert room.person.fields.fault(PersonField.HOME)
    yield room
    dialog = NewPersonDialog(desk, room)
    dialog.fields.show_entry(PersonEntry())
    dialog.show()
    dialog.add.click()
    settle()
    yield dialog
    dialog.reject()


def test_that_everything_has_a_name_a_key_and_a_reason(room: PeopleRoom, desk: Desk, settle: Settle) -> None:
    for part in _parts(room, desk, settle):
        assert nameless(part) == []
        assert without_keys(part) == []
        assert disabled_without_reason(part) == []


@pytest.mark.usefixtures("longer_language")
def test_that_nothing_is_cut_in_a_language_40_percent_longer(room: PeopleRoom, desk: Desk, settle: Settle) -> None:
    for part in _parts(room, desk, settle):
        QApplication.processEvents()
        assert clipped(part) == []
        assert part.window().width() <= 1120


def test_that_nobody_waits_while_volunteers_are_looked_through_and_dates_painted(
    room: PeopleRoom, desk: Desk, settle: Settle, qtbot: QtBot
) -> None:
    dog = Watchdog()
    with dog.acting("making the room"):
        another = PeopleRoom(desk)
    qtbot.addWidget(another)
    for page in (room.dates, room.person, room.reach):
        with dog.acting(f"going to {type(page).__name__}"):
            room.tabs.setCurrentWidget(page)
        settle()
        for code in ("V01", "V20", "V34"):
            with dog.acting(f"choosing {code} on {type(page).__name__}"):
                room.table.choose(code)
            settle()
    room.tabs.setCurrentWidget(room.dates)
    view = room.dates.view
    first = view.visualRect(room.dates.model.index(3, 1)).center()
    QTest.mousePress(view.viewport(), Qt.MouseButton.LeftButton, pos=first)
    for row in range(3, 9):
        with dog.acting("painting"):
            QTest.mouseMove(view.viewport(), view.visualRect(room.dates.model.index(row, row % 7)).center())
    QTest.mouseRelease(view.viewport(), Qt.MouseButton.LeftButton, pos=first)
    settle()
    assert dog.longest_cpu_ms < BLOCKED_AT_MOST_MS, dog.where
