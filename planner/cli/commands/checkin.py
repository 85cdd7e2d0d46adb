"""``dimpsy checkin``: somebody rings in."""

from __future__ import annotations

import argparse

from planner.cli.evening_lines import clock
from planner.cli.moment_argument import add_now_argument, now_of
from planner.cli.output import DONE, FINDINGS, Report, file_word
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.usage import UsageError, date
from planner.cli.usage import clock as time_of_day
from planner.domain.check_in import Stage
from planner.usecases.evening.ringing_in import Call, RungIn, ring_in, take_back_call
from planner.usecases.naming import volunteer_called
from planner.usecases.wording import day_words

NAME = "checkin"
HELP = "somebody rings in: left home, arrived, or safe home"
EPILOG = """  dimpsy checkin FILE V07 left
  dimpsy checkin FILE "Ann Lee" home --all                one rings for everybody of the outing
  dimpsy checkin FILE V07 home --time 22:40               when they rang; after midnight is understood
  dimpsy checkin FILE V07 home --date 2027-05-10          of another evening's outing
  dimpsy checkin FILE V07 home --take-back                it was a slip

The outing is theirs that is nearest to now, of yesterday and today. 'dimpsy today' says who is not home."""

_STAGES = {"left": Stage.LEFT, "arrived": Stage.ARRIVED, "home": Stage.HOME}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("who", metavar="WHO", help="code or name of the volunteer who rings")
    parser.add_argument("stage", metavar="STAGE", choices=list(_STAGES), help="left, arrived or home")
    parser.add_argument("--all", dest="team", action="store_true", help="they ring for everybody of the outing")
    parser.add_argument("--time", metavar="HH:MM", type=time_of_day, help="when they rang, in the season's time zone")
    parser.add_argument("--date", metavar="DATE", type=date, help="date of the outing")
    parser.add_argument("--take-back", action="store_true", help="take back what was written down by a slip")
    add_now_argument(parser)


def run(arguments: argparse.Namespace) -> Report:
    """Write it down and say for which outing."""
    if arguments.take_back and (arguments.team or arguments.time):
        raise UsageError("--take-back takes one person's word back; it does not go with --all or --time")
    with open_for_change(arguments.file) as file:
        season = file.season()
        who = volunteer_called(season, arguments.who)
        call = Call(who.code, _STAGES[arguments.stage], arguments.time, arguments.date, arguments.team)
        now = now_of(arguments, season)
        done = (take_back_call if arguments.take_back else ring_in)(file, call, now)
    lines = [f"{done.label or 'It is written down already'}."]
    lines.append(f"For {_outing(done)} of {day_words(done.date)} {done.date.year}.")
    if done.early is not None:
        lines += [
            f"Is it the right outing and time? {done.early.value.capitalize()}.",
            f"To take it back:  {_undo(arguments)}",
        ]
    if done.outing is not None and call.stage is not Stage.HOME and done.words:
        lines += [f"Due back: {clock(one.due_utc, season.tzinfo)}  {one.code} {one.name}" for one in done.outing.people]
    data = {"label": done.label, "route": done.route, "date": done.date, "check_ins": done.words, "early": done.early}
    return Report(data, tuple(lines), DONE if done.early is None else FINDINGS)


def _outing(done: RungIn) -> str:
    return done.outing.title if done.outing is not None else f"{done.route}, which is off the plan now,"


def _undo(arguments: argparse.Namespace) -> str:
    return f"dimpsy undo {file_word(arguments.file)}"
