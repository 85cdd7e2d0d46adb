"""``dimpsy history``: every step since the file was made."""

from __future__ import annotations

import argparse

from planner.cli.output import Report
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.store import Step
from planner.usecases.season import history
from planner.usecases.season.opening import open_season

NAME = "history"
HELP = "list every step since the file was made, and go back to one or forward again"
EPILOG = """  dimpsy history FILE
  dimpsy history FILE --to 12        as it stood after step 12; 0: as it was made

Later steps are undone, not lost: --to a later step does them again, until something new is done."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("--to", metavar="STEP", type=int, help="undo or do again until the file stands as after STEP")


def run(arguments: argparse.Namespace) -> Report:
    """Go to a step if one is named, and list the steps, the oldest first."""
    moved = None
    with open_season(arguments.file) if arguments.to is None else open_for_change(arguments.file) as file:
        if arguments.to is not None:
            moved = history.go_to(file, arguments.to)
        steps = history.history(file)
    data = [
        {"step": step.number, "label": step.label, "when_utc": step.when_utc, "undone": step.undone} for step in steps
    ]
    lines = [_line(step) for step in steps] or ["No steps yet: the season is as it was made."]
    if moved is not None:
        lines.append(f"Went to step {arguments.to}: {moved} steps undone or done again.")
    return Report({"steps": data, "moved": moved}, tuple(lines))


def _line(step: Step) -> str:
    undone = "  (undone)" if step.undone else ""
    return f"{step.number:4d}  {step.when_utc:%Y-%m-%d %H:%M} UTC  {step.label}{undone}"
