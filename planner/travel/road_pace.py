"""How fast a season's roads are driven: its own speeds, and what recorded drives came to."""

from __future__ import annotations

from dataclasses import dataclass, field

from planner.domain.field.drive_factors import DriveFactors
from planner.domain.road_speeds import RoadSpeeds


@dataclass(frozen=True, slots=True)
class RoadPace:
    """What the seconds of a road network hang on, beside the map."""

    speeds: RoadSpeeds = field(default_factory=RoadSpeeds)
    factor: float = 1.0
    """What the minutes on every class without a factor of its own are multiplied by."""
    class_factors: tuple[tuple[str, float], ...] = ()
    """The same for classes that have one, each once, in alphabetical order."""

    @classmethod
    def build(cls, speeds: RoadSpeeds, factors: DriveFactors | None) -> RoadPace:
        """Return the pace of a season; without factors, that of its speeds alone."""
        if factors is None:
            return cls(speeds)
        return cls(speeds, factors.season_factor, tuple((one.name, one.factor) for one in factors.classes))

    def slowness(self, kinds: tuple[str, ...]) -> list[float]:
        """Return what the seconds on each of some highway classes are multiplied by."""
        own = dict(self.class_factors)
        return [own.get(kind, self.factor) for kind in kinds]
