"""When one volunteer can go out: the calendar to paint on, the sentence, and how many dates are of use."""

from __future__ import annotations

import datetime as dt

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.look.marks import mark_pixmap
from planner.desktop.look.words import figure, quiet, statement
from planner.desktop.people.dates_model import DatesModel, PersonDates
from planner.desktop.people.dates_rule import DatesRuleForm
from planner.desktop.people.dates_view import DatesView
from planner.desktop.people.legend import DatesLegend
from planner.desktop.people.phrases import part_name, said
from planner.domain.finding import Severity
from planner.domain.volunteer import Volunteer
from planner.domain.window import PartOfDay
from planner.usecases.people.giving_dates import DateCell, DatesGiven, cells_words, give_dates, given_cells, parts_used
from planner.usecases.people.planned_dates import duties_of
from planner.usecases.people.usable_dates import DatesSummary, DateUse


class DatesPanel(QWidget):
    """The dates of the volunteer who is chosen; each stroke and each sentence is one step of the file."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._person: Volunteer | None = None
        self._use: DateUse | None = None
        season = desk.session.snapshot.season
        self.model = DatesModel(PersonDates(season.dates, parts_used(season.protocol), frozenset()), self)
        self.view = DatesView(self.model, desk.colours)
        self.rule = DatesRuleForm()
        self.count = figure()
        self.sums_up = statement()
        self._mark = QLabel()
        self._mark.setFixedSize(20, 20)
        self._legend = DatesLegend(desk.colours, self._count_part())
        self._asked_for: tuple[object, ...] = ()
        self._lay_out()
        self.view.stroke_changed.connect(self._count_anew)
        self.view.painted.connect(self._give)
        self.rule.changed.connect(self._judge_rule)
        self.rule.wanted.connect(self._give_by_rule)

    def show_person(self, person: Volunteer | None, use: DateUse | None) -> None:
        """Show somebody's dates; ``use`` is None until it is computed what they are good for."""
        snapshot = self._desk.session.snapshot
        season = snapshot.season
        if person is None or self._person is None or person.code != self._person.code:
            self.model.mark(())
        self._person, self._use = person, use
        parts = parts_used(season.protocol)
        given = given_cells(person, season.dates) if person is not None else frozenset[DateCell]()
        duties = duties_of(season, snapshot.plan, person.code) if person is not None else {}
        self.model.show(PersonDates(season.dates, parts, given, use, duties))
        self.view.may_paint = person is not None and not snapshot.read_only_reason
        self.view.setEnabled(person is not None)
        self.view.setToolTip(snapshot.read_only_reason)
        if self._asked_for != (season.dates, parts):
            self._asked_for = (season.dates, parts)
            self.rule.ask_for(season.dates, parts, self._count_part())
        self._count_anew()
        self._judge_rule()

    def go_to(self, day: dt.date) -> None:
        """Show a date, the part of it that the counts lie in."""
        self.view.go_to((day, self._count_part()))

    def show_look(self) -> None:
        """Change to the palette of the desk."""
        self.view.set_colours(self._desk.colours)
        self._legend.set_colours(self._desk.colours)
        self._count_anew()

    def _count_part(self) -> PartOfDay:
        """Return the part of day that the first window lies in."""
        return self._desk.session.snapshot.season.protocol.windows[0].part

    def _count_words(self) -> str:
        """Return the parts of day that the counts lie in: 'evening', or 'morning / evening'."""
        protocol = self._desk.session.snapshot.season.protocol
        counted = {window.part for window in protocol.windows}
        return " / ".join(part_name(part) for part in parts_used(protocol) if part in counted)

    def _give(self, cells: frozenset[DateCell], give: bool) -> None:
        if self._person is None:
            return
        code = self._person.code
        self._desk.session.do(
            lambda file: give_dates(file, code, cells, give=give), self._given, lambda error: self._refused(str(error))
        )

    def _given(self, given: DatesGiven) -> None:
        if not self.view.painting:
            self.model.mark(())
        if given.label:
            self._desk.say(f"{given.label}.")
        self._count_anew()

    def _refused(self, why: str) -> None:
        self.model.mark(())
        self._count_anew()
        self._desk.say(why)

    def _give_by_rule(self) -> None:
        rule = self.rule.rule
        if rule is not None:
            self._give(rule.cells(self._desk.session.snapshot.season), rule.give)

    def _judge_rule(self) -> None:
        """Say what the sentence would do to the dates as they stand, or why it cannot be done."""
        rule, reason = self.rule.rule, self._desk.session.snapshot.read_only_reason
        if rule is None or self._person is None or reason:
            self.rule.say("", self.rule.gap or reason or self.tr("Choose a volunteer first."))
            return
        cells = rule.cells(self._desk.session.snapshot.season)
        given = self.model.shown.given
        changed = cells - given if rule.give else cells & given
        nothing = self.tr("All of it is given already.") if rule.give else self.tr("None of it is given.")
        says = said(self.tr("changes %1"), cells_words(changed))
        self.rule.say(says, "" if changed else nothing)

    def _count_anew(self) -> None:
        """Say how many of the dates given are of use, the stroke that is being painted included."""
        if self._person is None:
            self._say_sum("", "", None)
            return
        if self._use is None:
            self._say_sum("…", self.tr("Light and drives are being computed."), None)
            return
        summary = self._use.summary(self.model.given)
        self._say_sum(str(summary.usable), self._sum_words(summary), _severity(summary, self._person))

    def _say_sum(self, number: str, words: str, severity: Severity | None) -> None:
        self.count.setText(number)
        self.sums_up.setText(words)
        shown = severity is not None
        self._mark.setVisible(shown)
        if shown:
            ratio = self.devicePixelRatioF()
            self._mark.setPixmap(mark_pixmap(severity, self._desk.colours, 18, ratio))

    def _sum_words(self, summary: DatesSummary) -> str:
        part = self._count_words()
        if summary.no_route:
            return self.tr("No route lies within the drive limit: see Reach.")
        if not summary.given:
            return said(self.tr("No %1 is given: paint some on the calendar."), part)
        words = [said(self.tr("usable, of %1 given for the %2."), summary.given, part)]
        if summary.dark:
            words.append(said(self.tr("%1 have no window."), summary.dark))
        if summary.outside:
            words.append(said(self.tr("%1 are in no visit's dates."), summary.outside))
        if not summary.usable:
            words.append(self.tr("Paint dates that are not hatched."))
        return " ".join(words)

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignVCenter)
        self.count.setWordWrap(False)
        top.addWidget(self.count)
        top.addWidget(self.sums_up, 1)
        hint = quiet(self.tr("Drag to paint."))
        hint.setWordWrap(False)
        hint.setToolTip(self.tr("Drag over dates to give them, over given ones to take them back."))
        top.addWidget(hint, 0, Qt.AlignmentFlag.AlignBottom)
        layout = QVBoxLayout(self)
        layout.setSpacing(4)
        layout.setContentsMargins(9, 5, 9, 7)
        layout.addLayout(top)
        layout.addWidget(self.view, 1)
        layout.addWidget(self._legend)
        layout.addWidget(self.rule)


def _severity(summary: DatesSummary, person: Volunteer) -> Severity | None:
    """Return how serious it is that nothing is usable; None where something is, or where no visits are offered."""
    return Severity.TROUBLE if not summary.usable and person.visits_limit else None
