"""The road that a route runs along, as one line: points can be shifted along it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from planner.domain.geo import Place
from planner.domain.route import Route
from planner.travel import LatLon, RoadNetwork, geodesic_metres, step_metres
from planner.usecases.route_checks.facts import FloatArray
from planner.usecases.route_checks.measuring import along_metres

ONWARD_M = 1_000.0
"""So far a route's line is followed beyond its ends."""
_ENDS_TRIED = 12
"""Ends of roads that are tried as ways on from a route's end."""
_DETOUR_M = 60.0
"""A way on that leads past the end point is at most so much longer than the quickest: else it turns back."""
_METRES_A_DEGREE = 111_195.0
"""Of latitude, on the sphere of the mean radius; for boxes only."""


@dataclass(frozen=True, slots=True, eq=False)
class RoadLine:
    """A line along roads, and where along it each point of a route stands."""

    latitudes: FloatArray
    longitudes: FloatArray
    along_m: FloatArray
    """Metres from the beginning of the line, for each of its corners."""
    stands_m: FloatArray
    """Metres from the beginning of the line, for each point of the route."""

    def places_at(self, metres: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return latitudes and longitudes so many metres along the line."""
        return (
            np.interp(metres, self.along_m, self.latitudes),
            np.interp(metres, self.along_m, self.longitudes),
        )

    @property
    def length_m(self) -> float:
        """Metres from the beginning to the end."""
        return float(self.along_m[-1])


def road_line(network: RoadNetwork, route: Route) -> RoadLine | None:
    """Return the road through a route's points and on beyond both ends; None where no road joins two neighbours."""
    spots = [(point.place.latitude, point.place.longitude) for point in route.points]
    legs = [network.path(here, there) for here, there in pairwise(spots)]
    if not legs or not all(legs):
        return None
    before = _onward(network, spots[0], spots[1])[::-1]
    behind = _onward(network, spots[-1], spots[-2])
    stands = np.cumsum([along_metres(before) if before else 0.0, *(along_metres(leg) for leg in legs)])
    return _line([spot for part in (before, *legs, behind) for spot in part], stands)


def road_from(network: RoadNetwork, place: Place) -> RoadLine | None:
    """Return the longest of a few ways along roads from a place, which stands at its beginning; None: no road."""
    spot = (place.latitude, place.longitude)
    ways = [network.path(spot, target) for target in _road_ends(network, spot, spot)]
    longest = max(ways, key=lambda way: along_metres(way) if len(way) > 1 else 0.0, default=())
    return _line(longest, np.zeros(1)) if len(longest) > 1 else None


def _line(way: Sequence[LatLon], stands: FloatArray) -> RoadLine:
    corners = np.array(way)
    along = np.concatenate([[0.0], np.cumsum(step_metres(corners))])
    return RoadLine(corners[:, 0], corners[:, 1], along, np.asarray(stands, dtype=np.float64))


def _onward(network: RoadNetwork, end: LatLon, previous: LatLon) -> tuple[LatLon, ...]:
    """Return a way on from a route's end that does not turn back; empty where the road ends there."""
    to_end_m = along_metres(network.path(previous, end))
    best: tuple[LatLon, ...] = ()
    best_m = 0.0
    for target in _road_ends(network, end, previous):
        way = network.path(end, target)
        way_m = along_metres(way) if len(way) > 1 else 0.0
        whole_m = along_metres(network.path(previous, target))
        if best_m < way_m and abs(whole_m - to_end_m - way_m) < _DETOUR_M:
            best, best_m = way, way_m
        if best_m >= ONWARD_M:
            break
    return best


def _road_ends(network: RoadNetwork, end: LatLon, previous: LatLon) -> list[LatLon]:
    """Return the ends of the roads near a place, those farthest from another place first."""
    north = ONWARD_M / _METRES_A_DEGREE
    east = north / max(0.01, float(np.cos(np.radians(end[0]))))
    roads = network.roads_within(end[0] - north, end[1] - east, end[0] + north, end[1] + east)
    ends = {spot for road in roads for spot in (road.polyline[0], road.polyline[-1])}
    return sorted(ends, key=lambda spot: -geodesic_metres(previous, spot))[:_ENDS_TRIED]


def place_of(latitude: float, longitude: float) -> Place:
    """Return a spot of the line as a place."""
    return Place(float(latitude), float(longitude))
