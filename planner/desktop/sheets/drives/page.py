"""The Drives page: recorded drives beside what was expected, before and after, and planning with them."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtGui import QAction, QShowEvent
from PySide6.QtWidgets import QPushButton, QVBoxLayout

from planner.desktop.desk import Desk
from planner.desktop.look.flow import FlowLayout
from planner.desktop.look.low import low
from planner.desktop.look.words import statement
from planner.desktop.paper.outcome import Notice
from planner.desktop.room import RoomName
from planner.desktop.rule_rooms import room_of
from planner.desktop.sheets.drives.actions import DriveActions
from planner.desktop.sheets.drives.figures import DriveFigures
from planner.desktop.sheets.drives.said import came_to_words, lacking_words, planned_words
from planner.desktop.sheets.drives.watch import DrivesWatch
from planner.desktop.sheets.grid_head import action_button
from planner.desktop.sheets.page import SheetsPage
from planner.desktop.sheets.words import tr
from planner.domain.finding import Finding, Severity, Subject
from planner.usecases.calibrating import broken_to_come


class DrivesPage(SheetsPage):
    """Sentences and what can be done above, figures below; all follows the season as it stands."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.watch = DrivesWatch(desk, self)
        self.actions_here = DriveActions(desk, self)
        self.came_to, self.planned = low(statement()), low(statement())
        self.first = QPushButton(tr("Type the times of a visit …"))
        self.first.setToolTip(tr("On the Visits page, the first visit of the plan"))
        self.notice = Notice(desk.colours)
        self.figures = DriveFigures(desk)
        self._lay_out()
        self._connect()
        self._show()

    def takes(self, subject: Subject) -> bool:
        """Whatever is about a visit, a point or a person is shown on the other pages."""
        return subject == Subject()

    def commands(self) -> Sequence[QAction]:
        """Return what can be done with recorded drives."""
        return self.actions_here.every

    def showEvent(self, event: QShowEvent) -> None:  # Qt's name
        """Compute what recorded drives come to when the page is seen."""
        super().showEvent(event)
        self.watch.want()

    def _season_changed(self) -> None:
        if self.isVisible():
            self.watch.want()
        self._show()

    def _show(self) -> None:
        """Show what is known; figures that a change has overtaken stay until the new ones are there."""
        found = self.watch.found
        snapshot = self.desk.session.snapshot
        mapped = snapshot.season.roads is not None
        if self.watch.obstacle:
            self.came_to.setText(self.watch.obstacle)
        elif found is None:
            self.came_to.setText(tr("Recorded drives are being held against what was expected …"))
        elif found.season is None:
            self.came_to.setText(lacking_words(snapshot.records, tr("Bring filled-in sheets in …")))
        else:
            self.came_to.setText(came_to_words(found, mapped=mapped))
        factors, broken = snapshot.season.drive_factors, self._broken_now()
        # Held against the season as it stands: figures that a step has overtaken would go on offering it.
        news = found is not None and found.season is not None and found.factors != factors
        self.planned.setText(planned_words(factors, len(broken), news=news, mapped=mapped))
        self.first.setVisible(found is not None and found.season is None and bool(len(snapshot.plan)))
        self.figures.show_found(found)
        self.figures.show_broken(found.broken if found is not None and news else broken, would=news)
        self.actions_here.judge(found, self._why_unknown())

    def _broken_now(self) -> Sequence[Finding]:
        """Return what visits break as the plan stands, where drives are planned with recorded ones."""
        checked = self.desk.session.checked
        if checked is None or self.desk.session.snapshot.season.drive_factors.season is None:
            return ()
        of_plan = [one for one in checked.findings if room_of(one.rule) is RoomName.BOARD]
        return broken_to_come(of_plan, self.desk.session.snapshot.plan, self.desk.today())

    def _why_unknown(self) -> str:
        if self.watch.obstacle:
            return tr("It cannot be told; the page says why.")
        return "" if self.watch.fresh else tr("The figures are being computed.")

    def _say(self, words: str, went_wrong: bool) -> None:
        """Say on the page what came of it; nothing puts away what was said before."""
        if words:
            self.notice.say(words, Severity.TROUBLE if went_wrong else None)
        else:
            self.notice.hide()

    def _type_first(self) -> None:
        """Go to where the first visit of the plan is recorded."""
        visit = min(self.desk.session.snapshot.plan, key=lambda one: (one.date, one.key))
        self.desk.go(RoomName.SHEETS, Subject(visit.key.route, visit=visit.key.number, date=visit.date))

    def _go_to_finding(self, finding: Finding) -> None:
        self.desk.go(RoomName.OUTING if finding.subject.visit is not None else RoomName.BOARD, finding.subject)

    def _connect(self) -> None:
        session = self.desk.session
        self.watch.changed.connect(self._show)
        session.snapshot_changed.connect(lambda _found: self._season_changed())
        session.problem_changed.connect(lambda _problem: self._season_changed())
        session.checked_changed.connect(lambda _checked: self._show())
        self.actions_here.said.connect(self._say)
        self.first.clicked.connect(lambda _checked: self._type_first())
        self.figures.finding_entered.connect(self._go_to_finding)
        self.figures.visit_entered.connect(lambda subject: self.desk.go(RoomName.OUTING, subject))
        self.desk.look_changed.connect(self._dress)

    def _dress(self) -> None:
        self.notice.set_colours(self.desk.colours)
        self.figures.dress()

    def _lay_out(self) -> None:
        bar = FlowLayout()
        actions = self.actions_here
        for action in actions.every:
            bar.addWidget(action_button(action, main=action is actions.use))
        bar.addWidget(self.first)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addWidget(self.came_to)
        column.addWidget(self.planned)
        column.addLayout(bar)
        column.addWidget(self.notice)
        column.addWidget(self.figures, 1)
        column.addStretch(0)
