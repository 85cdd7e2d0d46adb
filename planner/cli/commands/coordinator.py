"""``dimpsy coordinator``: whom everybody rings."""

from __future__ import annotations

import argparse

from planner.cli.output import Report
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.usecases.season.coordinator import set_coordinator

NAME = "coordinator"
HELP = "show or change the coordinator's contact, printed on every paper"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("--name", metavar="NAME", help="who answers")
    parser.add_argument("--telephone", metavar="NUMBER", help="the number to ring")
    parser.add_argument("--email", metavar="ADDRESS", help="the address to write to")


def run(arguments: argparse.Namespace) -> Report:
    """Change what is given, and show what stands."""
    with open_for_change(arguments.file) as file:
        stands = set_coordinator(file, name=arguments.name, telephone=arguments.telephone, email=arguments.email)
    shown = ", ".join(part for part in (stands.name, stands.telephone, stands.email) if part) or "nobody yet"
    return Report({"coordinator": stands}, (f"Coordinator: {shown}.",))
