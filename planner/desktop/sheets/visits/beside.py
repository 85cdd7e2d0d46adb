"""What is wrong beside a field: which findings belong to which part of the form, said in sign and words."""

from __future__ import annotations

from collections.abc import Collection

from PySide6.QtWidgets import QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.sheets.fault_line import MarkedLine
from planner.desktop.sheets.visits.entry import RecordEntry
from planner.domain.finding import Finding, Rule, Severity

HEAD_RULES = frozenset({Rule.RECORD_PEOPLE, Rule.RECORD_UNPLANNED, Rule.RECORD_MISSING})
WEATHER_RULES = frozenset({Rule.RECORD_WEATHER})
COUNT_RULES = frozenset({Rule.RECORD_ORDER, Rule.RECORD_WINDOW, Rule.RECORD_SHORT, Rule.RECORD_TIMES})
STOPPED_RULES = frozenset({Rule.RECORD_POINTS})


class FindingsBeside(QWidget):
    """The findings of some rules; those of one point stand in its row, those of the weather beside it too."""

    def __init__(self, desk: Desk, entry: RecordEntry, rules: Collection[Rule]) -> None:
        super().__init__()
        self._desk = desk
        self._entry = entry
        self._rules = rules
        self._shown: tuple[tuple[Severity, str], ...] = ()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self.hide()
        entry.judged_anew.connect(self.refresh)
        desk.look_changed.connect(self._dress)

    @property
    def said(self) -> tuple[str, ...]:
        """What is said, line by line."""
        return tuple(words for _, words in self._shown)

    def refresh(self) -> None:
        """Say what is found now."""
        judged = self._entry.judged
        blank = self._entry.blank
        found = [one for one in judged.findings if self._takes(one)] if judged is not None and not blank else []
        found.sort(key=lambda one: one.severity)
        lines = tuple(dict.fromkeys((one.severity, f"{one.what} {one.todo}".strip()) for one in found))
        if lines == self._shown:
            return
        self._shown = lines
        while (item := self._column.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        for severity, words in lines:
            line = MarkedLine(self._desk.colours)
            line.say(words, severity)
            self._column.addWidget(line)
        self.setVisible(bool(lines))

    def _takes(self, one: Finding) -> bool:
        return one.rule in self._rules and (one.subject.point is None or one.rule in WEATHER_RULES)

    def _dress(self) -> None:
        for line in self.findChildren(MarkedLine):
            line.set_colours(self._desk.colours)
