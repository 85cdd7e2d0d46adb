"""``dimpsy undo``: take the last step back."""

from __future__ import annotations

import argparse

from planner.cli.output import Report
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.usecases.season import history

NAME = "undo"
HELP = "take the last step back"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)


def run(arguments: argparse.Namespace) -> Report:
    """Take the step and name it."""
    with open_for_change(arguments.file) as file:
        step = history.undo(file)
    return Report(
        {"step": step.number, "label": step.label, "done": "undo"}, (f"Undone, step {step.number}: {step.label}",)
    )
