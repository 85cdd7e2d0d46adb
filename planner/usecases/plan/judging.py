"""The verdict on one visit before it is placed: what would break, what driving and margin come to.

A whole audit of a large season takes longer than a hand waits. Moving one visit can change findings on its own route
and on the days and loads of the people on it before and after, and on nothing else: so the audit is handed a season
and a plan cut down to these, twice, and what is new between the two is the verdict.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, replace
from typing import Any

import numpy.typing as npt

from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.scheduling import DriveMinutes, RouteDrives, SeasonProblem, audit, driving, outing_for


@dataclass(frozen=True, slots=True)
class Verdict:
    """What follows if one visit stood as it is proposed."""

    visit: PlannedVisit
    before: PlannedVisit | None
    """How it stands now; None: it is unfilled."""
    broken: tuple[Finding, ...]
    """Rules that would be broken and are not broken now."""
    still_broken: tuple[Finding, ...]
    """Rules that this visit breaks now and would go on breaking."""
    lesser: tuple[Finding, ...]
    """What else would be new: no rule is broken by it."""
    mended: tuple[Finding, ...]
    """What would no longer be said."""
    drive_change_minutes: float
    """Driving of all people out and back, after less before."""
    margin_minutes: float | None
    """From the end of the last count to the closing of the window; None where it cannot be told."""
    points_missed: int = 0
    """Points whose count does not fit in the window."""

    @property
    def allowed(self) -> bool:
        """Whether the visit may be placed so."""
        return not self.broken

    @property
    def reserve_kept(self) -> bool:
        """Whether a reserve date is held that was held before, or one more than before."""
        return self.visit.reserve is not None or self.before is None or self.before.reserve is None


def judge(problem: SeasonProblem, plan: Plan, visit: PlannedVisit) -> Verdict:
    """Return what would follow if a visit stood as given; nothing is changed.

    Args:
        problem: the season with its light and drives.
        plan: the plan as it stands.
        visit: the visit as it would stand: moved, given to others, or filled.

    Raises:
        RuleError: the season has no such route or visit.
    """
    problem.season.protocol.visit(visit.key.number)
    before = plan.by_key.get(visit.key)
    people = frozenset((*visit.people, *(before.people if before is not None else ())))
    part = part_touched(problem, plan, visit.key.route, people)
    stood, stands = audit(part.problem, part.plan), audit(part.problem, part.plan.with_visit(visit))
    new = added(stood, stands)
    margin, missed = _margin(problem, visit)
    return Verdict(
        visit=visit,
        before=before,
        broken=tuple(one for one in new if one.severity is Severity.BROKEN),
        still_broken=tuple(one for one in added(new, stands) if _breaks(one, visit.key)),
        lesser=tuple(one for one in new if one.severity is not Severity.BROKEN),
        mended=tuple(added(stands, stood)),
        drive_change_minutes=_minutes(part.problem, visit) - _minutes(part.problem, before),
        margin_minutes=margin,
        points_missed=missed,
    )


@dataclass(frozen=True, slots=True)
class VisitFacts:
    """What a visit comes to as it stands."""

    margin_minutes: float | None
    """The lead's; None where the date has no outing."""
    points_missed: int
    drive_minutes: float
    """Of all people out and back, a set-up on a day of its own included."""


def visit_facts(problem: SeasonProblem, visit: PlannedVisit) -> VisitFacts:
    """Return margin and driving of a visit as it stands."""
    margin, missed = _margin(problem, visit)
    return VisitFacts(margin, missed, _minutes(problem, visit))


def added(before: Iterable[Finding], after: Iterable[Finding]) -> list[Finding]:
    """Return the findings that were not said before, in their order.

    A finding on a person's day or load is put to one of several visits: it is the same wherever it is put.
    """
    left = Counter(_identity(finding) for finding in before)
    found = []
    for finding in after:
        if left[_identity(finding)] > 0:
            left[_identity(finding)] -= 1
        else:
            found.append(finding)
    return found


_OF_A_PERSON = frozenset({Rule.DAY_TWICE, Rule.LOAD_LIMIT})


def _identity(finding: Finding) -> tuple[Rule, Severity, str, str]:
    route = "" if finding.rule in _OF_A_PERSON else finding.subject.route
    return finding.rule, finding.severity, route, finding.what


@dataclass(frozen=True, slots=True)
class Part:
    """What a move can touch of a season."""

    problem: SeasonProblem
    plan: Plan


def part_touched(problem: SeasonProblem, plan: Plan, route: str, people: Collection[str]) -> Part:
    """Return the part of a season that one route and some people make up.

    Their other visits count for their days and loads alone, so those routes are handed over without points: the audit
    then judges nothing on them that costs time, and says the same before and after. Nobody else is handed over.
    """
    visits = [one for one in plan if one.key.route == route or not frozenset(one.people).isdisjoint(people)]
    codes = {route, *(one.key.route for one in visits)}
    going = {*people, *(code for one in visits for code in one.people)}
    rows = [row for row, one in enumerate(problem.season.volunteers) if one.code in going]
    routes = tuple(
        one if one.code == route else replace(one, points=()) for one in problem.season.routes if one.code in codes
    )
    season = replace(problem.season, routes=routes, volunteers=tuple(problem.season.volunteers[row] for row in rows))
    drives = _drives_of(problem.drives[route], rows)
    part = SeasonProblem(
        season,
        light={one.code: problem.light[one.code] for one in routes},
        drives={one.code: drives for one in routes},
        today=problem.today,
    )
    return Part(part, Plan(tuple(visits)))


def _drives_of(drives: RouteDrives, rows: list[int]) -> RouteDrives:
    """Return the drives of a route for some of the volunteers."""
    out = _table_part(drives.out, lambda figures: figures[rows])
    return RouteDrives(drives.legs, out, _table_part(drives.back, lambda figures: figures[:, rows]))


def _table_part(table: DriveMinutes, part: Callable[[npt.NDArray[Any]], npt.NDArray[Any]]) -> DriveMinutes:
    return DriveMinutes(part(table.optimistic), part(table.expected), part(table.cautious), part(table.estimated))


def _breaks(finding: Finding, key: VisitKey) -> bool:
    subject = finding.subject
    return finding.severity is Severity.BROKEN and (subject.route, subject.visit) == (key.route, key.number)


def _minutes(problem: SeasonProblem, visit: PlannedVisit | None) -> float:
    return sum(driving(problem, Plan((visit,)))) if visit is not None else 0.0


def _margin(problem: SeasonProblem, visit: PlannedVisit) -> tuple[float | None, int]:
    """Return the lead's margin and the points missed; no margin where the date has no outing at all."""
    try:
        outing = outing_for(problem, visit, visit.lead)
    except (ImpossibleError, RuleError):
        return None, 0
    return outing.margin_minutes, len(outing.missed)
