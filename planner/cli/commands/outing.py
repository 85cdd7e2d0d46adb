"""``dimpsy outing``: one outing minute by minute, as planned or tried otherwise."""

from __future__ import annotations

import argparse
import datetime as dt

from planner.cli.moment_argument import add_today_argument, today_of
from planner.cli.outing_lines import outing_lines
from planner.cli.output import DONE, FINDINGS, Report
from planner.cli.season_argument import add_season_argument
from planner.cli.usage import clock, up_to_a_day
from planner.cli.visit_arguments import add_visit_argument
from planner.usecases.evening.check_in import moment_of
from planner.usecases.evening.outing_view import Occasion, OutingSight, WhatIf, sight_of, try_out
from planner.usecases.naming import visit_called, volunteer_called
from planner.usecases.season.opening import open_season

NAME = "outing"
HELP = "show one outing minute by minute, as planned, or as it goes if the team leaves or counts otherwise"
EPILOG = """  dimpsy outing FILE R04 1
  dimpsy outing FILE R04 1 --who V07 --on reserve       from another home; the reserve date, or the set-up day
  dimpsy outing FILE R04 1 --leave 20:40                it is late: what still fits?
  dimpsy outing FILE R04 1 --squeeze                    habitat between the counts in place of a round of its own

Nothing is kept. Exit status 1: points do not fit, or counts end too late."""

_ON = {"visit": Occasion.VISIT, "reserve": Occasion.RESERVE, "setup": Occasion.SETUP}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    add_visit_argument(parser)
    parser.add_argument("--who", metavar="WHO", default="", help="as this one of the team drives it; else the lead")
    parser.add_argument("--on", choices=list(_ON), default="visit", help="which of its dates (default %(default)s)")
    parser.add_argument("--leave", metavar="HH:MM", type=clock, help="they leave home then")
    parser.add_argument("--count-minutes", metavar="N", type=up_to_a_day, help="so long at each point")
    parser.add_argument("--squeeze", action="store_true", help="habitat squeezed in between the counts")
    add_today_argument(parser)


def run(arguments: argparse.Namespace) -> Report:
    """Show the steps and what they come to."""
    with open_season(arguments.file) as file:
        season = file.season()
        key = visit_called(season, arguments.route, arguments.visit)
        who = volunteer_called(season, arguments.who).code if arguments.who else ""
        sight = sight_of(file, key, _ON[arguments.on], who, today_of(arguments, season))
    leave = _departure(arguments.leave, sight)
    ran = try_out(sight, WhatIf(leave, arguments.count_minutes, arguments.squeeze))
    runs = [ran] if ran.overcast is None else [ran, ran.overcast]
    late = any(one.late_counts or one.outing.missed for one in runs)
    data = {"outing": sight.dated, "person": sight.person, "runs": runs}
    return Report(data, tuple(outing_lines(sight, ran)), FINDINGS if late else DONE)


def _departure(given: dt.time | None, sight: OutingSight) -> dt.datetime | None:
    planned = sight.planned.outing.leave_home_utc
    return None if given is None else moment_of(given, planned, sight.season.tzinfo)
