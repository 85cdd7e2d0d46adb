"""Check-in of one outing: left, arrived, safe home, for each person, with the time."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from PySide6.QtCore import Qt, QTime, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QCheckBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSpinBox,
    QTimeEdit,
    QVBoxLayout,
    QWidget,
)

from planner.desktop.desk import Desk
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.look.words import heading, quiet, statement
from planner.desktop.today.watch import Watch
from planner.desktop.today.words import (
    clock,
    short_day,
    stage_word,
    what_word,
    whereabouts_mark,
    whereabouts_word,
)
from planner.domain.check_in import CheckIn, Stage
from planner.domain.finding import Severity
from planner.usecases.evening.check_in import Early, check_in, moment_of, take_back_check_in, too_early
from planner.usecases.evening.watch import OutingNow, PersonNow


class CheckInPanel(QWidget):
    """Who of the outing that is looked at has rung in, and buttons for those who ring now."""

    def __init__(self, desk: Desk, watch: Watch) -> None:
        super().__init__()
        self._desk, self._watch = desk, watch
        self._now: OutingNow | None = None
        self._name = heading()
        self._trouble = statement()
        self._people = QVBoxLayout()
        self._people.setSpacing(8)
        self.cards: list[PersonCard] = []
        self.team = {stage: QPushButton(self.tr("All: %1").replace("%1", stage_word(stage))) for stage in Stage}
        self.at_now = QCheckBox(self.tr("Now"))
        self.time = QTimeEdit()
        self._early, self._early_mark = statement(), QLabel()
        self.grace = QSpinBox()
        self._lay_out()
        self._connect()
        self.look_at(None)

    def look_at(self, now: OutingNow | None) -> None:
        """Show the people of one outing."""
        same = self._people_of(self._now) == self._people_of(now)
        self._now = now
        self._name.setText(f"{now.outing.title}, {what_word(now.outing)}" if now else self.tr("Choose an outing."))
        self._trouble.setText(now.outing.trouble if now else "")
        self._trouble.setVisible(bool(now and now.outing.trouble))
        if not same:
            self._rebuild(now.people if now else ())
        zone = self._desk.session.snapshot.season.tzinfo
        for card, person in zip(self.cards, now.people if now else (), strict=True):
            card.show_person(person, zone, self._desk)
        self._show_team(now)
        if self.at_now.isChecked():
            self._show_now()
        self._show_early()

    @property
    def early(self) -> str:
        """Why a check-in now or at the time that is set comes too soon; empty where it does not."""
        return self._early.text()

    def rings_in(self, person: PersonNow, stage: Stage) -> None:
        """Write down what somebody rings in with, at the time that is set."""
        now = self._now
        if now is None:
            return
        word = CheckIn(now.outing.date, now.outing.key.route, person.goer.code, stage, self._moment(person, stage))
        self._desk.session.do(lambda file: check_in(file, [word]))

    def team_rings_in(self, stage: Stage) -> None:
        """Write down for everybody of the outing what one of them says for all, as one step."""
        now = self._now
        if now is None:
            return
        date, route = now.outing.date, now.outing.key.route
        words = [
            CheckIn(date, route, one.goer.code, stage, self._moment(one, stage))
            for one in now.people
            if stage not in one.heard
        ]
        self._desk.session.do(lambda file: check_in(file, words))

    def take_back(self, person: PersonNow, stage: Stage) -> None:
        """Take back what was written down by a slip."""
        now = self._now
        if now is not None:
            date, route, code = now.outing.date, now.outing.key.route, person.goer.code
            self._desk.session.do(lambda file: take_back_check_in(file, date, route, code, stage))

    def _moment(self, person: PersonNow, stage: Stage) -> dt.datetime:
        now = self._desk.now()
        if self.at_now.isChecked():
            return now
        goer, time = person.goer, self.time.time()
        expected = goer.due_utc if stage is Stage.HOME else goer.leave_utc
        zone = self._desk.session.snapshot.season.tzinfo
        return moment_of(dt.time(time.hour(), time.minute()), expected or now, zone)

    def _show_early(self) -> None:
        words = self._early_words()
        self._early.setText(words)
        self._early_mark.setPixmap(mark_pixmap(Severity.DOUBT, self._desk.colours, 18, 2.0))
        for part in (self._early, self._early_mark):
            part.setVisible(bool(words))

    def _early_words(self) -> str:
        now = self._now
        if now is None or not now.people:
            return ""
        outing, zone = now.outing, self._desk.session.snapshot.season.tzinfo
        leave = None if any(Stage.LEFT in one.heard for one in now.people) else outing.leave_utc
        found = too_early(outing.date, leave, self._moment(now.people[0], Stage.HOME), self._desk.now(), zone)
        if found is Early.EVENING:
            words = self.tr("This evening has not come yet: it is %1. Is it the right one?")
            return words.replace("%1", short_day(outing.date))
        if found is Early.MOMENT:
            return self.tr("The time that is set has not come yet.")
        if found is Early.LEAVING:
            words = self.tr("Nobody leaves before %1 by the plan. Who is 'Safe home' is not waited for any more.")
            return words.replace("%1", clock(leave, zone))
        return ""

    def _show_team(self, now: OutingNow | None) -> None:
        read_only = self._desk.session.snapshot.read_only_reason
        for stage, button in self.team.items():
            button.setVisible(now is not None and len(now.people) > 1)
            known = now is None or all(stage in one.heard for one in now.people)
            reason = read_only or (self.tr("It is written down for all of them.") if known else "")
            button.setEnabled(not reason)
            button.setToolTip(reason or self.tr("One of them rings for all"))

    @staticmethod
    def _people_of(now: OutingNow | None) -> tuple[str, ...]:
        return tuple(person.goer.code for person in now.people) if now else ()

    def _rebuild(self, people: Sequence[PersonNow]) -> None:
        for card in self.cards:
            self._people.removeWidget(card)
            card.hide()
            card.deleteLater()
        self.cards = [PersonCard() for _ in people]
        for card in self.cards:
            card.rings_in.connect(self.rings_in)
            card.takes_back.connect(self.take_back)
            self._people.addWidget(card)

    def _show_now(self) -> None:
        now = self._desk.now().astimezone(self._desk.session.snapshot.season.tzinfo)
        self.time.setTime(QTime(now.hour, now.minute))

    def _connect(self) -> None:
        self.at_now.toggled.connect(self._take_now)
        self.time.timeChanged.connect(lambda _time: self._show_early())
        for stage, button in self.team.items():
            button.clicked.connect(lambda _on, one=stage: self.team_rings_in(one))
        self.grace.valueChanged.connect(self._watch.keep_grace)

    def _take_now(self, on: bool) -> None:  # a signal's argument
        self.time.setEnabled(not on)
        if on:
            self._show_now()
        self._show_early()

    def _lay_out(self) -> None:
        self.at_now.setChecked(True)
        self.at_now.setToolTip(self.tr("Write down the present moment; without it, the time beside"))
        self.time.setEnabled(False)
        self.time.setDisplayFormat("HH:mm")
        self.time.setAccessibleName(self.tr("Time of the check-in"))
        self.time.setToolTip(self.tr("When they rang; after midnight is understood"))
        self.grace.setRange(0, 240)
        self.grace.setSuffix(self.tr(" min"))
        self.grace.setValue(round(self._watch.grace.total_seconds() / 60))
        self.grace.setAccessibleName(self.tr("Minutes after the time due back"))
        when = QHBoxLayout()
        when.addWidget(QLabel(self.tr("Time:")))
        when.addWidget(self.at_now)
        when.addWidget(self.time)
        when.addStretch(1)
        late = QHBoxLayout()
        late.addWidget(statement(self.tr("Overdue so long after the time due back:")), 1)
        late.addWidget(self.grace)
        column = QVBoxLayout(self)
        column.setSpacing(8)
        for widget in (self._name, self._trouble):
            column.addWidget(widget)
        column.addLayout(when)
        early = QHBoxLayout()
        early.addWidget(self._early_mark, 0, Qt.AlignmentFlag.AlignTop)
        early.addWidget(self._early, 1)
        column.addLayout(early)
        together = QHBoxLayout()
        for button in self.team.values():
            together.addWidget(button)
        column.addLayout(together)
        column.addLayout(self._people)
        column.addLayout(late)
        column.addWidget(quiet(self.tr("30 minutes are our own assumption; set what your survey's safety rules say.")))
        column.addStretch(1)


class PersonCard(QFrame):
    """One person: name, number, times, where they are, and what they rang in with."""

    rings_in = Signal(object, object)
    takes_back = Signal(object, object)

    def __init__(self) -> None:
        super().__init__()
        self._person: PersonNow | None = None
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self._name, self._number, self._times, self._where = heading(), statement(), quiet(), statement()
        self._mark = QLabel()
        self.copy = QPushButton(self.tr("Copy number"))
        self.heard = {stage: QLabel() for stage in Stage}
        self.stages = {stage: QPushButton() for stage in Stage}
        self.back = {stage: QPushButton(self.tr("Take back")) for stage in Stage}
        self._lay_out()
        self.copy.clicked.connect(self._copy_number)

    def show_person(self, person: PersonNow, zone: dt.tzinfo, desk: Desk) -> None:
        """Show how one person stands."""
        self._person = person
        goer = person.goer
        role = self.tr("lead") if goer.leads else self.tr("second")
        self._name.setText(f"{goer.name}, {role}")
        self._number.setText(goer.telephone or self.tr("no number is known"))
        times = self.tr("Leaves %1, due back %2")
        self._times.setText(times.replace("%1", clock(goer.leave_utc, zone)).replace("%2", clock(goer.due_utc, zone)))
        self._where.setText(whereabouts_word(person.whereabouts))
        self._mark.setPixmap(mark_pixmap(whereabouts_mark(person.whereabouts), desk.colours, 18, 2.0))
        self.copy.setEnabled(bool(goer.telephone))
        self.copy.setToolTip(goer.telephone or self.tr("No number is known"))
        for stage in Stage:
            self._show_stage(person, stage, zone, desk.session.snapshot.read_only_reason)

    def _show_stage(self, person: PersonNow, stage: Stage, zone: dt.tzinfo, read_only: str) -> None:
        heard = person.heard.get(stage)
        self.heard[stage].setText(clock(heard, zone))
        button, back = self.stages[stage], self.back[stage]
        button.setText(stage_word(stage))
        button.setEnabled(not read_only)
        button.setToolTip(read_only or self.tr("Write it down at the time above"))
        button.setAccessibleName(f"{person.goer.name}: {stage_word(stage)}")
        back.setVisible(heard is not None)
        back.setEnabled(not read_only)
        back.setToolTip(read_only or self.tr("It was a slip: take it back"))
        back.setAccessibleName(f"{self.tr('Take back')}: {person.goer.name}, {stage_word(stage)}")

    def _copy_number(self) -> None:
        if self._person is not None:
            QGuiApplication.clipboard().setText(self._person.goer.telephone)

    def _ask(self, stage: Stage) -> None:
        if self._person is not None:
            self.rings_in.emit(self._person, stage)

    def _ask_back(self, stage: Stage) -> None:
        if self._person is not None:
            self.takes_back.emit(self._person, stage)

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        names = QVBoxLayout()
        names.setSpacing(0)
        names.addWidget(self._name)
        names.addWidget(self._number)
        head.addLayout(names, 1)
        head.addWidget(self.copy)
        state = QHBoxLayout()
        state.addWidget(self._mark)
        state.addWidget(self._where)
        state.addWidget(self._times, 1)
        grid = QGridLayout()
        grid.setColumnStretch(0, 1)
        for row, stage in enumerate(Stage):
            self.heard[stage].setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            self.stages[stage].clicked.connect(lambda _on, one=stage: self._ask(one))
            self.back[stage].clicked.connect(lambda _on, one=stage: self._ask_back(one))
            grid.addWidget(self.stages[stage], row, 0)
            grid.addWidget(self.heard[stage], row, 1)
            grid.addWidget(self.back[stage], row, 2)
        column = QVBoxLayout(self)
        column.addLayout(head)
        column.addLayout(state)
        column.addLayout(grid)
