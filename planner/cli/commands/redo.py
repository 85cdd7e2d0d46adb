"""``dimpsy redo``: do the step again that was undone last."""

from __future__ import annotations

import argparse

from planner.cli.output import Report
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.usecases.season import history

NAME = "redo"
HELP = "do the step again that was undone last"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)


def run(arguments: argparse.Namespace) -> Report:
    """Take the step and name it."""
    with open_for_change(arguments.file) as file:
        step = history.redo(file)
    return Report(
        {"step": step.number, "label": step.label, "done": "redo"}, (f"Done again, step {step.number}: {step.label}",)
    )
