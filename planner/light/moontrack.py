"""The moon for whole arrays of places and instants.

The ``ephem`` library gives the moon's geocentric place every six hours; between those, cubic interpolation
follows it to 0.00001 degrees, and the step from the centre of the globe to each observer is plain geometry.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from datetime import UTC, datetime

import ephem
import numpy as np
from numpy.typing import ArrayLike

from planner.light.sun import Floats

NODE_S = 6 * 3600.0
"""Seconds between the instants that ``ephem`` is asked for."""
ROWS_AT_ONCE = 32_768
"""Instants that are interpolated in one go, so that the work stays small in memory."""
EARTH_RADII_PER_AU = 149_597_870.7 / 6378.137
"""IAU 2012 astronomical unit over the equatorial radius of WGS84."""
FLATTENING = 1.0 / 298.257223563
"""Of the WGS84 ellipsoid."""


@dataclass(frozen=True, slots=True, eq=False)
class MoonTable:
    """The moon at many places and instants; both arrays have the common shape of what was asked."""

    altitudes_deg: Floats
    """Of the centre, topocentric, without refraction; NaN where the instant was NaN."""
    illuminated: Floats
    """Lit fraction of the disc, 0 to 1, from the centre of the globe as almanacs print it; NaN where the instant
    was NaN."""


def moon_table(latitudes: ArrayLike, longitudes: ArrayLike, instants_s: ArrayLike) -> MoonTable:
    """Return the moon at many places and instants; within 0.0001 degrees of ``moon_at``, and far quicker.

    Args:
        latitudes: degrees, north positive.
        longitudes: degrees, east positive.
        instants_s: Unix seconds; NaN gives NaN. The three are broadcast against each other.
    """
    north, east, instants = np.broadcast_arrays(
        np.asarray(latitudes, dtype=np.float64),
        np.asarray(longitudes, dtype=np.float64),
        np.asarray(instants_s, dtype=np.float64),
    )
    altitudes, illuminated = np.full(north.shape, np.nan), np.full(north.shape, np.nan)
    known = np.flatnonzero(np.isfinite(instants))
    for low in range(0, len(known), ROWS_AT_ONCE):
        rows = known[low : low + ROWS_AT_ONCE]
        greenwich_angle, declination, distance, lit = _geocentric(instants.flat[rows])
        hour_angle = greenwich_angle + np.radians(east.flat[rows])
        altitudes.flat[rows] = _topocentric_altitude_deg(
            np.radians(north.flat[rows]), hour_angle, declination, distance
        )
        illuminated.flat[rows] = lit
    return MoonTable(altitudes, illuminated)


def _topocentric_altitude_deg(latitude: Floats, hour_angle: Floats, declination: Floats, distance: Floats) -> Floats:
    """Move the moon's altitude from the centre of the globe to its surface; angles in radians, Earth radii."""
    sin_l, cos_l = np.sin(latitude), np.cos(latitude)
    squash = (1.0 - FLATTENING) ** 2
    normal = 1.0 / np.sqrt(cos_l**2 + squash * sin_l**2)
    x = distance * np.cos(declination) * np.cos(hour_angle) - normal * cos_l
    y = distance * np.cos(declination) * np.sin(hour_angle)
    z = distance * np.sin(declination) - squash * normal * sin_l
    return np.degrees(np.arcsin((x * cos_l + z * sin_l) / np.sqrt(x * x + y * y + z * z)))


def _geocentric(instants_s: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Interpolate Greenwich hour angle and declination (radians), distance (Earth radii) and lit fraction.

    Lagrange's cubic through the two nodes before and the two after each instant, shape (n,).
    """
    numbers = np.floor(instants_s / NODE_S).astype(np.int64)
    wanted, place = np.unique(numbers[:, None] + np.arange(-1, 3), return_inverse=True)
    nodes = np.array([_node(number * NODE_S) for number in wanted.tolist()])[place.reshape(-1, 4)]
    nodes[:, :, 0] = np.unwrap(nodes[:, :, 0] - _mean_turn(np.arange(4.0)), axis=1) + _mean_turn(np.arange(4.0))
    u = instants_s / NODE_S - numbers
    weights = np.stack(
        [
            -u * (u - 1.0) * (u - 2.0) / 6.0,
            (u + 1.0) * (u - 1.0) * (u - 2.0) / 2.0,
            -(u + 1.0) * u * (u - 2.0) / 2.0,
            (u + 1.0) * u * (u - 1.0) / 6.0,
        ],
        axis=1,
    )
    angle, declination, distance, lit = np.einsum("nk,nkv->vn", weights, nodes)
    return angle, declination, distance, lit


def _mean_turn(nodes: Floats) -> Floats:
    """Return the moon's mean hour angle gained over so many nodes, radians: 14.492 degrees an hour."""
    return np.radians(14.492 * nodes * NODE_S / 3600.0)


@functools.lru_cache(maxsize=4096)
def _node(instant_s: float) -> tuple[float, float, float, float]:
    """Ask ``ephem`` for the geocentric moon at Unix seconds; units of :func:`_geocentric`."""
    greenwich = ephem.Observer()
    greenwich.lat, greenwich.lon, greenwich.pressure = 0.0, 0.0, 0.0
    greenwich.date = datetime.fromtimestamp(instant_s, tz=UTC).replace(tzinfo=None)
    moon = ephem.Moon()
    moon.compute(greenwich.date)
    angle = float(greenwich.sidereal_time()) - float(moon.g_ra)
    return angle, float(moon.g_dec), float(moon.earth_distance) * EARTH_RADII_PER_AU, float(moon.phase) / 100.0
