"""Plan with what recorded drives came to, or as if nothing had been recorded."""

from __future__ import annotations

from dataclasses import dataclass, replace

from planner.domain.errors import ImpossibleError
from planner.domain.field.drive_factors import DriveFactors
from planner.store import SeasonFile


@dataclass(frozen=True, slots=True)
class FactorsChanged:
    """What a change of drive factors came to."""

    before: DriveFactors
    factors: DriveFactors
    label: str
    """The step's name in the history; empty where nothing was changed."""


def use_calibration(file: SeasonFile, factors: DriveFactors) -> FactorsChanged:
    """Plan the season's drives with these factors from now on, as one step.

    Args:
        file: the season, open for writing.
        factors: what recorded drives came to, or what last year's did.

    Raises:
        ImpossibleError: they hold no factor of the season; the file is then unchanged.
    """
    if factors.season is None:
        raise ImpossibleError(
            "There is nothing to plan drives with.",
            "Record the times of at least three drives, and finish the records.",
        )
    return _save(file, factors, f"Plan with {factors.source}: drives x {factors.season.factor:.2f}")


def forget_calibration(file: SeasonFile) -> FactorsChanged:
    """Plan drives as if nothing had been recorded again, as one step."""
    given = "the road map gives them" if file.season().roads is not None else "they are estimated without roads"
    return _save(file, DriveFactors(), f"Plan with drives as {given}")


def _save(file: SeasonFile, factors: DriveFactors, label: str) -> FactorsChanged:
    season = file.season()
    with file.step(label) as step:
        file.save_season(replace(season, drive_factors=factors))
    return FactorsChanged(season.drive_factors, factors, label if step.changed else "")
