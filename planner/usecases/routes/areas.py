"""Areas: routes that lie near each other, found from where their points are, so that a long list can be folded."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from planner.domain.geo import Place
from planner.domain.route import Route

FloatArray: TypeAlias = npt.NDArray[np.float64]

MOST_AREAS = 12
"""More areas than this are no shorter to read than the routes themselves."""

_KM_A_DEGREE = 111.2


@dataclass(frozen=True, slots=True)
class Area:
    """Routes that lie near each other."""

    name: str
    """Of the route that lies nearest to the middle: 'Round R03 Ling Down'."""
    routes: tuple[str, ...]
    """Codes, in the order given."""


def areas_of(routes: Sequence[Route]) -> tuple[Area, ...]:
    """Return the areas of a season, from north to south; routes without points come last.

    The rule: there are as many areas as the square root of the number of routes, at most twelve. The first centre is
    the northernmost route, each next one the route farthest from all centres so far. Then every route belongs to the
    nearest centre, every centre moves to the mean of its routes, and so on until nothing changes.

    Args:
        routes: of the season; the same routes in the same order give the same areas.
    """
    placed = [route for route in routes if route.points]
    areas = _grouped(placed) if placed else []
    unplaced = tuple(route.code for route in routes if not route.points)
    return (*areas, *([Area("Without points", unplaced)] if unplaced else []))


def middle_of(route: Route) -> Place:
    """Return the mean of a route's points."""
    count = len(route.points)
    return Place(
        sum(point.place.latitude for point in route.points) / count,
        sum(point.place.longitude for point in route.points) / count,
    )


def _grouped(routes: Sequence[Route]) -> list[Area]:
    at = _kilometres([middle_of(route) for route in routes])
    count = min(MOST_AREAS, max(1, round(math.sqrt(len(routes)))))
    belongs = _settled(at, _spread(at, count))
    groups = [np.flatnonzero(belongs == number) for number in range(count)]
    by_north = sorted(
        (group for group in groups if len(group)), key=lambda group: (-float(at[group, 1].mean()), group[0])
    )
    return [_area(routes, at, group) for group in by_north]


def _kilometres(places: Sequence[Place]) -> FloatArray:
    """Return places on a plane, in kilometres east and north: near enough to tell neighbours."""
    degrees = np.array([(place.longitude, place.latitude) for place in places], dtype=np.float64)
    east = (degrees[:, 0] - degrees[0, 0] + 180.0) % 360.0 - 180.0
    shrink = math.cos(math.radians(float(degrees[:, 1].mean())))
    return np.column_stack([east * shrink * _KM_A_DEGREE, degrees[:, 1] * _KM_A_DEGREE])


def _spread(at: FloatArray, count: int) -> FloatArray:
    """Return the first centres, as far from each other as can be."""
    chosen = [int(at[:, 1].argmax())]
    far = np.hypot(*(at - at[chosen[0]]).T)
    while len(chosen) < count:
        chosen.append(int(far.argmax()))
        far = np.minimum(far, np.hypot(*(at - at[chosen[-1]]).T))
    return at[chosen]


def _settled(at: FloatArray, centres: FloatArray) -> np.ndarray:
    """Return the number of the centre that each route belongs to once nothing changes any more."""
    seen: set[bytes] = set()
    belongs = _nearest(at, centres)
    while belongs.tobytes() not in seen:
        seen.add(belongs.tobytes())
        centres = np.array(
            [at[belongs == n].mean(axis=0) if (belongs == n).any() else centre for n, centre in enumerate(centres)]
        )
        belongs = _nearest(at, centres)
    return belongs


def _nearest(at: FloatArray, centres: FloatArray) -> np.ndarray:
    return np.asarray(np.hypot(*(at[:, None, :] - centres[None, :, :]).transpose(2, 0, 1)).argmin(axis=1))


def _area(routes: Sequence[Route], at: FloatArray, group: np.ndarray) -> Area:
    own = at[group]
    middle = int(group[np.hypot(*(own - own.mean(axis=0)).T).argmin()])
    return Area(f"Round {routes[middle].title}", tuple(routes[int(one)].code for one in group))
