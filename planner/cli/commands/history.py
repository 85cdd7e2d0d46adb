"""``dimpsy history``: every step since the file was made."""

from __future__ import annotations

import argparse

from planner.cli.output import Report
from planner.cli.season_argument import add_season_argument
from planner.store import Step
from planner.usecases import history
from planner.usecases.opening import open_season

NAME = "history"
HELP = "list every step since the file was made"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)


def run(arguments: argparse.Namespace) -> Report:
    """List the steps, the oldest first."""
    with open_season(arguments.file) as file:
        steps = history.history(file)
    data = [
        {"step": step.number, "label": step.label, "when_utc": step.when_utc, "undone": step.undone} for step in steps
    ]
    lines = [_line(step) for step in steps] or ["No steps yet: the season is as it was made."]
    return Report({"steps": data}, tuple(lines))


def _line(step: Step) -> str:
    undone = "  (undone)" if step.undone else ""
    return f"{step.number:4d}  {step.when_utc:%Y-%m-%d %H:%M} UTC  {step.label}{undone}"
