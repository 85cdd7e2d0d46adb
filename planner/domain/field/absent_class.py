"""A class that cannot be where it might be written down: the coordinator's word, against slips of the pen."""

from __future__ import annotations

from dataclasses import dataclass

EVERY_POINT = 0
"""Stands for all points of a route."""


@dataclass(frozen=True, slots=True, order=True)
class AbsentClass:
    """A habitat class that is known not to be found at a point, or on a whole route."""

    route: str
    class_code: str
    point: int = EVERY_POINT

    def holds_at(self, route: str, point: int) -> bool:
        """Whether it speaks of that point."""
        return self.route == route and self.point in (EVERY_POINT, point)
