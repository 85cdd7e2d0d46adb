"""Commands of one pane: heard while the keyboard is in it, and explained with their key, or with why they cannot be."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget


def pane_action(pane: QWidget, text: str, key: str, does: str) -> QAction:
    """Return a new command of a pane.

    Args:
        pane: while it or something in it has the keyboard, the key is heard.
        text: what the command is called.
        key: its key; empty for none.
        does: what it does, in words.
    """
    action = QAction(text, pane)
    if key:
        action.setShortcut(QKeySequence(key))
    action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
    action.setData(does)
    pane.addAction(action)
    return action


def allow(action: QAction, why_not: str) -> None:
    """Let a command be used unless something speaks against it; its tool tip says what it does, or why it cannot be."""
    action.setEnabled(not why_not)
    key = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
    does = f"{action.text()}: {action.data()}" + (f" ({key})" if key else "")
    action.setToolTip(why_not or does)
