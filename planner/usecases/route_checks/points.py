"""A route's points against the protocol: how many, how far apart, and whether habitat circles overlap."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from planner.domain.counting import Spacing, SpacingKind
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.protocol import Protocol
from planner.domain.route import Route
from planner.usecases.route_checks.facts import FloatArray, RouteFacts
from planner.usecases.wording import beside_limit_words, listed, metres_words

EACH_UP_TO = 3
"""So many findings of one kind stand by themselves; more are said in one."""


def point_findings(
    protocol: Protocol,
    route: Route,
    facts: RouteFacts,
    astray: AbstractSet[int],
    repeated: AbstractSet[int] = frozenset(),
    *,
    in_order: bool = True,
) -> Iterator[Finding]:
    """Judge the points of one route.

    Args:
        protocol: the rules.
        route: the route.
        facts: its distances.
        astray: points whose coordinates are probably wrong; distances to them are not judged.
        repeated: points that stand where an earlier one does; distances to them are not judged either.
        in_order: whether the order of the points is a good one; where it is not, neighbours that are too far apart
            are no finding of their own.
    """
    yield from _how_many(protocol, route)
    overlapping = [pair for pair in _overlaps(protocol, route, facts) if not repeated & set(pair.places)]
    yield from _overlap_findings(protocol, route, overlapping)
    if protocol.points.spacing is not None:
        near, far = _wrongly_spaced(protocol.points.spacing, route, facts, astray)
        skipped = {pair.places for pair in overlapping}
        near = [pair for pair in near if pair.places not in skipped and not repeated & set(pair.places)]
        far = [pair for pair in far if in_order and not repeated & set(pair.places)]
        yield from _spacing_findings(protocol.points.spacing, route, facts, near, far)


def _how_many(protocol: Protocol, route: Route) -> Iterator[Finding]:
    fewest, most, there = protocol.points.fewest, protocol.points.most, len(route.points)
    if most == 0 or fewest <= there <= most:
        return
    wanted = f"{fewest}" if fewest == most else f"{fewest} to {most}"
    what = f"Route {route.code} has {_points(there)}; the protocol wants {wanted}."
    todo = f"Add {_points(fewest - there)}." if there < fewest else f"Drop {_points(there - most)}."
    yield Finding(Rule.ROUTE_POINTS, Severity.TROUBLE, Subject(route=route.code), what, todo)


def _points(count: int) -> str:
    return f"{count} point{'' if count == 1 else 's'}"


@dataclass(frozen=True, slots=True)
class _Pair:
    """Two points of a route, by place in it and by number, and the metres between them."""

    places: tuple[int, int]
    numbers: tuple[int, int]
    metres: float

    @classmethod
    def of(cls, route: Route, first: int, second: int, metres: float) -> _Pair:
        return cls((first, second), (route.points[first].number, route.points[second].number), metres)


def _overlaps(protocol: Protocol, route: Route, facts: RouteFacts) -> Iterator[_Pair]:
    habitat = protocol.habitat
    if habitat is None or habitat.circles_may_overlap:
        return
    for first, second in itertools.combinations(range(len(route.points)), 2):
        metres = float(facts.straight_m[first, second])
        if metres < 2 * habitat.radius.metres:
            yield _Pair.of(route, first, second, metres)


def _overlap_findings(protocol: Protocol, route: Route, pairs: Sequence[_Pair]) -> Iterator[Finding]:
    if not pairs or protocol.habitat is None:
        return
    radius = protocol.habitat.radius
    least_m = 2 * radius.metres
    least = metres_words(least_m)
    if len(pairs) <= EACH_UP_TO:
        for pair in pairs:
            one, other = pair.numbers
            what = (
                f"Points {one} and {other} stand {beside_limit_words(pair.metres, least_m)} apart, so their habitat"
                f" circles of {radius} radius overlap; they must stand {least} apart."
            )
            lacking = metres_words(math.ceil(least_m - pair.metres))
            todo = f"Move point {other} farther away, by {lacking}, or drop one of the two."
            yield _pair_finding(Rule.ROUTE_CIRCLES, Severity.TROUBLE, route, pair, what, todo)
        return
    nearest = min(pairs, key=lambda pair: pair.metres)
    what = (
        f"The habitat circles of {len(pairs)} pairs of points overlap, most of all those of points"
        f" {listed(nearest.numbers)}, {beside_limit_words(nearest.metres, least_m)} apart; all must stand {least}"
        " apart."
    )
    todo = "Move points farther apart, or drop some."
    yield _pair_finding(Rule.ROUTE_CIRCLES, Severity.TROUBLE, route, nearest, what, todo)


def _pair_finding(rule: Rule, severity: Severity, route: Route, pair: _Pair, what: str, todo: str) -> Finding:
    return Finding(rule, severity, Subject(route=route.code, point=pair.numbers[1]), what, todo)


def _by_road(spacing: Spacing, facts: RouteFacts) -> bool:
    """Whether the rule is along the road, and there are roads to measure along."""
    return spacing.along_road and facts.road_m is not None


def _wrongly_spaced(
    spacing: Spacing, route: Route, facts: RouteFacts, astray: AbstractSet[int]
) -> tuple[list[_Pair], list[_Pair]]:
    """Return the neighbours that stand too near each other, and those too far apart."""
    metres = facts.road_m if spacing.along_road and facts.road_m is not None else facts.straight_m
    pairs = [
        _Pair.of(route, first, first + 1, _shorter_way(metres, first))
        for first in range(len(route.points) - 1)
        if len(astray & {first, first + 1}) != 1
    ]
    least, most = spacing.least_allowed_m, spacing.most_allowed_m
    near = [pair for pair in pairs if pair.metres < least]
    far = [pair for pair in pairs if most is not None and most < pair.metres < float("inf")]
    return near, far


def _spacing_findings(
    spacing: Spacing, route: Route, facts: RouteFacts, near: Sequence[_Pair], far: Sequence[_Pair]
) -> Iterator[Finding]:
    # As the crow flies is never longer than by road: without a road map 'too near' is only a suspicion.
    by_road = _by_road(spacing, facts)
    unsure = spacing.along_road and not by_road
    how = "along the road" if by_road else "as the crow flies"
    yield from _apart(spacing, route, near, f"too near: {{}} {how}", Severity.DOUBT if unsure else Severity.TROUBLE)
    yield from _apart(spacing, route, far, f"too far apart: {{}} {how}", Severity.TROUBLE)


def _shorter_way(metres: FloatArray, first: int) -> float:
    """Return the metres to the next point; by road the shorter way, since a one-way street lengthens the other."""
    return float(min(metres[first, first + 1], metres[first + 1, first]))


def _apart(spacing: Spacing, route: Route, pairs: Sequence[_Pair], kind: str, severity: Severity) -> Iterator[Finding]:
    wanted = _wanted(spacing)
    if len(pairs) <= EACH_UP_TO:
        for pair in pairs:
            what = f"Points {listed(pair.numbers)} stand {kind.format(_metres(spacing, pair))}; {wanted}."
            todo = f"Move point {pair.numbers[1]}, or drop it."
            yield _pair_finding(Rule.ROUTE_SPACING, severity, route, pair, what, todo)
        return
    worst = max(pairs, key=lambda pair: abs(pair.metres - spacing.least.metres))
    what = (
        f"{len(pairs)} of {len(route.points) - 1} neighbours stand {kind.format(_metres(spacing, worst))} at worst,"
        f" points {listed(worst.numbers)}; {wanted}."
    )
    yield _pair_finding(Rule.ROUTE_SPACING, severity, route, worst, what, "Move the points.")


def _metres(spacing: Spacing, pair: _Pair) -> str:
    """Return how far apart two points stand, beside the limit that they break."""
    most = spacing.most_allowed_m
    return beside_limit_words(pair.metres, spacing.least_allowed_m if most is None or pair.metres < most else most)


def _wanted(spacing: Spacing) -> str:
    tolerance = f", give or take {spacing.tolerance_percent:g} %" if spacing.tolerance_percent else ""
    if spacing.kind is SpacingKind.AT_LEAST:
        return f"the protocol wants {spacing.least} or more{tolerance}"
    if spacing.kind is SpacingKind.RANGE:
        return f"the protocol wants {spacing.least} to {spacing.most}{tolerance}"
    return f"the protocol wants {spacing.least}{tolerance}"
