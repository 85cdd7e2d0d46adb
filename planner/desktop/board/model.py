"""The item model of the board: a row for each line, a column for each date of the season."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from enum import IntEnum

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from planner.desktop.board.lines import BoardSources, Line, Part, lines_of
from planner.desktop.board.said import Names, cell_said, day_said, names_of, tr
from planner.domain.calendar import DateRange
from planner.domain.plan import VisitKey
from planner.usecases.plan.board_light import MoonNight

Index = QModelIndex | QPersistentModelIndex


class BoardRole(IntEnum):
    """What the board's model tells beside Qt's own roles."""

    LINE = Qt.ItemDataRole.UserRole + 1
    """The Line of a row."""
    DAY = Qt.ItemDataRole.UserRole + 2
    """The date of a column."""


class BoardModel(QAbstractTableModel):
    """Routes by dates; folded groups hide their routes."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._sources: BoardSources | None = None
        self._lines: tuple[Line, ...] = ()
        self._days: tuple[dt.date, ...] = ()
        self._rows: dict[str, int] = {}
        self.names: Names = {}
        """Of the people, by their codes."""
        self.moon: Mapping[dt.date, MoonNight] = {}
        """Empty where the protocol asks nothing of the moon."""
        self.nowhere: frozenset[dt.date] = frozenset()
        """Dates on which no route can be counted."""
        self.why: Mapping[dt.date, str] = {}
        """Why some route cannot be counted on a date."""

    def show(self, sources: BoardSources) -> None:
        """Show what the sources say; rows stay in place where only what stands in them differs."""
        lines, days = lines_of(sources), tuple(sources.season.dates)
        same = days == self._days and [_name(one) for one in lines] == [_name(one) for one in self._lines]
        self._sources, self.names = sources, names_of(sources.season)
        if same:
            changed = [row for row, line in enumerate(lines) if line != self._lines[row]]
            self._lines = lines
            for row in changed:
                self.dataChanged.emit(self.index(row, 0), self.index(row, len(days) - 1))
            return
        self.beginResetModel()
        self._lines, self._days = lines, days
        self._rows = {line.route.code: row for row, line in enumerate(lines) if line.route is not None}
        self.endResetModel()

    def show_sky(
        self, moon: Mapping[dt.date, MoonNight], nowhere: frozenset[dt.date], why: Mapping[dt.date, str]
    ) -> None:
        """Show the moon, and the dates on which nothing can be counted."""
        self.moon, self.nowhere, self.why = moon, nowhere, why
        if self._days:
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(self._days) - 1)

    @property
    def today(self) -> dt.date:
        """The date that is marked as today; one long past before anything is shown."""
        return self._sources.today if self._sources is not None else dt.date.min

    @property
    def visit_ranges(self) -> tuple[DateRange, ...]:
        """The season's dates of visit 1, visit 2 …; routes may have their own."""
        return self._sources.season.visits if self._sources is not None else ()

    @property
    def lines(self) -> tuple[Line, ...]:
        """The lines from top to bottom."""
        return self._lines

    @property
    def days(self) -> tuple[dt.date, ...]:
        """The dates from left to right."""
        return self._days

    def row_of(self, route: str) -> int:
        """Return the row of a route; -1 where it is folded away or unknown."""
        return self._rows.get(route, -1)

    def column_of(self, day: dt.date) -> int:
        """Return the column of a date; -1 outside the season."""
        column = (day - self._days[0]).days if self._days else -1
        return column if 0 <= column < len(self._days) else -1

    def day_at(self, column: int) -> dt.date:
        """Return the date of a column; the last one right of all columns."""
        return self._days[column] if 0 <= column < len(self._days) else self._days[-1]

    def visit_at(self, index: Index) -> VisitKey | None:
        """Return the visit that a cell speaks of."""
        if not index.isValid():
            return None
        return self._lines[index.row()].visit_at(self._days[index.column()])

    def standing_at(self, index: Index) -> VisitKey | None:
        """Return the visit that stands in a cell, by one of its dates; none that only may stand there."""
        there = self._lines[index.row()].on(self._days[index.column()]) if index.isValid() else ()
        return there[0].visit.key if there else None

    def rowCount(self, parent: Index = QModelIndex()) -> int:
        """Return the number of lines."""
        return 0 if parent.isValid() else len(self._lines)

    def columnCount(self, parent: Index = QModelIndex()) -> int:
        """Return the number of dates."""
        return 0 if parent.isValid() else len(self._days)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what stands in a cell."""
        if not index.isValid():
            return None
        line, day = self._lines[index.row()], self._days[index.column()]
        if role == BoardRole.LINE:
            return line
        if role == BoardRole.DAY:
            return day
        if role == Qt.ItemDataRole.DisplayRole:
            return ", ".join(_short(line, day))
        if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole):
            return self._said(line, day)
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a date, or the title of a line."""
        if role not in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return None
        if orientation is Qt.Orientation.Horizontal:
            return day_said(self._days[section]) if 0 <= section < len(self._days) else None
        return self._lines[section].title if 0 <= section < len(self._lines) else None

    def _said(self, line: Line, day: dt.date) -> str:
        if line.heads:
            return group_said(line)
        return f"{line.title}, {day_said(day)}: {cell_said(line, day, self.why.get(day, ''), self.names)}"


def group_said(line: Line) -> str:
    """Return the head of a group in words."""
    state = tr("folded") if line.folded else tr("open")
    return tr("%1, %2 of %3 visits filled, %4", line.title, line.filled, line.asked, state)


def _short(line: Line, day: dt.date) -> list[str]:
    """Return what the blocks on a date say."""
    words = {Part.DATE: "%1", Part.RESERVE: tr("reserve %1"), Part.SETUP: tr("set-up %1")}
    return [words[entry.part].replace("%1", entry.visit.lead) for entry in line.on(day)]


def _name(line: Line) -> tuple[str, str, bool]:
    return line.group, line.title, line.heads
