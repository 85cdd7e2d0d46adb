"""Points shifted along the road until they stand as far apart as the protocol wants, with the least shifting.

One table over the points in their order: for each place that a point may be shifted to, the least that all before it
cost (dynamic programming over a chain). Exact for the line and the step; only neighbours are held against each
other, all others against where they stand now, so the result is weighed again before it is offered.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.domain.protocol import Protocol
from planner.domain.route import Route
from planner.travel import RoadNetwork, geodesic_metres
from planner.usecases.route_checks.facts import BoolArray, FloatArray
from planner.usecases.route_fixes.fixes import Fix, FixKind
from planner.usecases.route_fixes.road_line import RoadLine, place_of, road_line
from planner.usecases.route_fixes.roads import moved_points, rounded

STEP_M = 5.0
"""Points are shifted by so much or a multiple of it."""
MOST_SHIFT_M = 800.0
"""No point is shifted farther: it would be another place, not the same one mended."""
ANOTHER_POINT_M = 300.0
"""Shifting one more point is avoided at the price of shifting others so much farther: each point is a visit to its
marker and its landowner. Our choice, no published source."""
_GUARD_M = 2.0
"""What rounding to the metre and the flat reckoning may take away."""
_BROKEN = 1e6
"""What a pair that stands wrongly costs: more than any shifting, less than nothing at all."""


@dataclass(frozen=True, slots=True)
class _Wanted:
    """How far apart two points must stand, in metres."""

    straight_least: float
    straight_most: float
    road_least: float
    road_most: float
    circles: float
    """As the crow flies, for any two points; 0 where circles may overlap."""

    @classmethod
    def by(cls, protocol: Protocol) -> _Wanted:
        habitat, spacing = protocol.habitat, protocol.points.spacing
        circles = 0.0 if habitat is None or habitat.circles_may_overlap else 2 * habitat.radius.metres
        least = most = None
        if spacing is not None:
            least, most = spacing.least_allowed_m, spacing.most_allowed_m
        by_road = spacing is not None and spacing.along_road
        return cls(
            straight_least=max(circles, (least or 0.0) if not by_road else 0.0),
            straight_most=np.inf if by_road or most is None else most,
            road_least=(least or 0.0) if by_road else 0.0,
            road_most=most if by_road and most is not None else np.inf,
            circles=circles,
        )


@dataclass(frozen=True, slots=True, eq=False)
class _Choices:
    """Where each point may be shifted to; arrays of shape (points, choices)."""

    shifts_m: FloatArray
    """Shape (choices,)."""
    along_m: FloatArray
    latitudes: FloatArray
    longitudes: FloatArray
    x_m: FloatArray
    """Flat metres to the east, round the middle of the route."""
    y_m: FloatArray


def spaced_out(protocol: Protocol, network: RoadNetwork, route: Route) -> Fix | None:
    """Return the route with points shifted along its road so that neighbours stand apart as the protocol wants.

    None where no road joins the points, or shifting mends nothing.
    """
    line = road_line(network, route)
    if line is None:
        return None
    choices, wanted = _choices(line, route), _Wanted.by(protocol)
    costs = _own_costs(choices, wanted)
    chosen = _cheapest_chain(choices, wanted, costs)
    moved = {
        point.number: rounded(place_of(choices.latitudes[row, pick], choices.longitudes[row, pick]))
        for row, (point, pick) in enumerate(zip(route.points, chosen, strict=True))
        if choices.shifts_m[pick] != 0
    }
    return moved_points(FixKind.SPACE_OUT, route, moved)


def _choices(line: RoadLine, route: Route) -> _Choices:
    shifts = np.arange(-MOST_SHIFT_M, MOST_SHIFT_M + STEP_M / 2, STEP_M)
    along = line.stands_m[:, None] + shifts[None, :]
    latitudes, longitudes = line.places_at(along)
    middle = len(shifts) // 2
    # Whoever is not shifted stays exactly where it stands, also beside the road.
    latitudes[:, middle] = [point.place.latitude for point in route.points]
    longitudes[:, middle] = [point.place.longitude for point in route.points]
    north_m, east_m = _metres_a_degree(float(latitudes[:, middle].mean()), float(longitudes[0, middle]))
    off_line = (along < 0) | (along > line.length_m)
    off_line[:, middle] = False
    return _Choices(
        shifts_m=np.round(shifts, 6),
        along_m=np.where(off_line, np.nan, along),
        latitudes=latitudes,
        longitudes=longitudes,
        x_m=(longitudes - longitudes[0, middle]) * east_m,
        y_m=(latitudes - latitudes[0, middle]) * north_m,
    )


def _metres_a_degree(latitude: float, longitude: float) -> tuple[float, float]:
    """Return the metres of a degree to the north and to the east there, from the geodesic over a small piece."""
    piece = 0.005
    north_m = geodesic_metres((latitude - piece, longitude), (latitude + piece, longitude))
    east_m = geodesic_metres((latitude, longitude - piece), (latitude, longitude + piece))
    return north_m / (2 * piece), east_m / (2 * piece)


def _own_costs(choices: _Choices, wanted: _Wanted) -> FloatArray:
    """Return what each choice costs by itself, shape (points, choices); inf off the line."""
    shifted = np.abs(choices.shifts_m)
    costs = np.tile(shifted + ANOTHER_POINT_M * (shifted > 0), (len(choices.along_m), 1))
    middle = len(shifted) // 2
    for row in range(len(costs)):
        others = np.delete(np.arange(len(costs)), [one for one in (row - 1, row, row + 1) if 0 <= one < len(costs)])
        x_apart = choices.x_m[row][:, None] - choices.x_m[others, middle][None, :]
        y_apart = choices.y_m[row][:, None] - choices.y_m[others, middle][None, :]
        costs[row] += _BROKEN * (np.hypot(x_apart, y_apart) < wanted.circles + _GUARD_M).sum(axis=1)
    costs[np.isnan(choices.along_m)] = np.inf
    return costs


def _cheapest_chain(choices: _Choices, wanted: _Wanted, own: FloatArray) -> list[int]:
    """Return the choice of each point that together cost least."""
    least, came_from = own[0], []
    for row in range(1, len(own)):
        through = least[:, None] + _pair_costs(choices, wanted, row - 1)
        came_from.append(np.argmin(through, axis=0))
        least = through.min(axis=0) + own[row]
    picks = [int(np.argmin(least))]
    for before in reversed(came_from):
        picks.append(int(before[picks[-1]]))
    return picks[::-1]


def _pair_costs(choices: _Choices, wanted: _Wanted, row: int) -> FloatArray:
    """Return what each pair of choices of two neighbours costs, shape (choices, choices)."""
    straight = np.hypot(
        choices.x_m[row][:, None] - choices.x_m[row + 1][None, :],
        choices.y_m[row][:, None] - choices.y_m[row + 1][None, :],
    )
    along = choices.along_m[row + 1][None, :] - choices.along_m[row][:, None]
    too_near = (straight < _guarded(wanted.straight_least)) | (along < _guarded(wanted.road_least))
    too_far = (straight > wanted.straight_most - _GUARD_M) | (along > wanted.road_most - _GUARD_M)
    stay = np.abs(choices.shifts_m) < STEP_M / 2
    unguarded = stay[:, None] & stay[None, :] & _as_it_is(straight, along, wanted)
    costs = np.where((too_near | too_far) & ~unguarded, _BROKEN, 0.0)
    costs[~(along > 0)] = np.inf  # points keep their order; off the line is no place
    return costs


def _as_it_is(straight: FloatArray, along: FloatArray, wanted: _Wanted) -> BoolArray:
    """Whether a pair stands rightly without any guard: two that stay need none."""
    return np.asarray(
        (straight >= wanted.straight_least)
        & (straight <= wanted.straight_most)
        & (along >= wanted.road_least)
        & (along <= wanted.road_most),
        dtype=np.bool_,
    )


def _guarded(least_m: float) -> float:
    return least_m + _GUARD_M if least_m else 0.0
