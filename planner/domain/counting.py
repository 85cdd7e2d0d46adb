"""Points along a route, the timed count at each, and the order they are counted in."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from planner.domain.errors import RuleError
from planner.domain.measures import Length, Speed


class SpacingKind(StrEnum):
    """How the distance between neighbouring points is prescribed."""

    EXACT = "exact"
    AT_LEAST = "at_least"
    RANGE = "range"


@dataclass(frozen=True, slots=True)
class Spacing:
    """Distance from each point to the next, in the source's own unit."""

    kind: SpacingKind
    least: Length
    most: Length | None = None
    tolerance_percent: float = 10.0
    along_road: bool = True
    """Whether the figure is along the road, or as the crow flies."""
    from_moved_stop: bool = False
    """Whether the next stop is measured from a stop's moved position."""

    def __post_init__(self) -> None:
        if (self.kind is SpacingKind.RANGE) != (self.most is not None):
            raise RuleError("spacing has 'most' when, and only when, its kind is 'range'")
        if self.most is not None and self.most.metres < self.least.metres:
            raise RuleError(f"spacing is reversed: most {self.most} is below least {self.least}")
        if self.least.metres <= 0:
            raise RuleError("spacing must be above 0")

    @property
    def least_allowed_m(self) -> float:
        """The smallest distance in metres that still meets the rule, tolerance included."""
        return self.least.metres * (1 - self.tolerance_percent / 100)

    @property
    def most_allowed_m(self) -> float | None:
        """The largest distance in metres that still meets the rule; None where there is none."""
        if self.kind is SpacingKind.AT_LEAST:
            return None
        most = self.most or self.least
        return most.metres * (1 + self.tolerance_percent / 100)


@dataclass(frozen=True, slots=True)
class BusyRoadRule:
    """How far points keep from busy roads, and which roads those are: whatever one of the two marks names."""

    least: Length
    """The nearest that a point may stand, as the crow flies."""
    kinds: tuple[str, ...] = ()
    """Highway classes of the map, such as motorway, trunk, primary."""
    limit_at_least: Speed | None = None
    """Roads with a posted limit of so much or more."""

    def __post_init__(self) -> None:
        if not self.kinds and self.limit_at_least is None:
            raise RuleError("busy_road says which roads are busy: give 'kinds', 'limit_at_least' or both")
        if self.least.metres <= 0:
            raise RuleError("busy_road: least must be above 0")


@dataclass(frozen=True, slots=True)
class PointRule:
    """How many points a route has. None at all is a driven line, whose length is then given."""

    fewest: int
    most: int
    spacing: Spacing | None = None
    line: Length | None = None
    line_most: Length | None = None
    """Greatest length of a driven line, where the protocol gives a range; ``line`` is then the least."""
    busy_road: BusyRoadRule | None = None
    """How far points keep from busy roads; None: the protocol does not say."""

    def __post_init__(self) -> None:
        if not 0 <= self.fewest <= self.most:
            raise RuleError(f"points: fewest {self.fewest} must lie between 0 and most {self.most}")
        if (self.most == 0) != (self.line is not None):
            raise RuleError("a route without points is a driven line and needs 'line'; one with points has none")
        if self.line_most is not None and (self.line is None or self.line_most.metres < self.line.metres):
            raise RuleError(f"line_most {self.line_most} needs a 'line' that is no longer")


class SegmentKind(StrEnum):
    """What is done in one timed part of a count."""

    PASSIVE = "passive"
    BROADCAST = "broadcast"
    SILENCE = "silence"


@dataclass(frozen=True, slots=True)
class Segment:
    """One timed part of a count."""

    name: str
    minutes: float
    kind: SegmentKind = SegmentKind.PASSIVE

    def __post_init__(self) -> None:
        if self.minutes <= 0:
            raise RuleError(f"segment '{self.name}' must last longer than 0 minutes, found {self.minutes:g}")


@dataclass(frozen=True, slots=True)
class CountRule:
    """The timed count at a point: settle, then the segments; longer where noise stops the clock."""

    segments: tuple[Segment, ...]
    settle_minutes: float = 0.0
    noise_extension_minutes: float = 0.0

    def __post_init__(self) -> None:
        if not self.segments:
            raise RuleError("a count needs at least one timed segment")
        if self.settle_minutes < 0 or self.noise_extension_minutes < 0:
            raise RuleError("settling and extension minutes must not be negative")

    @property
    def counted_minutes(self) -> float:
        """Minutes that are counted, settling left out."""
        return sum(segment.minutes for segment in self.segments)

    @property
    def minutes(self) -> float:
        """Minutes from the end of the drive to the end of the count: settling and segments."""
        return self.settle_minutes + self.counted_minutes


class Direction(StrEnum):
    """Which orders of the points the protocol allows."""

    FIXED = "fixed"
    EITHER = "either"
    ANY = "any"


@dataclass(frozen=True, slots=True)
class OrderRule:
    """In which order the points are counted, and whether a route may be finished on another day."""

    direction: Direction
    finish_another_day: bool = False
    least_points: int = 0
    """Points that must be done for the visit to stand; below that it is repeated whole. 0: all of them."""
