"""What is asked of a layout, and what is proposed: plain values, for whoever shows them before anything is done."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

from planner.domain.errors import RuleError
from planner.domain.geo import Place
from planner.usecases.laying_out.ground import LONGEST_M
from planner.usecases.routes.editing import MOST_POINTS


@dataclass(frozen=True, slots=True)
class ThroughPlaces:
    """Along the quickest way by road through places, in their order."""

    places: tuple[Place, ...]

    def __post_init__(self) -> None:
        if len(self.places) < 2:
            raise RuleError("a way goes through two places or more: say from where to where")


@dataclass(frozen=True, slots=True)
class AlongLine:
    """Along a line that was gone or drawn, such as a track; put onto the roads where it runs on them."""

    places: tuple[Place, ...]

    def __post_init__(self) -> None:
        if len(self.places) < 2:
            raise RuleError("a line needs two places or more")


@dataclass(frozen=True, slots=True)
class AlongRoad:
    """Along a road of that name, from a place on it as far as the name leads."""

    name: str
    start: Place
    towards: Place | None = None
    """Which way: to the end of the road that is nearest to this; None: the longer way."""


Along: TypeAlias = ThroughPlaces | AlongLine | AlongRoad


@dataclass(frozen=True, slots=True)
class LayoutRequest:
    """Where points are to be laid out, and how many."""

    along: Along
    points: int | None = None
    """None: as many as the protocol allows."""
    start_after_m: float = 0.0
    """Metres along the line before the first point."""
    avoid: tuple[tuple[float, float], ...] = ()
    """Stretches where no point may stand: metres along the line, from and to."""

    def __post_init__(self) -> None:
        if self.points is not None and not 1 <= self.points <= MOST_POINTS:
            raise RuleError(f"1 to {MOST_POINTS} points can be laid out, found {self.points}")
        if not 0 <= self.start_after_m <= LONGEST_M:
            said = f"the first point stands 0 to {LONGEST_M:,.0f} m along the line"
            raise RuleError(f"{said}, found {self.start_after_m:g}")
        for first, last in self.avoid:
            if not 0 <= first < last < float("inf"):
                raise RuleError(f"a stretch to avoid goes from fewer metres to more, found {first:g} to {last:g}")


class Why(StrEnum):
    """Why no point may stand on a stretch; the first that applies is said."""

    AVOID = "a stretch to be avoided, as asked"
    PRIVATE = "a private or closed road"
    OFF_ROAD = "ground where the map has no road"
    MOTORWAY = "a motorway or motor road"
    TUNNEL = "a tunnel"
    BRIDGE = "a bridge"
    NO_STOPPING = "a road where stopping is forbidden"
    BUSY = "a stretch too near to a busy road"
    AGAIN = "a stretch that was passed before"
    JUNCTION = "a junction"


@dataclass(frozen=True, slots=True)
class LaidPoint:
    """One point of a proposal."""

    number: int
    place: Place
    """On the road; rounded as it is printed."""
    along_m: float
    """Metres from the beginning of the line."""
    apart_m: float | None
    """From the point before, as the protocol measures it; None for the first."""
    note: str = ""
    """Why it does not stand where the spacing alone would put it; empty where it does."""


@dataclass(frozen=True, slots=True)
class Skipped:
    """A stretch of the line where no point may stand."""

    from_m: float
    to_m: float
    why: Why
    what: str = ""
    """The road it is about, where there is one to name."""

    @property
    def words(self) -> str:
        """The stretch in words: '1,200 to 1,340 m: a bridge'."""
        beside = f" ({self.what})" if self.what else ""
        return f"{self.from_m:,.0f} to {self.to_m:,.0f} m: {self.why.value}{beside}"


@dataclass(frozen=True, slots=True)
class Laid:
    """A proposal of points along a line; nothing is changed by it."""

    points: tuple[LaidPoint, ...]
    line: tuple[tuple[float, float], ...]
    """The line, as (latitude, longitude) pairs, for drawing."""
    line_m: tuple[float, ...]
    """Metres along the line of each of its corners, rising from 0."""
    length_m: float
    """Of the line."""
    skipped: tuple[Skipped, ...]
    """In their order along the line, as far as the points reach; to its end where not all points fit."""
    wanted: int
    """Points that were asked for, or that the protocol allows."""
    rule: str
    """How far apart the points stand, in words."""
    why_fewer: str = ""
    """Why there are fewer than wanted; empty where there are not."""
    notes: tuple[str, ...] = ()
    """What else a person should know before accepting."""

    def between(self, from_m: float, to_m: float) -> tuple[tuple[float, float], ...]:
        """Return the stretch of the line between two distances along it, as (latitude, longitude) pairs."""
        first, last = bisect_right(self.line_m, from_m), bisect_left(self.line_m, to_m)
        return (self._at(from_m), *self.line[first:last], self._at(to_m))

    def _at(self, metres: float) -> tuple[float, float]:
        """Return the place so far along the line; its end where it is shorter."""
        corner = min(max(bisect_right(self.line_m, metres), 1), len(self.line_m) - 1)
        before_m, behind_m = self.line_m[corner - 1 : corner + 1]
        share = min(max((metres - before_m) / (behind_m - before_m), 0.0), 1.0)
        (latitude, longitude), (to_latitude, to_longitude) = self.line[corner - 1 : corner + 1]
        turn = (to_longitude - longitude + 180.0) % 360.0 - 180.0
        east = (longitude + share * turn + 180.0) % 360.0 - 180.0
        return latitude + share * (to_latitude - latitude), east
