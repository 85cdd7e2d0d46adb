"""``dimpsy check``: every finding, worst first, and what the weather may leave of the plan."""

from __future__ import annotations

import argparse
import datetime as dt

from planner.cli.output import Report, file_word, finding_lines, findings_status
from planner.cli.risk_lines import WEATHER_UNSAID, risk_data, risk_lines
from planner.cli.season_argument import add_season_argument
from planner.cli.usage import date
from planner.usecases.checking import check
from planner.usecases.season.opening import open_season

NAME = "check"
HELP = "list everything that needs a look, worst first, each with what to do"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("--today", metavar="DATE", type=date, help="in place of today: visits before it are past")


def run(arguments: argparse.Namespace) -> Report:
    """Check routes, people, plan, sheets and records."""
    with open_season(arguments.file) as file:
        checked = check(file, arguments.today or dt.datetime.now(tz=file.season().tzinfo).date())
    lines = [checked.stands, *finding_lines(checked.findings)]
    if not checked.findings:
        lines.append("Nothing to mend.")
    if checked.risk is not None:
        lines += risk_lines(checked.risk)
    elif checked.weather_unsaid:
        lines.append(WEATHER_UNSAID)
    if checked.may_be_printed:
        lines.append(f"Next:  dimpsy print {file_word(arguments.file)} --to DIR")
    elif checked.may_be_planned:
        lines.append(f"Next:  dimpsy plan {file_word(arguments.file)}")
    data = {"stands": checked.stands, "findings": checked.findings, "risk": risk_data(checked.risk)}
    return Report(data, tuple(lines), findings_status(checked.findings))
