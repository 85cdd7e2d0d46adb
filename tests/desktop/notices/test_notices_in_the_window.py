"""The page of calendars and messages in the whole window: named, reachable by keys, nothing cut."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from planner.desktop.paper.room import PaperRoom
from planner.desktop.room import RoomName
from tests.desktop.walking import PseudoLanguage, clipped, disabled_without_reason, nameless, without_keys
from tests.desktop.windows import open_season, open_window, settle


@pytest.fixture
def longer_language(qapp: QApplication) -> Iterator[None]:
    """Have everything said in the pseudo-language."""
    language = PseudoLanguage(qapp)
    assert qapp.installTranslator(language)
    yield
    qapp.removeTranslator(language)


@pytest.mark.usefixtures("longer_language")
def test_that_the_page_is_named_keyed_and_whole_in_a_language_40_percent_longer(
    small_path: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    window = open_window(qtbot, tmp_path)
    pane = open_season(qtbot, window, small_path, RoomName.PAPER)
    window.resize(1280, 800)
    room = window.findChild(PaperRoom)
    assert room is not None
    pane.desk.tell(["V01"])
    qtbot.waitUntil(lambda: room.pages.notices.watch.fresh, timeout=30_000)
    settle(qtbot, window)
    assert room.pages.notices.model.ticked == ("V01",)
    assert window.width() == 1280
    for trouble in (nameless, without_keys, disabled_without_reason, clipped):
        assert (trouble.__name__, trouble(window)) == (trouble.__name__, [])
