"""What is known of the volunteers: rows, dates of use and findings, computed in the background after each change."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from planner.desktop.desk import Desk
from planner.domain.finding import Finding
from planner.domain.volunteer import Volunteer
from planner.usecases.people.load import PersonRow, people_rows
from planner.usecases.people.usable_dates import DateUse, UsefulDates, useful_dates

if TYPE_CHECKING:
    from planner.scheduling import SeasonProblem


class PeopleFacts(QObject):
    """Follows the session; holds the newest that is known."""

    changed = Signal()

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.rows: tuple[PersonRow, ...] = ()
        self._useful: UsefulDates | None = None
        self._made_for: SeasonProblem | None = None
        self._uses: dict[str, DateUse] = {}
        session = desk.session
        session.snapshot_changed.connect(lambda _snapshot: self.begin())
        session.problem_changed.connect(lambda _problem: self.begin())
        session.checked_changed.connect(lambda _checked: self.begin())

    def begin(self) -> None:
        """Compute anew what a change has made untrue."""
        session = self._desk.session
        snapshot, problem, findings = session.snapshot, session.problem, self._findings()
        known = self._useful if problem is self._made_for else None

        def work() -> tuple[tuple[PersonRow, ...], UsefulDates | None]:
            useful = known if known is not None or problem is None else useful_dates(problem)
            return people_rows(snapshot.season, snapshot.plan, findings, useful, problem), useful

        session.think(work, lambda found: self._take(problem, *found), topic="people", owner=self)

    def row(self, person: Volunteer | None) -> PersonRow | None:
        """Return the row of a volunteer; None while it is not known."""
        return next((row for row in self.rows if person is not None and row.person.code == person.code), None)

    def date_use(self, person: Volunteer | None) -> DateUse | None:
        """Return what somebody's dates are good for; None while it is not known."""
        if person is None or self._useful is None:
            return None
        if person.code not in self._uses and any(one.code == person.code for one in self._useful.season.volunteers):
            self._uses[person.code] = self._useful.of(person.code)
        return self._uses.get(person.code)

    def findings_of(self, person: Volunteer | None) -> tuple[Finding, ...]:
        """Return what the checks found of somebody, worst first."""
        return tuple(one for one in self._findings() if person is not None and one.subject.volunteer == person.code)

    def _findings(self) -> tuple[Finding, ...]:
        checked = self._desk.session.checked
        return checked.findings if checked is not None else ()

    def _take(self, problem: SeasonProblem | None, rows: tuple[PersonRow, ...], useful: UsefulDates | None) -> None:
        if useful is not self._useful:
            self._useful, self._made_for, self._uses = useful, problem, {}
        self.rows = rows
        self.changed.emit()
