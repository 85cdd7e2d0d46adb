"""The points of a route as a table: what a person gives, edited in place, beside what is measured."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import IntEnum

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal

from planner.desktop.desk import Desk
from planner.desktop.routes.words import DASH, drive_words, severity_words, short_words, tr
from planner.domain.errors import DimpsyError, RuleError
from planner.domain.finding import Finding
from planner.domain.geo import Place
from planner.domain.route import Point, Route
from planner.usecases.route_fixes import PointFigures, RouteFigures
from planner.usecases.routes.placing_points import read_latitude, read_longitude, read_place

_Index = QModelIndex | QPersistentModelIndex


class Column(IntEnum):
    """What stands in each column."""

    NUMBER = 0
    LATITUDE = 1
    LONGITUDE = 2
    NOTE = 3
    APART = 4
    DRIVE = 5
    OFF_ROAD = 6


EDITABLE = (Column.NUMBER, Column.LATITUDE, Column.LONGITUDE, Column.NOTE)
MARK_ROLE = Qt.ItemDataRole.UserRole
"""The worst severity of the findings on a point, in the column of its number."""


@dataclass(frozen=True, slots=True)
class PointEdit:
    """What a person wrote over a point; None: left as it stands."""

    number: int
    new_number: int | None = None
    place: Place | None = None
    note: str | None = None


class PointModel(QAbstractTableModel):
    """The points of one route."""

    edited = Signal(object)
    """A PointEdit that a person made."""
    refused = Signal(object)
    """The DimpsyError of something written that cannot be read."""

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._route: Route | None = None
        self._figures: RouteFigures | None = None
        self._marks: dict[int, Finding] = {}
        self.is_editable = True
        desk.units_changed.connect(self._tell_all)

    def rowCount(self, parent: _Index = QModelIndex()) -> int:
        """Return how many points there are."""
        return 0 if parent.isValid() or self._route is None else len(self._route.points)

    def columnCount(self, parent: _Index = QModelIndex()) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(Column)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the name of a column, and what it says."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(Column):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return _names()[Column(section)]
        return _tips()[Column(section)] if role == Qt.ItemDataRole.ToolTipRole else None

    def flags(self, index: _Index) -> Qt.ItemFlag:
        """Return what may be done with a cell."""
        flags = super().flags(index)
        if index.isValid() and self.is_editable and Column(index.column()) in EDITABLE:
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what is asked of a cell."""
        if not index.isValid() or self._route is None:
            return None
        point, column = self._route.points[index.row()], Column(index.column())
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            return self._shown(index.row(), point, column)
        return self._beside(index.row(), point, column, role)

    def setData(self, index: _Index, value: object, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Say what a person wrote; the cell shows it once it stands in the season."""
        if role != Qt.ItemDataRole.EditRole or not index.isValid() or self._route is None:
            return False
        point = self._route.points[index.row()]
        text = str(value).strip()
        if text == self._shown(index.row(), point, Column(index.column())):
            return False
        try:
            edit = _EDITS[Column(index.column())](point, text)
        except DimpsyError as error:
            self.refused.emit(error)
            return False
        self.edited.emit(edit)
        return False

    def show(self, route: Route | None, figures: RouteFigures | None, findings: dict[int, Finding]) -> None:
        """Show a route, what was measured of its points (None: nothing yet) and their worst findings, by number.

        All at once, for a table looks at every cell whenever it is told of a change. Rows of the same points stay, with
        what is selected in them.
        """
        before, points = (() if one is None else one.points for one in (self._route, route))
        same = route == self._route and figures is self._figures and findings == self._marks
        if len(before) == len(points):
            self._route, self._figures, self._marks = route, figures, dict(findings)
            if not same:
                self._tell_all()
            return
        self.beginResetModel()
        self._route, self._figures, self._marks = route, figures, dict(findings)
        self.endResetModel()

    def mark(self, findings: dict[int, Finding]) -> None:
        """Mark points, by number, with their worst finding."""
        if findings != self._marks:
            self._marks = dict(findings)
            self._tell_all()

    def point_at(self, row: int) -> Point | None:
        """Return the point of a row; None where there is no such row."""
        points = () if self._route is None else self._route.points
        return points[row] if 0 <= row < len(points) else None

    def row_of(self, number: int) -> int:
        """Return the row of a point; -1 where it is not there."""
        points = () if self._route is None else self._route.points
        return next((row for row, point in enumerate(points) if point.number == number), -1)

    def _shown(self, row: int, point: Point, column: Column) -> str:
        if column in _GIVEN:
            return _GIVEN[column](point)
        measured = self._measure(row)
        if measured is None or self._figures is None:
            return ""
        if column is Column.APART:
            return short_words(self._figures.apart_m(row), self._desk.units)
        if column is Column.DRIVE:
            return drive_words(measured.drive_minutes, 1)
        return _off_road_words(measured.off_road_m, self._desk)

    def _beside(self, row: int, point: Point, column: Column, role: int) -> object:
        """Return what goes with a cell beside its text."""
        mark = self._marks.get(point.number)
        if role == MARK_ROLE:
            return mark.severity if column is Column.NUMBER and mark is not None else None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignLeft if column is Column.NOTE else Qt.AlignmentFlag.AlignRight
            return side | Qt.AlignmentFlag.AlignVCenter
        if role == Qt.ItemDataRole.ToolTipRole:
            return mark.what if mark is not None else _tips()[column]
        return self._spoken(row, point, column) if role == Qt.ItemDataRole.AccessibleTextRole else None

    def _measure(self, row: int) -> PointFigures | None:
        known = self._figures.points if self._figures is not None else ()
        return known[row] if row < len(known) else None

    def _spoken(self, row: int, point: Point, column: Column) -> str:
        said = f"{_names()[column]}: {self._shown(row, point, column) or DASH}"
        mark = self._marks.get(point.number)
        if column is Column.NUMBER and mark is not None:
            return f"{said}, {severity_words(mark.severity)}: {mark.what}"
        return said

    def _tell_all(self) -> None:
        if self.rowCount():
            self.dataChanged.emit(self.index(0, 0), self.index(self.rowCount() - 1, len(Column) - 1))


def worst_by_point(findings: tuple[Finding, ...]) -> dict[int, Finding]:
    """Return the worst finding of each point that has one."""
    worst: dict[int, Finding] = {}
    for finding in findings:
        point = finding.subject.point
        if point is not None and (point not in worst or finding.severity < worst[point].severity):
            worst[point] = finding
    return worst


def _off_road_words(metres: float | None, desk: Desk) -> str:
    if metres is None:
        return DASH
    return tr("no road near") if math.isinf(metres) else desk.units.short_length(metres)


def _number(point: Point, text: str) -> PointEdit:
    if not text.isdecimal():
        raise RuleError(tr("A point's number is a whole number from 1 on, found '%1'.", text))
    return PointEdit(point.number, new_number=int(text))


def _latitude(point: Point, text: str) -> PointEdit:
    """A latitude, or a whole place as it is pasted from elsewhere."""
    try:
        place = Place(read_latitude(text), point.place.longitude)
    except RuleError as error:
        try:
            place = read_place(text)
        except RuleError:
            raise error from None
    return PointEdit(point.number, place=place)


def _longitude(point: Point, text: str) -> PointEdit:
    return PointEdit(point.number, place=Place(point.place.latitude, read_longitude(text)))


def _note(point: Point, text: str) -> PointEdit:
    return PointEdit(point.number, note=text)


_GIVEN: dict[Column, Callable[[Point], str]] = {
    Column.NUMBER: lambda point: str(point.number),
    Column.LATITUDE: lambda point: f"{point.place.latitude:.5f}",
    Column.LONGITUDE: lambda point: f"{point.place.longitude:.5f}",
    Column.NOTE: lambda point: point.note,
}
_EDITS: dict[Column, Callable[[Point, str], PointEdit]] = {
    Column.NUMBER: _number,
    Column.LATITUDE: _latitude,
    Column.LONGITUDE: _longitude,
    Column.NOTE: _note,
}


def _names() -> dict[Column, str]:
    return {
        Column.NUMBER: tr("Point"),
        Column.LATITUDE: tr("Latitude"),
        Column.LONGITUDE: tr("Longitude"),
        Column.NOTE: tr("Note"),
        Column.APART: tr("To next"),
        Column.DRIVE: tr("Drive"),
        Column.OFF_ROAD: tr("Off road"),
    }


def _tips() -> dict[Column, str]:
    return {
        Column.NUMBER: tr("Number of the point; another number is another place in the order"),
        Column.LATITUDE: tr("Decimal degrees, north positive; a whole place may be pasted here"),
        Column.LONGITUDE: tr("Decimal degrees, east positive"),
        Column.NOTE: tr("How to find the point; it is printed"),
        Column.APART: tr("Distance to the next point, measured as the protocol measures it"),
        Column.DRIVE: tr("Drive to the next point, with what a stop takes"),
        Column.OFF_ROAD: tr("From the point to the nearest road"),
    }
