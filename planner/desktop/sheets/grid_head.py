"""What stands over the grid: the route, which visit, whose estimate, of what date, and what is done to it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from PySide6.QtCore import QDate, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QButtonGroup, QComboBox, QDateEdit, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from planner.desktop.look.flow import FlowLayout
from planner.desktop.look.words import ElidedHeading
from planner.desktop.sheets.words import tr
from planner.domain.field.habitat_sheet import Side

_NAME_LETTERS = 28
"""Of an observer's name find room."""
_BETWEEN_BUTTONS = 5
_DATE_FRAME = 44
"""What stands round the words of the date: its frame, and the arrow that opens the calendar."""


class GridHead(QWidget):
    """Chooses what the grid shows."""

    visit_chosen = Signal(int)
    observer_chosen = Signal(str)
    date_chosen = Signal(object)
    """A date for the sheet of the current point."""
    side_chosen = Signal(object)
    """The Side of the road that is to be written."""

    def __init__(self, visits: int, actions: Sequence[QAction], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.title = ElidedHeading()
        self._visits = QButtonGroup(self)
        self.sides = {side: _side_button(side) for side in (Side.LEFT, Side.RIGHT)}
        self.observer = QComboBox()
        self.observer.setAccessibleName(tr("Whose estimate"))
        self.observer.setToolTip(
            tr("Whose estimate it is; choosing somebody else begins a second one of the same visit")
        )
        self.date = QDateEdit()
        self.date.setAccessibleName(tr("Estimated on"))
        self.date.setToolTip(tr("When the current point was estimated"))
        self.date.setCalendarPopup(True)
        self.date.setDisplayFormat("ddd d MMM yyyy")
        self.date.setSpecialValueText(tr("no date"))
        # Qt's own hint is too narrow for most dates: their year would be cut.
        self.date.setMinimumWidth(_widest_date(self.date) + _DATE_FRAME)
        self.observer.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.observer.setMinimumContentsLength(_NAME_LETTERS)
        self._begin = QDate(2000, 1, 1)
        self._is_filling = False
        self._lay_out(visits, actions)
        self._visits.idClicked.connect(self.visit_chosen)
        self.observer.activated.connect(lambda _row: self.observer_chosen.emit(self.observer.currentData()))
        self.date.dateChanged.connect(self._date_changed)

    def show_side(self, shown: Side) -> None:
        """Mark the side of the road that is shown; where the whole circle is estimated there is none to choose."""
        for side, button in self.sides.items():
            button.setVisible(shown is not Side.CIRCLE)
            button.setChecked(side is shown)

    def show_visit(self, visit: int) -> None:
        """Mark the visit that is shown."""
        button = self._visits.button(visit)
        if button is not None:
            button.setChecked(True)

    def show_observers(self, offered: Sequence[tuple[str, str]], chosen: str) -> None:
        """Offer observers, (code, words) each, with one of them chosen."""
        self.observer.clear()
        for code, words in offered:
            self.observer.addItem(words, code)
        self.observer.setCurrentIndex(self.observer.findData(chosen))

    def show_date(self, date: dt.date | None, why_not: str) -> None:
        """Show the date of the current point's sheet; ``why_not``: why it may not be changed, empty where it may."""
        self._is_filling = True
        self.date.setEnabled(not why_not)
        self.date.setToolTip(why_not or tr("When the current point was estimated"))
        shown = QDate(date.year, date.month, date.day) if date is not None else self._begin
        # The lowest date of the field stands for none: it lies before the season, and before the date that is shown.
        lowest = self._begin if date is None or shown > self._begin else shown.addDays(-1)
        self.date.setMinimumDate(lowest)
        self.date.setDate(shown)
        self._is_filling = False

    def show_season(self, first: dt.date) -> None:
        """Begin with a season where a sheet without a date is given one."""
        # The first of a month, for a day steps up within its month alone.
        before = QDate(first.year, first.month, first.day).addDays(-1)
        self._begin = before.addDays(1 - before.day())

    def _date_changed(self, date: QDate) -> None:
        if not self._is_filling and date > self.date.minimumDate():
            self.date_chosen.emit(dt.date(date.year(), date.month(), date.day()))

    def _lay_out(self, visits: int, actions: Sequence[QAction]) -> None:
        first, second = QHBoxLayout(), FlowLayout(across=_BETWEEN_BUTTONS)
        first.addWidget(self.title, 1)
        for number in range(1, visits + 1):
            button = QPushButton(tr("Visit %1", number))
            button.setCheckable(True)
            self._visits.addButton(button, number)
            first.addWidget(button)
        for side, button in self.sides.items():
            button.clicked.connect(lambda _checked=False, side=side: self.side_chosen.emit(side))
            first.addWidget(button)
        first.addWidget(self.observer)
        first.addWidget(self.date)
        for action in actions:
            second.addWidget(action_button(action))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(first)
        column.addLayout(second)


def _side_button(side: Side) -> QPushButton:
    words = {Side.LEFT: tr("Left"), Side.RIGHT: tr("Right")}[side]
    button = QPushButton(words)
    button.setCheckable(True)
    button.setToolTip(tr("The classes of that side of the road; Tab goes on to them too"))
    button.hide()
    return button


def _widest_date(edit: QDateEdit) -> int:
    """Return the width of the widest date in pixels: any day of the week in any month, its day of two figures."""
    days = [QDate(2027, month, day) for month in range(1, 13) for day in range(20, 27)]
    return max(edit.fontMetrics().horizontalAdvance(edit.locale().toString(day, edit.displayFormat())) for day in days)


def action_button(action: QAction, text: str = "", *, main: bool = False) -> QPushButton:
    """Return a button that does what an action does, and is enabled, named and explained like it."""
    button = QPushButton(text or action.text())
    button.setAccessibleName(action.text())
    if main:
        button.setProperty("main", True)
    button.clicked.connect(action.trigger)

    def follow() -> None:
        button.setEnabled(action.isEnabled())
        button.setToolTip(action.toolTip())

    action.changed.connect(follow)
    follow()
    return button
