"""A season in which what an explanation offers has come true, made from the domain's objects alone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from planner.domain.calendar import DateRange
from planner.domain.change import Change, ChangeKind
from planner.domain.finding import Severity
from planner.domain.geo import Place
from planner.domain.plan import Explanation, Plan, Relaxation, VisitKey
from planner.domain.route import Route
from planner.domain.season import Season
from planner.domain.volunteer import Availability, Volunteer
from planner.domain.window import PartOfDay
from planner.scheduling import DriveMinutes, RouteDrives, SeasonProblem, audit, never
from planner.scheduling.engine.compile import compile_season
from planner.scheduling.engine.decode import plan_of
from planner.scheduling.engine.search import solve
from planner.scheduling.problem import FloatArray

NEW = "new"
"""Code of somebody new."""


def changed(problem: SeasonProblem, key: VisitKey, changes: Iterable[Change]) -> SeasonProblem:
    """The problem with changes made for the route of a visit."""
    for change in changes:
        problem = _changed(problem, key.route, change)
    return problem


def _changed(problem: SeasonProblem, code: str, change: Change) -> SeasonProblem:
    season = problem.season
    if change.kind is ChangeKind.NEWCOMER:
        return _joined(problem, change)
    if change.volunteer:
        people = [_asked(one, change) if one.code == change.volunteer else one for one in season.volunteers]
        return replace(problem, season=replace(season, volunteers=tuple(people)))
    return replace(problem, season=_ruled(season, code, change))


def _asked(person: Volunteer, change: Change) -> Volunteer:
    if change.kind is ChangeKind.GIVES:
        lines = list(person.availability)
        for day, part in change.given:
            parts = replace(person, availability=tuple(lines)).parts_on(day)
            lines.append(Availability(DateRange(day, day), parts | {part}))
        return replace(person, availability=tuple(lines))
    if change.kind is ChangeKind.VISITS:
        return replace(person, visits_limit=person.visits_limit + change.amount)
    if change.kind is ChangeKind.DRIVES:
        return replace(person, drive_limit_minutes=person.drive_limit_minutes + change.amount)
    assert change.kind in (ChangeKind.LEARNS, ChangeKind.BRINGS)
    return replace(person, training=person.training | set(change.skills))


def _ruled(season: Season, code: str, change: Change) -> Season:
    protocol, kind, amount = season.protocol, change.kind, change.amount
    if kind is ChangeKind.GAP:
        visits = [
            visit
            if visit.gap is None
            else replace(visit, gap=replace(visit.gap, least_days=_less(visit.gap.least_days, amount)))
            for visit in protocol.visits
        ]
        return replace(season, protocol=replace(protocol, visits=tuple(visits)))
    if kind is ChangeKind.SETUP:
        assert protocol.setup is not None
        setup = replace(protocol.setup, days_before_at_most=protocol.setup.days_before_at_most + amount)
        return replace(season, protocol=replace(protocol, setup=setup))
    if kind is ChangeKind.ONE_PERSON:
        season = replace(season, protocol=replace(protocol, people=replace(protocol.people, fewest=1)))
    routes = [_route(season, route, change) if route.code == code else route for route in season.routes]
    return replace(season, routes=tuple(routes))


def _less(days: int, amount: int) -> int:
    return max(days - amount, 0)


def _route(season: Season, route: Route, change: Change) -> Route:
    if change.kind is ChangeKind.ONE_PERSON:
        return replace(route, people=1)
    if change.kind is ChangeKind.ANY_LEAD:
        return replace(route, lead="")
    assert change.kind in (ChangeKind.LATER, ChangeKind.EARLIER)
    later = change.amount if change.kind is ChangeKind.LATER else 0
    earlier = change.amount - later
    dates = []
    for number in range(1, len(season.protocol.visits) + 1):
        usual = season.visit_dates(route, number)
        first = max(usual.first - dt.timedelta(days=earlier), season.dates.first)
        last = min(usual.last + dt.timedelta(days=later), season.dates.last)
        dates.append((number, DateRange(first, last)))
    return replace(route, visit_dates=tuple(dates))


def _joined(problem: SeasonProblem, change: Change) -> SeasonProblem:
    person = Volunteer(
        NEW,
        "Somebody New",
        Place(51.0, -3.5),
        drive_limit_minutes=float(change.amount),
        visits_limit=99,
        training=frozenset(change.skills),
        availability=(Availability(problem.season.dates, frozenset(PartOfDay)),),
    )
    season = replace(problem.season, volunteers=(*problem.season.volunteers, person))
    drives = {code: _farther(one, float(change.amount)) for code, one in problem.drives.items()}
    return replace(problem, season=season, drives=drives)


def _farther(drives: RouteDrives, minutes: float) -> RouteDrives:
    def more(table: DriveMinutes, axis: int) -> DriveMinutes:
        shape = list(table.expected.shape)
        shape[axis] = 1

        def behind(figures: FloatArray) -> FloatArray:
            return np.concatenate([figures, np.full(shape, minutes)], axis=axis)

        estimated = np.concatenate([table.estimated, np.zeros(shape, dtype=np.bool_)], axis=axis)
        return DriveMinutes(behind(table.optimistic), behind(table.expected), behind(table.cautious), estimated)

    return RouteDrives(drives.legs, more(drives.out, 0), more(drives.back, 1))


def assert_true(problem: SeasonProblem, plan: Plan, explanation: Explanation, offered: Relaxation) -> None:
    """Check an offer twice: the plan it carries breaks no rule, and planning with it and all else pinned gains."""
    key = explanation.key
    season = changed(problem, key, offered.changes)
    routes = {key.route, *(move.route for move in offered.moves)}
    pinned = _pinned_beside(plan, routes)
    offer = Plan((*pinned, *offered.visits))
    broken = [str(one) for one in audit(season, offer) if one.severity is Severity.BROKEN]
    assert broken == [], (offered.what, broken)
    assert key in offer.by_key, offered.what
    assert not explanation.lacks_reserve_only or offer.by_key[key].reserve, offered.what
    assert _gains(plan, offer, explanation), offered.what
    assert _gains(plan, _planned(season, routes, pinned), explanation), offered.what


def helps(problem: SeasonProblem, plan: Plan, explanation: Explanation, changes: Iterable[Change]) -> bool:
    """Whether planning the route of an explanation anew with some changes and all else pinned gains."""
    key = explanation.key
    season = changed(problem, key, changes)
    return _gains(plan, _planned(season, {key.route}, _pinned_beside(plan, {key.route})), explanation)


def _pinned_beside(plan: Plan, routes: set[str]) -> Plan:
    """The plan without the open visits of some routes, all pinned."""
    return Plan(tuple(replace(one, pinned=True) for one in plan if one.fixed or one.key.route not in routes))


def _planned(problem: SeasonProblem, routes: set[str], pinned: Plan) -> Plan:
    """The best plan of some routes, the visits of all others as they stand."""
    season = replace(problem.season, routes=tuple(one for one in problem.season.routes if one.code in routes))
    own = SeasonProblem(
        season,
        {code: problem.light[code] for code in routes},
        {code: problem.drives[code] for code in routes},
        problem.today,
    )
    compiled = compile_season(own, pinned)
    return plan_of(compiled, solve(compiled.instance, never, lambda _: None).solution)


def _gains(before: Plan, after: Plan, explanation: Explanation) -> bool:
    if explanation.lacks_reserve_only:
        return (len(after), _reserved(after)) > (len(before), _reserved(before))
    return len(after) > len(before)


def _reserved(plan: Plan) -> int:
    return sum(visit.reserve is not None for visit in plan)
