"""The verdict on one visit before it is placed: what would break, what driving and margin come to.

A whole audit of a large season takes longer than a hand waits. Moving one visit can change findings on its own route
and on the days and loads of the people on it before and after, and on nothing else: so the audit is handed a season
and a plan cut down to these, twice, and what is new between the two is the verdict.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.scheduling import SeasonProblem, audit, drive_one_way_minutes, driving, outing_for

_MOST_PEOPLE = 40
"""People judged for one visit: the nearest; more than that nobody reads."""

_WITHIN_REACH = 1.5
"""People are judged who live within this many times their drive limit: who is farther is not asked."""

_RESERVE_DAYS = 21
"""Dates after a visit that are tried for its reserve date, in order."""


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


class Role(StrEnum):
    """As what somebody goes on a visit."""

    LEAD = "lead"
    SECOND = "second"


@dataclass(frozen=True, slots=True)
class Candidate:
    """Somebody who could go on a visit, with what would follow."""

    code: str
    one_way_minutes: float
    """Expected drive to the route, as the drive limit counts it."""
    verdict: Verdict


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
    part = _cut(problem, plan, visit.key.route, people)
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


def on_date(problem: SeasonProblem, plan: Plan, visit: PlannedVisit, date: dt.date) -> PlannedVisit:
    """Return a visit as it would best stand on a date, its people as given.

    Set-up and reserve date stay where they are if they still can; else the set-up goes to the nearest day before
    that breaks least, and the reserve date to the first date after that breaks nothing. Where none does, none is held.
    """
    moved = replace(visit, date=date)
    moved = _least_broken(problem, plan, moved, [replace(moved, setup=day) for day in _setups(problem, visit, date)])
    if visit.reserve is None:
        return moved
    held = [replace(moved, reserve=day) for day in _reserves(problem, visit, date)]
    return _least_broken(problem, plan, moved, [*held, replace(moved, reserve=None)])


def first_proposal(problem: SeasonProblem, plan: Plan, key: VisitKey, date: dt.date) -> PlannedVisit:
    """Return how an unfilled visit could best be filled on a date: by whom, with set-up and reserve date.

    Raises:
        ImpossibleError: the season has no volunteers.
    """
    season = problem.season
    if not season.volunteers:
        raise ImpossibleError("The season has no volunteers yet.", "Import them, or enter one in People.")
    agreed = season.route(key.route).lead
    blank = PlannedVisit(key, agreed or season.volunteers[0].code, date, season.protocol.windows[0].name)
    blank = replace(blank, reserve=date)
    if agreed:
        return on_date(problem, plan, blank, date)
    found = candidates(problem, plan, blank, Role.LEAD)
    return found[0].verdict.visit if found else on_date(problem, plan, blank, date)


def candidates(problem: SeasonProblem, plan: Plan, visit: PlannedVisit, role: Role) -> tuple[Candidate, ...]:
    """Return who could go on a visit as it stands or is proposed, those who break nothing first.

    Args:
        problem: the season with its light and drives.
        plan: the plan as it stands.
        visit: the visit; whoever has that role on it now is among those returned.
        role: as what they would go.
    """
    one_way = drive_one_way_minutes(problem.drives[visit.key.route])
    minutes = {one.code: float(one_way[v]) for v, one in enumerate(problem.season.volunteers)}
    near = [
        one.code
        for one in problem.season.volunteers
        if minutes[one.code] <= one.drive_limit_minutes * _WITHIN_REACH or one.code in visit.people
    ]
    nearest = sorted(near, key=lambda code: (code not in visit.people, minutes[code], code))[:_MOST_PEOPLE]
    able = [code for code in nearest if role is Role.LEAD or code != visit.lead]
    found = [_candidate(problem, plan, visit, role, code, minutes[code]) for code in able]
    return tuple(sorted(found, key=_best_first))


def with_person(visit: PlannedVisit, role: Role, code: str) -> PlannedVisit:
    """Return a visit with somebody as lead or second; a second who becomes lead changes places with the lead.

    Args:
        visit: the visit.
        role: as what they go.
        code: the volunteer's code; empty takes the second away.

    Raises:
        RuleError: the lead is to be taken away, or to be second as well.
    """
    if role is Role.SECOND:
        return replace(visit, second=code)
    return replace(visit, lead=code, second=visit.lead if code == visit.second else visit.second)


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
class _Part:
    """What a move can touch of a season."""

    problem: SeasonProblem
    plan: Plan


def _cut(problem: SeasonProblem, plan: Plan, route: str, people: Collection[str]) -> _Part:
    """Return the part of a season that one route and some people make up.

    Their other visits count for their days and loads alone, so those routes are handed over without points: the audit
    then judges nothing on them that costs time, and says the same before and after.
    """
    visits = [one for one in plan if one.key.route == route or not frozenset(one.people).isdisjoint(people)]
    codes = {route, *(one.key.route for one in visits)}
    routes = tuple(
        one if one.code == route else replace(one, points=()) for one in problem.season.routes if one.code in codes
    )
    known = [one.code for one in routes]
    part = replace(
        problem,
        season=replace(problem.season, routes=routes),
        light={code: problem.light[code] for code in known},
        drives={code: problem.drives[code] for code in known},
    )
    return _Part(part, Plan(tuple(visits)))


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


def _setups(problem: SeasonProblem, visit: PlannedVisit, date: dt.date) -> Iterator[dt.date | None]:
    """Yield the days a set-up may lie on for a visit on a date, the likeliest first."""
    rule = problem.season.protocol.setup
    if rule is None or visit.key.number != 1 or not (rule.required or visit.setup is not None):
        yield None
        return
    nearest = range(0 if rule.same_day_allowed else 1, rule.days_before_at_most + 1)
    days = [date - dt.timedelta(days=before) for before in nearest]
    if visit.setup in days and visit.setup != visit.date:
        yield visit.setup
    yield from (day for day in days if day != visit.setup or visit.setup == visit.date)


def _reserves(problem: SeasonProblem, visit: PlannedVisit, date: dt.date) -> Iterator[dt.date]:
    """Yield the dates that may be held for a visit on a date, the one held now first."""
    season = problem.season
    last = min(season.visit_dates(season.route(visit.key.route), visit.key.number).last, season.dates.last)
    if visit.reserve is not None and date < visit.reserve <= last:
        yield visit.reserve
    for after in range(1, _RESERVE_DAYS + 1):
        day = date + dt.timedelta(days=after)
        if day <= last and day != visit.reserve:
            yield day


def _least_broken(
    problem: SeasonProblem, plan: Plan, visit: PlannedVisit, options: Iterable[PlannedVisit]
) -> PlannedVisit:
    """Return the first option that breaks no rule; where each breaks some, the first of those that break fewest."""
    part = _cut(problem, plan, visit.key.route, visit.people)
    best, fewest = visit, -1
    for option in options:
        broken = _broken(part, option)
        if fewest < 0 or broken < fewest:
            best, fewest = option, broken
        if broken == 0:
            break
    return best


def _broken(part: _Part, visit: PlannedVisit) -> int:
    found = added(audit(part.problem, part.plan.without(visit.key)), audit(part.problem, part.plan.with_visit(visit)))
    return sum(one.severity is Severity.BROKEN for one in found)


def _candidate(
    problem: SeasonProblem, plan: Plan, visit: PlannedVisit, role: Role, code: str, minutes: float
) -> Candidate:
    proposed = with_person(visit, role, code)
    if proposed.lead != visit.lead or visit.key not in plan.by_key:
        proposed = on_date(problem, plan, proposed, visit.date)
    return Candidate(code, minutes, judge(problem, plan, proposed))


def _best_first(one: Candidate) -> tuple[int, bool, int, float, str]:
    verdict = one.verdict
    return (
        len(verdict.broken) + len(verdict.still_broken),
        not verdict.reserve_kept or verdict.visit.reserve is None,
        verdict.points_missed,
        verdict.drive_change_minutes,
        one.code,
    )
