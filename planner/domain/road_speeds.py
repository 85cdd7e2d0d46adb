"""What a coordinator knows better than the table of speeds: how fast the roads of this season are driven."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from planner.domain.errors import RuleError

LEAST_KMH, MOST_KMH = 5.0, 130.0
LEAST_FACTOR, MOST_FACTOR = 0.3, 1.5
"""Beyond these a figure is a slip; our own bounds, no published source."""
_KIND = re.compile(r"[a-z_]+")


@dataclass(frozen=True, slots=True)
class RoadSpeeds:
    """Speeds of this season; where nothing is said, the table of speeds holds."""

    class_kmh: tuple[tuple[str, float], ...] = ()
    """(highway class, km/h), each class once, in alphabetical order: what is driven where nothing slows the car, and
    the most where a higher limit is posted. Lower limits, surfaces and track grades still slow it."""
    factor: float = 1.0
    """What every speed is multiplied by: 0.8 makes all drives a quarter longer."""

    def __post_init__(self) -> None:
        if not (math.isfinite(self.factor) and LEAST_FACTOR <= self.factor <= MOST_FACTOR):
            raise RuleError(
                f"the factor of all speeds lies between {LEAST_FACTOR} and {MOST_FACTOR}, found {self.factor:g}"
            )
        for kind, kmh in self.class_kmh:
            if not _KIND.fullmatch(kind):
                raise RuleError(f"a road class is a word such as 'tertiary', found {kind!r}")
            if not (math.isfinite(kmh) and LEAST_KMH <= kmh <= MOST_KMH):
                raise RuleError(f"the speed on {kind} lies between {LEAST_KMH:g} and {MOST_KMH:g} km/h, found {kmh:g}")
        kinds = [kind for kind, _ in self.class_kmh]
        if kinds != sorted(set(kinds)):
            raise RuleError(f"each road class once, in alphabetical order, found {', '.join(kinds)}")

    def said(self) -> str:
        """Return the speeds in words; empty where the table holds."""
        parts = [f"{kind} {kmh:g} km/h" for kind, kmh in self.class_kmh]
        if self.factor != 1.0:
            parts.append(f"all speeds x {self.factor:g}")
        return ", ".join(parts)
