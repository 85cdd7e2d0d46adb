"""A place on the ground, and the metres between two of them as needed by simple rules."""

from __future__ import annotations

import math
from dataclasses import dataclass

from planner.domain.errors import RuleError

MEAN_EARTH_RADIUS_M = 6_371_008.8
"""Mean radius of the GRS80 ellipsoid (2a + b) / 3; Moritz, Geodetic Reference System 1980."""


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A position in decimal degrees, WGS84; north and east positive."""

    latitude: float
    longitude: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.latitude) and -90.0 <= self.latitude <= 90.0):
            raise RuleError(f"latitude must lie between -90 and 90 degrees, found {self.latitude}")
        if not (math.isfinite(self.longitude) and -180.0 <= self.longitude <= 180.0):
            raise RuleError(f"longitude must lie between -180 and 180 degrees, found {self.longitude}")

    def __str__(self) -> str:
        """Decimal degrees to about a metre, as a navigator takes them."""
        return f"{self.latitude:.5f}, {self.longitude:.5f}"


def sphere_metres(a: Place, b: Place) -> float:
    """Return the great-circle distance in metres on a sphere (haversine), within 0.6 % of the ellipsoid.

    Good enough to order and to warn; figures shown or judged against a protocol use the geodesic in
    ``planner.travel``.
    """
    phi_a, phi_b = math.radians(a.latitude), math.radians(b.latitude)
    half_dphi = (phi_b - phi_a) / 2
    half_dlon = math.radians(b.longitude - a.longitude) / 2
    h = math.sin(half_dphi) ** 2 + math.cos(phi_a) * math.cos(phi_b) * math.sin(half_dlon) ** 2
    return 2 * MEAN_EARTH_RADIUS_M * math.asin(min(1.0, math.sqrt(h)))
