"""What can be done in the Routes room, by button, key, or find-anything."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.icons import DRAWINGS, Drawing, drawn_icon
from planner.desktop.routes import icons
from planner.desktop.routes.words import tr


class RoomActions(QObject):
    """The actions of the room; those that change the season are off where it may only be read."""

    def __init__(self, desk: Desk, room: QWidget) -> None:
        super().__init__(room)
        self._desk, self._room = desk, room
        self.new_route = self._action(tr("New route"), DRAWINGS["new"], "Ctrl+Shift+N")
        self.lay_out = self._action(tr("Lay out points along a road …"), icons.lay_out, "Ctrl+L")
        self.bring = self._action(tr("Bring files in …"), icons.bring, "Ctrl+I")
        self.whole = self._action(tr("See all routes"), icons.whole, "Ctrl+0")
        self.seek = self._action(tr("Search routes"), DRAWINGS["find"], "Ctrl+F")
        desk.look_changed.connect(self._dress)
        self._dress()

    @property
    def all(self) -> tuple[QAction, ...]:
        """Every one of them."""
        return (self.new_route, self.lay_out, self.bring, self.whole, self.seek)

    def allow(self, why_not: str) -> None:
        """Let the season be changed; or not, and why."""
        for action in (self.new_route, self.lay_out, self.bring):
            action.setEnabled(not why_not)
        for action in self.all:
            key = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
            usual = f"{action.text()} ({key})"
            action.setToolTip(usual if action.isEnabled() else f"{action.text()}: {why_not}")

    def _action(self, text: str, drawing: Drawing, key: str) -> QAction:
        action = QAction(text, self)
        action.setData(drawing)
        action.setShortcut(QKeySequence(key))
        action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        self._room.addAction(action)
        return action

    def _dress(self) -> None:
        for action in self.all:
            action.setIcon(drawn_icon(action.data(), self._desk.colours))
