"""What can be done about a finding on a route: fixes, each weighed first, and only those that mend it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

import numpy as np

from planner.domain.finding import Finding, Rule, Severity
from planner.usecases.route_checks.roads import OFF_ROAD_M, cut_off
from planner.usecases.route_checks.twins import repeats, shared_points
from planner.usecases.route_fixes.dropping import drop_fix, drops_that_fit, drops_to_count
from planner.usecases.route_fixes.fixes import Fix, FixKind, WeighedFix, weigh_fix
from planner.usecases.route_fixes.orders import better_ordered, order_fixes, renumbered
from planner.usecases.route_fixes.roads import slips_mended, to_road
from planner.usecases.route_fixes.spacing import spaced_out
from planner.usecases.route_fixes.weighing import Surroundings, WeighedRoute

MOST_OFFERS = 3
"""More than that is a menu to study, not help."""
_MOST_DROPS = 6

_Candidates = Callable[[Surroundings, WeighedRoute, Finding], Iterator[Fix]]


def fixes_for(around: Surroundings, weighed: WeighedRoute, finding: Finding) -> tuple[WeighedFix, ...]:
    """Return the fixes that end a finding, those that bring no new one first, then those that change least.

    Args:
        around: what the route is judged against.
        weighed: the route as it stands.
        finding: one of the findings on it; for one that it no longer has, nothing is offered.
    """
    candidates = _CANDIDATES.get(finding.rule)
    if candidates is None or not any(_same(finding, one) for one in weighed.findings):
        return ()
    fixes = dict.fromkeys(candidates(around, weighed, finding))
    offers = [offer for offer in (weigh_fix(around, weighed, fix) for fix in fixes) if offer.mends(finding)]
    offers.sort(key=_rank)
    return tuple(offers[:MOST_OFFERS])


def _same(one: Finding, other: Finding) -> bool:
    return one.rule is other.rule and one.subject == other.subject


def _rank(offer: WeighedFix) -> tuple[int, int]:
    """Return what offers are ordered by: trouble brought, then points lost; the rest stays as it was found."""
    trouble = sum(finding.severity <= Severity.DOUBT for finding in offer.come)
    return trouble, len(offer.before.route.points) - len(offer.after.route.points)


def _apart(around: Surroundings, weighed: WeighedRoute, finding: Finding) -> Iterator[Fix]:
    """Points too near or too far: shift them along the road, or leave one out."""
    if around.network is not None:
        fix = spaced_out(around.protocol, around.network, weighed.route)
        if fix is not None:
            yield fix
    yield from _drops_of_pair(around, weighed, finding)


def _drops_of_pair(around: Surroundings, weighed: WeighedRoute, finding: Finding) -> Iterator[Fix]:
    route, number = weighed.route, finding.subject.point
    if number is None or len(route.points) <= max(1, around.protocol.points.fewest) or weighed.facts is None:
        return
    place = route.points.index(route.point(number))
    metres = weighed.facts.straight_m[place].copy()
    metres[place] = np.inf
    yield drop_fix(route, [number])
    yield drop_fix(route, [route.points[int(np.argmin(metres))].number])


def _off_road(around: Surroundings, weighed: WeighedRoute, finding: Finding) -> Iterator[Fix]:
    """Points beside the road, or on one that is not joined: move them to one that is, or leave them out."""
    route, facts, network = weighed.route, weighed.facts, around.network
    assert network is not None, "off the road is judged where there are roads"
    assert facts is not None and facts.snap_m is not None and facts.on_main is not None  # noqa: PT018  one reason
    off = ~(facts.snap_m <= OFF_ROAD_M) | ~facts.on_main
    off[list(cut_off(facts))] = True
    numbers = [point.number for point, one in zip(route.points, off.tolist(), strict=True) if one]
    alone = [finding.subject.point] if finding.subject.point in numbers else numbers
    moved = to_road(network, route, [number for number in alone if number is not None])
    if moved is not None:
        yield moved
        spaced = spaced_out(around.protocol, network, moved.after)
        if spaced is not None:
            both = tuple(sorted({*moved.numbers, *spaced.numbers}))
            furthest_m = max(moved.furthest_m, spaced.furthest_m)
            yield Fix(FixKind.TO_ROAD_SPACED, route, spaced.after, both, furthest_m)
    yield from _drop_of(around, weighed, finding)


def _drop_of(around: Surroundings, weighed: WeighedRoute, finding: Finding) -> Iterator[Fix]:
    number = finding.subject.point
    if number is not None and len(weighed.route.points) > max(1, around.protocol.points.fewest):
        yield drop_fix(weighed.route, [number])


def _far_away(around: Surroundings, weighed: WeighedRoute, finding: Finding) -> Iterator[Fix]:
    """A slip of the pen in a coordinate: swap them, turn a sign, or leave the point out."""
    route, number = weighed.route, finding.subject.point
    yield from slips_mended(route, [number] if number is not None else [point.number for point in route.points])
    yield from _drop_of(around, weighed, finding)


def _too_long(_around: Surroundings, weighed: WeighedRoute, _finding: Finding) -> Iterator[Fix]:
    """Counts that do not fit the light: another order may do, else points are left out."""
    yield from (fix for fix in order_fixes(weighed) if fix.kind is not FixKind.RENUMBER)
    yield from drops_that_fit(weighed, _MOST_DROPS)


def _too_many(around: Surroundings, weighed: WeighedRoute, _finding: Finding) -> Iterator[Fix]:
    yield from drops_to_count(weighed, len(weighed.route.points) - around.protocol.points.most, _MOST_DROPS)


def _unknown_lead(_around: Surroundings, weighed: WeighedRoute, _finding: Finding) -> Iterator[Fix]:
    yield Fix(FixKind.NO_LEAD, weighed.route, replace(weighed.route, lead=""))


def _twice(_around: Surroundings, weighed: WeighedRoute, finding: Finding) -> Iterator[Fix]:
    """One of the two points goes; the later one first."""
    assert weighed.facts is not None, "points that stand at one place have been measured"
    for later, first in repeats(weighed.route, weighed.facts).items():
        if weighed.route.points[later].number == finding.subject.point:
            yield drop_fix(weighed.route, [weighed.route.points[later].number])
            yield drop_fix(weighed.route, [weighed.route.points[first].number])


def _shared(around: Surroundings, weighed: WeighedRoute, finding: Finding) -> Iterator[Fix]:
    """The points go that another route has; of two routes that are one, no point is the wrong one."""
    shared = shared_points(around.season, weighed.route.code)
    if finding.subject.point is not None and len(shared) < len(weighed.route.points):
        yield drop_fix(weighed.route, sorted(shared))


def _out_of_order(_around: Surroundings, weighed: WeighedRoute, _finding: Finding) -> Iterator[Fix]:
    fix = better_ordered(weighed)
    if fix is not None:
        yield fix


def _numbers(_around: Surroundings, weighed: WeighedRoute, _finding: Finding) -> Iterator[Fix]:
    fix = renumbered(weighed.route)
    if fix is not None:
        yield fix


def _busy(around: Surroundings, weighed: WeighedRoute, _finding: Finding) -> Iterator[Fix]:
    assert weighed.facts is not None, "points near a busy road have been measured"
    near = [
        point.number
        for point, road in zip(weighed.route.points, weighed.facts.busy_roads, strict=True)
        if road is not None
    ]
    if len(weighed.route.points) - len(near) >= max(1, around.protocol.points.fewest):
        yield drop_fix(weighed.route, near)


_CANDIDATES: Mapping[Rule, _Candidates] = {
    Rule.ROUTE_CIRCLES: _apart,
    Rule.ROUTE_SPACING: _apart,
    Rule.ROUTE_OFF_ROAD: _off_road,
    Rule.ROUTE_UNREACHABLE: _off_road,
    Rule.ROUTE_FAR_AWAY: _far_away,
    Rule.ROUTE_TOO_LONG: _too_long,
    Rule.ROUTE_POINTS: _too_many,
    Rule.ROUTE_LEAD: _unknown_lead,
    Rule.ROUTE_TWICE: _twice,
    Rule.ROUTE_SHARED: _shared,
    Rule.ROUTE_ORDER: _out_of_order,
    Rule.ROUTE_NUMBERS: _numbers,
    Rule.ROUTE_LONG_LEG: _drop_of,
    Rule.ROUTE_BUSY_ROAD: _busy,
}
