"""All that a person can act on in the Season and Paper rooms has a name, a way by keys, and says why it is off."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QHeaderView,
    QLineEdit,
    QPlainTextEdit,
    QTabBar,
    QWidget,
)
from pytestqt.qtbot import QtBot

from planner.desktop.desk import Desk
from planner.desktop.paper.room import PaperRoom
from planner.desktop.room import Room
from planner.desktop.season.room import SeasonRoom
from tests.desktop.walking import PseudoLanguage, clipped, nameless, without_keys

ACTED_ON = (QAbstractButton, QAbstractItemView, QAbstractSpinBox, QComboBox, QLineEdit, QPlainTextEdit)


def _seen(desk: Desk, qtbot: QtBot, kind: type[Room]) -> list[QWidget]:
    """Return every control that is seen in a room, on all its pages."""
    room = kind(desk)
    qtbot.addWidget(room)
    room.show()
    qtbot.waitUntil(lambda: not desk.session.working, timeout=30_000)
    if not isinstance(room, SeasonRoom):
        return list(_acted_on(room))
    found: dict[QWidget, None] = {}
    for page in range(room.pages.count()):
        room.pages.setCurrentIndex(page)
        found |= dict.fromkeys(_acted_on(room))
    return list(found)


def _acted_on(room: Room) -> Iterator[QWidget]:
    """Yield every control of ours: not the pieces that Qt builds its own controls from."""
    for widget in room.findChildren(QWidget):
        inside = isinstance(widget.parent(), (QAbstractSpinBox, QComboBox, QLineEdit, QTabBar, QAbstractItemView))
        ours = isinstance(widget, ACTED_ON) and not inside and not isinstance(widget, QHeaderView)
        if ours and widget.isVisible() and not widget.objectName().startswith("qt_"):
            yield widget


@pytest.mark.parametrize("kind", [SeasonRoom, PaperRoom])
def test_that_every_control_has_a_name_and_a_way_by_keys(desk: Desk, qtbot: QtBot, kind: type[Room]) -> None:
    found = _seen(desk, qtbot, kind)
    assert len(found) > 10
    for widget in found:
        face = QAccessible.queryAccessibleInterface(widget)
        assert face.text(QAccessible.Text.Name).strip(), f"{widget} has no name"
        if widget.isEnabled():
            assert widget.focusPolicy() & Qt.FocusPolicy.TabFocus, f"{widget} is not reached with Tab"


@pytest.mark.parametrize("kind", [SeasonRoom, PaperRoom])
def test_that_every_button_that_is_off_says_why(desk: Desk, qtbot: QtBot, kind: type[Room]) -> None:
    off = [one for one in _seen(desk, qtbot, kind) if isinstance(one, QAbstractButton) and not one.isEnabled()]
    silent = [one for one in off if not one.toolTip()]
    assert off
    assert silent == []


@pytest.mark.parametrize("page", [0, 1, 2])
def test_that_nothing_on_any_page_is_cut_in_a_language_40_percent_longer(
    desk: Desk, qtbot: QtBot, qapp: QApplication, page: int
) -> None:
    language = PseudoLanguage(qapp)
    assert qapp.installTranslator(language)
    try:
        room = SeasonRoom(desk)
        qtbot.addWidget(room)
        room.resize(1110, 690)
        room.pages.setCurrentIndex(page)
        room.show()
        qtbot.waitUntil(lambda: not desk.session.working, timeout=30_000)
        QApplication.processEvents()
        assert room.height() == 690
        assert clipped(room) == []
        assert nameless(room) == []
        assert without_keys(room) == []
    finally:
        qapp.removeTranslator(language)
