"""The shape of an invented island: its coast, its hills, and the metres-to-degrees scale at its centre."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shapely import LineString, Polygon

XY = tuple[float, float]
"""Metres east and north of the island's centre."""

EQUATORIAL_RADIUS_M = 6_378_137.0
"""Semi-major axis of WGS84 (NIMA TR8350.2)."""
FLATTENING = 1 / 298.257223563
"""Flattening of WGS84 (NIMA TR8350.2)."""
COAST_STEPS = 180


@dataclass(frozen=True, slots=True)
class Lobe:
    """One harmonic of the coast: how many bulges round the island, how far out (share of the radius), turned how."""

    order: int
    size: float
    turn_deg: float


@dataclass(frozen=True, slots=True)
class Hill:
    """A rounded hill; positions and breadth in kilometres, height in metres."""

    x_km: float
    y_km: float
    height_m: float
    breadth_km: float


@dataclass(frozen=True, slots=True)
class Island:
    """An island that exists nowhere: a smooth coast about a centre in open sea, and smooth hills upon it."""

    name: str
    latitude: float
    longitude: float
    width_km: float
    height_km: float
    lobes: tuple[Lobe, ...]
    hills: tuple[Hill, ...]

    def coast(self) -> Polygon:
        """Return the coast as a polygon in metres, exactly as wide and high as the island says."""
        raw = [self._raw_shore(2 * math.pi * step / COAST_STEPS) for step in range(COAST_STEPS)]
        west, east = min(x for x, _ in raw), max(x for x, _ in raw)
        south, north = min(y for _, y in raw), max(y for _, y in raw)
        wide, high = 1000 * self.width_km / (east - west), 1000 * self.height_km / (north - south)
        return Polygon([((x - (west + east) / 2) * wide, (y - (south + north) / 2) * high) for x, y in raw])

    def _raw_shore(self, angle: float) -> XY:
        reach = 1 + sum(lobe.size * math.cos(lobe.order * angle + math.radians(lobe.turn_deg)) for lobe in self.lobes)
        return reach * self.width_km * math.cos(angle), reach * self.height_km * math.sin(angle)

    def height_m(self, spot: XY) -> float:
        """Return the height of the ground in metres above the sea."""
        x_km, y_km = spot[0] / 1000, spot[1] / 1000
        return sum(
            hill.height_m * math.exp(-((x_km - hill.x_km) ** 2 + (y_km - hill.y_km) ** 2) / (2 * hill.breadth_km**2))
            for hill in self.hills
        )

    def place(self, spot: XY) -> tuple[float, float]:
        """Return latitude and longitude in degrees (WGS84 radii of curvature at the centre).

        Over an island of 34 km the flat scale is wrong by at most 0.4 %; spacings keep more room than that.
        """
        squared = FLATTENING * (2 - FLATTENING)
        swell = 1 - squared * math.sin(math.radians(self.latitude)) ** 2
        meridian_m = EQUATORIAL_RADIUS_M * (1 - squared) / swell**1.5
        parallel_m = EQUATORIAL_RADIUS_M / math.sqrt(swell) * math.cos(math.radians(self.latitude))
        return (
            self.latitude + math.degrees(spot[1] / meridian_m),
            self.longitude + math.degrees(spot[0] / parallel_m),
        )


def metres_between(a: XY, b: XY) -> float:
    """Return the straight distance in metres."""
    return math.hypot(b[0] - a[0], b[1] - a[1])


def towards(a: XY, b: XY) -> XY:
    """Return the unit vector from ``a`` to ``b``."""
    length_m = metres_between(a, b)
    return (b[0] - a[0]) / length_m, (b[1] - a[1]) / length_m


def cosine(u: XY, v: XY) -> float:
    """Return the cosine of the angle between two unit vectors."""
    return u[0] * v[0] + u[1] * v[1]


def on_land(coast: Polygon, a: XY, b: XY) -> bool:
    """Say whether the straight way from ``a`` to ``b`` stays inside the coast."""
    return bool(coast.contains(LineString([a, b])))
