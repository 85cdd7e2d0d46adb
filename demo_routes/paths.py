"""Strings of points along the roads: where they can run, and how long a visit to them takes."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

import numpy as np
from island import XY, cosine, metres_between, towards
from roads import Network, Road, road_of, spot_of
from shapely import LineString

SPEED_KMH = {"primary": 65.0, "secondary": 55.0, "unclassified": 40.0, "residential": 25.0, "track": 20.0}
"""Plain speeds for laying out the demo; what the planner assumes is its own affair."""
CAUTION = 1.2
STOP_MINUTES = 1.0
APART_M = 822.0
"""Least distance of two points of a route: 805 m (half a mile) and room for the flat scale's error."""
LEGS_M = (900, 1130)
"""Shortest and longest leg along the road."""
SHARPEST_COSINE = -0.17
"""A route turns by at most about 100 degrees at a junction."""

Spacing = Callable[[int], Sequence[float]]
"""From the number of a leg (1 is from point 1 to 2) to the lengths in metres to try, best first."""


@dataclass(frozen=True, slots=True)
class Path:
    """A way through the network, its line, and the plain minutes from its start to every vertex."""

    junctions: tuple[int, ...]
    line: LineString
    along_m: tuple[float, ...]
    minutes: tuple[float, ...]

    def spot(self, along_m: float) -> XY:
        """Return the spot at a distance along the path."""
        point = self.line.interpolate(along_m)
        return point.x, point.y

    def minutes_at(self, along_m: float) -> float:
        """Return the plain driving minutes from the start to a distance along the path."""
        return float(np.interp(along_m, self.along_m, self.minutes))


@dataclass(frozen=True, slots=True)
class Candidate:
    """A path with points strung along it."""

    path: Path
    stops_m: tuple[float, ...]

    @property
    def points(self) -> tuple[XY, ...]:
        """The points, in order."""
        return tuple(self.path.spot(stop) for stop in self.stops_m)

    def visit_minutes(self, count_minutes: float) -> float:
        """Return the minutes from the first count's start to the last one's end, by cautious driving."""
        legs = len(self.stops_m) - 1
        drive = self.path.minutes_at(self.stops_m[-1]) - self.path.minutes_at(self.stops_m[0])
        return count_minutes * len(self.stops_m) + STOP_MINUTES * legs + CAUTION * drive


def path_through(network: Network[int], junctions: Sequence[int]) -> Path:
    """Return the path that visits neighbouring junctions in order."""
    line: list[XY] = [spot_of(network, junctions[0])]
    along, minutes = [0.0], [0.0]
    for a, b in pairwise(junctions):
        road = road_of(network, a, b)
        for spot in leaving(road, a)[1:]:
            step_m = metres_between(line[-1], spot)
            line.append(spot)
            along.append(along[-1] + step_m)
            minutes.append(minutes[-1] + step_m * 0.06 / SPEED_KMH[road.kind])
    return Path(tuple(junctions), LineString(line), tuple(along), tuple(minutes))


def leaving(road: Road, junction: int) -> tuple[XY, ...]:
    """Return a road's line as seen from one of its ends."""
    return road.line if road.start == junction else road.line[::-1]


def wander(network: Network[int], start: int, length_m: float, allowed: frozenset[str]) -> Iterator[tuple[int, ...]]:
    """Yield the smooth, never returning ways of at least a length from a junction, over allowed roads."""
    stack: list[tuple[tuple[int, ...], float]] = [((start,), 0.0)]
    while stack:
        way, done_m = stack.pop()
        if done_m >= length_m:
            yield way
            continue
        for other in network.neighbors(way[-1]):
            road = road_of(network, way[-1], other)
            if other in way or road.kind not in allowed or road.settlement:
                continue
            if len(way) > 1 and _turn(network, way[-2], way[-1], other) < SHARPEST_COSINE:
                continue
            stack.append(((*way, other), done_m + LineString(road.line).length))


def _turn(network: Network[int], before: int, junction: int, after: int) -> float:
    """Return the cosine of the turn at a junction: 1 is straight on."""
    arriving = leaving(road_of(network, before, junction), junction)
    departing = leaving(road_of(network, junction, after), junction)
    return cosine(towards(arriving[1], arriving[0]), towards(departing[0], departing[1]))


def usual_spacing(seed: str) -> Spacing:
    """Return legs of about a kilometre, a different first wish for each leg."""
    wish = random.Random(f"{seed} legs")
    wishes = [wish.randrange(930, 1070, 10) for _ in range(16)]

    return lambda leg: _nearest_first(wishes[leg])


@cache
def _nearest_first(wish: int) -> tuple[float, ...]:
    """Return all lengths of a leg in metres, those nearest to the one wished for first."""
    tries = [float(length) for length in range(LEGS_M[0], LEGS_M[1] + 1, 10)]
    return tuple(sorted(tries, key=lambda length: (abs(length - wish), length)))


def string_points(
    path: Path, count: int, spacing: Spacing, start_m: float, apart_m: float = APART_M
) -> Candidate | None:
    """String points along a path, each far enough from all before it; None if they do not fit."""
    stops, spots, last_m = [start_m], [path.spot(start_m)], path.line.length - 40
    for leg in range(1, count):
        for length_m in spacing(leg):
            stop = stops[-1] + length_m
            if stop > last_m:
                continue
            spot = path.spot(stop)
            if all(metres_between(spot, old) >= apart_m for old in spots):
                stops.append(stop)
                spots.append(spot)
                break
        else:
            return None
    return Candidate(path, tuple(stops))
