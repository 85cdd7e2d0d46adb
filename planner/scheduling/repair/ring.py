"""The routes round what broke: those whose people could help, cut out of the season as a small season of its own."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.route import Route
from planner.domain.season import Season
from planner.scheduling.engine.compile import Compiled, compile_season, fixed_part
from planner.scheduling.problem import DriveMinutes, RouteDrives, SeasonProblem, drive_one_way_minutes
from planner.scheduling.repair.breakage import Breakage

PEOPLE_A_ROUTE = 15
"""Of those near enough to a route, so many of the nearest are looked at, beside all whom the plan names there."""


@dataclass(frozen=True, slots=True, eq=False)
class Ring:
    """A small season: some routes of the season, the people who could do them, and what of the plan may change."""

    problem: SeasonProblem
    compiled: Compiled
    """Its arrays; the visits that may change are taken out of the plan."""
    open_visits: Plan
    """As they stand in the plan."""
    rest: Plan
    """All other visits of the season's plan."""
    beside: Plan
    """Those of them that concern the ring's routes or people."""


def ring_routes(breakage: Breakage, plan: Plan, size: int) -> list[str]:
    """Return the codes of the routes that broke, and of others whose present people could help most.

    Args:
        breakage: what broke.
        plan: the plan that stands.
        size: how many others.
    """
    problem = breakage.problem
    own = sorted({key.route for key in breakage.keys})
    helpers = _near(problem, own)
    stands = {visit.key for visit in fixed_part(problem, plan)}
    shared: Counter[str] = Counter()
    for visit in plan:
        if visit.key not in stands and visit.key.route not in own and visit.key.route in problem.drives:
            shared[visit.key.route] += len(helpers & set(visit.people))
    ranked = sorted((one for one in shared if shared[one]), key=lambda code: (-shared[code], code))
    return own + ranked[:size]


def ring_of(breakage: Breakage, plan: Plan, codes: list[str]) -> Ring:
    """Return the small season of some routes.

    Args:
        breakage: what broke.
        plan: the plan that stands.
        codes: of the routes.
    """
    routes = [breakage.problem.season.route(code) for code in codes]
    stands = {visit.key for visit in fixed_part(breakage.problem, plan)} - breakage.keys
    free = Plan(tuple(v for v in plan if v.key.route in codes and v.key not in stands))
    opened = {visit.key for visit in free}
    rest = Plan(tuple(v for v in plan if v.key not in opened))
    people = _people(breakage.problem, routes, plan)
    beside = Plan(tuple(v for v in rest if v.key.route in codes or people & set(v.people)))
    small = _cut(breakage.problem, routes, people)
    return Ring(small, compile_season(small, beside), free, rest, beside)


def _near(problem: SeasonProblem, codes: list[str]) -> set[str]:
    return {one for code in codes for one in _nearest(problem, problem.season.route(code))}


def _nearest(problem: SeasonProblem, route: Route) -> list[str]:
    """Return who lives within their drive limit, the nearest first."""
    minutes = drive_one_way_minutes(problem.drives[route.code])
    limits = np.array([one.drive_limit_minutes for one in problem.season.volunteers])
    order = np.argsort(minutes, kind="stable")
    return [problem.season.volunteers[v].code for v in order[(minutes <= limits)[order]].tolist()]


def _people(problem: SeasonProblem, routes: list[Route], plan: Plan) -> set[str]:
    """Return the people of a ring: near ones, with a visit left or not, and everybody the plan names on its routes."""
    named = {code for route in routes for visit in plan.of_route(route.code) for code in visit.people}
    taken = Counter(code for visit in plan for code in visit.people)
    willing = {one.code for one in problem.season.volunteers if taken[one.code] < one.visits_limit}
    for route in routes:
        near = [code for code in _nearest(problem, route) if code in willing]
        named |= {*near[:PEOPLE_A_ROUTE], route.lead}
    return named


def _cut(problem: SeasonProblem, routes: list[Route], people: set[str]) -> SeasonProblem:
    kept = [v for v, one in enumerate(problem.season.volunteers) if one.code in people]
    season: Season = replace(
        problem.season, routes=tuple(routes), volunteers=tuple(problem.season.volunteers[v] for v in kept)
    )
    return SeasonProblem(
        season,
        {route.code: problem.light[route.code] for route in routes},
        {route.code: _drives_of(problem.drives[route.code], kept) for route in routes},
        problem.today,
    )


def _drives_of(drives: RouteDrives, kept: list[int]) -> RouteDrives:
    return RouteDrives(drives.legs, _rows(drives.out, kept), _columns(drives.back, kept))


def _rows(minutes: DriveMinutes, kept: list[int]) -> DriveMinutes:
    return DriveMinutes(
        minutes.optimistic[kept], minutes.expected[kept], minutes.cautious[kept], minutes.estimated[kept]
    )


def _columns(minutes: DriveMinutes, kept: list[int]) -> DriveMinutes:
    return DriveMinutes(
        minutes.optimistic[:, kept], minutes.expected[:, kept], minutes.cautious[:, kept], minutes.estimated[:, kept]
    )


def extra_seconds(ring: Ring) -> Iterator[tuple[VisitKey, PlannedVisit]]:
    """Yield the open visits on which a second goes whom the protocol prefers and does not ask for."""
    for visit in ring.open_visits:
        route = ring.problem.season.route(visit.key.route)
        if visit.second and ring.problem.season.people_for(route) == 1:
            yield visit.key, visit
