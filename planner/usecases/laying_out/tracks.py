"""The line of a file that points are laid out along."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from planner.domain.errors import Fault, InputError
from planner.domain.geo import sphere_metres
from planner.exchange import Track, read_tracks
from planner.exchange.map_files.map_importers import MAP_IMPORTERS
from planner.usecases.laying_out.request import AlongLine

LINE_ENDINGS = tuple(ending for importer in MAP_IMPORTERS for ending in importer.endings)
"""What the names of files end in that may hold a line."""


@dataclass(frozen=True, slots=True)
class FoundLine:
    """A line of a file, for a person to choose it by."""

    name: str
    """May be empty."""
    length_m: float
    along: AlongLine


def lines_of(path: Path) -> tuple[FoundLine, ...]:
    """Return the lines of a GPX, KML, KMZ or GeoJSON file, the longest first.

    Raises:
        InputError: the file cannot be read, or has no line.
    """
    found = [FoundLine(track.name, _metres(track), AlongLine(track.places)) for track in read_tracks(path)]
    return tuple(sorted(found, key=lambda line: -line.length_m))


def track_line(path: Path, name: str = "") -> AlongLine:
    """Return the line of a GPX, KML, KMZ or GeoJSON file: the one of that name; empty: the longest.

    Raises:
        InputError: the file cannot be read, has no line, or none of that name.
    """
    tracks = read_tracks(path)
    chosen = [track for track in tracks if track.name.casefold() == name.casefold().strip()] if name else tracks
    if not chosen:
        names = ", ".join(repr(track.name) for track in tracks[:12] if track.name) or "lines without a name"
        raise InputError(Fault(str(path), "", f"a track named {name!r}", names, "Name one of those, or leave it out."))
    return AlongLine(max(chosen, key=_metres).places)


def _metres(track: Track) -> float:
    return sum(sphere_metres(here, there) for here, there in pairwise(track.places))
