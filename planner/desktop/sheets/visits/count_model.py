"""The counts of one record as Qt's table: a row for each point and pass, and what the protocol says of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from enum import Enum, auto

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from planner.desktop.sheets.visits.entry import RecordEntry
from planner.desktop.sheets.visits.words import clock_word, finding_lines
from planner.desktop.sheets.words import tr
from planner.domain.field.record_ground import CountKey
from planner.domain.field.visit_record import PointRecord, RecordKey
from planner.domain.finding import Finding, Severity
from planner.usecases.records.entry import CountTime, with_count_done, with_count_note, with_count_time

_Index = QModelIndex | QPersistentModelIndex
MARK_ROLE = Qt.ItemDataRole.UserRole
"""The Severity of what is wrong in a cell, TICK for what stands, None for what wants no mark."""
TICK = "tick"


class CountColumn(Enum):
    """What a column is about."""

    POINT = auto()
    PASS = auto()
    ARRIVED = auto()
    BEGAN = auto()
    ENDED = auto()
    DONE = auto()
    NOTE = auto()
    JUDGED = auto()


TIMES = {
    CountColumn.ARRIVED: CountTime.ARRIVED,
    CountColumn.BEGAN: CountTime.BEGAN,
    CountColumn.ENDED: CountTime.ENDED,
}


class CountModel(QAbstractTableModel):
    """What is written of every count; writing goes through the entry, which keeps what was typed."""

    def __init__(self, entry: RecordEntry, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._entry = entry
        self.rows: list[CountKey] = []
        """The counts from top to bottom."""
        self.shown_of: RecordKey | None = None
        """The record that they are of."""
        self.columns: Sequence[CountColumn] = _columns(1)
        entry.shown.connect(self._show)
        entry.written.connect(self._show)
        entry.judged_anew.connect(self._tell_all)

    def rowCount(self, parent: _Index = QModelIndex()) -> int:
        """Return how many counts there are."""
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: _Index = QModelIndex()) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self.columns)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the name of a column, and what belongs in it."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(self.columns):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return _names(self.columns[section])
        return _belongs(self.columns[section]) if role == Qt.ItemDataRole.ToolTipRole else None

    def flags(self, index: _Index) -> Qt.ItemFlag:
        """Return what may be done with a cell."""
        flags = super().flags(index)
        if not index.isValid() or self._entry.locked:
            return flags
        column = self.columns[index.column()]
        if column is CountColumn.DONE:
            return flags | Qt.ItemFlag.ItemIsUserCheckable
        return flags | Qt.ItemFlag.ItemIsEditable if column in TIMES or column is CountColumn.NOTE else flags

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what is asked of a cell."""
        if not index.isValid() or index.row() >= len(self.rows):
            return None
        answers: dict[int, Callable[[CountKey, CountColumn], object]] = {
            Qt.ItemDataRole.DisplayRole: self.text,
            Qt.ItemDataRole.EditRole: self.text,
            Qt.ItemDataRole.CheckStateRole: self._checked,
            Qt.ItemDataRole.ToolTipRole: self._tip,
            Qt.ItemDataRole.AccessibleTextRole: self._spoken,
            MARK_ROLE: self._mark,
            Qt.ItemDataRole.TextAlignmentRole: _alignment,
        }
        answer = answers.get(role)
        return None if answer is None else answer(self.rows[index.row()], self.columns[index.column()])

    def setData(self, index: _Index, value: object, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Write over a cell, or tick a count; it is kept in the file when the row is left."""
        if not index.isValid():
            return False
        key, column, entry = self.rows[index.row()], self.columns[index.column()], self._entry
        if role == Qt.ItemDataRole.CheckStateRole and column is CountColumn.DONE:
            done = Qt.CheckState(value) is Qt.CheckState.Checked
            return entry.write(lambda record: with_count_done(record, entry.order, key, done=done))
        if role != Qt.ItemDataRole.EditRole or str(value) == self.text(key, column):
            return False
        if column is CountColumn.NOTE:
            return entry.write(lambda record: with_count_note(record, entry.order, key, str(value)))
        which = TIMES.get(column)
        return which is not None and entry.write_time(
            unread_name(key, column),
            str(value),
            lambda record, when: with_count_time(record, entry.order, key, which, when),
            counting=True,
        )

    def key(self, row: int) -> CountKey | None:
        """Return point and pass of a row; None: there is no such row."""
        return self.rows[row] if 0 <= row < len(self.rows) else None

    def row_of(self, point: int) -> int:
        """Return the first row of a point; -1 where it is not there."""
        return next((at for at, key in enumerate(self.rows) if key[0] == point), -1)

    def count(self, key: CountKey) -> PointRecord | None:
        """Return what is written of a count; None: nothing."""
        return next((one for one in self._entry.record.counts if one.key == key), None)

    def text(self, key: CountKey, column: CountColumn) -> str:
        """Return what stands in a cell."""
        count = self.count(key)
        if column is CountColumn.POINT:
            return str(key[0])
        if column is CountColumn.PASS:
            return str(key[1])
        if column in TIMES:
            unread = self._entry.unread(unread_name(key, column))
            return unread or (clock_word(getattr(count, TIMES[column].value), self._entry.season) if count else "")
        if column is CountColumn.NOTE:
            return count.note if count is not None else ""
        return self._judged_words(key) if column is CountColumn.JUDGED else ""

    def findings(self, key: CountKey) -> tuple[Finding, ...]:
        """Return what the protocol says against a count, the worst first."""
        judged = self._entry.judged
        if judged is None:
            return ()
        stands = key in judged.standing
        others_fall = any(one[0] == key[0] and one not in judged.standing for one in self.rows)
        mine = [one for one in judged.findings if one.subject.point == key[0] and not (stands and others_fall)]
        return tuple(sorted(mine, key=lambda one: one.severity))

    def why_unread(self, key: CountKey) -> str:
        """Return why times of a count could not be read, a line for each."""
        return "\n".join(filter(None, (self._entry.why_unread(unread_name(key, column)) for column in TIMES)))

    def _judged_words(self, key: CountKey) -> str:
        """Return what stands beside the times: a fault first of all, else whether the count stands."""
        judged, count = self._entry.judged, self.count(key)
        found = self.findings(key)
        if self.why_unread(key) or found:
            return self.why_unread(key) or found[0].what
        if count is None or not count.done:
            return tr("not counted")
        if judged is None:
            return ""
        return tr("counts") if key in judged.standing else tr("does not count")

    def _mark(self, key: CountKey, column: CountColumn) -> object:
        if column in TIMES:
            return Severity.BROKEN if self._entry.unread(unread_name(key, column)) else None
        if column is not CountColumn.JUDGED:
            return None
        found, judged = self.findings(key), self._entry.judged
        if self.why_unread(key):
            return Severity.BROKEN
        if found:
            return found[0].severity
        return TICK if judged is not None and key in judged.standing else None

    def _checked(self, key: CountKey, column: CountColumn) -> Qt.CheckState | None:
        if column is not CountColumn.DONE:
            return None
        count = self.count(key)
        return Qt.CheckState.Checked if count is not None and count.done else Qt.CheckState.Unchecked

    def _tip(self, key: CountKey, column: CountColumn) -> str:
        written = column in TIMES or column in (CountColumn.NOTE, CountColumn.DONE)
        said = [self.why_unread(key), finding_lines(self.findings(key)), self._entry.locked if written else ""]
        return "\n".join(filter(None, said)) or _belongs(column)

    def _spoken(self, key: CountKey, column: CountColumn) -> str:
        text = self.text(key, column)
        if column is CountColumn.DONE:
            text = tr("yes") if self._checked(key, column) is Qt.CheckState.Checked else tr("no")
        several = f", {tr('pass %1', key[1])}" if CountColumn.PASS in self.columns else ""
        said = tr("Point %1%2, %3: %4", key[0], several, _names(column), text or tr("blank"))
        return ". ".join(filter(None, (said, self._entry.why_unread(unread_name(key, column)))))

    def _show(self) -> None:
        """Show the counts as they are now; rows of the same record stay where they are."""
        columns = _columns(self._entry.passes if self._entry.key is not None else 1)
        if (self.shown_of, self.rows, self.columns) == (self._entry.key, self._entry.order, columns):
            self._tell_all()
            return
        self.beginResetModel()
        self.shown_of, self.rows, self.columns = self._entry.key, list(self._entry.order), columns
        self.endResetModel()

    def _tell_all(self) -> None:
        if self.rows:
            self.dataChanged.emit(self.index(0, 0), self.index(len(self.rows) - 1, len(self.columns) - 1))


def unread_name(key: CountKey, column: CountColumn) -> str:
    """Return how a time that cannot be read is kept."""
    return f"{column.name} {key[0]} {key[1]}"


def _columns(passes: int) -> Sequence[CountColumn]:
    return [column for column in CountColumn if passes > 1 or column is not CountColumn.PASS]


def _names(column: CountColumn) -> str:
    return {
        CountColumn.POINT: tr("Point"),
        CountColumn.PASS: tr("Pass"),
        CountColumn.ARRIVED: tr("Arrived"),
        CountColumn.BEGAN: tr("Began"),
        CountColumn.ENDED: tr("Ended"),
        CountColumn.DONE: tr("Done"),
        CountColumn.NOTE: tr("Note"),
        CountColumn.JUDGED: tr("By the protocol"),
    }[column]


def _belongs(column: CountColumn) -> str:
    return {
        CountColumn.POINT: tr("Number of the point, in the order of the counts"),
        CountColumn.PASS: tr("Which time round"),
        CountColumn.ARRIVED: tr("When the car stopped there: 2143 is 21:43"),
        CountColumn.BEGAN: tr("When the count began, settling left out: 2143 is 21:43"),
        CountColumn.ENDED: tr("When the count ended: 2143 is 21:43"),
        CountColumn.DONE: tr("Whether the point was counted to the end: Space"),
        CountColumn.NOTE: tr("What the team wrote beside the point"),
        CountColumn.JUDGED: tr("Whether the count stands, and what is wrong with it"),
    }[column]


def _alignment(_key: CountKey, column: CountColumn) -> Qt.AlignmentFlag:
    if column in (CountColumn.NOTE, CountColumn.JUDGED):
        return Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
    return Qt.AlignmentFlag.AlignCenter
