"""The posted limit, as mappers write it."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

from planner.travel.speeds import SpeedTable

_NUMBER = re.compile(r"(\d+(?:\.\d+)?)\s*(km/h|kmh|kph|kmph|mph|mp/h|knots)?")
_ZONE = re.compile(r"[a-z]{2}(?:-[a-z0-9]{1,3})?:(?:zone:?)?([a-z0-9_.:-]+)")
"""A country by its ISO 3166 code, or a part of one (``BE-VLG``), and its zone."""
_ZONE_KEYS = ("maxspeed:type", "source:maxspeed", "zone:maxspeed")
LIMIT_KEYS = ("maxspeed", "maxspeed:forward", "maxspeed:backward", *_ZONE_KEYS)
"""Every key that ``limit_kmh`` looks at."""
_KMH = {"mph": 1.609344, "mp/h": 1.609344, "knots": 1.852}
"""km/h for one unit: international mile and nautical mile, exact by definition."""


_LEAST_KMH = 1.0
"""A limit below that is a slip, and would make a drive of days of a mile: our choice, no published source."""


def limit_kmh(tags: Mapping[str, str], direction: str, speeds: SpeedTable) -> float | None:
    """Return the posted limit in one direction.

    ``maxspeed:forward`` or ``maxspeed:backward`` comes before ``maxspeed``, and that before the zone in
    ``maxspeed:type``, ``source:maxspeed`` or ``zone:maxspeed``. Of several limits (``50;60``) the lowest counts.
    Limits that hold at some hours or in some weather (``maxspeed:conditional``, ``maxspeed:variable``), and those for
    lorries, are not looked at. Sources: the OpenStreetMap wiki, Key:maxspeed, Key:maxspeed:type,
    Key:source:maxspeed, Key:zone:maxspeed.

    Args:
        tags: tags of the way.
        direction: ``forward`` or ``backward``.
        speeds: gives the limits of zones and walking pace.

    Returns:
        km/h; ``inf`` for ``none`` (no limit by sign); None where nothing usable is said.
    """
    for key in (f"maxspeed:{direction}", "maxspeed", *_ZONE_KEYS):
        limits = [_one_limit(part.strip().lower(), speeds) for part in re.split(r"[;|]", tags.get(key, ""))]
        known = [limit for limit in limits if limit is not None]
        if known:
            return min(known)
    return None


def _one_limit(text: str, speeds: SpeedTable) -> float | None:
    if text == "none":
        return math.inf
    if text == "walk":
        return speeds.walk_kmh
    if text in speeds.zones:
        return speeds.zones[text]
    zone = _ZONE.fullmatch(text)
    if zone:
        name = zone.group(1)
        return speeds.zones[name] if name in speeds.zones else _number(name)
    return _number(text)


def _number(text: str) -> float | None:
    found = _NUMBER.fullmatch(text)
    if not found:
        return None
    limit = float(found.group(1)) * _KMH.get(found.group(2), 1.0)
    return limit if limit >= _LEAST_KMH else None
