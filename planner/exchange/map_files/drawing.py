"""What a map file draws, whatever its format: points, strings of points, and lines."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path

from planner.domain.geo import Place
from planner.exchange.faults import CORRECT_OR_SWAP, FaultList, refused
from planner.exchange.reads import RouteName, Track

_DEGREES = re.compile(r"\s*[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)\s*")
_LIMITS = (90.0, 180.0)

MOST_PLACES = 400_000
"""Most points and lines of one file, those of tracks among them: an evening at a fix a second has 15,000."""


@dataclass(slots=True)
class PlaceCount:
    """Counts what a file places, so that a file made to fill the memory is left in time."""

    path: Path
    count: int = 0

    def add(self, where: str) -> None:
        """Count one point or line more; raises InputError beyond :data:`MOST_PLACES`."""
        self.count += 1
        if self.count > MOST_PLACES:
            expected = f"at most {MOST_PLACES:,} points and lines in one file"
            raise refused(self.path, where, expected, "more", "Cut it down to the routes of this season.")


@dataclass(frozen=True, slots=True)
class Mark:
    """One point, as it is written; whether its coordinates are any is judged once it is a point of a route."""

    where: str
    latitude: str
    longitude: str
    name: str = ""
    note: str = ""
    code: str = ""
    """What a field beside the name says of the route."""
    number: str = ""
    """What a field beside the name says of the number."""
    hint: str = ""
    """A word that is a code where it looks like one, as the type of a waypoint."""


@dataclass(frozen=True, slots=True)
class MarkString:
    """Points in an order, with a name together: a route, unless it says nothing of which."""

    where: str
    name: str
    marks: tuple[Mark, ...]
    code: str = ""
    """What a field beside the name says of the code."""


@dataclass(frozen=True, slots=True)
class Words:
    """What the things of one format are called."""

    axes: tuple[str, str]
    """What latitude and longitude are called."""
    marks: str
    """Points that stand alone, in the plural."""
    wanted: str
    """What is read, and how it must be named."""
    todo: str
    """What to do where nothing of it is there."""
    string: str
    """What a string of points must have."""
    lines: str
    """Lines, with an s in brackets: 'track(s)'."""


@dataclass(slots=True)
class Drawing:
    """What one file draws, in the order of the file."""

    path: Path
    words: Words
    strings: list[MarkString] = field(default_factory=list)
    marks: list[Mark] = field(default_factory=list)
    tracks: list[Track] = field(default_factory=list)
    """Lines, as they were gone or drawn."""
    of_routes: set[str] = field(default_factory=set)
    """Where lines stand that only draw a route whose name they say."""
    names: list[RouteName] = field(default_factory=list)
    """Names of routes that stand by themselves."""
    notes: list[str] = field(default_factory=list)
    """What was left out, in words."""
    faults: FaultList = field(init=False)
    places: PlaceCount = field(init=False)
    fields: dict[str, str] = field(default_factory=dict)
    """Fields beside the names, and what each was taken for: empty where it is not used."""

    def __post_init__(self) -> None:
        self.faults = FaultList(self.path)
        self.places = PlaceCount(self.path)


def place_of(latitude: str, longitude: str) -> Place | None:
    """Return the place of two texts in decimal degrees, a point before the fraction; None where they are none."""
    if _wrong(latitude, _LIMITS[0]) or _wrong(longitude, _LIMITS[1]):
        return None
    return Place(float(latitude), float(longitude))


def judged_place(mark: Mark, words: Words, faults: FaultList, *, swap: bool = False) -> Place | None:
    """Return the place of a mark, or None after noting what is wrong with it.

    Args:
        mark: the point.
        words: what its axes are called.
        faults: gather what is wrong.
        swap: whether latitude and longitude change places first.
    """
    texts = (mark.longitude, mark.latitude) if swap else (mark.latitude, mark.longitude)
    place = place_of(*texts)
    if place is None:
        for axis, text, limit in zip(words.axes, texts, _LIMITS, strict=True):
            if _wrong(text, limit):
                expected = f"{axis} in decimal degrees from {-limit:g} to {limit:g}"
                faults.add(mark.where, expected, f"{axis}={text[:40]!r}" if text else f"no {axis}", CORRECT_OR_SWAP)
    return place


def _wrong(text: str, limit: float) -> bool:
    return len(text) > 400 or not _DEGREES.fullmatch(text) or abs(float(text)) > limit
