"""A line for one thing that is written once on a record: a time, a distance; what cannot be read stays in it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QLineEdit

from planner.desktop.sheets.visits.entry import RecordEntry


class RecordLine(QLineEdit):
    """Takes what was typed when the line is left or Enter is pressed."""

    def __init__(self, entry: RecordEntry, name: str, unread_name: str, tip: str) -> None:
        super().__init__()
        self._entry = entry
        self._unread_name = unread_name
        self._tip = tip
        self._text: Callable[[], str] = str
        self._take: Callable[[str], object] = bool
        self._shown = ""
        self.setAccessibleName(name)
        self.editingFinished.connect(self.commit)

    def holds(self, text: Callable[[], str], take: Callable[[str], object]) -> None:
        """Say what stands in the line, and what takes what is typed."""
        self._text, self._take = text, take

    def commit(self) -> None:
        """Take what is typed, where it is another text."""
        if self.text().strip() != self._shown:
            self._take(self.text().strip())
            self.refresh()

    def refresh(self) -> None:
        """Show what is written now; what somebody is typing stays."""
        if self.hasFocus() and self.text().strip() != self._shown and not self._entry.locked:
            return
        why_not = self._entry.locked
        self._shown = self._entry.unread(self._unread_name) or self._text()
        if self.text() != self._shown:
            self.setText(self._shown)
        self.setReadOnly(bool(why_not))
        unread = self._entry.why_unread(self._unread_name)
        self.setToolTip("\n".join(filter(None, (unread, why_not or self._tip))))
        self.setAccessibleDescription(unread)
