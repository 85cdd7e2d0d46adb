"""The details of one visit, and what can be done with it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QPushButton,
    QRadioButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.board.finding_lines import FindingLines
from planner.desktop.board.people_list import PeopleList
from planner.desktop.board.said import day_said, status_said, tr
from planner.desktop.board.steps import Steps
from planner.desktop.desk import Desk
from planner.desktop.look.words import heading, quiet, statement
from planner.desktop.room import RoomName
from planner.domain.finding import Finding, Subject
from planner.domain.plan import PlannedVisit, Status, VisitKey
from planner.usecases.plan.judging import VisitFacts, visit_facts
from planner.usecases.plan.placing import why_fixed
from planner.usecases.plan.proposing import Candidate, Role, reserves_for, setups_for


class VisitPane(QScrollArea):
    """One visit: when, who, how much is to spare, what is wrong with it; and the buttons for it."""

    lead_wanted = Signal(object)
    """A Candidate that was chosen as lead while a visit is in the hand."""

    def __init__(self, desk: Desk, steps: Steps, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._steps = steps
        self._key: VisitKey | None = None
        self._hanging: PlannedVisit | None = None
        self._title, self._status = heading(), statement()
        self._facts = {name: statement() for name in ("date", "lead", "second", "margin", "driving")}
        self._reserve = _dates_box(tr("Reserve date"))
        self._setup = _dates_box(tr("Set-up day"))
        self._findings = FindingLines(desk)
        self.people = PeopleList(desk)
        self._as_lead, self._as_second = QRadioButton(tr("as lead")), QRadioButton(tr("as second"))
        self._alone = QPushButton(tr("No second"))
        self._alone.setToolTip(tr("The lead goes without a second person."))
        self._people_heading = heading(tr("Who could go"))
        self._nothing = quiet(tr("Choose a date of a route on the board: what stands there is shown here."))
        self._buttons = self._make_buttons()
        self.setWidget(self._laid_out())
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._connect()
        self.show_visit(None)

    @property
    def key(self) -> VisitKey | None:
        """The visit that is shown."""
        return self._key

    def show_visit(self, key: VisitKey | None) -> None:
        """Show a visit; None: nothing is chosen."""
        self._key, self._hanging = key, None
        self._refresh()

    def show_hanging(self, visit: PlannedVisit) -> None:
        """List the people for a visit that is in the hand, on the date over which it hangs, and go to the list."""
        self._hanging = visit
        self._as_lead.setChecked(True)
        self.people.people.look(visit, Role.LEAD)
        self.people.setFocus(Qt.FocusReason.ShortcutFocusReason)

    # Laying out.

    def _make_buttons(self) -> dict[str, QPushButton]:
        words = {
            "pin": tr("Pin"),
            "confirm": tr("Confirm"),
            "out": tr("Take out"),
            "outing": tr("Show outing"),
            "cancel": tr("Cancel for weather …"),
        }
        made = {name: QPushButton(text) for name, text in words.items()}
        for name, button in made.items():
            button.setObjectName(name)
        return made

    def _laid_out(self) -> QWidget:
        body = QWidget()
        self._form = QFormLayout()
        self._form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        self._form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        names = {
            "date": tr("Date"),
            "lead": tr("Lead"),
            "second": tr("Second"),
            "margin": tr("Margin"),
            "driving": tr("Driving"),
        }
        for name in ("date", "lead", "second"):
            self._form.addRow(names[name], self._facts[name])
        self._form.addRow(tr("Reserve"), self._reserve)
        self._form.addRow(tr("Set-up"), self._setup)
        for name in ("margin", "driving"):
            self._form.addRow(names[name], self._facts[name])
        roles = QHBoxLayout()
        roles.addWidget(self._as_lead)
        roles.addWidget(self._as_second)
        roles.addWidget(self._alone)
        roles.addStretch(1)
        self._as_lead.setChecked(True)
        column = QVBoxLayout(body)
        column.setContentsMargins(12, 12, 12, 12)
        for widget in (self._nothing, self._title, self._status, self._findings):
            column.addWidget(widget)
        column.addLayout(self._form)
        column.addWidget(_rows_of(self._buttons.values()))
        column.addWidget(self._people_heading)
        column.addLayout(roles)
        column.addWidget(self.people, 1)
        column.addStretch(0)
        return body

    def _connect(self) -> None:
        desk, buttons = self._desk, self._buttons
        buttons["pin"].clicked.connect(lambda: self._with_key(self._steps.toggle_pin))
        buttons["confirm"].clicked.connect(lambda: self._with_key(self._steps.toggle_confirmed))
        buttons["out"].clicked.connect(lambda: self._with_key(self._steps.take_out))
        buttons["outing"].clicked.connect(lambda: self._go(RoomName.OUTING))
        buttons["cancel"].clicked.connect(lambda: self._go(RoomName.TODAY))
        self._reserve.activated.connect(lambda: self._with_key(self._hold))
        self._setup.activated.connect(lambda: self._with_key(self._set_up))
        self._as_lead.toggled.connect(self._look_for_people)
        self._alone.clicked.connect(lambda: self._with_key(self._steps.go_alone))
        self.people.chosen.connect(self._give)
        self._steps.refused.connect(self._refresh)
        desk.session.problem_changed.connect(self._refresh)
        desk.session.checked_changed.connect(self._refresh)

    # What is shown.

    def _refresh(self) -> None:
        """Show the visit as it stands now."""
        visit = self._visit()
        for widget in (self._title, self._status, self._findings, self._people_heading, self.people):
            widget.setVisible(self._key is not None)
        for button in (*self._buttons.values(), self._as_lead, self._as_second):
            button.setVisible(visit is not None)
        self._nothing.setVisible(self._key is None)
        self._form_shown(visit)
        if self._key is None:
            self._alone.hide()
            return
        season = self._desk.session.snapshot.season
        title = season.route(self._key.route).title
        self._title.setText(tr("%1, visit %2", title, self._key.number))
        self._findings.show_findings(self._said_of(self._key))
        if visit is None:
            self._status.setText(
                tr("Unfilled. Press Enter on a date of the board to place it there; 'Unfilled' says what would help.")
            )
        else:
            self._status.setText(_first_up(status_said(visit)))
            self._fill(visit)
        self._look_for_people()

    def _form_shown(self, visit: PlannedVisit | None) -> None:
        protocol = self._desk.session.snapshot.season.protocol
        for row in range(self._form.rowCount()):
            item = self._form.itemAt(row, QFormLayout.ItemRole.FieldRole)
            wanted = visit is not None
            if item is not None and item.widget() is self._setup:
                wanted = wanted and protocol.setup is not None and visit is not None and visit.key.number == 1
            self._form.setRowVisible(row, wanted)

    def _fill(self, visit: PlannedVisit) -> None:
        season = self._desk.session.snapshot.season
        names = {one.code: f"{one.code} {one.name}" for one in season.volunteers}
        self._facts["date"].setText(f"{day_said(visit.date)} {visit.date.year}")
        self._facts["lead"].setText(names.get(visit.lead, visit.lead))
        self._facts["second"].setText(names.get(visit.second, visit.second) or tr("nobody"))
        reason = self._desk.session.snapshot.read_only_reason or why_fixed(visit, self._desk.today())
        _offer(self._reserve, visit.reserve, sorted(reserves_for(season, visit, visit.date)), reason)
        setups = sorted(day for day in setups_for(season, visit, visit.date) if day is not None)
        _offer(self._setup, visit.setup, setups, reason)
        self._label_buttons(visit, reason)
        self._compute(visit)

    def _label_buttons(self, visit: PlannedVisit, reason: str) -> None:
        buttons, read_only = self._buttons, self._desk.session.snapshot.read_only_reason
        buttons["pin"].setText(tr("Unpin") if visit.pinned else tr("Pin"))
        buttons["pin"].setToolTip(read_only or tr("A pinned visit stays as it is, whatever is planned."))
        confirmed = visit.status is Status.CONFIRMED
        buttons["confirm"].setText(tr("Take confirmation back") if confirmed else tr("Confirm"))
        done = tr("The visit is done.") if visit.status is Status.DONE else ""
        buttons["confirm"].setToolTip(read_only or done or tr("Its people have agreed to come."))
        buttons["out"].setToolTip(reason or tr("Leave the visit unfilled. It can be undone."))
        buttons["outing"].setToolTip(tr("The evening minute by minute, and the map."))
        buttons["cancel"].setToolTip(done or tr("Ways on if weather takes the date."))
        buttons["pin"].setEnabled(not read_only)
        buttons["confirm"].setEnabled(not read_only and not done)
        buttons["out"].setEnabled(not reason)
        buttons["cancel"].setEnabled(not done)

    def _compute(self, visit: PlannedVisit) -> None:
        """Find margin and driving, off the interface thread."""
        problem = self._desk.session.problem
        if problem is None:
            return

        def think() -> VisitFacts:
            return visit_facts(problem, visit)

        self._desk.session.think(think, self._show_facts, topic="board facts", owner=self)

    def _show_facts(self, facts: VisitFacts) -> None:
        margin = facts.margin_minutes
        said = (
            tr("cannot be told: there is no window on that date")
            if margin is None
            else tr("%1 min to spare before the window closes", f"{margin:.0f}")
        )
        if facts.points_missed:
            said += tr(", %1 points do not fit", facts.points_missed)
        self._facts["margin"].setText(said)
        self._facts["driving"].setText(tr("%1 min in all, out and back", f"{facts.drive_minutes:.0f}"))

    def _look_for_people(self) -> None:
        visit = self._visit()
        role = Role.LEAD if self._as_lead.isChecked() else Role.SECOND
        self.people.people.look(visit, role)
        self.people.setVisible(visit is not None)
        self._alone.setVisible(visit is not None and bool(visit.second) and role is Role.SECOND)
        self._people_heading.setVisible(visit is not None)

    def _said_of(self, key: VisitKey) -> tuple[Finding, ...]:
        checked = self._desk.session.checked
        found = checked.findings if checked is not None else ()
        return tuple(one for one in found if (one.subject.route, one.subject.visit) == (key.route, key.number))

    def _visit(self) -> PlannedVisit | None:
        return self._desk.session.snapshot.plan.by_key.get(self._key) if self._key is not None else None

    # What is done.

    def _with_key(self, do: Callable[[VisitKey], None]) -> None:
        if self._key is not None:
            do(self._key)

    def _hold(self, key: VisitKey) -> None:
        self._steps.hold(key, self._reserve.currentData())

    def _set_up(self, key: VisitKey) -> None:
        self._steps.set_up(key, self._setup.currentData())

    def _go(self, room: RoomName) -> None:
        visit = self._visit()
        if visit is not None:
            self._desk.go(room, Subject(route=visit.key.route, visit=visit.key.number, date=visit.date))

    def _give(self, one: Candidate) -> None:
        if self._hanging is not None:
            self._hanging = None
            self.lead_wanted.emit(one)
        else:
            self._steps.place(one.verdict.visit)


def _rows_of(buttons: Iterable[QPushButton]) -> QWidget:
    """Return buttons below one another in pairs, so that longer words have room."""
    holder = QWidget()
    column = QVBoxLayout(holder)
    column.setContentsMargins(0, 4, 0, 4)
    every = list(buttons)
    for first in range(0, len(every), 2):
        row = QHBoxLayout()
        for button in every[first : first + 2]:
            row.addWidget(button)
        row.addStretch(1)
        column.addLayout(row)
    return holder


def _dates_box(name: str) -> QComboBox:
    box = QComboBox()
    box.setAccessibleName(name)
    return box


def _offer(box: QComboBox, now: dt.date | None, days: list[dt.date], reason: str) -> None:
    """Offer dates to choose from, the one that stands among them."""
    box.clear()
    box.addItem(tr("none"), None)
    for day in sorted({*days, *([now] if now is not None else [])}):
        box.addItem(day_said(day), day)
    box.setCurrentIndex(next((n for n in range(box.count()) if box.itemData(n) == now), 0))
    box.setEnabled(not reason)
    box.setToolTip(reason)


def _first_up(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."
