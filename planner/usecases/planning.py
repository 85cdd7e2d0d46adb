"""Plan the season, or finish its plan; nothing is saved that the audit would not pass."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from planner.domain.errors import ImpossibleError
from planner.domain.finding import Finding, Severity
from planner.domain.plan import Explanation, Plan, PlannedVisit, VisitKey
from planner.domain.season import Season
from planner.scheduling import OnEvent, Outcome, SeasonProblem, SeasonResult, Stop, audit, never, plan_season
from planner.store import SeasonFile
from planner.usecases.opening import whole_road_network
from planner.usecases.season_problem import season_problem


@dataclass(frozen=True, slots=True)
class Planned:
    """What planning came to."""

    result: SeasonResult
    findings: tuple[Finding, ...]
    """The audit's findings on the plan."""
    visits: int
    """Visits of the season, filled or not."""
    saved: bool
    """Whether the file changed."""

    @property
    def unfilled(self) -> tuple[Explanation, ...]:
        """The visits that stay empty, with why."""
        return tuple(item for item in self.result.explanations if not item.lacks_reserve_only)

    @property
    def without_reserve(self) -> tuple[Explanation, ...]:
        """The filled visits that have no reserve date, with why."""
        return tuple(item for item in self.result.explanations if item.lacks_reserve_only)


def _ignore(_event: object) -> None:
    """Take an event and do nothing with it."""


def plan(
    file: SeasonFile, *, stop: Stop = never, seed: int = 0, today: dt.date | None = None, on_event: OnEvent = _ignore
) -> Planned:
    """Plan every visit that is not fixed, starting from the plan as it stands, and save it as one step.

    Raises:
        ImpossibleError: the season has no routes or no volunteers, its road map is gone, planning failed, or the
            plan would break a rule; the file is then unchanged.
    """
    season = file.season()
    _refuse_empty(season)
    problem = season_problem(season, whole_road_network(file.path, season.roads), today)
    before = file.plan()
    result = plan_season(problem, stop=stop, seed=seed, start=before, on_event=on_event)
    if result.outcome is Outcome.FAILED:
        raise ImpossibleError("The season could not be planned.", result.why)
    findings = accepted(problem, result.plan, before)
    if result.plan != before:
        with file.step(_label(result, season)):
            file.save_plan(result.plan)
    return Planned(result, findings, visits_of(season), result.plan != before)


def accepted(problem: SeasonProblem, wanted: Plan, before: Plan) -> tuple[Finding, ...]:
    """Return the audit's findings on a plan that may be saved; raises ImpossibleError where it breaks a rule.

    A rule that the plan as it stood broke already, in a visit that is fixed or past, is reported and not held
    against the new plan: it is for a person to decide.
    """
    findings = tuple(audit(problem, wanted))
    standing = {visit.key for visit in before if visit.fixed or is_past(visit, problem.today)}
    broken = [finding for finding in findings if finding.severity is Severity.BROKEN and _key(finding) not in standing]
    if broken:
        raise ImpossibleError("The plan would break these rules, so it was not saved:", *(str(f) for f in broken))
    return findings


def is_past(visit: PlannedVisit, today: dt.date | None) -> bool:
    """Whether a visit lies before today, so that nothing about it can be changed any more."""
    return today is not None and visit.date < today


def visits_of(season: Season) -> int:
    """Return how many visits the season asks for."""
    return len(season.routes) * len(season.protocol.visits)


def _key(finding: Finding) -> VisitKey | None:
    subject = finding.subject
    return VisitKey(subject.route, subject.visit) if subject.visit is not None else None


def _refuse_empty(season: Season) -> None:
    lacking = [word for word, there in (("routes", season.routes), ("volunteers", season.volunteers)) if not there]
    if lacking:
        missing = " and no ".join(lacking)
        raise ImpossibleError(f"The season has no {missing} yet.", "Import them first: dimpsy import FILE SOURCE...")


def _label(result: SeasonResult, season: Season) -> str:
    return f"Plan the season: {len(result.plan)} of {visits_of(season)} visits filled"
