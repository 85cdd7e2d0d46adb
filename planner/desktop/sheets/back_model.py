"""What filled-in files hold, as tables: what was read, and each cell that could not be taken."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from planner.desktop.sheets.words import tr
from planner.domain.field.habitat_sheet import SheetState
from planner.domain.field.sheet_rules import sheet_faults
from planner.domain.field.visit_record import RecordState
from planner.domain.habitat import HabitatRule
from planner.usecases.field_files import Back, BadCell, PassedOver

_Index = QModelIndex | QPersistentModelIndex


@dataclass(frozen=True, slots=True)
class TextRow:
    """One row of words; ``whole`` is shown in the tool tip, and read out."""

    cells: tuple[str, ...]
    whole: str


class TextModel(QAbstractTableModel):
    """Rows of words under headings."""

    def __init__(self, headings: Sequence[str], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._headings = tuple(headings)
        self._rows: tuple[TextRow, ...] = ()

    def rowCount(self, parent: _Index = QModelIndex()) -> int:
        """Return how many rows there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: _Index = QModelIndex()) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self._headings)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a heading."""
        if orientation is not Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return None
        return self._headings[section] if 0 <= section < len(self._headings) else None

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the words of a cell."""
        if not index.isValid():
            return None
        row = self._rows[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return row.cells[index.column()]
        return row.whole if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole) else None

    def show(self, rows: Sequence[TextRow]) -> None:
        """Show other rows."""
        self.beginResetModel()
        self._rows = tuple(rows)
        self.endResetModel()


def read_headings() -> tuple[str, ...]:
    """Return the headings over what was read."""
    return tr("What was read"), tr("Will be"), tr("Because")


def read_rows(back: Back, rule: HabitatRule | None) -> list[TextRow]:
    """Return a row for each sheet and record that will be kept."""
    rows = []
    for sheet in back.sheets:
        why = "; ".join(map(str, sheet_faults(sheet, rule))) if rule is not None else ""
        rows.append(_row(tr("Habitat sheet of %1", sheet.key), final=sheet.state is SheetState.FINAL, why=why))
    for record in back.records:
        why = tr("%1 counts", len(record.counts))
        rows.append(_row(tr("Visit record of %1", record.key), final=record.state is RecordState.FINAL, why=why))
    for key, path in back.photos:
        words = tr("Photo %1 for %2", path.name, key)
        rows.append(TextRow((words, tr("attached"), ""), words))
    return rows


def bad_headings() -> tuple[str, ...]:
    """Return the headings over the cells that could not be taken."""
    return tr("File and cell"), tr("About"), tr("What stood there"), tr("Expected"), tr("What to do")


def bad_rows(bad: Sequence[BadCell]) -> list[TextRow]:
    """Return a row for each cell that could not be taken."""
    return [
        TextRow(
            (f"{Path(cell.source).name}: {cell.where}", cell.subject, cell.shown, cell.expected, cell.todo), str(cell)
        )
        for cell in bad
    ]


def passed_rows(passed: Sequence[PassedOver]) -> list[TextRow]:
    """Return a row for each file that was left out; of several things that are wrong with it, the first."""
    rows = []
    for one in passed:
        fault = one.faults[0]
        cells = (one.path.name, tr("the whole file, passed over"), fault.found, fault.expected, fault.todo)
        rows.append(TextRow(cells, f"{one.path}: {one.why}"))
    return rows


def _row(what: str, *, final: bool, why: str) -> TextRow:
    state = tr("final") if final else tr("draft")
    return TextRow((what, state, why), f"{what}: {state}. {why}")
