"""``dimpsy import``: routes, volunteers, availability and roads from the files people have."""

from __future__ import annotations

import argparse
from pathlib import Path

from planner.cli.output import Report
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.usecases.importing import import_sources

NAME = "import"
HELP = "take in routes, volunteers, availability and roads; the kind of each file is recognised and said"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument(
        "sources", metavar="SOURCE", type=Path, nargs="+", help="GPX, CSV or OpenStreetMap files, or folders of them"
    )


def run(arguments: argparse.Namespace) -> Report:
    """Import everything in one step, or nothing."""
    with open_for_change(arguments.file) as file:
        imported = import_sources(file, arguments.sources)
    lines = [f"{said.path.name}: {said.kind}, {said.reason}" for said in imported.sources]
    lines += imported.notes
    if not imported.changed:
        lines.append("All of it stood already; the file is unchanged.")
    data = {"sources": imported.sources, "notes": imported.notes, "changed": imported.changed}
    return Report(data, tuple(lines))
