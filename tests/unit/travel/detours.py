"""Random pairs of places on a road network: how far apart, and how many minutes by road and by the estimate."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from planner.domain.travel import ESTIMATE_BAND
from planner.travel import LatLon, RoadNetwork, estimate_minutes, geodesic_metres, geodesic_table_metres

Floats = npt.NDArray[np.float64]

NEAREST_KM = 0.2
"""Pairs nearer than this are not judged: nobody drives from one to the other."""
CLASSES_KM = (NEAREST_KM, 0.5, 1.0, 2.0, 5.0, 10.0, 30.0)
"""Borders of the classes of distance, as the crow flies."""


@dataclass(frozen=True, slots=True)
class Pairs:
    """Ordered pairs that a road joins, one entry each."""

    crow_km: Floats
    road_minutes: Floats
    estimated_minutes: Floats

    @property
    def in_band(self) -> npt.NDArray[np.bool_]:
        """Whether the minutes by road lie in the band that is said of an estimate."""
        least = ESTIMATE_BAND.least_share * self.estimated_minutes
        most = ESTIMATE_BAND.most_share * self.estimated_minutes + ESTIMATE_BAND.most_more_minutes
        return np.asarray((self.road_minutes >= least) & (self.road_minutes <= most), dtype=np.bool_)

    def between(self, least_km: float, most_km: float) -> Pairs:
        """Return the pairs of one class of distance."""
        kept = (self.crow_km >= least_km) & (self.crow_km < most_km)
        return Pairs(self.crow_km[kept], self.road_minutes[kept], self.estimated_minutes[kept])

    def __len__(self) -> int:
        return len(self.crow_km)

    @property
    def ratios(self) -> Floats:
        """Minutes by road for each minute of the estimate."""
        return np.asarray(self.road_minutes / self.estimated_minutes, dtype=np.float64)


def random_places(network: RoadNetwork, count: int, seed: int) -> Floats:
    """Return about so many places on roads of the largest part, even over the length of the roads, shape (n, 2)."""
    roads, dice = network.roads, np.random.default_rng(seed)
    edges = dice.choice(roads.edge_count, 2 * count, p=roads.metres / roads.metres.sum())
    corners = [dice.integers(roads.geometry_starts[edge], roads.geometry_starts[edge + 1] - 1) for edge in edges]
    along = dice.random(len(edges))
    places = np.column_stack(
        [
            values[corners] + along * (values[np.array(corners) + 1] - values[corners])
            for values in (roads.geometry_latitudes, roads.geometry_longitudes)
        ]
    )
    # Motorways are snapped to the next road, which is then some way off.
    good = [snap.on_main and snap.distance_m < 1.0 for snap in network.snap(places)]
    return np.asarray(places[good][:count], dtype=np.float64)


def all_pairs(network: RoadNetwork, count: int, seed: int) -> Pairs:
    """Return every ordered pair of about so many random places that lie ``NEAREST_KM`` apart or more."""
    places = random_places(network, count, seed)
    crow_km = geodesic_table_metres(places, places) / 1000.0
    minutes = network.minutes(places, places)
    kept = (crow_km >= NEAREST_KM) & np.isfinite(minutes)
    return Pairs(crow_km[kept], minutes[kept], estimate_minutes(places, places)[kept])


def route_ratios(network: RoadNetwork, routes: int, seed: int, spacing_km: float = 0.8) -> Floats:
    """Return minutes by road for each minute of the estimate, for the legs of whole routes together.

    A route is laid along the quickest way between two random places, a point each ``spacing_km`` of road, three
    legs or more: as points of a survey stand.
    """
    ratios = []
    for start, end in pairwise(random_places(network, routes, seed).tolist()):
        points = points_along(network.path(tuple(start), tuple(end)), spacing_km * 1000.0)
        if len(points) > 3:
            road, estimated = network.minutes(points, points), estimate_minutes(points, points)
            ratios.append(np.diagonal(road, 1).sum() / np.diagonal(estimated, 1).sum())
    return np.array([ratio for ratio in ratios if np.isfinite(ratio)])


def points_along(line: tuple[LatLon, ...], metres: float) -> list[LatLon]:
    """Return places on a way, so many metres of road apart or a little more."""
    return list(_every(line, metres))


def _every(line: tuple[LatLon, ...], metres: float) -> Iterator[LatLon]:
    """Yield the corners of a line at which so many metres more have been driven; the first is the start."""
    left = 0.0
    for here, there in pairwise(line):
        if left <= 0.0:
            yield here
            left += metres
        left -= geodesic_metres(here, there)
