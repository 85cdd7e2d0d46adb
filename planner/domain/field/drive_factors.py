"""What recorded drives came to, as multiples of what was expected: the season's calibration."""

from __future__ import annotations

import math
from dataclasses import dataclass

from planner.domain.errors import RuleError

LEAST_FACTOR, MOST_FACTOR = 0.2, 5.0
"""Beyond these a factor is a slip; our own bounds, those of ``planner.travel.drive_table``."""


@dataclass(frozen=True, slots=True, order=True)
class DriveFactor:
    """What the drives of a route, a road class or the season came to."""

    name: str
    """Code of the route, highway class of the map, or empty for the season."""
    factor: float
    """Recorded minutes over expected ones, the stop overhead left out of both."""
    legs: int
    """How many recorded legs it rests on."""

    def __post_init__(self) -> None:
        if not (math.isfinite(self.factor) and LEAST_FACTOR <= self.factor <= MOST_FACTOR):
            raise RuleError(f"a drive factor lies between {LEAST_FACTOR} and {MOST_FACTOR}, found {self.factor:g}")
        if self.legs < 0:
            raise RuleError(f"a drive factor rests on 0 legs or more, found {self.legs}")


@dataclass(frozen=True, slots=True)
class DriveFactors:
    """The factors that a season's drives are planned with; without any, drives are as the road map gives them."""

    season: DriveFactor | None = None
    routes: tuple[DriveFactor, ...] = ()
    """Of routes that have one of their own, by code."""
    classes: tuple[DriveFactor, ...] = ()
    """Of road classes that have one of their own, by class; a route's factor comes on top of them."""
    source: str = ""
    """Where they come from, in words: 'recorded drives of 12 visits', or last year's file."""

    def __post_init__(self) -> None:
        for some in (self.routes, self.classes):
            names = [one.name for one in some]
            if names != sorted(set(names)) or "" in names:
                raise RuleError(f"each drive factor once, by name, found {', '.join(names)}")
