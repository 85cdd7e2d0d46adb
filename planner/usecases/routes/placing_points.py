"""Places as people write them, and where a new point of a route would stand."""

from __future__ import annotations

import numpy as np

from planner.domain.geo import Place
from planner.domain.protocol import Protocol
from planner.domain.route import Route
from planner.exchange import parse_latitude, parse_longitude, parse_pair
from planner.travel import RoadNetwork
from planner.usecases.route_fixes.road_line import RoadLine, place_of, road_from, road_line
from planner.usecases.route_fixes.roads import rounded

_ASIDE_DEG = 0.002
"""To the east, where a point would stand on another: some 100 m or more, so that both can be taken hold of."""
_USUAL_SPACING_M = 800.0
"""From one point to the next where the protocol says nothing: our choice."""


def read_latitude(text: str) -> float:
    """Return a latitude in degrees, north positive; raises RuleError for what is none."""
    return parse_latitude(text)


def read_longitude(text: str) -> float:
    """Return a longitude in degrees, east positive; raises RuleError for what is none."""
    return parse_longitude(text)


def read_place(text: str) -> Place:
    """Return a place from one text, latitude first; raises RuleError for what is none, or could be two."""
    return parse_pair(text)


def place_for_new_point(
    protocol: Protocol, network: RoadNetwork | None, route: Route, after: int | None, in_sight: Place
) -> Place:
    """Return where a new point would stand, to be moved from there.

    Args:
        protocol: how far apart points stand.
        network: the roads.
        route: the route that gets the point.
        after: number of the point that it follows; None: it follows the last.
        in_sight: a place that the person sees, for a route that has no road to go on along.

    Returns:
        Half-way along the road to the next point, or behind the last one as far as the protocol's spacing asks; on
        the road nearest to what is in sight where there is no way on.
    """
    line = _road_of(network, route)
    if line is None:
        snap = network.snap([in_sight])[0].used if network is not None else None
        return _clear(route, rounded(in_sight if snap is None else snap.place))
    at = len(route.points) - 1 if after is None else route.points.index(route.point(after))
    if at + 1 < len(route.points):
        along_m = float(line.stands_m[at] + line.stands_m[at + 1]) / 2
    else:
        along_m = min(float(line.stands_m[at]) + _spacing_m(protocol), line.length_m)
    latitudes, longitudes = line.places_at(np.array([along_m]))
    return _clear(route, rounded(place_of(latitudes[0], longitudes[0])))


def _road_of(network: RoadNetwork | None, route: Route) -> RoadLine | None:
    """Return the road to go on along; None where there is none, or nothing to go on from."""
    if network is None or not route.points:
        return None
    return road_line(network, route) if len(route.points) > 1 else road_from(network, route.points[0].place)


def _clear(route: Route, place: Place) -> Place:
    """Return a place where no point of the route stands: there, or a little to the east."""
    taken = {point.place for point in route.points}
    while place in taken:
        place = rounded(Place(place.latitude, (place.longitude + _ASIDE_DEG + 180) % 360 - 180))
    return place


def _spacing_m(protocol: Protocol) -> float:
    spacing, habitat = protocol.points.spacing, protocol.habitat
    circles = 0.0 if habitat is None or habitat.circles_may_overlap else 2 * habitat.radius.metres
    least = max(circles, spacing.least.metres if spacing is not None else 0.0)
    most = spacing.most_allowed_m if spacing is not None else None
    # A bend in the road brings two points nearer than they are along it; a tenth more is room enough for most.
    return min(least * 1.1, most if most is not None else np.inf) or _USUAL_SPACING_M
