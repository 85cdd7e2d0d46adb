"""Points moved to where a road is, or to where a slip of the pen took them from."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace

from planner.domain.errors import RuleError
from planner.domain.geo import Place
from planner.domain.route import Route
from planner.travel import RoadNetwork, geodesic_metres
from planner.usecases.route_fixes.fixes import Fix, FixKind

PLACE_DECIMALS = 5
"""Decimals of a degree that places are shown and printed with: about a metre."""


def to_road(network: RoadNetwork, route: Route, numbers: Collection[int]) -> Fix | None:
    """Return the route with those points on the nearest road that is joined to the others; None where none is near."""
    points = [point for point in route.points if point.number in numbers]
    moved = {}
    for point, snap in zip(points, network.snap([point.place for point in points]), strict=True):
        if snap.used is not None:
            moved[point.number] = rounded(snap.used.place)
    return moved_points(FixKind.TO_ROAD, route, moved)


def slips_mended(route: Route, numbers: Collection[int]) -> Iterator[Fix]:
    """Yield the route with those points where a slip of the pen may have taken them from."""
    for kind, turned in ((FixKind.SWAP, _swapped), (FixKind.TURN_SIGN, _west), (FixKind.TURN_SIGN, _south)):
        try:
            moved = {point.number: turned(point.place) for point in route.points if point.number in numbers}
        except RuleError:
            continue
        fix = moved_points(kind, route, moved)
        if fix is not None:
            yield fix


def moved_points(kind: FixKind, route: Route, moved: dict[int, Place]) -> Fix | None:
    """Return the fix that gives points, by number, new places; None where that moves nothing, or onto another."""
    far = {
        point.number: metres_apart(point.place, moved[point.number])
        for point in route.points
        if point.number in moved and moved[point.number] != point.place
    }
    points = tuple(replace(point, place=moved.get(point.number, point.place)) for point in route.points)
    if not far or len({point.place for point in points}) < len(points):
        return None
    return Fix(kind, route, replace(route, points=points), tuple(far), max(far.values()))


def rounded(place: Place) -> Place:
    """Return a place to the metre or so that is shown and printed."""
    return Place(round(place.latitude, PLACE_DECIMALS), round(place.longitude, PLACE_DECIMALS))


def metres_apart(a: Place, b: Place) -> float:
    """Return the geodesic metres between two places."""
    return geodesic_metres((a.latitude, a.longitude), (b.latitude, b.longitude))


def _swapped(place: Place) -> Place:
    return Place(place.longitude, place.latitude)


def _west(place: Place) -> Place:
    return Place(place.latitude, -place.longitude)


def _south(place: Place) -> Place:
    return Place(-place.latitude, place.longitude)
