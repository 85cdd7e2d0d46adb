"""The classes of road as a table: how much of each there is, and how fast it is driven; a speed is written over."""

from __future__ import annotations

from collections.abc import Sequence
from enum import IntEnum
from typing import TYPE_CHECKING

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QFont

from planner.desktop.units import Units
from planner.domain.errors import RuleError

if TYPE_CHECKING:
    from planner.usecases.roads.road_maps import RoadClass, RoadMapFacts

Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()


class Column(IntEnum):
    """The columns, in their order."""

    KIND = 0
    LENGTH = 1
    SPEED = 2
    DRIVEN = 3
    SOURCE = 4


class SpeedsModel(QAbstractTableModel):
    """One row a class of road, those of the table of speeds in its order."""

    written = Signal(str, object)
    """A class, and the km/h that a person wrote for it; None: that of the table."""
    refused = Signal(object)
    """The RuleError of what is no speed."""

    def __init__(self, units: Units, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._units = units
        self._rows: Sequence[RoadClass] = ()
        self._factor = 1.0
        self._own: dict[str, float] = {}
        self.is_editable = True

    def show_facts(self, facts: RoadMapFacts, units: Units) -> None:
        """Show the classes that the map has; all of them where there is no map."""
        rows = [one for one in facts.classes if one.km or not facts.found]
        self._units, self._factor, self._own = units, facts.speeds.factor, dict(facts.speeds.class_kmh)
        if [row.kind for row in rows] == [row.kind for row in self._rows]:
            self._rows = rows
            if rows:
                self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, len(Column) - 1))
            return
        self.beginResetModel()
        self._rows = rows
        self.endResetModel()

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """Return how many classes are shown."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(Column)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the title of a column, and what it says."""
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            titles = (self.tr("Road"), self.tr("Length"), self.tr("Free"), self.tr("Driven"), self.tr("Where from"))
            return titles[section]
        return self._tips()[Column(section)] if role == Qt.ItemDataRole.ToolTipRole else None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return what may be done with a cell."""
        flags = super().flags(index)
        if index.isValid() and self.is_editable and index.column() == Column.SPEED:
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what is asked of a cell."""
        if not index.isValid():
            return None
        row, column = self._rows[index.row()], Column(index.column())
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            return self._text(row, column)
        if role == Qt.ItemDataRole.ToolTipRole:
            return row.source if column is Column.SOURCE else self._tips()[column]
        if role == Qt.ItemDataRole.TextAlignmentRole:
            is_words = column in (Column.KIND, Column.SOURCE)
            side = Qt.AlignmentFlag.AlignLeft if is_words else Qt.AlignmentFlag.AlignRight
            return side | Qt.AlignmentFlag.AlignVCenter
        if role == Qt.ItemDataRole.FontRole and row.kind in self._own:
            bold = QFont()
            bold.setBold(True)
            return bold
        return None

    def setData(self, index: Index, value: object, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Say what a person wrote; the cell shows it once it stands in the season. Nothing: the table's speed."""
        if role != Qt.ItemDataRole.EditRole or not index.isValid():
            return False
        row, text = self._rows[index.row()], str(value).strip()
        if text == self._text(row, Column.SPEED):
            return False
        try:
            kmh = self._units.read_speed_kmh(text) if text else None
        except RuleError as error:
            self.refused.emit(error)
            return False
        self.written.emit(row.kind, kmh)
        return False

    def _text(self, row: RoadClass, column: Column) -> str:
        units = self._units
        if column is Column.KIND:
            return row.kind.replace("_", " ")
        if column is Column.LENGTH:
            return units.length(1000 * row.km) if row.km else "–"
        if column is Column.SPEED:
            return units.speed(row.typical_kmh / self._factor)
        if column is Column.DRIVEN:
            return units.speed(row.driven_kmh) if row.driven_kmh is not None else "–"
        return self.tr("this season") if row.kind in self._own else row.source

    def _tips(self) -> dict[Column, str]:
        return {
            Column.KIND: self.tr("The class of road in OpenStreetMap"),
            Column.LENGTH: self.tr("How much of it the road map has"),
            Column.SPEED: self.tr(
                "Driven where the map has no speed limit; write over it, or empty it for the usual speed"
            ),
            Column.DRIVEN: self.tr(
                "Driven on the whole, with the limits and surfaces of the map, the factor for all roads and what"
                " recorded drives came to"
            ),
            Column.SOURCE: self.tr("Where the speed comes from"),
        }
