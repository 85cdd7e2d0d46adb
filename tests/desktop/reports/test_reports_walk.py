"""Every page of the Reports room: named, reachable by keys, and nothing cut in a language 40 % longer."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.reports.room import ReportsRoom
from tests.desktop.walking import PseudoLanguage, clipped, disabled_without_reason, nameless, without_keys
from tests.field_returns import bring_back


@pytest.fixture
def _longer_language(qapp: QApplication) -> Iterator[None]:
    """Have everything said in the pseudo-language."""
    language = PseudoLanguage(qapp)
    assert qapp.installTranslator(language)
    yield
    qapp.removeTranslator(language)


@pytest.mark.usefixtures("_longer_language")
def test_that_every_page_is_named_reachable_and_whole(desk: Desk, qtbot: QtBot) -> None:
    with qtbot.waitSignal(desk.session.snapshot_changed):
        desk.session.do(lambda file: bring_back(file, desk.today()))
    room = ReportsRoom(desk)
    qtbot.addWidget(room)
    # What the list of rooms, the menus and the status line leave of a window of 1280 by 800.
    room.resize(1080, 725)
    room.show()
    qtbot.waitUntil(lambda: room.report is not None and not desk.session.working, timeout=20_000)
    for number in range(room.tabs.count()):
        room.tabs.setCurrentIndex(number)
        qtbot.wait(20)
        page = room.tabs.tabText(number)
        assert (page, room.width(), room.height(), clipped(room)) == (page, 1080, 725, [])
        assert (page, nameless(room), without_keys(room), disabled_without_reason(room)) == (page, [], [], [])
