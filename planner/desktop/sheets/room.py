"""The Sheets room: its pages, one for each kind of what comes back from the field."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QTabWidget, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.room import Room, RoomName
from planner.desktop.sheets.page import PAGES, SheetsPage
from planner.desktop.sheets.words import tr
from planner.domain.finding import Subject


class SheetsRoom(Room):
    """Pages beside one another; the first is there at once, the others when they are turned to."""

    name: ClassVar[RoomName] = RoomName.SHEETS

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName(tr("What came back"))
        self.tabs.tabBar().setAccessibleName(tr("What came back"))
        self.tabs.setStyleSheet("QTabWidget::pane { border: 0; }")
        self._places = [QWidget() for _ in PAGES]
        self._pages: dict[int, SheetsPage] = {}
        for kind, place in zip(PAGES, self._places, strict=True):
            QVBoxLayout(place).setContentsMargins(0, 8, 0, 0)
            self.tabs.addTab(place, tr(kind.title))
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 8, 12, 8)
        column.addWidget(self.tabs, 1)
        self._turns = [self._turn_action(number) for number in range(len(PAGES))]
        self.tabs.currentChanged.connect(self.page)
        self.page(0)

    def page(self, number: int) -> SheetsPage:
        """Return a page, made now if it was not."""
        if number not in self._pages:
            self._pages[number] = made = PAGES[number].make(self.desk)
            layout = self._places[number].layout()
            if layout is not None:
                layout.addWidget(made)
            self.setFocusProxy(self._pages[0])
        return self._pages[number]

    def show_subject(self, subject: Subject) -> None:
        """Turn to the page that the subject belongs to, and show it there."""
        number = next((at for at in range(len(PAGES)) if self.page(at).takes(subject)), 0)
        self.tabs.setCurrentIndex(number)
        self.page(number).show_subject(subject)

    def commands(self) -> Sequence[QAction]:
        """Return what can be done on the pages, and how to turn to them."""
        return [*self._turns, *(action for page in self._pages.values() for action in page.commands())]

    def _turn_action(self, number: int) -> QAction:
        action = QAction(tr("Sheets: %1", tr(PAGES[number].title)), self)
        action.triggered.connect(lambda _checked=False: self.tabs.setCurrentIndex(number))
        return action
