"""Conditions of the evening, for all outings or the chosen ones, and what the protocol's limits say of them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QPushButton, QRadioButton, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.words import heading, quiet, statement
from planner.desktop.today.condition_field import ConditionField
from planner.desktop.today.verdict_box import VerdictBox
from planner.desktop.today.watch import Watch
from planner.domain.conditions import Condition
from planner.domain.errors import RuleError
from planner.domain.protocol import Protocol
from planner.usecases.evening.conditions import (
    conditions_for,
    forget_conditions,
    keep_conditions,
    quantities_asked,
    unverified_limits,
)
from planner.usecases.evening.watch import OutingNow

_MOST_NAMED = 3


class ConditionsPanel(QWidget):
    """The form of conditions and the verdict on the outing that is looked at."""

    table_chosen = Signal(object)
    """Path of a table of conditions that is to be imported."""

    def __init__(self, desk: Desk, watch: Watch) -> None:
        super().__init__()
        self._desk, self._watch = desk, watch
        self._protocol: Protocol | None = None
        self._chosen: tuple[OutingNow, ...] = ()
        self.everywhere = QRadioButton(self.tr("For every outing"))
        self.chosen_only = QRadioButton()
        self.everywhere.setChecked(True)
        self.fields: dict[str, ConditionField] = {}
        self._form = QVBoxLayout()
        self._form.setSpacing(8)
        self.keep = QPushButton(self.tr("Write down"))
        self.keep.setProperty("main", "true")
        self.forget = QPushButton(self.tr("Take away"))
        self.from_table = QPushButton(self.tr("From a table …"))
        self.verdict = VerdictBox(desk.colours)
        self._note = quiet()
        self._fault = statement()
        self._fault.hide()
        self._lay_out()
        self._connect()
        self.refresh()

    def set_chosen(self, chosen: Sequence[OutingNow]) -> None:
        """Take the outings that are chosen in the table or on the map."""
        self._chosen = tuple(one for one in chosen if one.outing.counts)
        if not self._chosen:
            self.everywhere.setChecked(True)
        self.refresh()

    def look_at(self, now: OutingNow | None) -> None:
        """Show the verdict on one outing."""
        self.verdict.show_outing(now)

    def refresh(self) -> None:
        """Show what is kept, field by field; a field that somebody is changing stays as it is."""
        protocol = self._desk.session.snapshot.season.protocol
        if protocol is not self._protocol:
            self._build(protocol)
        named = ", ".join(self._routes_chosen[:_MOST_NAMED])
        named += "" if len(self._routes_chosen) <= _MOST_NAMED else " …"
        words = self.tr("For the %1 chosen: %2").replace("%1", str(len(self._chosen))).replace("%2", named)
        self.chosen_only.setText(words if self._chosen else self.tr("For the chosen outings"))
        self._fill()
        self._enable()

    @property
    def routes(self) -> tuple[str, ...]:
        """Codes of the routes that the form speaks of; none: all."""
        return self._routes_chosen if self.chosen_only.isChecked() else ()

    @property
    def fault(self) -> str:
        """Why the last thing asked for was not done; empty where it was."""
        return self._fault.text()

    def write_down(self) -> None:
        """Write down what the form says."""
        try:
            known = self._known()
        except RuleError as error:
            self._say_fault(str(error))
            return
        if not known:
            self._say_fault(self.tr("Nothing here is otherwise than what is written down already."))
            return
        self._say_fault("")
        date, routes = self._watch.date, self.routes
        self._desk.session.do(
            lambda file: keep_conditions(file, date, known, routes), failed=lambda error: self._say_fault(str(error))
        )

    def take_away(self) -> None:
        """Take the conditions that the form speaks of out of the file."""
        date, routes = self._watch.date, self.routes
        self._desk.session.do(
            lambda file: forget_conditions(file, date, routes), failed=lambda error: self._say_fault(str(error))
        )

    @property
    def _routes_chosen(self) -> tuple[str, ...]:
        return tuple(one.outing.key.route for one in self._chosen)

    def _known(self) -> list[Condition]:
        read = [field.read() for field in self.fields.values() if field.changed]
        return [condition for condition in read if condition is not None]

    def _build(self, protocol: Protocol) -> None:
        self._protocol = protocol
        for field in self.fields.values():
            self._form.removeWidget(field)
            field.deleteLater()
        self.fields = {}
        for quantity in quantities_asked(protocol):
            limits = [limit for limit in protocol.weather if limit.quantity is quantity]
            field = ConditionField(quantity, limits, self._desk.units)
            field.given.connect(self.write_down)
            field.edited.connect(self._enable)
            self.fields[quantity.value] = field
            self._form.addWidget(field)
        self._note.setText(self._what_holds(protocol))

    def _what_holds(self, protocol: Protocol) -> str:
        words = [self.tr("A field left empty stays as it was written down.")]
        if not protocol.weather:
            words = [self.tr("This protocol has no weather limits: the team stops by its own judgement.")]
        if unverified_limits(protocol):
            words.append(self.tr("Some limits are from memory and not verified: check them before relying on them."))
        return " ".join(words)

    def _fill(self) -> None:
        kept = conditions_for(self._watch.records.conditions, self._watch.date, self.routes)
        for field in self.fields.values():
            field.fill(kept.of(field.quantity))

    def _enable(self) -> None:
        snapshot = self._desk.session.snapshot
        why_not = snapshot.read_only_reason
        if not why_not and self._watch.date not in snapshot.season.dates:
            why_not = self.tr("This date lies outside the season.")
        nothing = self.tr("Nothing has been changed in the form.")
        changed = any(field.changed for field in self.fields.values())
        self._allow(self.keep, why_not or ("" if changed else nothing), self.tr("Keep the conditions (Enter)"))
        own = {one.route for one in self._watch.records.conditions if one.date == self._watch.date}
        there = bool(own & set(self.routes)) if self.routes else bool(own)
        self._allow(
            self.forget,
            why_not or ("" if there else self.tr("Nothing is written down.")),
            self.tr("Take the conditions of these outings away; undo brings them back"),
        )
        self._allow(self.from_table, why_not, self.tr("Import a table with the columns date, wind, rain and so on"))
        self.chosen_only.setEnabled(bool(self._chosen))
        self.chosen_only.setToolTip("" if self._chosen else self.tr("Choose outings in the table, or on the map"))

    @staticmethod
    def _allow(button: QPushButton, why_not: str, words: str) -> None:
        button.setEnabled(not why_not)
        button.setToolTip(why_not or words)

    def _say_fault(self, words: str) -> None:
        self._fault.setText(words)
        self._fault.setVisible(bool(words))

    def _choose_table(self) -> None:
        path, _ = QFileDialog.getOpenFileName(
            self, self.tr("Conditions from a table"), "", self.tr("Tables (*.csv *.tsv *.txt)")
        )
        if path:
            self.table_chosen.emit(Path(path))

    def _connect(self) -> None:
        self.keep.clicked.connect(self.write_down)
        self.forget.clicked.connect(self.take_away)
        self.from_table.clicked.connect(self._choose_table)
        self.chosen_only.toggled.connect(lambda _on: self.refresh())
        self._watch.changed.connect(self._records_may_differ)
        self._watch.date_changed.connect(lambda _date: self.refresh())
        self._desk.units_changed.connect(self._set_units)
        self._desk.look_changed.connect(lambda: self.verdict.set_colours(self._desk.colours))

    def _records_may_differ(self) -> None:
        if not any(field.changed for field in self.fields.values()):
            self.refresh()
        else:
            self._settle()

    def _settle(self) -> None:
        """Take over what was just written down, and leave alone what somebody is typing."""
        kept = conditions_for(self._watch.records.conditions, self._watch.date, self.routes)
        for field in self.fields.values():
            field.settle(kept.of(field.quantity))
        self._enable()

    def _set_units(self) -> None:
        for field in self.fields.values():
            field.set_units(self._desk.units)

    def _lay_out(self) -> None:
        buttons = QHBoxLayout()
        buttons.addWidget(self.keep, 1)
        buttons.addWidget(self.forget)
        column = QVBoxLayout(self)
        column.setSpacing(8)
        column.addWidget(self.verdict)
        column.addWidget(heading(self.tr("Conditions")))
        column.addWidget(self.everywhere)
        column.addWidget(self.chosen_only)
        column.addLayout(self._form)
        column.addWidget(self._fault)
        column.addLayout(buttons)
        column.addWidget(self.from_table)
        column.addWidget(self._note)
        column.addStretch(1)
