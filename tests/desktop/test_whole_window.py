"""The whole window, room by room: named, reachable by keys, nothing cut, in both palettes and a longer language."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

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


def test_that_everything_in_every_room_has_a_name_a_key_and_a_reason(
    small_path: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    window = open_window(qtbot, tmp_path)
    pane = open_season(qtbot, window, small_path)
    for room in RoomName:
        pane.show_room(room)
        settle(qtbot, window)
        assert (room, nameless(window)) == (room, [])
        assert (room, without_keys(window)) == (room, [])
        assert (room, disabled_without_reason(window)) == (room, [])


@pytest.mark.usefixtures("longer_language")
def test_that_nothing_in_any_room_is_cut_in_a_language_40_percent_longer(
    small_path: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    window = open_window(qtbot, tmp_path)
    pane = open_season(qtbot, window, small_path)
    window.resize(1280, 800)
    for room in RoomName:
        pane.show_room(room)
        settle(qtbot, window)
        with contextlib.suppress(qtbot.TimeoutError):  # words that came last are laid out in the next turns of the loop
            qtbot.waitUntil(lambda: not clipped(window))
        assert (room, window.width(), clipped(window)) == (room, 1280, [])


@pytest.mark.usefixtures("longer_language")
def test_that_the_start_page_is_named_reachable_and_whole(tmp_path: Path, qtbot: QtBot) -> None:
    window = open_window(qtbot, tmp_path, palette="dark")
    assert nameless(window) == []
    assert without_keys(window) == []
    assert clipped(window) == []
