"""A proposal as a table: its points, and between them the stretches that are left out, as they come along the line."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from planner.desktop.desk import Desk
from planner.desktop.routes.laying_words import stretch_words, why_words
from planner.desktop.routes.point_model import MARK_ROLE
from planner.desktop.routes.words import short_words, tr
from planner.domain.finding import Severity
from planner.usecases.laying_out import Laid, LaidPoint, Skipped, Why

_Index = QModelIndex | QPersistentModelIndex


class Column(IntEnum):
    """What is said of a row."""

    NUMBER = 0
    ALONG = 1
    APART = 2
    PLACE = 3
    WHY = 4


_FIGURES = (Column.NUMBER, Column.ALONG, Column.APART)
STRETCH_WHY = Column.APART
"""Why nothing may stand on a stretch is said from here on, across the columns that only points fill."""
_SAID = (STRETCH_WHY, Column.WHY)


@dataclass(frozen=True, slots=True)
class LaidRow:
    """A point, or a stretch where none may stand."""

    along_m: float
    point: LaidPoint | None = None
    skipped: Skipped | None = None

    @property
    def is_avoided(self) -> bool:
        """Whether it is a stretch that was asked to be left out."""
        return self.skipped is not None and self.skipped.why is Why.AVOID


class LaidModel(QAbstractTableModel):
    """The rows of a proposal; nothing in them can be written over."""

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.rows: tuple[LaidRow, ...] = ()
        desk.units_changed.connect(self._tell_all)

    def show_laid(self, laid: Laid | None) -> None:
        """Show another proposal; None: none."""
        points = [LaidRow(point.along_m, point=point) for point in (laid.points if laid is not None else ())]
        skipped = [LaidRow(one.from_m, skipped=one) for one in (laid.skipped if laid is not None else ())]
        rows = tuple(sorted([*points, *skipped], key=lambda row: row.along_m))
        if rows == self.rows:
            return
        if len(rows) == len(self.rows):
            self.rows = rows
            self._tell_all()
            return
        self.beginResetModel()
        self.rows = rows
        self.endResetModel()

    def rowCount(self, parent: _Index = QModelIndex()) -> int:
        """Return how many points and stretches there are."""
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: _Index = QModelIndex()) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(Column)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the name of a column, and what it says."""
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role == Qt.ItemDataRole.ToolTipRole:
            return {
                Column.ALONG: tr("From the beginning of the line"),
                Column.APART: tr("From the point before, as the protocol measures it"),
                Column.WHY: tr("Why a point stands farther on, or none may stand on a stretch"),
            }.get(Column(section))
        if role != Qt.ItemDataRole.DisplayRole:
            return None
        return {
            Column.NUMBER: tr("No."),
            Column.ALONG: tr("Along"),
            Column.APART: tr("Apart"),
            Column.PLACE: tr("Place"),
            Column.WHY: tr("Why there"),
        }[Column(section)]

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what is asked of a cell."""
        if not index.isValid():
            return None
        row, column = self.rows[index.row()], Column(index.column())
        if role == Qt.ItemDataRole.DisplayRole or (role == Qt.ItemDataRole.ToolTipRole and column in _SAID):
            return self._of_point(row.point, column) if row.point is not None else self._of_stretch(row, column)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            is_figure = column in _FIGURES and not (row.skipped is not None and column is STRETCH_WHY)
            side = Qt.AlignmentFlag.AlignRight if is_figure else Qt.AlignmentFlag.AlignLeft
            return side | Qt.AlignmentFlag.AlignVCenter
        if row.skipped is None or column is not Column.NUMBER:
            return None
        return {MARK_ROLE: Severity.TROUBLE, int(Qt.ItemDataRole.AccessibleTextRole): tr("left out")}.get(int(role))

    def _of_point(self, point: LaidPoint, column: Column) -> str:
        units = self._desk.units
        return {
            Column.NUMBER: str(point.number),
            Column.ALONG: units.short_length(point.along_m),
            Column.APART: short_words(point.apart_m, units),
            Column.PLACE: str(point.place),
            Column.WHY: point.note,
        }[column]

    def _of_stretch(self, row: LaidRow, column: Column) -> str:
        if row.skipped is None or column not in (Column.ALONG, STRETCH_WHY):
            return ""
        if column is Column.ALONG:
            return stretch_words(row.skipped.from_m, row.skipped.to_m, self._desk.units)
        return tr("Left out: %1", why_words(row.skipped))

    def _tell_all(self) -> None:
        if self.rows:
            self.dataChanged.emit(self.index(0, 0), self.index(len(self.rows) - 1, len(Column) - 1))
