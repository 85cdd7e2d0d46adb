"""How one visit could stand: on another date, with other people, or filled; each with its verdict."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from planner.domain.errors import ImpossibleError
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.season import Season
from planner.domain.window import PartOfDay
from planner.scheduling import SeasonProblem, audit, drive_one_way_minutes
from planner.scheduling.problem import FloatArray
from planner.usecases.plan.judging import Verdict, added, judge, part_touched

_MOST_PEOPLE = 40
"""People judged for one visit: the nearest; more than that nobody reads."""

_WITHIN_REACH = 1.5
"""People are judged who live within this many times their drive limit: who is farther is not asked."""

_RESERVE_DAYS = 21
"""Dates after a visit that are tried for its reserve date, in order."""


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


def on_date(problem: SeasonProblem, plan: Plan, visit: PlannedVisit, date: dt.date) -> PlannedVisit:
    """Return a visit as it would best stand on a date, its people as given.

    Set-up and reserve date stay where they are if they still can; else the set-up goes to the nearest day before
    that breaks least, and the reserve date to the first date after that breaks nothing. Where none does, none is held.
    """
    moved = replace(visit, date=date)
    days = [replace(moved, setup=day) for day in setups_for(problem.season, visit, date)]
    moved = _least_broken(problem, plan, days or [moved], replace(moved, setup=None))
    if visit.reserve is None:
        return moved
    held = [replace(moved, reserve=day) for day in reserves_for(problem.season, visit, date)]
    none_held = replace(moved, reserve=None)
    return _least_broken(problem, plan, [*held, none_held], none_held)


def propose(problem: SeasonProblem, plan: Plan, key: VisitKey, date: dt.date, lead: str = "") -> Verdict:
    """Return the verdict on a visit moved to a date, or filled there, as it would best stand.

    Args:
        problem: the season with its light and drives.
        plan: the plan as it stands.
        key: the visit.
        date: where it would go.
        lead: who would lead it; empty: whoever does now, or the likeliest person where it is unfilled.

    Raises:
        ImpossibleError: it is unfilled and the season has no volunteers.
    """
    visit = plan.by_key.get(key) or _blank(problem, plan, key, date)
    visit = with_person(visit, Role.LEAD, lead) if lead else visit
    return judge(problem, plan, on_date(problem, plan, visit, date))


def _blank(problem: SeasonProblem, plan: Plan, key: VisitKey, date: dt.date) -> PlannedVisit:
    """Return an unfilled visit as somebody likely could make it; the audit judges it afterwards.

    That is who has agreed to lead the route, else who leads its other visits, else of those who may lead and have given
    the date the one with the shortest drive.
    """
    season = problem.season
    if not season.volunteers:
        raise ImpossibleError("The season has no volunteers yet.", "Import them, or enter one in People.")
    window, route = season.protocol.windows[0], season.route(key.route)
    one_way = drive_one_way_minutes(problem.drives[key.route])
    others = {visit.lead for visit in plan.of_route(key.route)}
    needed = set(season.protocol.people.lead_training)
    loads = Counter(code for visit in plan for code in visit.people)
    full = {one.code for one in season.volunteers if loads[one.code] >= one.visits_limit}

    def likely(place: int) -> tuple[bool, bool, bool, bool, bool, float]:
        one = season.volunteers[place]
        free = window.part in one.parts_on(date)
        fit = needed <= one.training and route.needs <= one.abilities
        return (one.code != route.lead, one.code not in others, not fit, not free, one.code in full, one_way[place])

    lead = season.volunteers[min(range(len(season.volunteers)), key=likely)].code
    second = _second_for(problem, date, window.part, lead, one_way) if season.people_for(route) == 2 else ""
    return PlannedVisit(key, lead, date, window.name, second=second, reserve=date)


def _second_for(problem: SeasonProblem, date: dt.date, part: PartOfDay, lead: str, one_way: FloatArray) -> str:
    """Return who of those who have given a date lives nearest, the lead left out; nobody where the lead is alone."""
    people = [(part not in one.parts_on(date), one_way[v], one.code) for v, one in enumerate(problem.season.volunteers)]
    return min((one for one in people if one[2] != lead), default=(False, 0.0, ""))[2]


def candidates(problem: SeasonProblem, plan: Plan, visit: PlannedVisit, role: Role) -> tuple[Candidate, ...]:
    """Return who could go on a visit as it stands or is proposed, those who break nothing first.

    Args:
        problem: the season with its light and drives.
        plan: the plan as it stands.
        visit: the visit; whoever has that role on it now is among those returned.
        role: as what they would go.
    """
    return ranked(candidate(problem, plan, visit, role, code) for code in within_reach(problem, visit, role))


def within_reach(problem: SeasonProblem, visit: PlannedVisit, role: Role) -> tuple[str, ...]:
    """Return the codes of those worth asking for a visit, nearest first; its own people before all others."""
    minutes = _one_way(problem, visit)
    near = [
        one.code
        for one in problem.season.volunteers
        if minutes[one.code] <= one.drive_limit_minutes * _WITHIN_REACH or one.code in visit.people
    ]
    nearest = sorted(near, key=lambda code: (code not in visit.people, minutes[code], code))[:_MOST_PEOPLE]
    return tuple(code for code in nearest if role is Role.LEAD or code != visit.lead)


def candidate(problem: SeasonProblem, plan: Plan, visit: PlannedVisit, role: Role, code: str) -> Candidate:
    """Return what would follow if somebody went on a visit; another lead may move its set-up and reserve date."""
    proposed = with_person(visit, role, code)
    if proposed.lead != visit.lead or visit.key not in plan.by_key:
        proposed = on_date(problem, plan, proposed, visit.date)
    return Candidate(code, _one_way(problem, visit)[code], judge(problem, plan, proposed))


def ranked(found: Iterable[Candidate]) -> tuple[Candidate, ...]:
    """Return candidates, those first who break nothing, keep a reserve date and add least driving."""
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


def setups_for(season: Season, visit: PlannedVisit, date: dt.date) -> Iterator[dt.date | None]:
    """Yield the days a set-up may lie on for a visit on a date, the likeliest first."""
    rule = season.protocol.setup
    if rule is None or visit.key.number != 1 or not (rule.required or visit.setup is not None):
        yield None
        return
    nearest = range(0 if rule.same_day_allowed else 1, rule.days_before_at_most + 1)
    days = [date - dt.timedelta(days=before) for before in nearest]
    if visit.setup in days and visit.setup != visit.date:
        yield visit.setup
    yield from (day for day in days if day != visit.setup or visit.setup == visit.date)


def reserves_for(season: Season, visit: PlannedVisit, date: dt.date) -> Iterator[dt.date]:
    """Yield the dates that may be held for a visit on a date, the one held now first."""
    last = min(season.visit_dates(season.route(visit.key.route), visit.key.number).last, season.dates.last)
    if visit.reserve is not None and date < visit.reserve <= last:
        yield visit.reserve
    for after in range(1, _RESERVE_DAYS + 1):
        day = date + dt.timedelta(days=after)
        if day <= last and day != visit.reserve:
            yield day


def _least_broken(
    problem: SeasonProblem, plan: Plan, options: Sequence[PlannedVisit], bare: PlannedVisit
) -> PlannedVisit:
    """Return the first option that breaks no rule; where each breaks some, the first of those that break fewest.

    Args:
        problem: the season with its light and drives.
        plan: the plan as it stands.
        options: the same visit with one day or another beside it.
        bare: the visit without such a day. Whatever that breaks by itself, a person who is away say, no such day
            mends, so an option that breaks no more ends the search; but for the day that it lacks.
    """
    if len(options) == 1:
        return options[0]
    part = part_touched(problem, plan, bare.key.route, bare.people)
    without = audit(part.problem, part.plan.without(bare.key))

    def broken(option: PlannedVisit) -> list[Finding]:
        new = added(without, audit(part.problem, part.plan.with_visit(option)))
        return [one for one in new if one.severity is Severity.BROKEN]

    best, fewest, least = options[0], len(broken(options[0])), 0
    if fewest:
        least = sum(one.rule is not Rule.SETUP_DATE for one in broken(bare))
    for option in options[1:]:
        if fewest <= least:
            break
        breaks = len(broken(option))
        if breaks < fewest:
            best, fewest = option, breaks
    return best


def _one_way(problem: SeasonProblem, visit: PlannedVisit) -> dict[str, float]:
    one_way = drive_one_way_minutes(problem.drives[visit.key.route])
    return {one.code: float(one_way[v]) for v, one in enumerate(problem.season.volunteers)}


def _best_first(one: Candidate) -> tuple[int, bool, int, float, str]:
    verdict = one.verdict
    return (
        len(verdict.broken) + len(verdict.still_broken),
        not verdict.reserve_kept or verdict.visit.reserve is None,
        verdict.points_missed,
        verdict.drive_change_minutes,
        one.code,
    )
