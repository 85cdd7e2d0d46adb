"""How far apart points are laid out under a protocol."""

from __future__ import annotations

from dataclasses import dataclass

from planner.domain.counting import SpacingKind
from planner.domain.protocol import Protocol
from planner.usecases.wording import metres_words

GUARD_M = 2.0
"""What rounding places to the metre may take away from a distance, at both ends together."""
NEAR_SHARE = 0.25
"""Where spacing is along the road, no two points stand nearer as the crow flies than this share of it: on the way back
along a road, or round a block, they would be one place. Our choice."""
USUAL_M = 800.0
"""From one point to the next where the protocol says nothing: our choice."""


@dataclass(frozen=True, slots=True)
class ApartRule:
    """Distances between points, in metres."""

    by_road: bool
    """Whether neighbours are measured along the road, else as the crow flies."""
    least_m: float
    """From each point to the next, where it can be had."""
    shortest_m: float
    """From each point to the next where the next safe place lies beyond what the protocol allows."""
    most_m: float
    """Farthest from each point to the next that the protocol allows; inf where it does not say."""
    straight_m: float
    """Between any two points, as the crow flies."""
    words: str

    @classmethod
    def by(cls, protocol: Protocol) -> ApartRule:
        """Return the rule of a protocol; the shipped figure is aimed at, its tolerance is kept for need.

        As the crow flies the least distance holds between any two points, not only neighbours.
        """
        spacing, habitat = protocol.points.spacing, protocol.habitat
        circles = 0.0 if habitat is None or habitat.circles_may_overlap else 2 * habitat.radius.metres
        guarded = circles + GUARD_M if circles else 0.0
        if spacing is None:
            least = guarded or USUAL_M
            said = f"{metres_words(circles)} or more, so that habitat circles do not overlap" if circles else _UNSAID
            return cls(False, least, least, float("inf"), least, f"{said}, as the crow flies")
        most = float("inf") if spacing.most_allowed_m is None else spacing.most_allowed_m
        shortest = min(spacing.least_allowed_m + GUARD_M, most)
        least = max(shortest, spacing.least.metres)
        how = "along the road" if spacing.along_road else "as the crow flies"
        at_least = "" if spacing.kind is SpacingKind.EXACT else "at least "
        words = f"{at_least}{spacing.least} apart {how}"
        if circles > (0.0 if spacing.along_road else spacing.least_allowed_m):
            words += (
                f", and never less than {metres_words(circles)} as the crow flies: habitat circles must not overlap"
            )
        if spacing.along_road:
            return cls(True, least, shortest, most, max(guarded, NEAR_SHARE * shortest), words)
        least = max(least, guarded)
        return cls(False, least, max(shortest, guarded), most, max(shortest, guarded), words)


_UNSAID = f"{USUAL_M:g} m or more, since the protocol names no spacing"
