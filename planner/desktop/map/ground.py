"""From degrees to metres of the map and back."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from planner.domain.geo import MEAN_EARTH_RADIUS_M, Place

Floats: TypeAlias = NDArray[np.float64]
Ints: TypeAlias = NDArray[np.int64]
Flags: TypeAlias = NDArray[np.bool_]

EQUATORIAL_RADIUS_M = 6_378_137.0
ECCENTRICITY_SQUARED = 0.006_694_379_990_14
"""Of the WGS84 ellipsoid (NIMA TR8350.2)."""
MOST_LATITUDE = 89.0
"""Beyond it nothing is surveyed, and Mercator's map has no end."""


@dataclass(frozen=True, slots=True)
class Ground:
    """Mercator's map about a middle, in metres east and south of it.

    Shapes are true everywhere, lengths along the middle's latitude; ``stretch`` says by how much elsewhere, so circles
    and scale bars are drawn in true metres. Longitudes are counted from the middle, so a season may lie across 180°.
    """

    middle: Place

    @classmethod
    def about(cls, places: Sequence[Place]) -> Ground:
        """Return the ground whose middle is that of the places; there must be at least one."""
        first = places[0]
        turns = [(place.longitude - first.longitude + 180.0) % 360.0 - 180.0 for place in places]
        latitudes = [place.latitude for place in places]
        longitude = first.longitude + (min(turns) + max(turns)) / 2
        return cls(Place((min(latitudes) + max(latitudes)) / 2, (longitude + 180.0) % 360.0 - 180.0))

    def metres(self, latitudes: Floats, longitudes: Floats) -> tuple[Floats, Floats]:
        """Return metres east and south of the middle."""
        turns = (longitudes - self.middle.longitude + 180.0) % 360.0 - 180.0
        phi = np.radians(np.clip(latitudes, -MOST_LATITUDE, MOST_LATITUDE))
        north = np.arcsinh(np.tan(phi)) - self._middle_north
        return self._unit_m * np.radians(turns), -self._unit_m * north

    def spot(self, place: Place) -> tuple[float, float]:
        """Return metres east and south of the middle for one place."""
        east, south = self.metres(np.array([place.latitude]), np.array([place.longitude]))
        return float(east[0]), float(south[0])

    def spots(self, places: Sequence[Place]) -> tuple[Floats, Floats]:
        """Return metres east and south of the middle for each place."""
        return self.metres(
            np.array([place.latitude for place in places], dtype=np.float64),
            np.array([place.longitude for place in places], dtype=np.float64),
        )

    def place(self, east: float, south: float) -> Place:
        """Return the place that lies there; beyond the map's ends the nearest on it."""
        latitude = math.degrees(math.atan(math.sinh(min(max(self._middle_north - south / self._unit_m, -12.0), 12.0))))
        turned = self.middle.longitude + math.degrees(east / self._unit_m)
        return Place(min(max(latitude, -MOST_LATITUDE), MOST_LATITUDE), (turned + 180.0) % 360.0 - 180.0)

    def latitude(self, south: Floats) -> Floats:
        """Return the latitudes of metres south of the middle."""
        return np.degrees(np.arctan(np.sinh(self._middle_north - south / self._unit_m)))

    def stretch(self, latitudes: Floats) -> tuple[Floats, Floats]:
        """Return how many metres of the map a true metre is, eastwards and southwards, on the WGS84 ellipsoid."""
        phi = np.radians(latitudes)
        flat = 1.0 - ECCENTRICITY_SQUARED * np.sin(phi) ** 2
        across = EQUATORIAL_RADIUS_M / np.sqrt(flat)
        along = EQUATORIAL_RADIUS_M * (1.0 - ECCENTRICITY_SQUARED) / flat**1.5
        unit = self._unit_m / np.cos(phi)
        return unit / across, unit / along

    @property
    def _unit_m(self) -> float:
        return MEAN_EARTH_RADIUS_M * math.cos(math.radians(self.middle.latitude))

    @property
    def _middle_north(self) -> float:
        return math.asinh(math.tan(math.radians(self.middle.latitude)))
