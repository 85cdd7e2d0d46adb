"""The timeline of an outing as a table: when, what, at which point, how long."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import IntEnum

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from planner.desktop.look.colours import Colours
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.outing.evening import Evening, Lane
from planner.desktop.outing.words import sentence, step_times, step_words
from planner.domain.finding import Severity
from planner.domain.outing import Step, StepKind
from planner.printing.times import LocalClock

_Index = QModelIndex | QPersistentModelIndex


class Column(IntEnum):
    """The columns of the table."""

    TIME = 0
    WHAT = 1
    POINT = 2
    MINUTES = 3
    SKY = 4


@dataclass(frozen=True, slots=True)
class StepRow:
    """One step as it is shown."""

    lane: Lane
    step: Step
    clock: LocalClock

    @property
    def stands(self) -> bool:
        """Whether what is done counts."""
        return self.lane.stands(self.step)

    def words(self, column: Column) -> str:
        """Return the text of a cell."""
        return _CELLS[column](self)


def _time(row: StepRow) -> str:
    return "–".join(step_times(row.lane, row.step, row.clock))


def _point(row: StepRow) -> str:
    return "" if row.step.point is None else str(row.step.point)


_CELLS: Mapping[Column, Callable[[StepRow], str]] = {
    Column.TIME: _time,
    Column.WHAT: lambda row: sentence(step_words(row.lane, row.step)),
    Column.POINT: _point,
    Column.MINUTES: lambda row: f"{row.step.minutes:.1f}",
    Column.SKY: lambda row: row.lane.short_name,
}


class StepTable(QAbstractTableModel):
    """The steps of every lane, one after the other."""

    def __init__(self, colours: Colours) -> None:
        super().__init__()
        self._rows: tuple[StepRow, ...] = ()
        self._skies = False
        self._colours = colours

    def show_evening(self, evening: Evening) -> None:
        """Show the steps of an evening; where only their figures change, the selection stays."""
        rows = tuple(StepRow(lane, step, evening.clock) for lane in evening.lanes for step in lane.outing.steps)
        skies = len(evening.lanes) > 1
        if len(rows) == len(self._rows) and skies == self._skies:
            self._rows = rows
            if rows:
                self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, self.columnCount() - 1))
            return
        self.beginResetModel()
        self._rows, self._skies = rows, skies
        self.endResetModel()

    def set_colours(self, colours: Colours) -> None:
        """Paint the marks in another palette."""
        self._colours = colours
        if self._rows:
            self.dataChanged.emit(self.index(0, 0), self.index(len(self._rows) - 1, 0))

    def row_of(self, step: Step) -> int | None:
        """Return the row of a step."""
        return next((at for at, row in enumerate(self._rows) if row.step == step), None)

    def row_at_point(self, point: int) -> int | None:
        """Return the row of what is done at a point: its first count, else anything but the drive to it."""
        rows = [
            at for at, row in enumerate(self._rows) if row.step.point == point and row.step.kind is not StepKind.DRIVE
        ]
        counts = (at for at in rows if self._rows[at].step.kind is StepKind.COUNT)
        return next(counts, next(iter(rows), None))

    def step_at(self, row: int) -> Step:
        """Return the step of a row."""
        return self._rows[row].step

    def rowCount(self, parent: _Index = QModelIndex()) -> int:  # Qt's signature
        """Return the number of steps."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: _Index = QModelIndex()) -> int:  # Qt's signature
        """Return the number of columns: the sky only where it decides."""
        return 0 if parent.isValid() else len(Column) - (0 if self._skies else 1)

    def headerData(  # Qt's name
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        """Return the heads of the columns."""
        if orientation is not Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return None
        heads = (self.tr("Time"), self.tr("What"), self.tr("Point"), self.tr("Minutes"), self.tr("Sky"))
        return heads[section] if 0 <= section < len(heads) else None

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what a cell shows; a count that does not stand has a mark."""
        if not index.isValid():
            return None
        row, column = self._rows[index.row()], Column(index.column())
        if role == Qt.ItemDataRole.DisplayRole:
            return row.words(column)
        if role == Qt.ItemDataRole.TextAlignmentRole and column in (Column.POINT, Column.MINUTES):
            return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        if role == Qt.ItemDataRole.DecorationRole and column is Column.TIME and not row.stands:
            return mark_pixmap(Severity.BROKEN, self._colours)
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            return row.words(column)
        return None
