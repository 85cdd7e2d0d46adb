"""The two pages of the Paper room: itineraries, and calendars and messages, which are made when first turned to."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QTabWidget, QVBoxLayout, QWidget

from planner.desktop.desk import Desk

if TYPE_CHECKING:
    from planner.desktop.notices.page import NoticesPage


class PaperPages(QTabWidget):
    """What is printed; what goes out by mail and telephone."""

    def __init__(self, desk: Desk, itineraries: QWidget) -> None:
        super().__init__()
        self._desk = desk
        self._made: NoticesPage | None = None
        self._place = QWidget()
        self._box = QVBoxLayout(self._place)
        self._box.setContentsMargins(0, 0, 0, 0)
        for named in (self, self.tabBar()):
            named.setAccessibleName(self.tr("Pages of the Paper room"))
        self.addTab(itineraries, self.tr("Itineraries on paper"))
        self.addTab(self._place, self.tr("Calendars and messages"))
        self.setStyleSheet("QTabWidget::pane { border: 0; }")
        self.currentChanged.connect(self._turned)
        desk.telling_wanted.connect(self.tell)

    @property
    def notices(self) -> NoticesPage:
        """The page of calendars and messages."""
        if self._made is None:
            from planner.desktop.notices.page import NoticesPage

            self._made = NoticesPage(self._desk)
            self._box.addWidget(self._made)
            self._made.show()
        return self._made

    def choose(self, code: str) -> None:
        """Make somebody's row the current one on the page of calendars and messages, if it is there."""
        if self._made is not None:
            self._made.choose(code)

    def show_notices(self) -> None:
        """Turn to the page of calendars and messages."""
        self.setCurrentWidget(self._place)

    def tell(self, volunteers: Sequence[str]) -> None:
        """Turn to that page and tick some people on it."""
        self.show_notices()
        self.notices.tick_when_known(volunteers)

    def _turned(self, page: int) -> None:
        if self.widget(page) is self._place:
            self.notices.setFocus()
