"""A season's recorded drives handed on to the next season."""

from __future__ import annotations

from pathlib import Path

from planner.domain.errors import ImpossibleError
from planner.domain.field.drive_factors import DriveFactors
from planner.domain.season import Season
from planner.exchange import DriveFigure, FigureKind, read_drive_figure, write_drive_figure
from planner.exchange.drive_figure import LAYOUT


def write_figure(path: Path, season: Season, factors: DriveFactors) -> DriveFigure:
    """Write what a season's recorded drives came to, for the next season; those of single routes stay here.

    Args:
        path: the TOML file; it appears whole or not at all.
        season: whose drives they are.
        factors: what they came to.

    Raises:
        ImpossibleError: they hold no factor of the season.
        InputError: the file cannot be written.
    """
    if factors.season is None:
        raise ImpossibleError("There are no recorded drives to hand on.", "Finish the records of at least one visit.")
    figure = DriveFigure(
        kind=FigureKind.DRIVES,
        layout=LAYOUT,
        season=season.name,
        first=season.dates.first,
        last=season.dates.last,
        factor=factors.season.factor,
        legs=factors.season.legs,
        speeds=season.road_speeds.said(),
        classes=factors.classes,
        most=factors.season.most,
    )
    write_drive_figure(path, figure)
    return figure


def read_figure(path: Path) -> DriveFigure:
    """Return what another season's recorded drives came to; ``factors()`` of it is what ``use_calibration`` takes.

    Raises:
        InputError: the file cannot be read, is no such file, or a figure is missing, of another kind or out of bounds.
    """
    return read_drive_figure(path)


def speeds_differ(figure: DriveFigure, season: Season) -> str:
    """Return what to say where two seasons drive their roads at other speeds, for the factor is a multiple of these."""
    if figure.speeds == season.road_speeds.said():
        return ""
    theirs, ours = (words or "those of the table" for words in (figure.speeds, season.road_speeds.said()))
    return f"Road speeds differ, and factors go with them: {theirs} in {figure.season}, {ours} in this season."
