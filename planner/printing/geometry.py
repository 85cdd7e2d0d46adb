"""Rectangles on paper, in millimetres from the page's upper left corner."""

from __future__ import annotations

from dataclasses import dataclass

Spot = tuple[float, float]
"""Across and down, in millimetres."""


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle."""

    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """The right edge."""
        return self.left + self.width

    @property
    def bottom(self) -> float:
        """The lower edge."""
        return self.top + self.height

    @property
    def centre(self) -> tuple[float, float]:
        """The middle, across and down."""
        return self.left + self.width / 2, self.top + self.height / 2

    def inset(self, across: float, down: float | None = None) -> Box:
        """Return the box with that much taken from every side."""
        vertical = across if down is None else down
        return Box(self.left + across, self.top + vertical, self.width - 2 * across, self.height - 2 * vertical)

    def moved(self, across: float, down: float) -> Box:
        """Return the box at another place."""
        return Box(self.left + across, self.top + down, self.width, self.height)

    def holds(self, other: Box, slack: float = 0.01) -> bool:
        """Whether the other box lies inside this one."""
        return (
            other.left >= self.left - slack
            and other.top >= self.top - slack
            and other.right <= self.right + slack
            and other.bottom <= self.bottom + slack
        )

    def meets(self, other: Box) -> bool:
        """Whether the two share any ground."""
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )
