"""Plan the season, or finish its plan; nothing is saved that the audit would not pass."""

from __future__ import annotations

import datetime as dt
import threading
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.finding import Finding, Severity
from planner.domain.plan import Explanation, Plan, PlannedVisit, Status, VisitKey
from planner.domain.season import Season
from planner.domain.travel import ESTIMATED_WORDS, RECORDED_ESTIMATES_WORDS
from planner.scheduling import OnEvent, Outcome, SeasonProblem, SeasonResult, Stop, audit, never, plan_season, when_set
from planner.store import SeasonFile
from planner.usecases.season.opening import whole_road_network
from planner.usecases.season.problem import season_problem


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
    drives_said: str = ""
    """What to say of the plan's drives where any of them is an estimate; empty where all follow roads."""

    @property
    def broken(self) -> tuple[VisitKey, ...]:
        """The visits that break a rule and can still be changed: planning left them as they stood, a person decides."""
        keys = (_key(finding) for finding in self.findings if finding.severity is Severity.BROKEN)
        return tuple(sorted({key for key in keys if key is not None}))

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
    file: SeasonFile,
    *,
    scope: Scope | None = None,
    routes: Iterable[str] = (),
    stop: Stop = never,
    seed: int = 0,
    today: dt.date | None = None,
    on_event: OnEvent = _ignore,
) -> Planned:
    """Plan visits that are not fixed, starting from the plan as it stands, and save it as one step.

    Args:
        file: the season file.
        scope: which visits may be planned; None: all.
        routes: codes of the routes that are planned where the scope is ``SELECTED``.
        stop: once it says so, the best plan so far is taken.
        seed: another number may find another plan as good.
        today: visits before it are past and stay; None: nothing is past.
        on_event: told of the progress.

    Raises:
        RuleError: a chosen route is not in the season, or none is chosen.
        ImpossibleError: the season has no routes or no volunteers, its road map is gone, planning failed, or the
            plan would break a rule; the file is then unchanged.
    """
    task = read_task(file, scope=scope or Scope.ALL, routes=routes, today=today)
    return keep(file, task, solve(task, stop=stop, seed=seed, on_event=on_event))


class Scope(StrEnum):
    """Which visits a run may plan."""

    ALL = "all"
    SELECTED = "selected"
    """Those of chosen routes; the visits of all other routes stay exactly as they stand."""
    MISSING = "missing"
    """Those that are unfilled; every visit that is filled stays exactly as it stands."""


@dataclass(frozen=True, slots=True)
class PlanningTask:
    """What planning starts from: read from the file, so that solving needs no file."""

    season: Season
    before: Plan
    problem: SeasonProblem
    scope: Scope = Scope.ALL
    routes: frozenset[str] = frozenset()
    """Codes of the chosen routes, where the scope is those."""

    @property
    def held(self) -> frozenset[VisitKey]:
        """The visits that stay as they stand because the scope leaves them out."""
        if self.scope is Scope.ALL:
            return frozenset()
        chosen = self.routes if self.scope is Scope.SELECTED else frozenset[str]()
        return frozenset(visit.key for visit in self.before if visit.key.route not in chosen)

    def with_pins(self, plan: Plan) -> Plan:
        """Return a plan in which the visits that are held stand pinned."""
        held = self.held
        return Plan(tuple(replace(one, pinned=True) if one.key in held else one for one in plan)) if held else plan


def read_task(
    file: SeasonFile,
    *,
    scope: Scope = Scope.ALL,
    routes: Iterable[str] = (),
    today: dt.date | None = None,
) -> PlanningTask:
    """Read what planning needs; the file is not changed.

    Args:
        file: the season file.
        scope: which visits may be planned.
        routes: codes of the routes that are planned where the scope is ``SELECTED``.
        today: visits before it are past and stay; None: nothing is past.

    Raises:
        ImpossibleError: the season has no routes or no volunteers, or its road map is gone.
        RuleError: a chosen route is not in the season, or none is chosen.
    """
    season = file.season()
    _refuse_empty(season)
    chosen = frozenset(season.route(code).code for code in routes)
    if scope is Scope.SELECTED and not chosen:
        raise RuleError("no route is chosen: choose those that are to be planned")
    problem = season_problem(season, whole_road_network(file.path, season.roads), today)
    return PlanningTask(season, file.plan(), problem, scope, chosen)


def solve(task: PlanningTask, *, stop: Stop = never, seed: int = 0, on_event: OnEvent = _ignore) -> SeasonResult:
    """Plan the visits of a task: pure computing that may take minutes; no file is touched.

    Args:
        task: what is planned, and what stands.
        stop: asked after each round; once it holds, the best plan so far is the result.
        seed: of everything that is tried in random order.
        on_event: told after each round.
    """
    only = task.routes if task.scope is Scope.SELECTED else None
    start = task.with_pins(task.before)
    result = plan_season(task.problem, stop=stop, seed=seed, start=start, on_event=on_event, only=only)
    held, stood = task.held, task.before.by_key
    return replace(result, plan=Plan(tuple(stood[one.key] if one.key in held else one for one in result.plan)))


