"""Every control of the Routes room has a name, a key and a reason, and the room is left as it was shared out."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QAbstractItemView, QComboBox, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from planner.desktop.routes.room import RoutesRoom
from planner.desktop.routes.splitters import KeptSplitter
from tests.desktop.routes.conftest import Settle


def test_that_every_control_has_a_name_a_keyboard_way_and_a_word_for_why_it_is_disabled(
    room: RoutesRoom, settle: Settle
) -> None:
    room.choose("R05")
    settle()
    kinds = (QAbstractButton, QLineEdit, QComboBox, QAbstractItemView)
    controls = [one for kind in kinds for one in room.findChildren(kind) if one.isVisibleTo(room)]
    assert len(controls) > 20
    for one in controls:
        if _inside(one, QComboBox, QAbstractItemView) or one.objectName().startswith("qt_"):
            continue
        named = one.accessibleName() or getattr(one, "text", str)()
        assert named, one
        assert one.focusPolicy() & Qt.FocusPolicy.TabFocus, one
        assert one.isEnabled() or one.toolTip(), one


def _inside(widget: QWidget, *kinds: type[QWidget]) -> bool:
    parent = widget.parentWidget()
    return parent is not None and (isinstance(parent, kinds) or _inside(parent, *kinds))


def test_that_the_room_is_shared_out_as_it_was_left(room: RoutesRoom, qtbot: QtBot) -> None:
    whole = room.findChildren(KeptSplitter)[0]
    handle = whole.handle(1)
    begin = handle.rect().center()
    QTest.mousePress(handle, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, begin)
    QTest.mouseMove(handle, begin + QPoint(60, 0))
    QTest.mouseRelease(handle, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, begin + QPoint(60, 0))
    left = whole.sizes()
    again = RoutesRoom(room.desk)
    qtbot.addWidget(again)
    again.resize(room.size())
    again.show()
    assert again.findChildren(KeptSplitter)[0].sizes() == left
