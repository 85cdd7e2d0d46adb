"""The window, as the list of commands shows it; it is opened by the program's door and never comes here."""

from __future__ import annotations

import argparse

from planner.cli.output import Report
from planner.cli.usage import UsageError

NAME = "desktop"
HELP = "open the window, with a season file if one is named (bare dimpsy does too)"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the season file."""
    parser.add_argument("file", nargs="?", metavar="FILE", help="season file to open")


def run(_arguments: argparse.Namespace) -> Report:
    """Refuse what a window cannot do: answer on standard output."""
    raise UsageError("the window is opened by: dimpsy desktop [FILE], without --json")
