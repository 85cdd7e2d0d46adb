"""The fields beside the name that say of which route a point is: extended data of KML, properties of GeoJSON."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from planner.exchange.table_files.layouts import plain_name

_MEANINGS: Mapping[str, str] = {
    "route": "route",
    "area": "area",
    "routecode": "route",
    "transect": "route",
    "point": "point",
    "pointnumber": "point",
    "number": "point",
    "stop": "point",
    "stopno": "point",
    "stopnumber": "point",
    "name": "name",
    "title": "name",
    "note": "note",
    "notes": "note",
    "description": "note",
    "desc": "note",
    "remark": "note",
    "remarks": "note",
    "comment": "note",
    "comments": "note",
}
"""What fields hold, by their plain names: those of the tables first, then what other programs call the same."""
_MOST_FIELDS = 40


@dataclass(frozen=True, slots=True)
class PointFields:
    """What the fields of one point or line say; empty where they say nothing."""

    route: str = ""
    point: str = ""
    name: str = ""
    note: str = ""
    area: str = ""
    """The part of the survey; of a route alone, and never a figure: many programs write how large something is."""


def point_fields(fields: Mapping[str, str], used: dict[str, str]) -> PointFields:
    """Return what fields say.

    Args:
        fields: texts by the name of the field; where two mean the same, the first that is not empty counts.
        used: gathers each name and what it was taken for, empty where it is not used.
    """
    found: dict[str, str] = {}
    for key, text in fields.items():
        meaning = _MEANINGS.get(plain_name(key), "")
        if meaning == "area" and text[:1].isdecimal():
            meaning = ""
        if key in used or len(used) < _MOST_FIELDS:
            used[key] = meaning
        if meaning and text:
            found.setdefault(meaning, text)
    return PointFields(**found)