def solve_until(task: PlanningTask, stop: threading.Event, on_event: OnEvent = _ignore) -> SeasonResult:
    """Plan the visits of a task until it is proven best or somebody sets the event; see :func:`solve`."""
    return solve(task, stop=when_set(stop), on_event=on_event)


def keep(file: SeasonFile, task: PlanningTask, result: SeasonResult) -> Planned:
    """Judge the plan that was found and save it as one step.

    Raises:
        ImpossibleError: planning failed, the season has changed since the task was read, or the plan would break a
            rule; the file is then unchanged.
    """
    if result.outcome is Outcome.FAILED:
        raise ImpossibleError("The season could not be planned.", result.why)
    if (file.season(), file.plan()) != (task.season, task.before):
        raise ImpossibleError("The season has changed while it was planned, so this plan was not saved.", "Plan again.")
    findings = accepted(task.problem, task.with_pins(result.plan), task.with_pins(task.before))
    changed = result.plan != task.before
    if changed:
        with file.step(_label(task, result)):
            file.save_plan(result.plan)
    return Planned(result, findings, visits_of(task.season), changed, _drives_said(task.problem, result.plan))


def _drives_said(problem: SeasonProblem, plan: Plan) -> str:
    """Return what recorded drives are planned with, and the band of estimates where any drive of the plan is one."""
    season = problem.season
    mapped = season.roads is not None
    recorded = not mapped and season.drive_factors.estimates_doubt() is not None
    estimated = RECORDED_ESTIMATES_WORDS if recorded else ESTIMATED_WORDS
    said = [season.drive_factors.said(mapped=mapped), estimated if _any_estimated(problem, plan) else ""]
    return " ".join(sentence for sentence in said if sentence)


def _any_estimated(problem: SeasonProblem, plan: Plan) -> bool:
    """Whether a drive of the plan is an estimate; visits not of this season are passed over."""
    rows = {volunteer.code: row for row, volunteer in enumerate(problem.season.volunteers)}
    for visit in plan:
        drives = problem.drives.get(visit.key.route)
        people = [rows[code] for code in visit.people if code in rows]
        if drives is not None and (drives.legs.estimated.any() or drives.out.estimated[people].any()):
            return True
    return False


def accepted(problem: SeasonProblem, wanted: Plan, before: Plan) -> tuple[Finding, ...]:
    """Return the audit's findings on a plan that may be saved; raises ImpossibleError where it breaks a rule.

    A rule that the plan as it stood broke already, in a visit that is fixed or past, is reported and not held
    against the new plan: it is for a person to decide. In a visit that is done or past it is a doubt.
    """
    findings = tuple(audit(problem, wanted))
    standing = {visit.key for visit in before if visit.fixed or is_past(visit, problem.today)}
    broken = [finding for finding in findings if finding.severity is Severity.BROKEN and _key(finding) not in standing]
    if broken:
        raise ImpossibleError("The plan would break these rules, so it was not saved:", *(str(f) for f in broken))
    over: dict[VisitKey | None, PlannedVisit] = {
        visit.key: visit for visit in before if visit.status is Status.DONE or is_past(visit, problem.today)
    }
    return tuple(_as_over(finding, over.get(_key(finding))) for finding in findings)


def _as_over(finding: Finding, visit: PlannedVisit | None) -> Finding:
    """Return a finding with the doubt that is left of it where its visit is over; None: it is not."""
    if visit is None or finding.severity is not Severity.BROKEN:
        return finding
    return replace(finding, severity=Severity.DOUBT, todo=over_todo(visit))


def over_todo(visit: PlannedVisit) -> str:
    """Return what is to be done about a broken rule in a visit that is done or past: nothing in the plan."""
    how = "done" if visit.status is Status.DONE else "past"
    return f"It is {how}: nothing in the plan can mend it any more."


def is_past(visit: PlannedVisit, today: dt.date | None) -> bool:
    """Whether a visit lies before today, so that nothing about it can be changed any more."""
    return today is not None and visit.date < today


def visits_of(season: Season) -> int:
    """Return how many visits the season asks for."""
    return len(season.routes) * len(season.protocol.visits)


def listed_codes(codes: Sequence[str], most: int = 4) -> str:
    """Return codes for the label of a step: all of a few, else the first and how many more there are."""
    if len(codes) <= most:
        return ", ".join(codes)
    return f"{', '.join(codes[: most - 1])} and {len(codes) - most + 1} more"


def _key(finding: Finding) -> VisitKey | None:
    subject = finding.subject
    return VisitKey(subject.route, subject.visit) if subject.visit is not None else None


def _refuse_empty(season: Season) -> None:
    lacking = [word for word, there in (("routes", season.routes), ("volunteers", season.volunteers)) if not there]
    if lacking:
        missing = " and no ".join(lacking)
        raise ImpossibleError(f"The season has no {missing} yet.", "Import them first: dimpsy import FILE SOURCE...")


def _label(task: PlanningTask, result: SeasonResult) -> str:
    chosen = sorted(task.routes)
    what = {
        Scope.ALL: "Plan the season",
        Scope.SELECTED: f"Plan {'routes' if len(chosen) > 1 else 'route'} {listed_codes(chosen)}",
        Scope.MISSING: "Plan what is missing",
    }[task.scope]
    return f"{what}: {len(result.plan)} of {visits_of(task.season)} visits filled"
