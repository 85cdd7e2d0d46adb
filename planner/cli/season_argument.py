"""The season file that most commands begin with."""

from __future__ import annotations

import argparse
from pathlib import Path

from planner.cli.usage import path as file_path
from planner.domain.errors import SeasonFileError
from planner.store import SeasonFile
from planner.usecases.season.opening import open_season


def add_season_argument(parser: argparse.ArgumentParser) -> None:
    """Add the season file as the first argument."""
    parser.add_argument("file", metavar="FILE", type=file_path, help="the season file, NAME.dimpsy")


def open_for_change(path: Path) -> SeasonFile:
    """Open the season file for writing; raises SeasonFileError where another program holds it."""
    file = open_season(path)
    if file.read_only_reason:
        reason = file.read_only_reason
        file.close()
        raise SeasonFileError(f"{path}: {reason} Nothing was changed.")
    return file
