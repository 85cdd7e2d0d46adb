"""What a drive takes: three readings of one leg, and where the figure comes from."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from planner.domain.errors import RuleError


class FigureSource(StrEnum):
    """Where a drive figure comes from."""

    ROAD = "road"
    """Quickest way over the season's road network."""
    ESTIMATE = "estimate"
    """Distance as the crow flies, a detour factor and a speed; no roads were known."""
    MEASURED = "measured"
    """Driven and written down: one leg, or the way over the roads times what the legs of its route came to."""


@dataclass(frozen=True, slots=True)
class EstimateBand:
    """How far the truth may lie from a drive that was estimated without roads."""

    least_share: float
    """The least it may come to, as a multiple of the estimate."""
    planned_share: float
    """What light windows are planned with and papers give, as a multiple of the estimate."""
    most_share: float
    most_more_minutes: float
    """The most it may come to: that multiple of the estimate, and so many minutes more, which short drives need."""

    def __str__(self) -> str:
        """The band in words, to follow 'the truth may be'."""
        less, more = (1.0 - self.least_share) * 100.0, (self.most_share - 1.0) * 100.0
        return f"{less:.0f} % less than the estimate, or {more:.0f} % and {self.most_more_minutes:.0f} minutes more"


ESTIMATE_BAND = EstimateBand(least_share=0.65, planned_share=1.7, most_share=2.0, most_more_minutes=3.0)
"""Holds 94 % or more of random pairs in every class of distance from 200 m to 11 km on the roads of a small town, of
the middle of Helsinki and of Gothenburg (OpenStreetMap; ``python -m tests.bench detour``). For what lies farther apart,
and for mountains: the detours of an alpine country, whose 95th percentile is 1.4 to 2.1 times what is reckoned with."""

ESTIMATED_WORDS = f"Drives are estimated without roads: the truth may be {ESTIMATE_BAND}."
"""To be said of every plan that uses an estimate."""
RECORDED_ESTIMATES_WORDS = (
    "Drives are estimated without roads and follow recorded drives, on the cautious side: a single one may take longer."
)
"""To be said of a plan, on screen and on paper, whose estimates recorded drives have measured."""
ESTIMATED_ON_PAPER = (
    f"Drives are estimated without roads; the minutes here are the estimate and"
    f" {(ESTIMATE_BAND.planned_share - 1.0) * 100.0:.0f} % more. The truth may be {ESTIMATE_BAND}."
)
"""To be said where the minutes given are those that windows are planned with."""


@dataclass(frozen=True, slots=True)
class DriveFigure:
    """The minutes from one place to another, stop overhead included.

    ``inf`` in the expected and cautious minutes means that no way was found. Plans fit the light window by
    the cautious minutes and add up driving by the expected ones.
    """

    optimistic_minutes: float
    expected_minutes: float
    cautious_minutes: float
    source: FigureSource

    def __post_init__(self) -> None:
        # Chained comparisons are false for nan, so this door refuses it too.
        if not 0.0 <= self.optimistic_minutes <= self.expected_minutes <= self.cautious_minutes:
            raise RuleError(
                "drive minutes must be 0 or more and grow from optimistic over expected to cautious, found "
                f"{self.optimistic_minutes}, {self.expected_minutes}, {self.cautious_minutes}"
            )

    @property
    def reachable(self) -> bool:
        """Whether there is a way at all."""
        return self.expected_minutes != float("inf")

    @classmethod
    def measured(cls, minutes: float) -> DriveFigure:
        """Return the figure of a leg that was driven: one number, no band.

        Args:
            minutes: from leaving one place to being ready at the next.

        Raises:
            RuleError: the minutes are negative or not a number.
        """
        return cls(minutes, minutes, minutes, FigureSource.MEASURED)
