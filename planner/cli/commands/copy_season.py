"""``dimpsy copy``: the season under another name, to try something with, or to take away."""

from __future__ import annotations

import argparse

from planner.cli.output import DONE, FINDINGS, Report, file_word
from planner.cli.season_argument import add_season_argument
from planner.cli.usage import path
from planner.usecases.copying import copy_season
from planner.usecases.season.opening import open_season

NAME = "copy"
HELP = "copy the season with its history, road map and photos to another name or folder"
EPILOG = """  dimpsy copy FILE WHAT-IF.dimpsy

What goes out to people should go out from one of the two only. A copy holds everybody's personal data: keep it as
safe as the season itself."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("target", metavar="NEW", type=path, help="the file to make, NAME.dimpsy; none is written over")


def run(arguments: argparse.Namespace) -> Report:
    """Copy, and say what could not go along."""
    with open_season(arguments.file) as file:
        copied = copy_season(file, arguments.target)
    lines = [f"Copied to {file_word(arguments.target)}."] + ([copied.words] if copied.words else [])
    data = {"file": arguments.target, "lost_photos": [photo.name for photo in copied.lost]}
    return Report(data, tuple(lines), FINDINGS if copied.lost else DONE)
