"""Check routes and volunteers before planning: what stands in the way of a plan, and what to do about it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from planner.domain.finding import Finding, worst_first
from planner.domain.season import Season
from planner.usecases.route_checks.facts import RouteFacts
from planner.usecases.route_checks.given_dates import date_findings
from planner.usecases.route_checks.leads import lead_findings
from planner.usecases.route_checks.length import light_findings, lights_of
from planner.usecases.route_checks.places import far_points, place_findings
from planner.usecases.route_checks.points import point_findings
from planner.usecases.route_checks.roads import cut_off, home_findings, road_findings

__all__ = ["RouteFacts", "check_routes"]


def check_routes(season: Season, facts: Mapping[str, RouteFacts]) -> tuple[Finding, ...]:
    """Return the findings on the routes and volunteers of a season, worst first.

    One cause gives one finding: a route that is too long, or that no road leads to, is not also one that nobody
    can lead; points whose habitat circles overlap are not also too near each other; a misplaced point is not
    also out of reach.

    Args:
        season: the routes, the volunteers and the rules.
        facts: what was measured and computed, by route code, for every route.
    """
    return worst_first(list(_all_findings(season, facts)))


def _all_findings(season: Season, facts: Mapping[str, RouteFacts]) -> Iterator[Finding]:
    far = far_points(season)
    lights = lights_of(season, facts)
    judged_fit, judged_lead = [], []
    for route in season.routes:
        one, astray = facts[route.code], far[route.code]
        yield from point_findings(season.protocol, route, one, astray)
        yield from road_findings(season, route, one, astray)
        reachable = not cut_off(one)
        if reachable and len(astray) in (0, len(route.points)):
            judged_fit.append(route)
        if reachable and not astray and not one.reached_by_nobody:
            judged_lead.append(route)
    yield from light_findings(season, judged_fit, lights)
    personal = [*place_findings(season), *home_findings(season, facts), *date_findings(season, facts)]
    yield from personal
    told = frozenset(finding.subject.volunteer for finding in personal)
    yield from lead_findings(season, judged_lead, facts, lights, told)
