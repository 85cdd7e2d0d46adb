"""``dimpsy print``: itineraries as PDF files."""

from __future__ import annotations

import argparse

from planner.cli.output import Report, file_word
from planner.cli.progress import ProgressLine
from planner.cli.season_argument import add_season_argument
from planner.cli.usage import path
from planner.printing import Paper
from planner.usecases.paper.printing import Printed, old_papers, print_itineraries
from planner.usecases.season.opening import open_season

NAME = "print"
HELP = "write one PDF itinerary for each volunteer"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("--to", dest="folder", metavar="DIR", type=path, required=True, help="folder for the PDF files")
    parser.add_argument("--volunteer", metavar="NAME", default="", help="only this one, by code or name")
    add_paper_argument(parser)


def add_paper_argument(parser: argparse.ArgumentParser) -> None:
    """Add the choice of paper."""
    sizes = [paper.value for paper in Paper]
    parser.add_argument(
        "--paper", choices=sizes, default=Paper.A4.value, help="size of the sheets (default %(default)s)"
    )


def run(arguments: argparse.Namespace) -> Report:
    """Print and list what was written."""
    with open_season(arguments.file) as file, ProgressLine() as progress:
        printed = print_itineraries(
            file,
            arguments.folder,
            volunteer=arguments.volunteer,
            paper=Paper(arguments.paper),
            on_done=lambda done, of: progress.say(f"{done} of {of} itineraries written"),
        )
        old = () if arguments.volunteer else old_papers(arguments.folder, file.season().volunteers, printed)
    lines = list(printed_lines(printed))
    if old:
        lines.append("Papers from before that were not written now; those people have no outing any more:")
        lines += [f"  {paper.name}" for paper in old]
    return Report({"printed": printed, "old_papers": old}, tuple(lines))


def printed_lines(printed: tuple[Printed, ...]) -> tuple[str, ...]:
    """Return what was printed, in words."""
    pages = sum(one.pages for one in printed)
    itineraries = "1 itinerary" if len(printed) == 1 else f"{len(printed)} itineraries"
    lines = [f"{itineraries}, {pages} pages, in {file_word(printed[0].path.parent)}:"]
    lines += [f"  {one.path.name}: {_counted(one.outings, 'outing')}, {one.pages} pages" for one in printed]
    return tuple(lines)


def _counted(number: int, thing: str) -> str:
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"
