"""What recorded drives came to, as multiples of what was expected: the season's calibration."""

from __future__ import annotations

import math
from dataclasses import dataclass

from planner.domain.errors import RuleError

LEAST_FACTOR, MOST_FACTOR = 0.2, 5.0
"""Beyond these a factor is a slip; our own bounds, those of ``planner.travel.drive_table``."""
MOST_LEGS = 1_000_000
"""Far more than a season has; our own bound."""


@dataclass(frozen=True, slots=True, order=True)
class DriveFactor:
    """What the drives of a route, a road class or the season came to."""

    name: str
    """Code of the route, highway class of the map, or empty for the season."""
    factor: float
    """Recorded minutes over expected ones, the stop overhead left out of both."""
    legs: int
    """How many recorded legs it rests on."""
    most: float | None = None
    """The true one is no larger in 97.5 of 100 seasons: the upper end of its range. None: it was not written down."""

    def __post_init__(self) -> None:
        if not (math.isfinite(self.factor) and LEAST_FACTOR <= self.factor <= MOST_FACTOR):
            raise RuleError(f"a drive factor lies between {LEAST_FACTOR} and {MOST_FACTOR}, found {self.factor:g}")
        if not 0 <= self.legs <= MOST_LEGS:
            raise RuleError(f"a drive factor rests on 0 to {MOST_LEGS} legs, found {min(self.legs, MOST_LEGS + 1)}")
        if self.most is not None and not self.factor <= self.most < math.inf:
            raise RuleError(f"the range of a drive factor of {self.factor:g} cannot end at {self.most:g}")

    @property
    def doubt(self) -> float:
        """How many times larger the true one may be; 1 where no range was written down."""
        return self.most / self.factor if self.most is not None else 1.0


@dataclass(frozen=True, slots=True)
class DriveFactors:
    """The factors that a season's drives are planned with; without any, drives are as the road map gives them.

    Minutes on a road of the map are multiplied by the factor of its class, or of the season where the class has none;
    estimates without roads by that of the season. The drives between the points of a route are multiplied by the
    route's factor on top of that. The stop overhead and ways on foot are not multiplied.
    """

    season: DriveFactor | None = None
    routes: tuple[DriveFactor, ...] = ()
    """Of routes that have one of their own, by code: what is left once the factors of the roads are applied."""
    classes: tuple[DriveFactor, ...] = ()
    """Of road classes that have one of their own, by class; it stands in place of the season's."""
    source: str = ""
    """Where they come from, in words: 'recorded drives of 12 visits', or last year's file."""

    def __post_init__(self) -> None:
        for some in (self.routes, self.classes):
            names = [one.name for one in some]
            if names != sorted(set(names)) or "" in names:
                raise RuleError(f"each drive factor once, by name, found {', '.join(names)}")

    @property
    def season_factor(self) -> float:
        """What estimates, and roads whose class has no factor, are multiplied by; 1 where nothing was recorded."""
        return self.season.factor if self.season is not None else 1.0

    def route_factor(self, code: str) -> float:
        """Return what the drives between the points of a route are multiplied by on top of all else."""
        return next((one.factor for one in self.routes if one.name == code), 1.0)

    def estimates_doubt(self, code: str = "") -> float | None:
        """Return how many times longer than planned with drives may be that are estimated without roads.

        The ranges of the season's and the route's factor, taken as if they were off independently of each other.

        Args:
            code: of the route within which they are; empty for drives from and to homes.

        Returns:
            None where recorded drives do not tell of estimates: nothing was recorded, no range was written down, or
            factors of road classes say that these drives were on roads of a map.
        """
        if self.season is None or self.season.most is None or self.classes:
            return None
        own = next((one.doubt for one in self.routes if one.name == code), 1.0)
        return math.exp(math.hypot(math.log(self.season.doubt), math.log(own)))

    def measured(self, code: str) -> bool:
        """Whether drives between the points of a route were recorded and are planned with."""
        return any(one.name == code for one in self.routes)

    def said(self, *, mapped: bool = True) -> str:
        """Return what drives are planned with, as a sentence; empty where nothing was recorded.

        Args:
            mapped: whether the season has a road map.
        """
        if self.season is None:
            return ""
        own = [(len(self.classes), "road class", "road classes"), (len(self.routes), "route", "routes")]
        parts = [f"{count} {one if count == 1 else more}" for count, one, more in own if count]
        beside = f", with figures of their own for {' and '.join(parts)}" if parts else ""
        held_against = "what the map gives" if mapped else "their estimates"
        return f"Drives are planned with {self.source}: {self.season.factor:.2f} times {held_against}{beside}."
