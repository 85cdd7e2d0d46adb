"""Places given as UTM metres (Universal Transverse Mercator, on WGS84)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from planner.domain.geo import Place
from planner.exchange.coordinates import CoordinateError

if TYPE_CHECKING:
    from pyproj import Transformer

ZONE_EXPECTED = "a UTM zone with its hemisphere, such as 30N"
_ZONE = re.compile(r"(?:utm\s*)?(?:zone\s*)?(?P<number>[0-9]{1,2})\s*(?P<letter>north|south|[a-z])?", re.IGNORECASE)
_METRES = re.compile(
    r"(?P<figure>[0-9]{1,3}(?: [0-9]{3})+|[0-9]{1,8})(?:[.,](?P<rest>[0-9]{1,6}))?\s*m?\s*(?P<letter>[EN])?"
)
_BANDS = "CDEFGHJKLMNPQRSTUVWX"
"""Bands of 8 degrees from 80° S on, the last of 12; NGA.STND.0037, Universal Grids and Grid Reference Systems."""
_EASTINGS_M = (100_000, 900_000)
_MOST_NORTHING_M = 10_000_000
_GRIDS = "; other grids are not read: convert them to WGS84 degrees first"
_SLACK_DEG = 0.5
"""A place may lie that far outside the band that its zone names: bands are read off maps."""


@dataclass(frozen=True, slots=True)
class UtmZone:
    """One zone on one side of the equator."""

    number: int
    north: bool
    band: str = ""
    """Letter of the latitude band, where one was given that is no hemisphere."""

    def __str__(self) -> str:
        """As people write it: 30N."""
        return f"{self.number}{'N' if self.north else 'S'}"


class UnsureZoneError(CoordinateError):
    """A zone that could be on either side of the equator."""

    def __init__(self, number: int, found: str) -> None:
        self.number = number
        super().__init__(ZONE_EXPECTED, found)


def zone_of(text: str, *, hemisphere: bool = False) -> UtmZone:
    """Read a zone: 30N, '30 north', or 30U with the letter of a latitude band.

    Args:
        text: as it is written.
        hemisphere: the letter is that of the hemisphere for certain, so that 30S is south. In a file it may be the
            band S, which lies north of the equator.

    Raises:
        CoordinateError: it is no zone; as :class:`UnsureZoneError` where the hemisphere is not sure.
    """
    match = _ZONE.fullmatch(text.strip())
    number = int(match["number"]) if match else 0
    if match is None or not 1 <= number <= 60:
        raise CoordinateError(ZONE_EXPECTED, repr(text[:40]) if text.strip() else "nothing")
    letter = (match["letter"] or "").upper()
    if letter in {"NORTH", "SOUTH"} or letter == "N" or (letter == "S" and hemisphere):
        return UtmZone(number, letter[0] == "N")
    if letter in {"", "S"} or hemisphere:
        why = "a letter S that may be south or the band S, north of the equator" if letter else "no hemisphere"
        raise UnsureZoneError(number, f"{text.strip()!r}, with {why}")
    if letter not in _BANDS:
        raise CoordinateError(ZONE_EXPECTED, repr(text[:40]))
    return UtmZone(number, letter > "M", letter)


def zone_at(place: Place) -> UtmZone:
    """Return the zone that a place lies in by its longitude alone, which is what its neighbours are drawn in."""
    return UtmZone(min(60, int((place.longitude + 180) // 6) + 1), place.latitude >= 0)


def readings_near(easting: str, northing: str, near: Place) -> Iterator[tuple[UtmZone, Place]]:
    """Yield where UTM metres lie in the zones around a place, two on each side of its own, both sides of the equator.

    Args:
        easting: as it is written.
        northing: as it is written.
        near: a place not far away, which may lie some zones beside.
    """
    own = zone_at(near).number
    for zone in (UtmZone((own + step - 1) % 60 + 1, north) for step in range(-2, 3) for north in (True, False)):
        with suppress(CoordinateError):
            yield zone, utm_place(zone, easting, northing)


def utm_place(zone: UtmZone, easting_text: str, northing_text: str) -> Place:
    """Return the place of UTM metres, to a millimetre.

    Raises:
        CoordinateError: no metres, outside what a zone holds, or far outside the zone's band.
    """
    easting = _metres(easting_text, "E", f"an easting from 100000 to 900000 metres{_GRIDS}")
    northing = _metres(northing_text, "N", f"a northing from 0 to 10000000 metres{_GRIDS}")
    if not _EASTINGS_M[0] <= easting <= _EASTINGS_M[1]:
        raise CoordinateError(f"an easting from 100000 to 900000 metres{_GRIDS}", repr(easting_text))
    if northing > _MOST_NORTHING_M:
        raise CoordinateError(f"a northing from 0 to 10000000 metres{_GRIDS}", repr(northing_text))
    longitude, latitude = _transformer(zone.number, north=zone.north).transform(easting, northing)
    if not (-80.5 <= latitude <= 84.5 and abs(longitude) <= 180):
        raise CoordinateError("UTM metres between 80° S and 84° N", f"{easting_text}, {northing_text}")
    if zone.band and not _in_band(latitude, zone.band):
        raise CoordinateError(f"metres in the band {zone.band}", f"{easting_text}, {northing_text}, at {latitude:.2f}°")
    return Place(latitude, longitude)


def _in_band(latitude: float, band: str) -> bool:
    south = -80 + 8 * _BANDS.index(band)
    return south - _SLACK_DEG <= latitude <= south + (12 if band == "X" else 8) + _SLACK_DEG


def _metres(text: str, letter: str, expected: str) -> float:
    match = _METRES.fullmatch(text.strip().upper().replace("\u00a0", " ").replace("M", "m"))
    if match is None or (match["letter"] or letter) != letter:
        raise CoordinateError(expected, repr(text[:40]) if text.strip() else "nothing")
    return float(f"{match['figure'].replace(' ', '')}.{match['rest'] or '0'}")


@lru_cache(maxsize=120)
def _transformer(number: int, *, north: bool) -> Transformer:
    from pyproj import Transformer  # noqa: PLC0415 - takes 0.2 s, which only those pay who have UTM metres

    return Transformer.from_crs((32600 if north else 32700) + number, 4326, always_xy=True)
