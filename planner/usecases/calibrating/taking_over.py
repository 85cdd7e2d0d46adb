"""Begin a season with what another season's recorded drives came to."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from planner.exchange import DriveFigure
from planner.store import SeasonFile
from planner.usecases.calibrating.next_season import read_figure, speeds_differ
from planner.usecases.calibrating.using import FactorsChanged, use_calibration


@dataclass(frozen=True, slots=True)
class TakenOver:
    """What another season's figure came to in this one."""

    figure: DriveFigure
    changed: FactorsChanged
    note: str
    """That the two seasons drive their roads at other speeds; empty where they do not."""


def take_over_figure(file: SeasonFile, path: Path) -> TakenOver:
    """Plan the season's drives with what another season's recorded drives came to, as one step.

    Args:
        file: the season, open for writing.
        path: the figure as ``write_figure`` wrote it.

    Raises:
        InputError: the file cannot be read, or holds no such figure; the season is then unchanged.
    """
    figure = read_figure(path)
    return TakenOver(figure, use_calibration(file, figure.factors()), speeds_differ(figure, file.season()))
