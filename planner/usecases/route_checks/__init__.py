"""Check routes and volunteers before planning: what stands in the way of a plan, and what to do about it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from collections.abc import Set as AbstractSet

from planner.domain.finding import Finding, Rule, worst_first
from planner.domain.route import Route
from planner.domain.season import Season
from planner.usecases.route_checks.busy import busy_findings
from planner.usecases.route_checks.facts import FloatArray, RouteFacts
from planner.usecases.route_checks.given_dates import date_findings
from planner.usecases.route_checks.leads import lead_findings
from planner.usecases.route_checks.length import light_findings, lights_of
from planner.usecases.route_checks.long_legs import leg_findings
from planner.usecases.route_checks.numbering import better_order, number_findings, order_finding
from planner.usecases.route_checks.out_of_reach import areas_out_of_reach
from planner.usecases.route_checks.places import far_points, place_findings
from planner.usecases.route_checks.points import point_findings
from planner.usecases.route_checks.roads import cut_off, far_homes, home_findings, road_findings
from planner.usecases.route_checks.twins import name_findings, repeat_findings, repeats, shared_findings

__all__ = ["RouteFacts", "check_routes"]


def check_routes(
    season: Season, facts: Mapping[str, RouteFacts], homes_off_road_m: FloatArray | None = None
) -> tuple[Finding, ...]:
    """Return the findings on the routes and volunteers of a season, worst first.

    One cause gives one finding: a route that is too long, or that no road leads to, is not also one that nobody
    can lead; points whose habitat circles overlap are not also too near each other; a misplaced point is not
    also out of reach; a point that is there twice is neither too near nor out of order; points out of order are
    not also too far apart; and a place that everybody finds too far is one of its whole area.

    Args:
        season: the routes, the volunteers and the rules.
        facts: what was measured and computed, by route code, for every route.
        homes_off_road_m: from each volunteer's home to its road, NaN where none is near; None without a road map.
    """
    found = list(_all_findings(season, facts))
    misplaced = {one.subject.volunteer for one in found if one.rule is Rule.VOLUNTEER_FAR_AWAY}
    return worst_first([*found, *far_homes(season, homes_off_road_m, misplaced)])


def _all_findings(season: Season, facts: Mapping[str, RouteFacts]) -> Iterator[Finding]:
    far = far_points(season)
    lights = lights_of(season, facts)
    judged_fit, judged_lead = [], []
    for route in season.routes:
        one, astray = facts[route.code], far[route.code]
        yield from _points_of(season, route, one, astray)
        yield from road_findings(season, route, one, astray)
        reachable = not cut_off(one)
        if reachable and len(astray) in (0, len(route.points)):
            judged_fit.append(route)
        if reachable and not astray and not one.reached_by_nobody:
            judged_lead.append(route)
    yield from shared_findings(season)
    yield from name_findings(season)
    yield from light_findings(season, judged_fit, lights)
    personal = [*place_findings(season), *home_findings(season, facts), *date_findings(season, facts)]
    yield from personal
    beyond = list(areas_out_of_reach(season, judged_lead, facts))
    yield from beyond
    told = frozenset(finding.subject.volunteer for finding in personal)
    said = {code for finding in beyond for code in finding.subject.routes}
    yield from lead_findings(season, [one for one in judged_lead if one.code not in said], facts, lights, told)


def _points_of(season: Season, route: Route, facts: RouteFacts, astray: AbstractSet[int]) -> Iterator[Finding]:
    """Judge the points of one route among themselves."""
    protocol = season.protocol
    repeated = repeats(route, facts)
    whole = not repeated and not astray and not cut_off(facts)
    better = better_order(facts.legs_minutes, protocol.order.direction) if whole else None
    yield from repeat_findings(route, repeated, facts)
    yield from point_findings(protocol, route, facts, astray, frozenset(repeated), in_order=better is None)
    yield from busy_findings(protocol.points.busy_road, route, facts, astray)
    named: frozenset[int] = frozenset()
    if better is not None:
        yield order_finding(route, better)
    elif whole and (protocol.points.spacing is None or protocol.points.spacing.most_allowed_m is None):
        for finding, missing in leg_findings(route, facts):
            named |= missing
            yield finding
    yield from number_findings(route, named)
