"""What else is to be known of a road: where nobody should stop, and where it may turn out to be shut."""

from __future__ import annotations

from collections.abc import Mapping
from enum import IntFlag


class RoadFlag(IntFlag):
    """What else is to be known of an edge; bits of ``RoadArrays.flags``."""

    BRIDGE = 1
    TUNNEL = 2
    MOTORROAD = 4
    """A motorway, or a road where the same rules hold."""
    NO_STOPPING = 8
    """Stopping or parking is tagged as forbidden on both sides."""
    SEASONAL = 16
    """Its opening hangs on the season, the hour or another condition that is not looked at."""


FLAG_KEYS = (
    *("bridge", "tunnel", "motorroad", "seasonal", "snowplowing", "winter_service", "flood_prone", "opening_hours"),
    *("access:conditional", "vehicle:conditional", "motor_vehicle:conditional", "motorcar:conditional"),
    *("oneway:conditional", "parking:both", "parking:left", "parking:right", "parking:lane:both"),
    *("parking:lane:left", "parking:lane:right", "parking:both:restriction", "parking:left:restriction"),
    *("parking:right:restriction", "parking:condition:both", "parking:condition:left", "parking:condition:right"),
)
"""Every key that ``road_flags`` looks at, beside ``highway``."""

_FORBIDDEN = frozenset({"no_stopping", "no_parking", "no_standing"})
_OPENING = (
    *("access:conditional", "vehicle:conditional", "motor_vehicle:conditional", "motorcar:conditional"),
    *("oneway:conditional", "opening_hours"),
)
_UNSWEPT = ("snowplowing", "winter_service")


def road_flags(tags: Mapping[str, str]) -> RoadFlag:
    """Return what a way's tags say beside its speed and its opening.

    A restriction by hour or season (``access:conditional``, ``opening_hours``) is not looked at: the road is open
    or closed as its plain tags say, and flagged. So is a road tagged as seasonal or flood-prone, and one that is
    not cleared of snow: it is driven, and a person must ask before the survey. Roads that are there only while it
    freezes are closed (see ``open_directions``). Sources: the OpenStreetMap wiki, Key:seasonal, Key:snowplowing,
    Key:flood_prone, Conditional restrictions, Key:motorroad, Street parking (both of its schemes).
    """
    flags = RoadFlag(0)
    if tags.get("bridge", "no") != "no":
        flags |= RoadFlag.BRIDGE
    if tags.get("tunnel", "no") != "no":
        flags |= RoadFlag.TUNNEL
    if tags.get("motorroad") == "yes" or tags.get("highway") in {"motorway", "motorway_link"}:
        flags |= RoadFlag.MOTORROAD
    if _no_stopping(tags):
        flags |= RoadFlag.NO_STOPPING
    if _may_be_shut(tags):
        flags |= RoadFlag.SEASONAL
    return flags


def _may_be_shut(tags: Mapping[str, str]) -> bool:
    return (
        any(key in tags for key in _OPENING)
        or tags.get("seasonal", "no") != "no"
        or tags.get("flood_prone", "no") != "no"
        or any(tags.get(key) == "no" for key in _UNSWEPT)
    )


def _no_stopping(tags: Mapping[str, str]) -> bool:
    """Return whether nobody may stop on either side; where one side is free, a volunteer can stand there."""
    return _forbidden(tags, "both") or (_forbidden(tags, "left") and _forbidden(tags, "right"))


def _forbidden(tags: Mapping[str, str], side: str) -> bool:
    keys = (f"parking:{side}", f"parking:{side}:restriction", f"parking:lane:{side}", f"parking:condition:{side}")
    return any(tags.get(key) in _FORBIDDEN for key in keys)
