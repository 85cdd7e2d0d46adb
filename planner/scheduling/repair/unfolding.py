"""From the engine's columns back to the season's plan: what did not change stays to the letter."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from planner.domain.finding import Finding, Severity
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.scheduling.audit import audit
from planner.scheduling.engine.arrays import SeasonArrays
from planner.scheduling.engine.decode import visits_of
from planner.scheduling.engine.solution import Solution
from planner.scheduling.repair.breakage import Breakage
from planner.scheduling.repair.ring import Ring, extra_seconds
from planner.scheduling.repair.staying import Barred, plain
from planner.scheduling.seconds import with_preferred_seconds


@dataclass(frozen=True, slots=True, eq=False)
class Judge:
    """Says whether a plan of a ring breaks a rule that was kept before."""

    ring: Ring
    standing: frozenset[Finding]
    """What was broken already in visits that did not break now."""

    @classmethod
    def of(cls, ring: Ring, breakage: Breakage) -> Judge:
        """Return the judge of a ring."""
        kept = Plan(tuple(visit for visit in ring.open_visits if visit.key not in breakage.keys))
        return cls(ring, frozenset(_broken(ring, kept)))

    def allows(self, opened: Plan) -> bool:
        """Say whether the ring's visits may stand like that beside all others."""
        return all(finding in self.standing for finding in _broken(self.ring, opened))


def _broken(ring: Ring, opened: Plan) -> Iterator[Finding]:
    whole = Plan((*ring.beside, *opened))
    return (finding for finding in audit(ring.problem, whole) if finding.severity is Severity.BROKEN)


def unfolded(ring: Ring, breakage: Breakage, judge: Judge, solution: Solution, barred: Barred) -> Plan:
    """Return the ring's visits that columns make.

    Args:
        ring: the small season.
        breakage: what broke.
        judge: of the ring.
        solution: columns of the arrays with costs.
        barred: what the columns had to do without.
    """
    windows = len(ring.problem.season.protocol.windows)
    planned, extras = ring.open_visits.by_key, dict(extra_seconds(ring))
    found = [
        _as_it_stood(planned[visit.key], visit, breakage, two=visit.key not in extras)
        for number in sorted(solution)
        for visit in visits_of(ring.compiled, plain(solution[number], windows))
    ]
    plan = Plan(tuple(found))
    plan = _with_seconds(ring, judge, _with_old_setups(ring, breakage, judge, plan), extras)
    return Plan(tuple(_without_barred(visit, barred) for visit in plan))


def _as_it_stood(before: PlannedVisit, after: PlannedVisit, breakage: Breakage, *, two: bool) -> PlannedVisit:
    """Return the visit as it stood where date, people and reserve date are the same."""
    people = before.people if two else (before.lead,)
    same = (after.people, after.date, after.window) == (people, before.date, before.window)
    if same and before.key not in breakage.lost:
        keeps_setup = before.key not in breakage.shaken
        return replace(before, reserve=after.reserve, setup=before.setup if keeps_setup else after.setup)
    return after


def _without_barred(visit: PlannedVisit, barred: Barred) -> PlannedVisit:
    """Return the visit without a second, one who is only preferred, whom this way has to do without."""
    return replace(visit, second="") if (visit.key, visit.second) in barred.people else visit


def _with_old_setups(ring: Ring, breakage: Breakage, judge: Judge, plan: Plan) -> Plan:
    """Return the plan with set-ups on their old days where that is allowed: a set-up done is not done again."""
    for before in ring.open_visits:
        after = plan.by_key.get(before.key)
        if after is None or before.setup is None or after.setup == before.setup or after.lead != before.lead:
            continue
        if before.setup == before.date != after.date and not breakage.begun:
            continue  # it was to be on the date that is lost
        tried = plan.with_visit(replace(after, setup=before.setup))
        plan = tried if judge.allows(tried) else plan
    return plan


def _with_seconds(ring: Ring, judge: Judge, plan: Plan, extras: dict[VisitKey, PlannedVisit]) -> Plan:
    """Return the plan with a second person where one went whom the protocol only prefers, the same if that can be."""
    lacking = []
    for key, before in extras.items():
        after = plan.by_key.get(key)
        if after is None or after.second:
            continue
        tried = plan.with_visit(replace(after, second=before.second)) if after.lead != before.second else plan
        if tried is not plan and judge.allows(tried):
            plan = tried
        else:
            lacking.append(key)
    fixed = Plan((*ring.beside, *(visit for visit in plan if visit.key not in lacking)))
    every = Plan((*ring.beside, *plan))
    seconded = with_preferred_seconds(SeasonArrays(ring.problem, fixed), every) if lacking else every
    keys = {visit.key for visit in plan}
    return Plan(tuple(visit for visit in seconded if visit.key in keys))
