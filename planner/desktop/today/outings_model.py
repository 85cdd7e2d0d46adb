"""The outings of an evening as a table: who, where, when, the weather's word, and where they are."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from enum import IntEnum

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QFont, QIcon

from planner.desktop.look.colours import Colours
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.today.words import (
    call_mark,
    call_word,
    clock,
    short_day,
    what_word,
    whereabouts_mark,
    whereabouts_word,
)
from planner.domain.check_in import Whereabouts
from planner.domain.finding import Finding, Severity
from planner.domain.plan import Status
from planner.usecases.evening.outings import EveningOuting, Goer, rules_broken
from planner.usecases.evening.watch import OutingNow, PersonNow

_Index = QModelIndex | QPersistentModelIndex
_LOUDEST = list(Whereabouts)
_ROOT = QModelIndex()


class Column(IntEnum):
    """The columns, from left to right."""

    OUTING = 0
    TIMES = 1
    PEOPLE = 2
    WEATHER = 3
    WHERE = 4


class OutingsModel(QAbstractTableModel):
    """One row for each outing, in the order in which they leave."""

    def __init__(self, zone: dt.tzinfo, colours: Colours, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._zone = zone
        self._colours = colours
        self._rows: tuple[OutingNow, ...] = ()
        self._findings: tuple[Finding, ...] = ()

    @property
    def outings(self) -> tuple[OutingNow, ...]:
        """The outings, row by row."""
        return self._rows

    def set_colours(self, colours: Colours) -> None:
        """Change to another palette."""
        self._colours = colours
        self._tell_all()

    def show(self, outings: Sequence[OutingNow], zone: dt.tzinfo) -> None:
        """Show these outings; rows that stay the same outing stay selected."""
        rows = tuple(outings)
        if [_name(row) for row in rows] == [_name(row) for row in self._rows]:
            self._rows, self._zone = rows, zone
            self._tell_all()
            return
        self.beginResetModel()
        self._rows, self._zone = rows, zone
        self.endResetModel()

    def say_findings(self, findings: Sequence[Finding]) -> None:
        """Mark the outings that break a rule; ``findings`` are those on the whole season."""
        broken = tuple(one for one in findings if one.severity is Severity.BROKEN)
        if broken != self._findings:
            self._findings = broken
            self._tell_all()

    def rowCount(self, parent: _Index = _ROOT) -> int:
        """How many outings there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: _Index = _ROOT) -> int:
        """How many columns there are."""
        return 0 if parent.isValid() else len(Column)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What a column is called."""
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role == Qt.ItemDataRole.ToolTipRole and section == Column.TIMES:
            return self.tr("When they leave home at the latest, and when they are due back")
        if role != Qt.ItemDataRole.DisplayRole:
            return None
        return {
            Column.OUTING: self.tr("Outing"),
            Column.TIMES: self.tr("Away"),
            Column.PEOPLE: self.tr("Number, name"),
            Column.WEATHER: self.tr("Weather"),
            Column.WHERE: self.tr("Where they are"),
        }[Column(section)]

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What stands in a cell: text, mark, and the same in words for the ear."""
        if not index.isValid():
            return None
        now, column = self._rows[index.row()], Column(index.column())
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return self._text(now, column)
            case Qt.ItemDataRole.DecorationRole:
                return self._mark(now, column)
            case Qt.ItemDataRole.ToolTipRole | Qt.ItemDataRole.AccessibleTextRole:
                return self._tip(now, column)
            case Qt.ItemDataRole.FontRole if now.overdue and column is Column.WHERE:
                font = QFont()
                font.setBold(True)
                return font
        return None

    def _text(self, now: OutingNow, column: Column) -> str:
        outing = now.outing
        match column:
            case Column.OUTING:
                rule = self.tr("Breaks a rule; ") if rules_broken(self._findings, outing) else ""
                return f"{outing.title}\n{rule}{what_word(outing)}{self._status(outing)}"
            case Column.TIMES:
                times = ((clock(one.leave_utc, self._zone), clock(one.due_utc, self._zone)) for one in outing.people)
                return "\n".join(f"{leave} – {due}" for leave, due in times)
            case Column.PEOPLE:
                return "\n".join(self._who(goer) for goer in outing.people)
            case Column.WEATHER:
                if now.verdict is None:
                    return self.tr("Done") if outing.status is Status.DONE else "–"
                return call_word(now.verdict.call)
            case Column.WHERE:
                return "\n".join(whereabouts_word(person.whereabouts) for person in now.people)

    @staticmethod
    def _who(goer: Goer) -> str:
        """Return the number first: where there is little room, the name gives way."""
        return f"{goer.telephone}  {goer.name}".lstrip()

    def _status(self, outing: EveningOuting) -> str:
        if outing.status is Status.PLANNED:
            return ""
        return self.tr(", done") if outing.status is Status.DONE else self.tr(", confirmed")

    def _reserve(self, now: OutingNow) -> str:
        if now.outing.reserve is None:
            return ""
        return self.tr(", reserve %1").replace("%1", short_day(now.outing.reserve))

    def _mark(self, now: OutingNow, column: Column) -> object:
        if column is Column.WEATHER and now.verdict is not None:
            return self._icon(call_mark(now.verdict.call))
        if column is Column.OUTING and rules_broken(self._findings, now.outing):
            return self._icon(Severity.BROKEN)
        if column is Column.WHERE and now.people:
            return self._icon(whereabouts_mark(loudest(now).whereabouts))
        return None

    def _icon(self, severity: Severity | None) -> QIcon:
        """Return a mark that keeps its colour where its row is selected."""
        made, pixmap = QIcon(), mark_pixmap(severity, self._colours, ratio=2.0)
        made.addPixmap(pixmap)
        made.addPixmap(pixmap, QIcon.Mode.Selected)
        return made

    def _tip(self, now: OutingNow, column: Column) -> str:
        if column is Column.WEATHER and now.verdict is not None:
            reasons = now.verdict.reasons
            return "\n".join([call_word(now.verdict.call), *(one.why for one in reasons)])
        if column is Column.TIMES and now.outing.trouble:
            return now.outing.trouble
        if column is Column.PEOPLE:
            roles = (self.tr("lead") if goer.leads else self.tr("second") for goer in now.outing.people)
            lines = zip(roles, self._text(now, column).splitlines(), strict=True)
            return "\n".join(f"{role}: {line}" for role, line in lines)
        if column is Column.OUTING:
            broken = (f"{one.what} {one.todo}".rstrip() for one in rules_broken(self._findings, now.outing))
            return "\n".join([self._text(now, column) + self._reserve(now), *broken])
        return self._text(now, column)

    def _tell_all(self) -> None:
        if self._rows:
            self.dataChanged.emit(self.index(0, 0), self.index(len(self._rows) - 1, len(Column) - 1))


def loudest(now: OutingNow) -> PersonNow:
    """Return the person of an outing who wants most to be looked after."""
    return min(now.people, key=lambda person: _LOUDEST.index(person.whereabouts))


def _name(now: OutingNow) -> tuple[object, ...]:
    return now.outing.key, now.outing.date, now.outing.counts, len(now.people)
