"""Small invented road maps, written as OpenStreetMap XML."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from xml.sax.saxutils import quoteattr

Tags = Mapping[str, str]
Node = tuple[float, float] | tuple[float, float, Tags]
Way = tuple[Sequence[int], Tags]

RESIDENTIAL = {"highway": "residential"}


def osm_text(nodes: Mapping[int, Node], ways: Sequence[Way]) -> str:
    """Return the XML of a map: nodes by id as (latitude, longitude[, tags]), ways as (node ids, tags)."""
    lines = ["<?xml version='1.0' encoding='UTF-8'?>", '<osm version="0.6" generator="test">']
    for number, (latitude, longitude, *tags) in nodes.items():
        inside = _tags(tags[0]) if tags else ""
        lines.append(f'<node id="{number}" lat="{latitude!r}" lon="{longitude!r}">{inside}</node>')
    for number, (refs, tags_of_way) in enumerate(ways, start=1):
        inside = "".join(f'<nd ref="{ref}"/>' for ref in refs)
        lines.append(f'<way id="{number}">{inside}{_tags(tags_of_way)}</way>')
    lines.append("</osm>")
    return "\n".join(lines)


def write_osm(path: Path, nodes: Mapping[int, Node], ways: Sequence[Way]) -> Path:
    """Write a map and return where."""
    path.write_text(osm_text(nodes, ways), encoding="utf-8")
    return path


def _tags(tags: Tags) -> str:
    return "".join(f"<tag k={quoteattr(key)} v={quoteattr(value)}/>" for key, value in tags.items())


def row(count: int, *, step_deg: float = 0.01, latitude: float = 50.0) -> dict[int, Node]:
    """Return nodes 1 to count on a parallel, from west to east."""
    return {number: (latitude, 10.0 + step_deg * (number - 1)) for number in range(1, count + 1)}
