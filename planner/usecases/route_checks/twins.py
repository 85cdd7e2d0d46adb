"""The same place twice: two points of one route, points of two routes, two routes for one, one person twice."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from scipy.spatial import cKDTree

from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.geo import MEAN_EARTH_RADIUS_M, Place, sphere_metres
from planner.domain.route import Route
from planner.domain.season import Season
from planner.usecases.route_checks.facts import RouteFacts
from planner.usecases.wording import metres_words, runs

SAME_PLACE_M = 10.0
"""Two places nearer than this are one: a hand-held receiver is no better. Assumption, no published source."""
MOST_SHARE = 0.5
"""Two routes of which the shorter shares more of its points than this are probably one. Our choice."""

_Spot: TypeAlias = tuple[int, int]
"""A point: the route's place in the season, its own place in the route."""


def repeats(route: Route, facts: RouteFacts) -> dict[int, int]:
    """Return the points that stand where an earlier one does already, each with that one, by place in the route."""
    near = np.tril(facts.straight_m < SAME_PLACE_M, k=-1)
    return {int(row): int(np.argmax(near[row])) for row in np.flatnonzero(near.any(axis=1)) if row < len(route.points)}


def repeat_findings(route: Route, repeated: dict[int, int], facts: RouteFacts) -> Iterator[Finding]:
    """Yield a finding for each point that stands where an earlier one does already."""
    for later, first in repeated.items():
        one, other = route.points[first].number, route.points[later].number
        metres = metres_words(float(facts.straight_m[first, later]))
        what = f"Points {one} and {other} stand at the same place ({metres} apart): it would be counted twice."
        todo = f"Drop point {other}, or put it where it belongs."
        yield Finding(Rule.ROUTE_TWICE, Severity.TROUBLE, Subject(route=route.code, point=other), what, todo)


def shared_findings(season: Season) -> Iterator[Finding]:
    """Yield a finding for each route that has places of an earlier one: some, or so many that the two are one.

    Of a place that more than two routes share, each is held against the first that has it.
    """
    pairs: dict[tuple[int, int], list[tuple[int, int]]] = defaultdict(list)
    for (first, first_point), (later, point) in _shared(season.routes):
        pairs[later, first].append((point, first_point))
    for (later, first), points in sorted(pairs.items()):
        yield _shared_finding(season.routes[later], season.routes[first], points)


def shared_points(season: Season, code: str) -> frozenset[int]:
    """Return the numbers of the points of a route that stand where a point of an earlier route does."""
    return frozenset(
        season.routes[later].points[point].number
        for _, (later, point) in _shared(season.routes)
        if season.routes[later].code == code
    )


def _shared_finding(later: Route, first: Route, points: Sequence[tuple[int, int]]) -> Finding:
    mine = sorted({point for point, _ in points})
    fewest = min(len(later.points), len(first.points))
    if len(mine) > MOST_SHARE * fewest:
        what = (
            f"Routes {first.code} and {later.code} share {len(mine)} of"
            f" {fewest} points: they are probably the same route."
        )
        todo = f"Drop one of the two; or put the points of route {later.code} where they belong."
        return Finding(
            Rule.ROUTE_SHARED, Severity.DOUBT, Subject(route=later.code, more_routes=(first.code,)), what, todo
        )
    numbers = [later.points[point].number for point in mine]
    theirs = [first.points[dict(points)[point]].number for point in mine]
    many = len(numbers) > 1
    what = (
        f"Point{'s' if many else ''} {runs(numbers)} of route {later.code} {'stand' if many else 'stands'} where"
        f" point{'s' if many else ''} {runs(theirs)} of route {first.code} {'do' if many else 'does'}:"
        " what is there would be counted twice."
    )
    todo = "Take the place out of one of the two routes."
    return Finding(Rule.ROUTE_SHARED, Severity.DOUBT, Subject(route=later.code, point=numbers[0]), what, todo)


def _shared(routes: Sequence[Route]) -> Iterator[tuple[_Spot, _Spot]]:
    """Yield pairs of points of two routes at one place: the first route that has it, and each later one."""
    spots = [(row, point) for row, route in enumerate(routes) for point in range(len(route.points))]
    if len(spots) < 2:
        return
    owners = np.array([row for row, _ in spots])
    tree = cKDTree(_in_space([routes[row].points[point].place for row, point in spots]))
    pairs = tree.query_pairs(SAME_PLACE_M / MEAN_EARTH_RADIUS_M, output_type="ndarray")
    pairs = np.sort(pairs[owners[pairs[:, 0]] != owners[pairs[:, 1]]], axis=1)
    first: dict[int, int] = {}
    for one, other in sorted(map(tuple, pairs.tolist())):
        if first.setdefault(other, one) == one and one not in first:
            yield spots[one], spots[other]


def _in_space(places: Sequence[Place]) -> np.ndarray:
    """Return places on the unit sphere, shape (n, 3)."""
    north, east = np.radians([[place.latitude, place.longitude] for place in places]).T
    return np.column_stack([np.cos(north) * np.cos(east), np.cos(north) * np.sin(east), np.sin(north)])


@dataclass(frozen=True, slots=True)
class _Named:
    """Something with a name that should be its own."""

    code: str
    name: str

    @property
    def folded(self) -> str:
        """The name as it is held against others: without case, and one space for many."""
        return " ".join(self.name.casefold().split())


def name_findings(season: Season) -> Iterator[Finding]:
    """Yield a finding for routes whose codes or names differ only by case, and for people who are there twice."""
    routes = [(route.code, route.name) for route in season.routes]
    for one, other in _alike([_Named(code, code) for code, _ in routes]):
        what = (
            f"Routes {one.code} and {other.code} have codes that differ only by case; a paper or a table mixes them up."
        )
        yield _of_names(one.code, other.code, what, "Give one of them another code, or drop it where the two are one.")
    for one, other in _alike([_Named(*route) for route in routes if route[1].strip()]):
        what = f"Routes {one.code} and {other.code} have the same name, {other.name}."
        yield _of_names(one.code, other.code, what, "Give each a name of its own, or drop one where the two are one.")
    yield from _people_twice(season)


def _of_names(first: str, later: str, what: str, todo: str) -> Finding:
    return Finding(Rule.ROUTE_NAMES, Severity.DOUBT, Subject(route=later, more_routes=(first,)), what, todo)


def _people_twice(season: Season) -> Iterator[Finding]:
    homes = {volunteer.code: volunteer.home for volunteer in season.volunteers}
    named = [_Named(volunteer.code, volunteer.name) for volunteer in season.volunteers if volunteer.name.strip()]
    by_code = {(one.code, other.code) for one, other in _alike([_Named(code, code) for code in homes])}
    by_name = {(one.code, other.code) for one, other in _alike(named)}
    at_one_home = {pair for pair in by_name if sphere_metres(homes[pair[0]], homes[pair[1]]) < SAME_PLACE_M}
    for one, other in sorted(by_code | at_one_home):
        why = "codes that differ only by case" if (one, other) in by_code else "the same name and the same home"
        what = f"Volunteers {one} and {other} have {why}: probably one person is there twice."
        todo = f"Drop {other}, or tell the two apart."
        yield Finding(Rule.VOLUNTEER_TWICE, Severity.DOUBT, Subject(volunteer=other), what, todo)


def _alike(things: Sequence[_Named]) -> list[tuple[_Named, _Named]]:
    """Return each thing that is named as an earlier one, behind the first of that name."""
    first: dict[str, _Named] = {}
    pairs = [(first.setdefault(thing.folded, thing), thing) for thing in things]
    return [(one, other) for one, other in pairs if one is not other]
