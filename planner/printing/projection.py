"""From degrees to millimetres on the sheet."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from planner.domain.geo import MEAN_EARTH_RADIUS_M, Place
from planner.printing.geometry import Box, Spot

LEAST_SPAN_M = 600.0
"""A single point is shown with at least this much ground."""


@dataclass(frozen=True, slots=True)
class Projection:
    """Local equirectangular: true to scale along the middle latitude, within 0.1 % over a route's few kilometres."""

    middle: Place
    mm_per_m: float
    centre: Spot

    def metres(self, place: Place) -> tuple[float, float]:
        """Return metres east and north of the middle."""
        east = (place.longitude - self.middle.longitude + 180.0) % 360.0 - 180.0
        shrink = math.cos(math.radians(self.middle.latitude))
        north = place.latitude - self.middle.latitude
        return MEAN_EARTH_RADIUS_M * math.radians(east) * shrink, MEAN_EARTH_RADIUS_M * math.radians(north)

    def spot(self, place: Place) -> Spot:
        """Return where a place lies on the sheet."""
        east, north = self.metres(place)
        return self.centre[0] + east * self.mm_per_m, self.centre[1] - north * self.mm_per_m


@dataclass(frozen=True, slots=True)
class Ground:
    """The middle of some places, and how far they reach."""

    middle: Place
    wide_m: float
    high_m: float


def ground_of(places: Sequence[Place]) -> Ground:
    """Return the ground that the places span; there must be at least one."""
    first = places[0]
    seen = [Projection(first, 1.0, (0.0, 0.0)).metres(place) for place in places]
    east, west = max(x for x, _ in seen), min(x for x, _ in seen)
    north, south = max(y for _, y in seen), min(y for _, y in seen)
    latitude = first.latitude + math.degrees((north + south) / 2 / MEAN_EARTH_RADIUS_M)
    shrink = math.cos(math.radians(first.latitude))
    longitude = first.longitude + math.degrees((east + west) / 2 / (MEAN_EARTH_RADIUS_M * shrink))
    return Ground(Place(latitude, (longitude + 180.0) % 360.0 - 180.0), east - west, north - south)


def fitted(places: Sequence[Place], around_m: float, frame: Box, inset: float) -> Projection:
    """Return the projection that shows all places, and the ground around them, as large as the frame allows.

    Args:
        places: what must be seen; at least one.
        around_m: metres of ground round each that must be seen too.
        frame: the map's box on the sheet.
        inset: millimetres kept free inside the frame.
    """
    ground = ground_of(places)
    wide = max(ground.wide_m + 2 * around_m, LEAST_SPAN_M)
    high = max(ground.high_m + 2 * around_m, LEAST_SPAN_M)
    scale = min((frame.width - 2 * inset) / wide, (frame.height - 2 * inset) / high)
    return Projection(ground.middle, scale, frame.centre)


def round_length_m(most_m: float) -> float:
    """Return the longest 1, 2 or 5 times a power of ten that is not above ``most_m``."""
    power = 10.0 ** math.floor(math.log10(most_m))
    # The half serves where the logarithm of a number just below a power of ten is rounded up to it.
    return next(step * power for step in (5.0, 2.0, 1.0, 0.5) if step * power <= most_m)
