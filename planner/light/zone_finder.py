"""The time zone of a place, found offline: by a map of zones, or roughly by the towns that zones are named for."""

from __future__ import annotations

import importlib.resources
import re
import threading
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from planner.domain.geo import Place

if TYPE_CHECKING:
    from timezonefinder import TimezoneFinder

_ROUGH = re.compile(r"([+-])(\d{2})(\d{2})(\d{2})?([+-])(\d{3})(\d{2})(\d{2})?")
_ONE_AT_A_TIME = threading.Lock()


class NoZonesError(ImportError):
    """The optional extra with the map of time zones is not installed."""


def zones_of(places: Sequence[Place]) -> tuple[str, ...]:
    """Return the IANA name of the time zone that each place lies in; empty on the open sea, where zones have no names.

    From the map of timezonefinder (polygons of OpenStreetMap, ODbL), which is right but for places within some hundred
    metres of a border.

    Raises:
        NoZonesError: the extra ``zones`` is not installed.
    """
    with _ONE_AT_A_TIME:  # the library's finders are not to be used by two threads at once
        finder = _finder()
        return tuple(finder.timezone_at_land(lat=place.latitude, lng=place.longitude) or "" for place in places)


@lru_cache(maxsize=1)
def _finder() -> TimezoneFinder:
    try:
        from timezonefinder import TimezoneFinder  # noqa: PLC0415 - an optional extra
    except ImportError as error:
        raise NoZonesError("the extra 'zones' is not installed") from error
    return TimezoneFinder(in_memory=True)


def zone_town(zone: str) -> Place | None:
    """Return where the town lies that a time zone is named for; None where the table has no such zone.

    From ``zone.tab`` of the IANA time zone database, which the package tzdata carries: to a minute of arc.
    """
    return _towns().get(zone)


@lru_cache(maxsize=1)
def _towns() -> Mapping[str, Place]:
    table = importlib.resources.files("tzdata.zoneinfo").joinpath("zone.tab").read_text(encoding="utf-8")
    rows = [line.split("\t") for line in table.splitlines() if not line.startswith("#")]
    return {row[2]: _town(row[1]) for row in rows if len(row) > 2}


def _town(text: str) -> Place:
    """Read ISO 6709: +DDMM+DDDMM, or with seconds."""
    match = _ROUGH.fullmatch(text)
    assert match is not None, f"zone.tab gives {text!r}"
    sign_a, deg_a, min_a, sec_a, sign_b, deg_b, min_b, sec_b = match.groups()
    latitude = int(deg_a) + int(min_a) / 60 + int(sec_a or 0) / 3600
    longitude = int(deg_b) + int(min_b) / 60 + int(sec_b or 0) / 3600
    return Place(latitude if sign_a == "+" else -latitude, longitude if sign_b == "+" else -longitude)
