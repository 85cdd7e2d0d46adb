"""The dates of one volunteer as a calendar: a row for each week and part of day, a column for each weekday."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from planner.desktop.people.phrases import (
    day_words,
    duty_words,
    part_name,
    said,
    short_month,
    short_weekdays,
    use_sentence,
    weekday_names,
)
from planner.domain.calendar import DateRange
from planner.domain.window import PartOfDay
from planner.usecases.people.giving_dates import DateCell
from planner.usecases.people.planned_dates import Duty
from planner.usecases.people.usable_dates import CellUse, DateUse

Index = QModelIndex | QPersistentModelIndex

CELL_ROLE = int(Qt.ItemDataRole.UserRole)
"""The DayCell; None outside the season."""

_WEEK = 7


@dataclass(frozen=True, slots=True)
class DayCell:
    """One part of one date, as it is painted."""

    day: dt.date
    part: PartOfDay
    first_part: bool
    """Whether it is the first part of its date, that carries the day's number."""
    given: bool
    use: CellUse | None
    """None where that is not computed yet."""
    duties: tuple[Duty, ...] = ()
    marked: bool = False
    """Whether it lies in the stroke that is being painted, or is chosen by keyboard."""


@dataclass(frozen=True, slots=True)
class PersonDates:
    """All that the calendar of one volunteer shows."""

    dates: DateRange
    parts: tuple[PartOfDay, ...]
    """The parts of day that the protocol asks for, through the day."""
    given: frozenset[DateCell]
    use: DateUse | None = None
    duties: Mapping[DateCell, tuple[Duty, ...]] | None = None


class DatesModel(QAbstractTableModel):
    """Weeks from top to bottom, Monday to Sunday; each week has a row for each part of the day."""

    def __init__(self, shown: PersonDates, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self._marked: frozenset[DateCell] = frozenset()
        self._stroke: bool | None = None
        self._given = shown.given

    @property
    def shown(self) -> PersonDates:
        """What is shown."""
        return self._shown

    @property
    def given(self) -> frozenset[DateCell]:
        """The parts of dates given, with the stroke that is being painted."""
        return self._given

    def show(self, shown: PersonDates) -> None:
        """Show these dates; the place in the calendar stays where its shape does."""
        if (shown.dates, shown.parts) != (self._shown.dates, self._shown.parts):
            self.beginResetModel()
            self._shown, self._marked, self._stroke = shown, frozenset(), None
            self._given = shown.given
            self.endResetModel()
            return
        self._shown = shown
        self._all_changed()

    def mark(self, cells: Iterable[DateCell], stroke: bool | None = None) -> None:
        """Mark parts of dates; ``stroke``: being given (true) or taken away (false), or only chosen (None)."""
        self._marked, self._stroke = frozenset(cells), stroke
        self._all_changed()

    def cell(self, index: Index) -> DateCell | None:
        """Return the part of the date at an index; None outside the season."""
        if not index.isValid():
            return None
        week, row = divmod(index.row(), len(self._shown.parts))
        day = self._monday + dt.timedelta(days=_WEEK * week + index.column())
        return (day, self._shown.parts[row]) if day in self._shown.dates else None

    def index_of(self, cell: DateCell) -> QModelIndex:
        """Return where a part of a date stands; nowhere outside the season."""
        day, part = cell
        if day not in self._shown.dates or part not in self._shown.parts:
            return QModelIndex()
        week, column = divmod((day - self._monday).days, _WEEK)
        return self.index(week * len(self._shown.parts) + self._shown.parts.index(part), column)

    def block(self, one: Index, other: Index) -> frozenset[DateCell]:
        """Return the parts of dates between two: the weeks, the weekdays and the parts of day from one to the other."""
        per_week = len(self._shown.parts)
        weeks = _between(one.row() // per_week, other.row() // per_week)
        columns = _between(one.column(), other.column())
        parts = _between(one.row() % per_week, other.row() % per_week)
        cells = (
            self.cell(self.index(week * per_week + part, column))
            for week in weeks
            for part in parts
            for column in columns
        )
        return frozenset(cell for cell in cells if cell is not None)

    def rowCount(self, parent: Index = QModelIndex()) -> int:
        """Return the weeks times the parts of day."""
        if parent.isValid():
            return 0
        weeks = (self._shown.dates.last - self._monday).days // _WEEK + 1
        return weeks * len(self._shown.parts)

    def columnCount(self, parent: Index = QModelIndex()) -> int:
        """Return the days of a week."""
        return 0 if parent.isValid() else _WEEK

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Name the weekdays above and the parts of day at the left."""
        if orientation is Qt.Orientation.Horizontal:
            names = short_weekdays() if role == Qt.ItemDataRole.DisplayRole else weekday_names()
            known = role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole)
            return names[section] if known and 0 <= section < _WEEK else None
        if role == Qt.ItemDataRole.DisplayRole and 0 <= section < self.rowCount():
            return part_name(self._shown.parts[section % len(self._shown.parts)])
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Let only dates of the season be reached."""
        if self.cell(index) is None:
            return Qt.ItemFlag.NoItemFlags
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a part of a date: to be painted, and in words."""
        place = self.cell(index)
        if place is None:
            return None
        cell = self._day_cell(place)
        if role == CELL_ROLE:
            return cell
        if role == Qt.ItemDataRole.DisplayRole:
            return self._number(cell) if cell.first_part else ""
        if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole):
            return self._told(cell)
        return None

    @property
    def _monday(self) -> dt.date:
        first = self._shown.dates.first
        return first - dt.timedelta(days=first.weekday())

    def _day_cell(self, cell: DateCell) -> DayCell:
        day, part = cell
        use = self._shown.use.uses.get(cell) if self._shown.use is not None else None
        return DayCell(
            day=day,
            part=part,
            first_part=part == self._shown.parts[0],
            given=cell in self.given,
            use=use,
            duties=(self._shown.duties or {}).get(cell, ()),
            marked=cell in self._marked,
        )

    def _number(self, cell: DayCell) -> str:
        starts_month = cell.day.day == 1 or cell.day == self._shown.dates.first
        return f"{cell.day.day} {short_month(cell.day.month)}" if starts_month else str(cell.day.day)

    def _told(self, cell: DayCell) -> str:
        """Return a cell in words, for a tool tip and for those who listen."""
        given = self.tr("given") if cell.given else self.tr("not given")
        text = said(self.tr("%1, %2: %3"), day_words(cell.day), part_name(cell.part), given)
        if cell.use is not None:
            use = self._shown.use
            why = use.why_dark.get((cell.day, cell.part), "") if use is not None else ""
            text = f"{text}; {use_sentence(cell.use, why)}"
        return "; ".join((text, *(duty_words(duty) for duty in cell.duties)))

    def _all_changed(self) -> None:
        given, marked = self._shown.given, self._marked
        self._given = given if self._stroke is None else given | marked if self._stroke else given - marked
        self.dataChanged.emit(self.index(0, 0), self.index(self.rowCount() - 1, _WEEK - 1))


def _between(one: int, other: int) -> range:
    return range(min(one, other), max(one, other) + 1)
