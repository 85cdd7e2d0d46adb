"""``dimpsy demo``: the main job in one line."""

from __future__ import annotations

import argparse

from planner.cli.commands.plan import plan_data, plan_lines
from planner.cli.commands.print_papers import add_paper_argument, printed_lines
from planner.cli.output import Report, file_word, finding_lines
from planner.cli.progress import ProgressLine
from planner.cli.risk_lines import risk_data, risk_lines
from planner.cli.usage import path
from planner.domain.finding import Finding
from planner.printing import Paper
from planner.usecases.demo import Scenario, make_demo

NAME = "demo"
HELP = "make the demo season, check it, plan it and print it: the main job in one line"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("folder", metavar="DIR", type=path, nargs="?", help="a new folder (default: dimpsy-demo here)")
    names = [scenario.value for scenario in Scenario]
    parser.add_argument(
        "--scenario", choices=names, default=names[0], help="which invented season (default %(default)s)"
    )
    add_paper_argument(parser)


def run(arguments: argparse.Namespace) -> Report:
    """Make the demo and say what the program found in it."""
    with ProgressLine() as progress:
        made = make_demo(
            Scenario(arguments.scenario),
            arguments.folder,
            paper=Paper(arguments.paper),
            on_event=progress.show,
            say=progress.say,
        )
    season = file_word(made.path)
    lines = [
        f"{made.season.name}. Everything in it is invented.",
        f"{len(made.season.routes)} routes, {len(made.season.volunteers)} volunteers, {made.season.dates}.",
        "",
        *_checked(made.findings),
        "",
        *plan_lines(made.planned),
        "",
        *(() if made.risk is None else (*risk_lines(made.risk), "")),
        *printed_lines(made.printed),
        "",
        f"The season is {season}. Next:  dimpsy check {season}",
    ]
    data = {
        "file": made.path,
        "season": made.season.name,
        "routes": len(made.season.routes),
        "volunteers": len(made.season.volunteers),
        "findings": made.findings,
        "risk": risk_data(made.risk),
        "plan": plan_data(made.planned),
        "printed": made.printed,
    }
    return Report(data, tuple(lines))


def _checked(findings: tuple[Finding, ...]) -> tuple[str, ...]:
    if not findings:
        return ("Checked: nothing to mend.",)
    head = f"Checked: {len(findings)} findings. The demo carries troubles on purpose; this is what the program says:"
    return (head, *finding_lines(findings))
