"""Points and homes against the road map: off the road, cut off from the rest, or out of reach."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from collections.abc import Set as AbstractSet

import numpy as np

from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.route import Route
from planner.domain.season import Season
from planner.domain.travel import ESTIMATED_WORDS
from planner.travel import FAR_SNAP_M, FAR_STAND_M, RIVAL_MINUTES, SNAP_LIMIT_M, Side, walked_minutes
from planner.usecases.route_checks.facts import FloatArray, RouteFacts
from planner.usecases.route_checks.points import EACH_UP_TO
from planner.usecases.wording import listed, metres_words

OFF_ROAD_M = FAR_STAND_M
"""A point farther than this from its road is worth a word."""


def road_findings(season: Season, route: Route, facts: RouteFacts, astray: AbstractSet[int]) -> Iterator[Finding]:
    """Judge where one route stands on the road map; ``astray`` points are misplaced anyway and left out."""
    apart = set(cut_off(facts)) - astray
    if apart:
        yield _unreachable_points(route, sorted(apart))
    elif facts.reached_by_nobody and not astray:
        what = f"No road leads from any of {len(season.volunteers)} homes to route {route.code}."
        todo = "Look at where its points stand, and whether the road map reaches from them to the homes."
        yield Finding(Rule.ROUTE_UNREACHABLE, Severity.TROUBLE, Subject(route=route.code), what, todo)
    yield from _off_road(route, facts, astray | apart)
    yield from _one_sided(route, facts, astray | apart)
    yield from _between_roads(route, facts, astray | apart)


def home_findings(season: Season, facts: Mapping[str, RouteFacts]) -> Iterator[Finding]:
    """Yield a finding for each home from which no road leads to any route that others can reach."""
    reached = [one for one in facts.values() if not one.reached_by_nobody]
    for row, volunteer in enumerate(season.volunteers):
        if reached and all(np.isinf(one.one_way_minutes[row]) for one in reached):
            what = f"No road leads from the home of {volunteer.code} to any route."
            todo = "Look at where the home stands, and whether the road map reaches it."
            subject = Subject(volunteer=volunteer.code)
            yield Finding(Rule.ROUTE_UNREACHABLE, Severity.TROUBLE, subject, what, todo)


def far_homes(season: Season, off_road_m: FloatArray | None, misplaced: AbstractSet[str]) -> Iterator[Finding]:
    """Yield a finding for each home far from its road, on which drives begin; ``misplaced`` people are left out."""
    if off_road_m is None:
        return
    for volunteer, metres in zip(season.volunteers, off_road_m.tolist(), strict=True):
        if volunteer.code in misplaced or metres <= FAR_SNAP_M:
            continue
        what = f"The home of {volunteer.code} lies near no road of the map. {ESTIMATED_WORDS}"
        todo = "Look at its coordinates, or bring in a road map that reaches it."
        if metres <= SNAP_LIMIT_M:
            what = f"The home of {volunteer.code} lies {metres_words(metres)} from the road that its drives begin on."
            todo = "Look at its coordinates; the way to that road is not counted."
        yield Finding(Rule.VOLUNTEER_OFF_ROAD, Severity.DOUBT, Subject(volunteer=volunteer.code), what, todo)


def cut_off(facts: RouteFacts) -> tuple[int, ...]:
    """Return the points from or to which most others cannot be driven; all where the route falls in two halves."""
    closed = np.isinf(facts.legs_minutes) | np.isinf(facts.legs_minutes.T)
    if not closed.any():
        return ()
    most = np.flatnonzero(2 * closed.sum(axis=1) > len(closed) - 1)
    apart = most if len(most) else np.flatnonzero(closed.any(axis=1))
    return tuple(int(index) for index in apart)


def _unreachable_points(route: Route, places: list[int]) -> Finding:
    numbers = [route.points[index].number for index in places]
    if len(numbers) == 1:
        what = f"No road leads from the other points of route {route.code} to point {numbers[0]} and back."
    else:
        what = f"No road joins points {listed(numbers)} of route {route.code} to the others."
    subject = Subject(route=route.code, point=numbers[0])
    todo = "Move it to a road that is joined to the others, or mend the road map."
    return Finding(Rule.ROUTE_UNREACHABLE, Severity.TROUBLE, subject, what, todo)


def _off_road(route: Route, facts: RouteFacts, skipped: AbstractSet[int]) -> Iterator[Finding]:
    if facts.snap_m is None:
        return
    judged = [index for index in range(len(route.points)) if index not in skipped]
    off = [index for index in judged if not facts.snap_m[index] <= OFF_ROAD_M]
    yield from _far_from_road(route, facts, off)
    if facts.on_main is not None:
        yield from _off_main(route, [index for index in judged if not facts.on_main[index] and index not in off])


def _far_from_road(route: Route, facts: RouteFacts, off: list[int]) -> Iterator[Finding]:
    assert facts.snap_m is not None, "points off the road are known by their distance from it"
    shown = off if len(off) <= EACH_UP_TO else off[:0]
    for index in shown:
        number, metres = route.points[index].number, float(facts.snap_m[index])
        there = f"{metres_words(metres)} from the nearest road" if np.isfinite(metres) else "near no road of the map"
        todo = f"Look at its coordinates, or bring in a road map that reaches it. {ESTIMATED_WORDS}"
        if metres <= SNAP_LIMIT_M:
            todo = f"Move it onto the road, or check that one can walk there: {_walk_words(metres)}."
        subject = Subject(route=route.code, point=number)
        yield Finding(Rule.ROUTE_OFF_ROAD, Severity.DOUBT, subject, f"Point {number} stands {there}.", todo)
    if len(off) > len(shown):
        numbers = listed(route.points[index].number for index in off)
        what = f"Points {numbers} stand more than {OFF_ROAD_M:g} m from the nearest road."
        todo = "Look whether the road map is the right one, and move them onto the road."
        yield Finding(Rule.ROUTE_OFF_ROAD, Severity.DOUBT, Subject(route=route.code), what, todo)


def _walk_words(metres: float) -> str:
    minutes = float(walked_minutes(np.array([metres]))[0])
    return f"{minutes:.0f} min on foot each way are reckoned with, as on level ground"


def _off_main(route: Route, off: list[int]) -> Iterator[Finding]:
    if off:
        numbers = [route.points[index].number for index in off]
        points = f"point{'s' if len(numbers) > 1 else ''} {listed(numbers)}"
        what = f"The nearest road to {points} is not joined to the other roads of the map; the next road is used."
        subject = Subject(route=route.code, point=numbers[0])
        todo = "Check that one can drive there, and move the point if not."
        yield Finding(Rule.ROUTE_OFF_ROAD, Severity.DOUBT, subject, what, todo)


def _one_sided(route: Route, facts: RouteFacts, skipped: AbstractSet[int]) -> Iterator[Finding]:
    """Yield a finding for the points on one of two carriageways, and one for those on other one-way roads."""
    oneway = [(index, side) for index, side in _judged(facts, skipped) if side.oneway]
    two_sided = [(index, side) for index, side in oneway if side.other_side_m is not None]
    if two_sided:
        stand, road = _standing(route, two_sided)
        what = f"{stand} on one carriageway of {road}: one comes there from one side only."
        todo = (
            "Check that it is the side that is meant, and that one may stop there; from the other side one drives on"
            " to turn."
        )
        subject = Subject(route=route.code, point=route.points[two_sided[0][0]].number)
        yield Finding(Rule.ROUTE_ONE_WAY, Severity.DOUBT, subject, what, todo)
    alone = [(index, side) for index, side in oneway if side.other_side_m is None]
    if alone:
        stand, road = _standing(route, alone)
        what = f"{stand} on {road}, one-way: one comes there from one side only."
        todo = "Check that one may stop there; the way back leads round."
        subject = Subject(route=route.code, point=route.points[alone[0][0]].number)
        yield Finding(Rule.ROUTE_ONE_WAY, Severity.NOTE, subject, what, todo)


def _standing(route: Route, places: list[tuple[int, Side]]) -> tuple[str, str]:
    """Return which points stand, and the roads they stand on, the first few by name."""
    numbers = [route.points[index].number for index, _ in places]
    roads = list(dict.fromkeys(side.road for _, side in places))
    named = listed(roads) if len(roads) <= EACH_UP_TO else f"{', '.join(roads[:2])} and {len(roads) - 2} more roads"
    return f"Point {numbers[0]} stands" if len(numbers) == 1 else f"Points {listed(numbers)} stand", named


def _between_roads(route: Route, facts: RouteFacts, skipped: AbstractSet[int]) -> Iterator[Finding]:
    """Yield a finding for each point beside two roads that are far from each other by car."""
    assert not facts.sides or facts.snap_m is not None, "sides are known where roads are"
    for index, side in _judged(facts, skipped):
        if facts.snap_m is not None and side.rival and side.rival_m is not None:
            number, own_m = route.points[index].number, float(facts.snap_m[index])
            what = (
                f"Point {number} stands {metres_words(own_m)} from {side.road} and {metres_words(side.rival_m)} from"
                f" {side.rival}, more than {RIVAL_MINUTES:g} minutes apart by car."
            )
            todo = "Move it onto the road that is meant; between the two there may be a river or a motorway."
            subject = Subject(route=route.code, point=number)
            yield Finding(Rule.ROUTE_TWO_ROADS, Severity.DOUBT, subject, what, todo)


def _judged(facts: RouteFacts, skipped: AbstractSet[int]) -> Iterator[tuple[int, Side]]:
    for index, side in enumerate(facts.sides):
        if side is not None and index not in skipped:
            yield index, side
